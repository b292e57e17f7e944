//! What nobody examined: said part by part, and the tests that nobody made. Never empty.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Untold;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::tests_told;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::gaps::silence;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_list::belongs;
use crate::assess::part_list::is_face;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::looking::Looking;
use crate::assess::worked::Worked;
use crate::kit::text::capital;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;

/// What was not examined: parts in their order, then findings, tests, views.
pub(crate) fn unexamined(
    case: &PieceRecord,
    looking: &Looking<'_>,
    parts: &[PartReport],
    findings: &[Finding],
    views: &[MissingView],
) -> Vec<Unexamined> {
    let noted = |no: u32| {
        let mut photos = case.photos.iter();
        photos.any(|it| it.no == no && it.sidecar.note.is_some())
    };
    let of_parts = parts.iter().filter_map(|it| of_part(it, noted));
    let mut lines: Vec<Unexamined> = of_parts.collect();
    lines.extend(findings.iter().filter_map(of_finding));
    lines.extend(tests(case, looking, parts, findings));
    lines.extend(of_views(views));
    lines
}

fn line(silence: Silence, what: &str, why: &str) -> Unexamined {
    Unexamined {
        silence,
        what: what.to_owned(),
        why: why.to_owned(),
        finding: None,
    }
}

/// A line of a part; `noted` tells whether a note on the whole picture stands beside a photo.
fn of_part(part: &PartReport, noted: impl Fn(u32) -> bool) -> Option<Unexamined> {
    match (&part.state, &part.otherwise) {
        (PartState::NotExamined(it), _) | (PartState::Faults, Some(it)) => {
            let why = match it.why() {
                Some(why) => why.to_owned(),
                None if noted(it.photo()) => {
                    format!("No reason written; picture {} has a note.", it.photo())
                }
                None => "Not examined; no reason was written down.".to_owned(),
            };
            let what = match part.state {
                PartState::Faults => silence::beyond(&part.label),
                _ => part.label.clone(),
            };
            Some(line(Silence::NotExamined, &what, &why))
        }
        (PartState::Silent, _) if part.remarked => Some(line(
            Silence::NotJudged,
            &part.label,
            "No statement on faults; what else was seen of it is told there. That is no statement that it is sound.",
        )),
        (PartState::Silent, _) => Some(line(
            Silence::Nothing,
            &part.label,
            "Nothing is recorded of it; that is no statement that it is sound.",
        )),
        _ => None,
    }
}

fn of_finding(finding: &Finding) -> Option<Unexamined> {
    let what = format!("{} {}, {}", finding.no, finding.term, finding.placed());
    let line = |silence: Silence, why: &str| Unexamined {
        finding: Some(finding.no),
        ..line(silence, &what, why)
    };
    let settled = |why: &str| Some(line(Silence::NotSettled, why));
    // A watch that found nothing is a look that tells, and what a test found does not pass.
    let watched = finding.is_watched_clean() && finding.quiet_look().is_none();
    if watched || finding.outcome == Some(Outcome::Cleared) {
        return None;
    }
    let since = finding.not_told_since().map(|since| {
        let looks = finding.looks_since().iter();
        let notes: Vec<String> = looks.flat_map(|it| it.notes.clone()).collect();
        match notes.is_empty() {
            true => since,
            false => format!("{since}; note: {}", notes.join("; ")),
        }
    });
    match (finding.state, finding.last_seen(), since) {
        (FindingState::Withdrawn, ..) => None,
        (FindingState::RepairUnseen, ..) if finding.seen_cured().is_some() => settled(
            "It was seen repaired; no mark in a picture after the newest repair says what became of it.",
        ),
        (FindingState::RepairUnseen, ..) => settled(
            "A repair is recorded; no mark in a picture after it says what became of the fault.",
        ),
        (_, None, Some(since)) => settled(&format!("{}.", capital(&since))),
        (_, Some(told), Some(_)) if !told.state.is_there() && finding.looks_since().is_empty() => {
            // Which picture is of it stands with the finding; so those of one day are told together.
            let day = finding.quiet_look()?.day.spoken();
            let why = format!("Repaired or gone when last seen; no mark of it on {day}.");
            Some(line(Silence::NotSeenSince, &why))
        }
        (_, Some(told), Some(since)) => {
            let seen = match told.state {
                MarkState::Gone => "Looked for and not there",
                MarkState::Repaired => "Last seen repaired",
                _ => "Last seen there",
            };
            let why = format!("{seen} on {}; {since}.", told.day.spoken());
            Some(line(Silence::NotSeenSince, &why))
        }
        (_, _, None) => None,
    }
}

