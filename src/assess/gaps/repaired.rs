//! Repairs that the rest of the record does not bear.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::from_marks::history;
use crate::assess::findings::last_seen;
use crate::assess::findings::tests_told;
use crate::assess::gaps::lacks::Gap;
use crate::assess::part_list::belongs;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::part_report::SaidOnce;
use crate::assess::part_report::SaidWord;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::trade::TradeBook;

/// The code of work that is older than the purchase.
pub const BEFORE_PURCHASE: &str = "repair_before_purchase";

/// A repair that contradicts the rest of the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OddRepair {
    /// Its number.
    pub repair: u32,
    /// What contradicts it, and what to do about that.
    pub gap: Gap,
}

/// Repairs that no mark since speaks of, and such as contradict the rest of the record.
pub(super) fn gaps(ground: &ClaimContext<'_>) -> Vec<Gap> {
    let repairs = &ground.case.repairs;
    let findings = ground.findings.iter();
    let said = findings
        .clone()
        .filter_map(|it| said_ended(it, ground.book));
    let unseen = findings.filter_map(|it| repair_unseen(it, repairs));
    let odd = odd(
        &ground.case.piece,
        repairs,
        ground.findings,
        ground.parts,
        |it| Some(ground.list.get(it)?.kind.as_str()),
        ground.book,
    )
    .into_iter();
    said.chain(unseen).chain(odd.map(|it| it.gap)).collect()
}

/// A mark that says that a fault is repaired or gone, where nothing on record bears that.
fn said_ended(it: &Finding, book: &TradeBook) -> Option<Gap> {
    if !last_seen::is_said_ended(it.state, &it.history) {
        return None;
    }
    let last = it.last_told()?;
    // One clean watch of several claims nothing: it is told as not settled.
    let watched = it.clean_looks.is_some_and(|it| !it.untreated);
    if watched && last.state == MarkState::Gone {
        return None;
    }
    let photo = last.marks.first()?.photo;
    let (no, term, part, word) = (it.no, &it.term, &it.part_label, last.state.word());
    let done = match it.dealt_with(Arg::from) {
        done if done.is_empty() => String::new(),
        done => format!(": {}", Saying::Parted(done)),
    };
    let trace = book.tag(&it.tag).and_then(|it| it.trace_of.as_ref());
    let danger = trace.and_then(|it| book.tag(it));
    let remedy = match (danger, it.clean_looks) {
        (Some(danger), _) => format!(
            "a watch tells nothing of them: {}; if they were closed, tell that repair",
            tests_told::how_to_tell(danger)
        ),
        (None, Some(looks)) if looks.untreated => "tell the treatment with `asfound repair`, then each watch by a mark with `state = \"gone\"` where nothing was found".to_owned(),
        (None, Some(looks)) => format!(
            "{} watches of fourteen days that find nothing, each told by a mark with `state = \"gone\"`; if the part was made new, tell that repair",
            looks.of
        ),
        (None, None) => "take `state = \"repaired\"` out of that mark, or tell the repair that mended it".to_owned(),
    };
    Some(Gap::new(
        "ended_without_work",
        format!(
            "{no} ({term}, {part}) is said to be {word} beside picture {photo}, which nothing on record bears{done}"
        ),
        remedy,
    ))
}

/// Repairs that are older than their fault or than the purchase, such as were done on a part that is not there, and such as brought
/// one that is said not to be; `kind` of a part.
#[must_use]
pub fn odd<'k>(
    piece: &Piece,
    repairs: &[Repair],
    findings: &[Finding],
    parts: &[PartReport],
    kind: impl Fn(&PartId) -> Option<&'k str>,
    book: &TradeBook,
) -> Vec<OddRepair> {
    let early = findings.iter();
    let early = early.filter_map(|it| repaired_before_seen(it, repairs));
    let mut in_order: Vec<&Repair> = repairs.iter().collect();
    in_order.sort_by_key(|it| it.no);
    let bought = in_order
        .iter()
        .filter_map(|it| done_before_purchase(it, piece));
    let absent = in_order.iter().filter_map(|it| {
        done_on_absent(it, findings, parts).or_else(|| absent_since(it, findings, parts))
    });
    let brought = { in_order.iter() }.filter_map(|it| brought_and_absent(it, parts, &kind, book));
    early.chain(bought).chain(absent).chain(brought).collect()
}

