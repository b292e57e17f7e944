//! Tests that nobody made: of the coat, of lead, of the joints, of tipping.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Untold;
use crate::assess::findings::tests_told;
use crate::assess::material::cover;
use crate::assess::part_list::belongs;
use crate::assess::part_list::is_face;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::looking::Looking;
use crate::assess::worked::Worked;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Shown;

/// A test that was not made.
pub(in crate::assess::gaps) enum NotTested {
    /// Of nothing: why, or what could be done, in one sentence.
    Wholly(String),
    /// Of some of it: what was tested, and what not.
    Partly(Saying),
    /// Of some of it: what the work opened, and what not.
    Opened(String),
}

/// Of the coat: on which parts alone its kind was tested; where it was nowhere, what is on record of it, and how it may be told: what
/// bears no touch is not tested by the reader. `None` where every finished face was tested.
pub(in crate::assess::gaps) fn coat(
    looking: &Looking<'_>,
    parts: &[PartReport],
) -> Option<NotTested> {
    let seen = looking.time.marks().filter(|it| it.mark.state.is_there());
    let seen = seen.filter_map(|it| Some((looking.book.cue(it.mark.tag.as_deref()?)?, it)));
    let of_coat = seen.filter(|it| it.0.group == FINISH);
    let (tests, seen): (Vec<_>, Vec<_>) = of_coat.partition(|it| it.0.is_test);
    if !tests.is_empty() {
        let on = |part: &PartId| {
            let mut tested = tests.iter().filter_map(|it| it.1.mark.part.as_ref());
            tested.any(|it| belongs(part, it) || is_face(it, part))
        };
        let faces = parts.iter().filter(|it| has_face(it, looking));
        let (on, rest): (Vec<_>, Vec<_>) = faces.partition(|it| on(&it.part));
        let on = on.iter().map(|it| looking.list.label(&it.part));
        let on: Vec<Saying> = on.map(|it| say::within(Saying::part(&it))).collect();
        let told = match on.is_empty() {
            true => Arg::from(say::tested_one_place()),
            false => Arg::from(on),
        };
        return (!rest.is_empty())
            .then(|| NotTested::Partly(say::tested_partly(told, say::rest_coat())));
    }
    let painted = seen.iter().any(|it| it.0.coat.as_deref() == Some(PAINT));
    let mind = seen.iter().find_map(|it| it.0.on_the_spot.as_deref());
    let told = seen
        .iter()
        .filter(|it| it.0.coat.is_some())
        .map(|(cue, it)| {
            // What stands after the colon says how it is told.
            let what = cue.term.split(':').next().unwrap_or_default();
            let part = it.mark.part.as_ref().map(|it| looking.list.label(it));
            let part = part.map_or(String::new(), |it| format!("{}, ", small(&it)));
            format!("{} ({part}picture {})", small(what), it.photo.no)
        });
    let mut told: Vec<String> = told.collect();
    told.dedup();
    let told = told.join("; ");
    Some(NotTested::Wholly(match (told.is_empty(), mind) {
        (true, _) => "Not tested; a drop of solvent in a hidden place tells it.".to_owned(),
        (false, Some(mind)) => format!("Not tested. Seen: {told}. {mind}"),
        (false, None) if painted => {
            format!("Not tested. Seen: {told}. Old paint is tested for lead first.")
        }
        (false, None) => {
            format!("Not tested. Seen: {told}. A drop of solvent in a hidden place tells more.")
        }
    }))
}

/// The group of observations of a coat.
const FINISH: &str = "finish";

/// The coat that may hold lead.
const PAINT: &str = "paint";

/// Whether a part is there with a finished face of wood.
fn has_face(part: &PartReport, looking: &Looking<'_>) -> bool {
    let kind = looking.list.get(&part.part);
    let kind = kind.and_then(|it| looking.book.kind(&it.kind));
    let finished = kind.is_some_and(|it| it.shown == Shown::Always && !it.not_wood);
    let there = !matches!(part.state, PartState::Absent(_)) && !part.material.covered;
    finished && there && !part.part.is_inner()
}

