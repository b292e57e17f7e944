//! Recording a repair.

use serde::Serialize;

use crate::assess::findings::tests_told;
use crate::assess::gaps::repaired;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::repair::Repair;
use crate::model::repair::RepairInput;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;
use crate::work::WorkError;
use crate::work::advice::said::after_leaving;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days;
use crate::work::piece::days::Told;
use crate::work::piece::market::known_word;
use crate::work::piece::recorded::assessment;
use crate::work::piece::repair_cautions::cautions;
use crate::work::piece::unknown_method::unknown_method;
use crate::work::piece::withdraw::in_stock;
use crate::work::sidecars::sync_sidecars::sync_piece;
use crate::work::sidecars::vocabulary::parts;

/// A repair recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Repaired {
    /// Its number within the piece.
    pub repair: u32,
    /// The findings it is for: number, part and fault in words.
    pub findings: Vec<String>,
    /// The parts it was done on beside those of its findings.
    pub parts: Vec<NamedPart>,
    /// Whether it was done on the piece as a whole.
    pub whole_piece: bool,
    /// The method in words.
    pub method: String,
    /// The day.
    pub day: Day,
    /// Whether the very same was on record, so that nothing was entered: a command repeated after it was broken off.
    pub already: bool,
    /// What does not fit the rest of the record.
    pub odd: Vec<String>,
    /// Cautions for whoever does such work.
    pub cautions: Vec<String>,
    /// What is to be told next.
    pub then: String,
}

/// A part with its name for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NamedPart {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
}

/// The minutes of a day.
const OF_A_DAY: u32 = 24 * 60;

/// Records a repair, or puts right what was told of one.
///
/// # Errors
/// When there is no such piece, repair, finding, part or method, or the book cannot be written.
pub fn repair(
    book: &mut OpenBook,
    stock_no: &StockNo,
    told: RepairInput,
) -> Result<Repaired, WorkError> {
    in_stock(book, stock_no)?;
    sync_piece(book, stock_no)?;
    book.trade()?;
    let before = match told.again {
        Some(no) => Some(recorded(book, stock_no, no)?),
        None => None,
    };
    let today = book.now.local_day();
    let minutes = told.minutes;
    let mut repair = merged(before.clone(), told, today)?;
    if minutes.is_some_and(|it| it > OF_A_DAY) {
        return Err(too_long(stock_no, &repair, minutes.unwrap_or_default()));
    }
    // A line of the ledger never goes: what has not happened yet gets none.
    if repair.day > today {
        return Err(WorkError::asked_with(
            format!("{} lies in the future: today is {today}", repair.day),
            "tell the repair when it is done",
        ));
    }
    let findings = spoken(book, stock_no, &repair.findings)?;
    let parts = named(book, stock_no, &repair.parts)?;
    let method = book.trade.method(&repair.method);
    let method = method.ok_or_else(|| unknown_method(&book.trade, &repair.method))?;
    let cautions = cautions(book, stock_no, &repair, method)?;
    let newest = book.record.repairs(stock_no)?.pop();
    let same = |it: &Repair| {
        Repair {
            no: 0,
            ..it.clone()
        } == Repair {
            no: 0,
            ..repair.clone()
        }
    };
    let already = match &before {
        Some(before) => *before == repair,
        None => newest.as_ref().is_some_and(same),
    };
    match (before, newest) {
        (None, Some(it)) if already => repair.no = it.no,
        (Some(_), _) if already => {}
        (Some(_), _) => book.record.change_repair(stock_no, &repair)?,
        (None, _) => repair.no = book.record.add_repair(stock_no, &repair)?,
    }
    Ok(Repaired {
        repair: repair.no,
        findings,
        parts,
        whole_piece: repair.is_of_whole_piece(),
        method: method.name.clone(),
        day: repair.day,
        already,
        odd: odd(book, stock_no, &repair)?,
        cautions,
        then: match is_no_end(book, stock_no, &repair.findings, method)? {
            true => {
                "this is not the end of it: mark what is still there in a new picture".to_owned()
            }
            false => then(method, !repair.findings.is_empty(), &book.trade),
        },
    })
}

