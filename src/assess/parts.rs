//! What is known of each part of the piece's list.

use std::collections::BTreeMap;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding_counts::FindingCounts;
use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::findings::outcome::Outcome;
use crate::assess::material::cover;
use crate::assess::material::likeness;
use crate::assess::material::remarks::Remark;
use crate::assess::material::settle;
use crate::assess::part_list;
use crate::assess::part_list::PartList;
use crate::assess::part_list::belongs;
use crate::assess::part_list::is;
use crate::assess::part_list::is_face;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::part_report::SaidOnce;
use crate::assess::part_report::SaidWord;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::looking::Looking;
use crate::assess::statements::reading::Statements;
use crate::assess::statements::statement::NotLooked;
use crate::assess::statements::statement::Statement;
use crate::assess::timeline::Timeline;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;

/// The report of every part, in the order of the list. Parts of a part are a vocabulary, not a promise that they are there
/// (a drawer has one pull or two): they are told only where the record names them.
pub(crate) fn parts(
    case: &PieceRecord,
    looking: &Looking<'_>,
    findings: &[Finding],
    remarks: &[Remark],
) -> Vec<PartReport> {
    let Looking {
        book,
        time,
        list,
        statements,
        ..
    } = *looking;
    let numbers = Numbers::of(&case.findings);
    let report = |part: &FormPart| {
        let held =
            |it: &&Finding| belongs(&it.part, &part.id) && it.state != FindingState::Withdrawn;
        let own: Vec<&Finding> = findings.iter().filter(held).collect();
        // What a test or a look for one thing did not find says nothing of any other fault.
        let (faults, clean): (Vec<&Finding>, Vec<&Finding>) = own
            .iter()
            .partition(|it| it.outcome.is_some_and(Outcome::is_fault));
        let state = state(statements, time, &part.id, &faults);
        let remarked = |it: &Remark| it.part.as_ref().is_some_and(|it| belongs(it, &part.id));
        let material = match state {
            PartState::Absent(_) => settle::of_absent(),
            _ => {
                let opened = cover::opened(book, &case.repairs, findings, &part.id);
                cover::covered(book, time, &part.id, opened)
                    .unwrap_or_else(|| settle::material(book, time, part))
            }
        };
        let otherwise = otherwise(statements, &part.id).filter(|_| state == PartState::Faults);
        PartReport {
            part: part.id.clone(),
            label: part.label.clone(),
            required: part.required,
            state,
            remarked: !clean.is_empty() || remarks.iter().any(remarked),
            otherwise,
            said: said(statements, time, &part.id),
            findings: own.iter().map(|it| it.no).collect(),
            counts: FindingCounts::of(own),
            photos: photos(book, time, &numbers, &part.id),
            material,
        }
    };
    let named = part_list::named(case);
    let told = |it: &&FormPart| !it.inner || named.contains(&it.id);
    let mut parts: Vec<PartReport> = list.parts.iter().filter(told).map(report).collect();
    likeness::likely(&mut parts, list, book);
    parts
}

/// Every statement on a part with its day; the same word beside several photos of one shoot stands once.
fn said(statements: &Statements<'_>, time: &Timeline<'_>, part: &PartId) -> Vec<SaidOnce> {
    let mut said: Vec<SaidOnce> = Vec::new();
    for statement in statements.told(part) {
        let (word, photo) = match statement {
            Statement::Absent(it) => (SaidWord::Absent, it.photo()),
            Statement::NotExamined(it) => (SaidWord::NotExamined, Some(it.photo())),
            Statement::Sound(it) => (SaidWord::Sound, Some(it.photo())),
        };
        let shown = photo.and_then(|no| time.photo(no));
        let day = shown.map(|it| time.shoot_of(it).day);
        let again = |it: &SaidOnce| it.word == word && it.day == day;
        if !said.iter().any(again) {
            let told = match statement {
                Statement::Absent(it) => it.told(),
                Statement::NotExamined(_) | Statement::Sound(_) => None,
            };
            said.push(SaidOnce {
                word,
                day,
                photo,
                told,
            });
        }
    }
    said
}

/// Numbers of the photos that show a part or a part of it.
fn photos(book: &TradeBook, time: &Timeline<'_>, numbers: &Numbers<'_>, part: &PartId) -> Vec<u32> {
    let of_mark = |mark: &Mark| {
        let by_finding = || Some(&numbers.key(numbers.of_mark(mark, book)?)?.part);
        let about = mark.part.as_ref().or_else(by_finding);
        // Absent and not examined say that the picture does not show it.
        let shown = !is(mark, "absent") && !is(mark, "not_examined");
        shown && mark.state != MarkState::NotExamined && about.is_some_and(|it| belongs(it, part))
    };
    let shows = time.photos.iter().filter(|photo| {
        let named = photo.sidecar.parts.iter().any(|it| belongs(it, part));
        named || photo.sidecar.marks.iter().any(of_mark)
    });
    shows.map(|it| it.no).collect()
}

/// What is said of a part: an open fault outweighs every good word, and what is said of the whole says nothing of a fault on a
/// part of it.
fn state(
    statements: &Statements<'_>,
    time: &Timeline<'_>,
    part: &PartId,
    own: &[&Finding],
) -> PartState {
    let said = statements.said(part);
    let later_than_all = |said: &Statement| {
        let last_seen = |it: &&Finding| it.history.last().map(|it| time.rank(it.shoot));
        own.iter().all(|it| said.rank() > last_seen(it))
    };
    // A good word on the whole part says nothing of a fault whose repair nobody has seen.
    let open = own
        .iter()
        .any(|it| it.state.is_open() || it.state == FindingState::RepairUnseen);
    let narrower = own.iter().any(|it| it.part != *part);
    let all_narrower = own.iter().all(|it| !is_face(&it.part, part));
    match said {
        // A fault on a part of it says nothing of the rest.
        None if all_narrower => PartState::Silent,
        // A part that was taken off later takes its faults with it.
        Some(said @ Statement::Absent(_)) if later_than_all(&said) => said.into(),
        _ if open => PartState::Faults,
        Some(said) if !narrower && later_than_all(&said) => said.into(),
        _ if !own.is_empty() => PartState::Faults,
        _ => PartState::Silent,
    }
}

/// That nobody looked at a part with findings otherwise: it was written, and no newer mark of a fault on that very part says
/// that somebody did look since; one beside a picture of the delivery does not.
fn otherwise(statements: &Statements<'_>, part: &PartId) -> Option<NotLooked> {
    match statements.last_said(part)? {
        Statement::NotExamined(it) if statements.last_look_with_fault(part) <= Some(it.rank) => {
            Some(it)
        }
        _ => None,
    }
}

impl From<Statement> for PartState {
    fn from(said: Statement) -> Self {
        match said {
            Statement::Absent(it) => Self::Absent(it),
            Statement::NotExamined(it) => Self::NotExamined(it),
            Statement::Sound(it) => Self::Sound(it),
        }
    }
}

/// What is said of inner parts that the record does not name, by what is said of their whole.
pub(crate) fn unnamed(
    case: &PieceRecord,
    statements: &Statements<'_>,
    list: &PartList,
) -> BTreeMap<PartId, PartState> {
    let named = part_list::named(case);
    let unnamed = list.parts.iter().filter(|it| it.inner);
    let unnamed = unnamed.filter(|it| !named.contains(&it.id));
    let said = unnamed.filter_map(|it| Some((it.id.clone(), statements.said(&it.id)?.into())));
    said.collect()
}