/// Which paint was not tested for lead; `None` where a test speaks for every painted part. A test speaks for the part that it names.
pub(in crate::assess::gaps) fn lead(
    case: &PieceRecord,
    looking: &Looking<'_>,
    parts: &[PartReport],
    findings: &[Finding],
) -> Option<NotTested> {
    let (book, list) = (looking.book, looking.list);
    let tests = findings.iter().filter(|it| {
        let stands = it.was_there() && it.state != FindingState::Gone;
        it.tag == LEAD && stands && book.tag(LEAD).is_some_and(|tag| tag.is_test(it.level))
    });
    let tests: Vec<&Finding> = tests.collect();
    if tests.is_empty() {
        return Some(NotTested::Wholly(lead_untold(case, findings, book)));
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
            told.all(|it| it.test_found().is_none()).then_some(some)
        });
        below.min()
    };
    let there = |it: &&PartReport| !matches!(it.state, PartState::Absent(_)) && !it.part.is_inner();
    let untested = parts.iter().filter(there).filter_map(|it| {
        let label = Saying::part(&list.label(&it.part));
        Some(match untested(&it.part)? {
            true => say::below_tested(label),
            false => say::within(label),
        })
    });
    let untested: Vec<Saying> = untested.collect();
    let of_tests: Vec<Saying> = tests.iter().map(|it| result(it)).collect();
    // Where a test found some, no coat that no test speaks for is free of it.
    let found = tests.iter().any(|it| it.test_found() == Some(true));
    let mut others = parts.iter().filter(|it| has_face(it, looking));
    let others = found
        && others.any(|part| {
            !tests
                .iter()
                .any(|it| speaks(it, &part.part) || belongs(&it.part, &part.part))
        });
    let rest = match (untested.is_empty(), others) {
        (true, false) => return None,
        (true, true) => say::rest_coat(),
        (false, false) => say::rest_paint(untested),
        (false, true) => say::rest_paint_and_coat(untested),
    };
    let told = say::tested_partly(Saying::Parted(of_tests), rest);
    Some(NotTested::Partly(told))
}

/// `left side: lead found (F2)`: what a test for lead found.
fn result(test: &Finding) -> Saying {
    let (part, no) = (Saying::part(&test.part_label), test.no.to_string());
    match test.test_found() {
        Some(true) => say::test_found(part, no),
        Some(false) => say::test_found_none(part, no),
        None => say::test_found_none_there(part, no),
    }
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
pub(in crate::assess::gaps) fn joints(
    case: &PieceRecord,
    looking: &Looking<'_>,
    findings: &[Finding],
) -> NotTested {
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
        true => NotTested::Wholly(
            "Joints were not opened; what holds them was judged from outside.".to_owned(),
        ),
        false => NotTested::Opened(format!(
            "Opened in the work ({}). No other joint was opened; what holds those was judged from outside.",
            opened.join("; ")
        )),
    }
}

/// What is in the seats that have a filling: of each whether work on record opened it; `None` without one.
pub(in crate::assess::gaps) fn filling(
    case: &PieceRecord,
    looking: &Looking<'_>,
    seats: &[&PartReport],
    findings: &[Finding],
) -> Option<NotTested> {
    let opened =
        |part: &PartReport| cover::opened(looking.book, &case.repairs, findings, &part.part);
    let shut = seats.iter().filter(|it| opened(it).is_none()).count();
    let mut told: Vec<String> = seats
        .iter()
        .filter_map(|it| {
            let repair = opened(it)?;
            let (label, no, day) = (small(&it.label), repair.no, repair.day.spoken());
            Some(format!("{label}: repair {no} of {day}"))
        })
        .collect();
    told.dedup();
    Some(match (told.is_empty(), shut) {
        (true, 0) => return None,
        (true, _) => NotTested::Wholly(
            "Not opened; what is in it, and how it burns, is not known.".to_owned(),
        ),
        (false, 0) => NotTested::Opened(format!(
            "Opened in the work ({}); how what is in it burns was not tested.",
            told.join("; ")
        )),
        (false, _) => NotTested::Opened(format!(
            "Opened in the work ({}), no other was; how what is in them burns was not tested.",
            told.join("; ")
        )),
    })
}

/// What a test of tipping would have told, by what opens forward.
pub(in crate::assess::gaps) fn tipping<'a>(
    parts: impl Iterator<Item = &'a FormPart>,
) -> &'static str {
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
