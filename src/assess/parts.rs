//! Parts: the piece's list, and what is known of each part on it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::assessment::Finding;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::PartReport;
use crate::assess::assessment::PartState;
use crate::assess::assessment::PieceRecord;
use crate::assess::findings::counts::FindingCounts;
use crate::assess::findings::trace::Numbers;
use crate::assess::material::settle;
use crate::assess::statements::reading::Statements;
use crate::assess::statements::statement::NotLooked;
use crate::assess::statements::statement::Statement;
use crate::assess::timeline::Timeline;
use crate::kit::text::capital;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Face;

/// The parts of a piece: those of its form, then any others that the record names.
#[derive(Debug)]
pub(crate) struct PartList {
    /// In the form's order; others after them, by name.
    pub(crate) parts: Vec<FormPart>,
}

impl PartList {
    /// The list of the piece of `case`.
    pub(crate) fn of(case: &PieceRecord, book: &TradeBook) -> Self {
        let mut parts = book.parts_of(&case.piece.form, &case.piece.choice());
        let listed: BTreeSet<PartId> = parts.iter().map(|it| it.id.clone()).collect();
        let others = named(case).into_iter().filter(|it| !listed.contains(*it));
        let others: Vec<FormPart> = others.map(|it| unlisted(it, &parts)).collect();
        parts.extend(others);
        Self { parts }
    }

    /// The part of this name.
    pub(crate) fn get(&self, id: &PartId) -> Option<&FormPart> {
        self.parts.iter().find(|it| it.id == *id)
    }

    /// The label of a part; its name where it has none.
    pub(crate) fn label(&self, id: &PartId) -> String {
        let found = self.get(id).map(|it| it.label.clone());
        found.unwrap_or_else(|| id.to_string())
    }

    /// Whether a picture of the whole shows this part of it, such as a drawer's front but not its bottom.
    pub(crate) fn shows_with_whole(&self, id: &PartId) -> bool {
        !id.is_inner() || self.get(id).is_some_and(|it| it.seen_with_whole)
    }
}

/// Every part that the record names anywhere.
fn named(case: &PieceRecord) -> BTreeSet<&PartId> {
    let sidecars = case.photos.iter().map(|it| &it.sidecar);
    let marked = sidecars
        .clone()
        .flat_map(|it| it.marks.iter().filter_map(|it| it.part.as_ref()));
    sidecars
        .flat_map(|it| &it.parts)
        .chain(marked)
        .chain(case.findings.iter().map(|it| &it.key.part))
        .chain(&case.piece.absent)
        .collect()
}

/// An entry for a part that is not on the form's list.
fn unlisted(id: &PartId, listed: &[FormPart]) -> FormPart {
    let plain = id.as_str().replace('-', " ");
    let (whole, inner) = plain.split_once('/').unwrap_or((&plain, ""));
    let known = listed.iter().find(|it| it.id == id.whole());
    let mut label = known.map_or_else(|| capital(whole), |it| it.label.clone());
    if !inner.is_empty() {
        label = format!("{label}, {inner}");
    }
    FormPart {
        id: id.clone(),
        label,
        kind: String::new(),
        required: false,
        inner: id.is_inner(),
        face: Face::Inside,
        seen_with_whole: false,
    }
}

/// Whether `part` is `whole` or a part of it.
pub(crate) fn belongs(part: &PartId, whole: &PartId) -> bool {
    part == whole || (part.is_inner() && part.whole() == *whole)
}

/// Whether a mark has this tag.
pub(crate) fn is(mark: &Mark, tag: &str) -> bool {
    mark.tag.as_deref() == Some(tag)
}

/// The report of every part, in the order of the list. Parts of a part are a vocabulary, not a promise that they are there
/// (a drawer has one pull or two): they are told only where the record names them.
pub(crate) fn parts(
    case: &PieceRecord,
    book: &TradeBook,
    time: &Timeline<'_>,
    statements: &Statements<'_>,
    list: &PartList,
    findings: &[Finding],
) -> Vec<PartReport> {
    let numbers = Numbers::of(&case.findings);
    let report = |part: &FormPart| {
        let held =
            |it: &&Finding| belongs(&it.part, &part.id) && it.state != FindingState::Withdrawn;
        let own: Vec<&Finding> = findings.iter().filter(held).collect();
        let state = state(statements, time, &part.id, &own);
        let otherwise = otherwise(statements, &part.id).filter(|_| state == PartState::Faults);
        PartReport {
            part: part.id.clone(),
            label: part.label.clone(),
            required: part.required,
            state,
            otherwise,
            findings: own.iter().map(|it| it.no).collect(),
            counts: FindingCounts::of(own),
            photos: photos(book, time, &numbers, &part.id),
            material: settle::material(book, time, part),
        }
    };
    let named = named(case);
    let told = |it: &&FormPart| !it.inner || named.contains(&it.id);
    list.parts.iter().filter(told).map(report).collect()
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
    let open = own.iter().any(|it| it.state.is_open());
    let narrower = own.iter().any(|it| it.part != *part);
    match said {
        // A part that was taken off later takes its faults with it.
        Some(said @ Statement::Absent(_)) if later_than_all(&said) => said.into(),
        _ if open => PartState::Faults,
        Some(said) if !narrower && later_than_all(&said) => said.into(),
        _ if !own.is_empty() => PartState::Faults,
        _ => PartState::Silent,
    }
}

/// That nobody looked at a part with findings otherwise: it was written, and no newer mark of a fault on that very part says
/// that somebody did look since.
fn otherwise(statements: &Statements<'_>, part: &PartId) -> Option<NotLooked> {
    match statements.said(part)? {
        Statement::NotExamined(it) if statements.last_fault(part) <= Some(it.rank) => Some(it),
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
    let named = named(case);
    let unnamed = list.parts.iter().filter(|it| it.inner);
    let unnamed = unnamed.filter(|it| !named.contains(&it.id));
    let said = unnamed.filter_map(|it| Some((it.id.clone(), statements.said(&it.id)?.into())));
    said.collect()
}