/// Whether a method that ends other faults ends none of these.
fn is_no_end(
    book: &OpenBook,
    stock_no: &StockNo,
    findings: &[FindingNo],
    method: &Method,
) -> Result<bool, WorkError> {
    let known = book.record.findings(stock_no)?.into_iter();
    let known = known.filter(|it| findings.contains(&it.no));
    let ends = |tag: &str| { book.trade.tag(tag) }.is_none_or(|it| it.may_end_by(method));
    let ended: Vec<bool> = known.map(|it| ends(&it.key.tag)).collect();
    Ok(method.cures.ends() && !ended.is_empty() && !ended.contains(&true))
}

/// What is to be told after a method, by what it does: only what may end a fault is followed by a picture of it repaired.
fn then(method: &Method, for_findings: bool, book: &TradeBook) -> String {
    match method.cures {
        Cures::Treats => "this is not the end of it: watch it, and tell each watch that finds nothing by a mark with `state = \"gone\"`".to_owned(),
        Cures::Tests | Cures::Watches => match tests_told::tested(method, book) {
            Some(tag) if method.cures == Cures::Watches => format!(
                "tell the result: {}; holes stay, whatever was found",
                tests_told::how_to_tell(tag)
            ),
            Some(tag) => format!("tell the result by {}", tests_told::how_to_tell(tag)),
            None => "tell the result by a mark".to_owned(),
        },
        _ if for_findings => "take the after-pictures in the same places and light, and say `state = \"repaired\"` in their marks".to_owned(),
        _ => "take a picture of what was done, and name the part beside it".to_owned(),
    }
}

/// What in the record contradicts a repair, each with what to do about it.
fn odd(book: &OpenBook, stock_no: &StockNo, repair: &Repair) -> Result<Vec<String>, WorkError> {
    let shoots = book.record.shoots(stock_no)?;
    let (no, day) = (repair.no, repair.day);
    let mut lines: Vec<String> = Vec::new();
    lines.extend(after_leaving(&shoots, day).map(|it| {
        format!(
            "{it}; if it was done before, `asfound repair {stock_no} --again {no} --day DAY` puts the day right"
        )
    }));
    for it in days::odd(book, stock_no, Told::Repair(no))? {
        lines.push(format!(
            "{it}; if that day is wrong, `asfound repair {stock_no} --again {no} --day DAY`"
        ));
    }
    let all = assessment(book, stock_no)?;
    let odd = repaired::odd(
        &all.piece,
        &all.repairs,
        &all.findings,
        &all.parts,
        |it| all.kinds.get(it).map(String::as_str),
        &book.trade,
    );
    // The days say that already, with the day of the purchase.
    let own = { odd.into_iter() }
        .filter(|it| it.repair == no && it.gap.code != repaired::BEFORE_PURCHASE);
    let own = own.map(|it| it.gap);
    lines.extend(own.map(|it| format!("{}; {}", it.message, it.remedy)));
    let replaces = book
        .trade
        .method(&repair.method)
        .is_some_and(|it| it.replaces);
    let on = Worked::new_material(repair, &all.findings, &book.trade);
    if replaces && repair.new_material.is_some() && on.parts().len() > 1 {
        lines.push(format!(
            "its new material counts as on {} parts; if only some of them got it, tell each part by a repair of its own",
            on.parts().len()
        ));
    }
    Ok(lines)
}

/// A repair that is on record.
fn recorded(book: &OpenBook, stock_no: &StockNo, no: u32) -> Result<Repair, WorkError> {
    let mut repairs = book.record.repairs(stock_no)?.into_iter();
    repairs.find(|it| it.no == no).ok_or_else(|| {
        WorkError::asked_with(
            format!("{stock_no} has no repair {no}"),
            format!("`asfound report {stock_no} --draft` lists its repairs"),
        )
    })
}