/// Tests that only count when somebody recorded them.
fn tests(
    case: &PieceRecord,
    looking: &Looking<'_>,
    parts: &[PartReport],
    findings: &[Finding],
) -> Vec<Unexamined> {
    let (book, list) = (looking.book, looking.list);
    let tested = |tag: &str| {
        let of_it = findings.iter().filter(|it| it.tag == tag);
        let mut seen = of_it.flat_map(|it| &it.history);
        let tag = book.tag(tag);
        seen.any(|it| it.state.is_there() && tag.is_some_and(|tag| tag.is_test(it.level)))
    };
    let tested_with = |group: &str| {
        let seen = looking.time.marks().filter(|it| it.mark.state.is_there());
        let mut cues = seen.filter_map(|it| book.cue(it.mark.tag.as_deref()?));
        cues.any(|it| it.group == group && it.is_test)
    };
    let there = |part: &&PartReport| !matches!(part.state, PartState::Absent(_));
    let kind = |part: &PartReport, kind: &str| {
        let known = list.get(&part.part);
        known.is_some_and(|it| it.kind == kind)
    };
    let mut there = parts.iter().filter(there);
    let tipping = tipping(there.clone().filter_map(|it| list.get(&it.part)));
    let coat = coat(looking);
    let joints = joints(case, looking, findings);
    let lead = lead(case, looking, parts, findings);
    let tests = [
        (
            lead.is_some(),
            "Lead in paint or finish",
            lead.as_deref().unwrap_or_default(),
        ),
        (
            true,
            "Species of the wood",
            "Not tested; where a wood is named, it was named by eye and is an opinion.",
        ),
        (!tested_with("finish"), "Kind of the finish", coat.as_str()),
        (true, "Inside of the joints", joints.as_str()),
        (
            list.may_tip && !tested("tip_risk"),
            "Tipping forward",
            tipping,
        ),
        (
            there.clone().any(|it| kind(it, "wiring")),
            "Electrical parts",
            "Not tested by us; that is for somebody qualified, who gives a dated note.",
        ),
        (
            // A seat of a settled material is a board: there is nothing in it.
            there.any(|it| kind(it, "seat") && it.material.settled.is_none()),
            "Filling of the seat",
            "Not opened; what is in it, and how it burns, is not known.",
        ),
    ];
    let tests = tests.into_iter().filter(|it| it.0);
    tests
        .map(|(_, what, why)| line(Silence::NotTested, what, why))
        .collect()
}

/// What a test of tipping would have told, by what opens forward.
fn tipping<'a>(parts: impl Iterator<Item = &'a FormPart>) -> &'static str {
    let kinds: Vec<&str> = parts.map(|it| it.kind.as_str()).collect();
    let opens = |it: &str| OPENS.contains(&it);
    match (
        kinds.contains(&"fall_or_roll"),
        kinds.into_iter().any(opens),
    ) {
        (true, _) => {
            "No test with the fall open and loaded is recorded; fix it to the wall in any case."
        }
        (false, true) => {
            "No test with open drawers or doors is recorded; fix it to the wall in any case."
        }
        (false, false) => "No test is recorded; fix it to the wall in any case.",
    }
}

/// Kinds of parts that open forward, and pull the piece with them.
const OPENS: [&str; 3] = ["drawer", "door", "fall_or_roll"];

