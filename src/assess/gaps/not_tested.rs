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
    Wholly(Saying),
    /// Of some of it: what was tested, and what not.
    Partly(Saying),
    /// Of some of it: what the work opened, and what not.
    Opened(Saying),
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
    let told = seen.iter().filter(|it| it.0.coat.is_some());
    let told = told.map(|(cue, it)| {
        // What stands after the colon says how it is told.
        let what = cue.term.split(':').next().unwrap_or_default();
        let (what, photo) = (Saying::cue(what), it.photo.no);
        match &it.mark.part {
            Some(part) => say::coat_seen(what, Saying::part(&looking.list.label(part)), photo),
            None => say::coat_seen_somewhere(what, photo),
        }
    });
    let mut told: Vec<Saying> = told.collect();
    told.dedup();
    let is_told = !told.is_empty();
    let told = Saying::Parted(told);
    Some(NotTested::Wholly(match mind {
        _ if !is_told => say::test_coat(),
        Some(mind) => say::test_coat_mind(told, Saying::shot(mind)),
        None if painted => say::test_coat_paint(told),
        None => say::test_coat_seen(told),
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
fn lead_untold(case: &PieceRecord, findings: &[Finding], book: &TradeBook) -> Saying {
    let untold = tests_told::untold(&case.repairs, findings, book).filter(|it| {
        let test = book.method(&it.method);
        test.and_then(|it| tests_told::tested(it, book))
            .is_some_and(|it| it.id == LEAD)
    });
    match untold.last() {
        Some(it) => {
            let untold = Untold::of(it);
            let result = untold.words();
            match untold {
                Untold::ButNoted => say::test_lead_noted(it.day, it.no, result),
                Untold::Wholly => say::test_lead_untold(it.day, it.no, result),
            }
        }
        None => say::test_lead(),
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
        let label = |part: &PartId| say::within(Saying::part(&list.label(part)));
        let on: Vec<Saying> = Worked::by(it, findings).labels(label);
        say::work_at(on, it.no, it.day)
    };
    let opened: Vec<Saying> = opened.iter().map(one).collect();
    match opened.is_empty() {
        true => NotTested::Wholly(say::test_joints()),
        false => NotTested::Opened(say::test_joints_opened(Saying::Parted(opened))),
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
    let told = seats.iter().filter_map(|it| {
        let repair = opened(it)?;
        let label = say::within(Saying::part(&it.label));
        Some(say::work_at(label, repair.no, repair.day))
    });
    let mut told: Vec<Saying> = told.collect();
    told.dedup();
    Some(match (told.is_empty(), shut) {
        (true, 0) => return None,
        (true, _) => NotTested::Wholly(say::test_filling()),
        (false, 0) => NotTested::Opened(say::test_filling_all(Saying::Parted(told))),
        (false, _) => NotTested::Opened(say::test_filling_some(Saying::Parted(told))),
    })
}

/// What a test of tipping would have told, by what opens forward.
pub(in crate::assess::gaps) fn tipping<'a>(parts: impl Iterator<Item = &'a FormPart>) -> Saying {
    let kinds: Vec<&str> = parts.map(|it| it.kind.as_str()).collect();
    let opens = |it: &str| OPENS.contains(&it);
    match (
        kinds.contains(&"fall_or_roll"),
        kinds.into_iter().any(opens),
    ) {
        (true, _) => say::test_tipping_fall(),
        (false, true) => say::test_tipping_drawers(),
        (false, false) => say::test_tipping(),
    }
}

/// Kinds of parts that open forward, and pull the piece with them.
const OPENS: [&str; 3] = ["drawer", "door", "fall_or_roll"];