/// That a repair, which is of one day, took longer than a day is.
fn too_long(stock_no: &StockNo, repair: &Repair, minutes: u32) -> WorkError {
    let on: Vec<String> = repair.findings.iter().map(ToString::to_string).collect();
    WorkError::asked_with(
        format!("{minutes} minutes on {}: a day has {OF_A_DAY}", repair.day),
        format!(
            "tell each day by itself: `asfound repair {stock_no} {} --method {} --day DAY --minutes N`",
            match on.is_empty() {
                true => "--on PARTS".to_owned(),
                false => on.join(" "),
            },
            repair.method
        ),
    )
}

/// What was told, over what is on record.
fn merged(before: Option<Repair>, told: RepairInput, today: Day) -> Result<Repair, WorkError> {
    let no_method = || {
        WorkError::asked_with(
            "a repair needs its method",
            "`asfound words methods` lists them".to_owned(),
        )
    };
    let whole_piece = told.whole_piece;
    if before.is_none() && !whole_piece && told.findings.is_empty() && told.parts.is_empty() {
        return Err(WorkError::asked_with(
            "nothing says what the repair was done on",
            "name its findings, its parts with `--on PARTS`, or the whole of it with `--whole-piece`",
        ));
    }
    let method = told
        .method
        .or_else(|| Some(before.as_ref()?.method.clone()));
    let old = before.unwrap_or_else(|| Repair {
        no: 0,
        findings: Vec::new(),
        parts: Vec::new(),
        method: String::new(),
        day: today,
        new_material: None,
        hides: None,
        note: None,
        minutes: None,
        cost: None,
        private_note: None,
    });
    let kept = |told: bool| told && !whole_piece;
    let findings = match kept(told.findings.is_empty()) {
        true => old.findings,
        false => told.findings,
    };
    let parts = match kept(told.parts.is_empty()) {
        true => old.parts,
        false => told.parts,
    };
    Ok(Repair {
        no: old.no,
        findings,
        parts,
        method: method.ok_or_else(no_method)?,
        day: told.day.unwrap_or(old.day),
        new_material: told.new_material.or(old.new_material),
        hides: told.hides.or(old.hides),
        note: told.note.or(old.note),
        minutes: told.minutes.or(old.minutes),
        cost: told.cost.or(old.cost.filter(|_| !told.no_cost)),
        private_note: told.private_note.or(old.private_note),
    })
}

/// The findings in words: number, fault, part.
fn spoken(
    book: &OpenBook,
    stock_no: &StockNo,
    findings: &[FindingNo],
) -> Result<Vec<String>, WorkError> {
    let known = book.record.findings(stock_no)?;
    let mut lines = Vec::new();
    for no in findings {
        let found = known.iter().find(|it| it.no == *no);
        let found = found.ok_or_else(|| WorkError::no_finding(stock_no, *no))?;
        let term = book
            .trade
            .tag(&found.key.tag)
            .map_or(found.key.tag.as_str(), |it| it.term.as_str());
        let (part, which) = (&found.key.part, &found.key.which);
        let which = match which.is_empty() {
            true => String::new(),
            false => format!(", {which}"),
        };
        lines.push(format!("{no} {} on {part}{which}", term.to_lowercase()));
    }
    Ok(lines)
}

/// The parts with their labels.
fn named(
    book: &OpenBook,
    stock_no: &StockNo,
    wanted: &[PartId],
) -> Result<Vec<NamedPart>, WorkError> {
    if wanted.is_empty() {
        return Ok(Vec::new());
    }
    let piece = book.record.piece(stock_no)?;
    let listed = parts(&book.trade, &piece);
    let known: Vec<&str> = listed.iter().map(|it| it.id.as_str()).collect();
    let mut named = Vec::new();
    for part in wanted {
        known_word(part.as_str(), "a part of this piece", "parts", &known)?;
        let found = listed.iter().find(|it| it.id == *part);
        named.extend(found.map(|it| NamedPart {
            part: part.clone(),
            label: it.label.clone(),
        }));
    }
    Ok(named)
}