/// What is on record of a coat that nobody tested, and how it may be told: what bears no touch is not tested by the reader.
fn coat(looking: &Looking<'_>) -> String {
    let seen = looking.time.marks().filter(|it| it.mark.state.is_there());
    let seen = seen.filter_map(|it| {
        let cue = looking.book.cue(it.mark.tag.as_deref()?)?;
        cue.coat.as_ref()?;
        Some((cue, it))
    });
    let seen: Vec<_> = seen.collect();
    let told = seen.iter().map(|(cue, it)| {
        // What stands after the colon says how it is told.
        let what = cue.term.split(':').next().unwrap_or_default();
        let part = it.mark.part.as_ref().map(|it| looking.list.label(it));
        let part = part.map_or(String::new(), |it| format!("{}, ", small(&it)));
        format!("{} ({part}picture {})", small(what), it.photo.no)
    });
    let mut told: Vec<String> = told.collect();
    told.dedup();
    if told.is_empty() {
        return "Not tested; a drop of solvent in a hidden place tells it.".to_owned();
    }
    let told = told.join("; ");
    match seen.iter().find_map(|(cue, _)| cue.on_the_spot.as_deref()) {
        Some(mind) => format!("Not tested. Seen: {told}. {mind}"),
        None => {
            format!("Not tested. Seen: {told}. A drop of solvent in a hidden place tells more.")
        }
    }
}

/// Which paint was not tested for lead; `None` where a test speaks for every painted part. A test speaks for the part that it names.
fn lead(
    case: &PieceRecord,
    looking: &Looking<'_>,
    parts: &[PartReport],
    findings: &[Finding],
) -> Option<String> {
    let (book, list) = (looking.book, looking.list);
    let tests = findings.iter().filter(|it| {
        let stands = !matches!(it.state, FindingState::Withdrawn | FindingState::Gone);
        it.tag == LEAD && stands && book.tag(LEAD).is_some_and(|tag| tag.is_test(it.level))
    });
    let tests: Vec<&Finding> = tests.collect();
    if tests.is_empty() {
        return Some(lead_untold(case, findings, book));
    }
    let speaks =
        |test: &Finding, paint: &PartId| belongs(paint, &test.part) || is_face(&test.part, paint);
    // Of paint that a test does not speak for: whether it lies below a coat that was tested.
    let untested = |part: &PartId| {
        let seen = looking.time.marks().filter(|it| it.mark.state.is_there());
        let old =
            seen.filter(|it| { it.mark.tag.as_deref() }.is_some_and(|it| OLD_PAINT.contains(&it)));
        let paint = old.filter_map(|it| it.mark.part.as_ref().filter(|it| belongs(it, part)));
        let below = paint.filter_map(|paint| {
            let mut told = tests.iter().filter(|it| speaks(it, paint)).peekable();
            let some = told.peek().is_some();
            told.all(|it| it.test_found.is_none()).then_some(some)
        });
        below.min()
    };
    let there = |it: &&PartReport| !matches!(it.state, PartState::Absent(_)) && !it.part.is_inner();
    let untested = parts.iter().filter(there).filter_map(|it| {
        let label = small(&list.label(&it.part));
        Some(match untested(&it.part)? {
            true => format!("{label} below its top coat"),
            false => label,
        })
    });
    let untested: Vec<String> = untested.collect();
    let of_tests = tests.iter().map(|it| {
        let part = small(&it.part_label);
        let found = match it.test_found {
            Some(true) => "lead found",
            Some(false) => "no lead found",
            None => "no lead found in the top coat",
        };
        format!("{part}: {found} ({})", it.no)
    });
    let of_tests: Vec<String> = of_tests.collect();
    (!untested.is_empty()).then(|| {
        let (told, rest) = (of_tests.join("; "), joined(&untested));
        format!("Tested: {told}. Not tested: the paint on {rest}.")
    })
}