/// Work after which a part is there, such as a key that was cut, where every part of that kind is said to be absent.
fn brought_and_absent<'k>(
    repair: &Repair,
    parts: &[PartReport],
    kind: impl Fn(&PartId) -> Option<&'k str>,
    book: &TradeBook,
) -> Option<OddRepair> {
    let brings = book.method(&repair.method)?.brings.as_deref()?;
    let mut absent = Vec::new();
    for part in { parts.iter() }.filter(|it| kind(&it.part) == Some(brings)) {
        let PartState::Absent(missed) = &part.state else {
            return None;
        };
        absent.push((part, missed.photo()));
    }
    let (part, photo) = *absent.first()?;
    let (no, day, label) = (repair.no, repair.day.spoken(), &part.label);
    let said = match photo {
        Some(photo) => format!("beside picture {photo}"),
        None => "at intake".to_owned(),
    };
    Some(OddRepair {
        repair: no,
        gap: Gap::new(
            "brought_part_absent",
            format!("repair {no} of {day} brought one, and {label} is said to be absent ({said})"),
            format!(
                "if it is there, write `sound = [\"{}\"]` beside a picture since that shows it, and take `absent` out where that is of after the \
                 repair; if the work was other, `asfound repair ... --again {no} --method METHOD`",
                part.part
            ),
        ),
    })
}

/// Work that is older than the purchase. The day of that is private, and not told.
fn done_before_purchase(repair: &Repair, piece: &Piece) -> Option<OddRepair> {
    piece.bought_on.filter(|it| repair.day < *it)?;
    let (no, stock_no) = (repair.no, &piece.stock_no);
    Some(OddRepair {
        repair: no,
        gap: Gap::new(
            BEFORE_PURCHASE,
            format!(
                "repair {no} is dated {}, and the piece was bought after that",
                repair.day.spoken()
            ),
            format!(
                "if the day is wrong, `asfound repair {stock_no} --again {no} --day DAY`; if that of the purchase is, \
                 `asfound amend {stock_no} --bought-on DAY`"
            ),
        ),
    })
}

/// A part that was said to be absent after new material was put on it, when nothing in between says that it was there.
fn absent_since(repair: &Repair, findings: &[Finding], parts: &[PartReport]) -> Option<OddRepair> {
    repair.new_material.as_ref()?;
    let done = Worked::by(repair, findings);
    let (part, day, photo) = parts.iter().find_map(|it| {
        let on = done.parts().iter().any(|part| belongs(part, &it.part));
        let since = |said: &&SaidOnce| said.day.is_some_and(|day| day > repair.day);
        let mut absent = it.said.iter().filter(|said| said.word == SaidWord::Absent);
        let absent = absent.find(since).filter(|_| on)?;
        let day = absent.day?;
        let between = |at: Day| repair.day <= at && at <= day;
        let sound = it.said.iter().filter(|said| said.word == SaidWord::Sound);
        let mut seen = findings
            .iter()
            .filter(|fault| belongs(&fault.part, &it.part));
        let was_there = sound.filter_map(|said| said.day).any(between)
            || seen.any(|fault| fault.history.iter().any(|at| between(at.day)));
        (!was_there).then_some((it, day, absent.photo?))
    })?;
    let (no, label) = (repair.no, &part.label);
    Some(OddRepair {
        repair: no,
        gap: Gap::new(
            "part_absent_after_repair",
            format!(
                "repair {no} of {} put new material on {label}, which is said to be absent on {} (picture {photo})",
                repair.day.spoken(),
                day.spoken()
            ),
            format!(
                "if the day is wrong, `asfound repair ... --again {no} --day DAY`; if the part was there, take `absent` out beside picture {photo}; \
                 if it was lost in between, write beside a picture from before that it was there, such as `sound = [\"{}\"]`",
                part.part
            ),
        ),
    })
}