/// The fault that only a test rules out.
const LEAD: &str = "lead_paint";

/// What says that a part has paint that may be old.
const OLD_PAINT: [&str; 3] = ["fin_paint", "overpaint", LEAD];

/// That lead was not tested; where a test is on record, that its result is not told.
fn lead_untold(case: &PieceRecord, findings: &[Finding], book: &TradeBook) -> String {
    let untold = tests_told::untold(&case.repairs, findings, book).filter(|it| {
        let test = book.method(&it.method);
        test.and_then(|it| tests_told::tested(it, book))
            .is_some_and(|it| it.id == LEAD)
    });
    match untold.last() {
        Some(it) => {
            let (day, no) = (it.day.spoken(), it.no);
            let untold = Untold::of(it);
            let more = match untold {
                Untold::ButNoted => ": see Work on record",
                Untold::Wholly => ", so it counts as not tested",
            };
            let result = untold.words();
            format!("Tested on {day} (repair {no}); {result}{more}.")
        }
        None => "Not tested. Old paint and old coats may hold lead; a test through all layers settles it.".to_owned(),
    }
}

/// What is known of the inside of the joints: those that a repair opened, by name.
fn joints(case: &PieceRecord, looking: &Looking<'_>, findings: &[Finding]) -> String {
    let (book, list) = (looking.book, looking.list);
    let opens = |it: &&Repair| book.method(&it.method).is_some_and(|it| it.opens_joints);
    let mut opened: Vec<&Repair> = case.repairs.iter().filter(opens).collect();
    opened.sort_by_key(|it| it.no);
    let one = |it: &&Repair| {
        let labels = Worked::by(it, findings).labels(|it| small(&list.label(it)));
        let (of, day) = (joined(&labels), it.day.spoken());
        format!("{of}: repair {} of {day}", it.no)
    };
    let opened: Vec<String> = opened.iter().map(one).collect();
    match opened.is_empty() {
        true => "Joints were not opened; what holds them was judged from outside.".to_owned(),
        false => format!(
            "Opened in the work ({}). No other joint was opened; what holds those was judged from outside.",
            opened.join("; ")
        ),
    }
}

/// One line a stage for the views that were not taken, and one for those of which every picture was taken out.
fn of_views(views: &[MissingView]) -> Vec<Unexamined> {
    let stages = views.chunk_by(|a, b| a.stage == b.stage);
    stages
        .flat_map(|it| not_taken(it).into_iter().chain(views_out(it)))
        .collect()
}

/// Of the views of one stage: those that were not taken.
fn not_taken(views: &[MissingView]) -> Option<Unexamined> {
    let views = views.iter().filter(|it| it.taken_out.is_empty());
    let views: Vec<&MissingView> = views.collect();
    let labels: Vec<&str> = views.iter().map(|it| it.label.as_str()).collect();
    let what = match views.first()?.stage {
        Stage::Doorstep => "Views not taken on the doorstep",
        Stage::Purchase => "Views not taken at purchase",
        Stage::Work => "Views not taken during the work",
        Stage::Sale => "Views not taken at the sale",
        Stage::Handover => "Views not taken at handover",
        Stage::Delivery => "Views not taken at delivery",
        Stage::Return => "Views not taken at the return",
    };
    let labels = format!("{}.", labels.join("; "));
    Some(line(Silence::NotPictured, what, &labels))
}

/// Of the views of one stage: those that were taken, and whose pictures were taken out.
fn views_out(views: &[MissingView]) -> Option<Unexamined> {
    let out = views.iter().filter(|it| !it.taken_out.is_empty());
    let of = |it: &MissingView| format!("{} ({})", it.label, it.pictures_out());
    let labels: Vec<String> = out.map(of).collect();
    let what = format!("Views taken out of the record, {}", views.first()?.stage);
    let labels = (!labels.is_empty()).then(|| format!("{}.", labels.join("; ")))?;
    Some(line(Silence::TakenOut, &what, &labels))
}