/// Work on a part that was not there by then, and is not there since.
fn done_on_absent(
    repair: &Repair,
    findings: &[Finding],
    parts: &[PartReport],
) -> Option<OddRepair> {
    let done = Worked::by(repair, findings);
    let absent = parts.iter().find_map(|it| {
        let PartState::Absent(missed) = &it.state else {
            return None;
        };
        // What was lost after the work was there for it.
        let by_then = missed.lost().is_none_or(|it| it.day <= repair.day);
        let on = done.parts().iter().any(|part| belongs(part, &it.part));
        (by_then && on).then_some((it, missed))
    });
    let (part, missed) = absent?;
    let said = match missed.photo() {
        Some(photo) => format!("beside picture {photo}"),
        None => "at intake".to_owned(),
    };
    let (no, label) = (repair.no, &part.label);
    Some(OddRepair {
        repair: no,
        gap: Gap::new(
            "repair_on_absent_part",
            format!("repair {no} was done on {label}, which is said to be absent ({said})"),
            format!(
                "if the part is there since, say so beside a picture from after the repair, such as `sound = [\"{}\"]`; \
                 if it was done elsewhere, `asfound repair ... --again {no} --on PARTS`",
                part.part
            ),
        ),
    })
}

/// A repair that is older than the first look at its fault, where that look shows the fault there: the day is wrong, or the fault is
/// another.
fn repaired_before_seen(finding: &Finding, repairs: &[Repair]) -> Option<OddRepair> {
    let first = history::first_telling(&finding.history).filter(|it| it.state.is_there())?;
    let its = repairs
        .iter()
        .filter(|it| it.findings.contains(&finding.no));
    let early = its.min_by_key(|it| (it.day, it.no))?;
    if early.day >= first.day {
        return None;
    }
    let (no, term, part) = (finding.no, &finding.term, &finding.part_label);
    let gap = Gap::new(
        "repair_before_its_fault",
        format!(
            "{no} ({term}, {part}): repair {} for it is dated {}, and it is first marked on {}",
            early.no,
            early.day.spoken(),
            first.day.spoken()
        ),
        format!(
            "mark it in a picture from before the repair; if the day is wrong, `asfound repair ... --again {} --day DAY`; \
             if what is seen since is another fault, give its mark a `which`",
            early.no
        ),
    );
    Some(OddRepair {
        repair: early.no,
        gap,
    })
}

fn repair_unseen(finding: &Finding, repairs: &[Repair]) -> Option<Gap> {
    if finding.state != FindingState::RepairUnseen {
        return None;
    }
    let (no, term, part) = (finding.no, &finding.term, &finding.part_label);
    let its = repairs.iter().filter(|it| finding.repairs.contains(&it.no));
    let last = its.max_by_key(|it| (it.day, it.no));
    // Repairs are often told in the evening, with the day left out: then the picture seems older than the work it shows.
    if let (Some(repair), Some(seen)) = (last, finding.seen_cured()) {
        return Some(Gap::new(
            "repair_without_picture",
            format!(
                "{no} ({term}, {part}): repair {} is dated {}, after the picture of {} that shows it done",
                repair.no,
                repair.day.spoken(),
                seen.day.spoken()
            ),
            format!(
                "if it was done before that picture, `asfound repair ... --again {} --day {}` puts its day right; else photograph it again",
                repair.no, seen.day
            ),
        ));
    }
    Some(Gap::new(
        "repair_without_picture",
        format!("{no} ({term}, {part}) was repaired, and no mark since says what became of it"),
        format!(
            "beside a picture that shows it since, or a new one, write a mark with `finding = \"{no}\"` and `state = \"repaired\"`"
        ),
    ))
}
