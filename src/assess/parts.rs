//! Parts: the piece's list, and what is known of each part on it.

use std::collections::BTreeSet;

use crate::assess::assessment::Finding;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::PartReport;
use crate::assess::assessment::PartState;
use crate::assess::assessment::PieceRecord;
use crate::assess::findings::trace::Numbers;
use crate::assess::material::settle;
use crate::assess::timeline::DatedMark;
use crate::assess::timeline::Timeline;
use crate::kit::clock::Day;
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
        !id.is_inner() || self.get(id).is_some_and(|it| it.face != Face::Inside)
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
    }
}

/// Whether `part` is `whole` or a part of it.
pub(crate) fn belongs(part: &PartId, whole: &PartId) -> bool {
    part == whole || (part.is_inner() && part.whole() == *whole)
}

/// Whether a statement is about this part, or about the whole to which it belongs.
pub(crate) fn covers(mark: &Mark, part: &PartId) -> bool {
    let about = mark.part.as_ref();
    about.is_some_and(|about| belongs(part, about))
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
    list: &PartList,
    findings: &[Finding],
) -> Vec<PartReport> {
    let numbers = Numbers::of(&case.findings);
    let report = |part: &FormPart| {
        let held =
            |it: &&Finding| belongs(&it.part, &part.id) && it.state != FindingState::Withdrawn;
        let own: Vec<&Finding> = findings.iter().filter(held).collect();
        PartReport {
            part: part.id.clone(),
            label: part.label.clone(),
            required: part.required,
            state: state(case, time, &part.id, &own),
            findings: own.iter().map(|it| it.no).collect(),
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

/// What was said of a part last; an open fault outweighs every good word.
fn state(case: &PieceRecord, time: &Timeline<'_>, part: &PartId, own: &[&Finding]) -> PartState {
    let statement = statement(case, time, part);
    let said_at = statement.as_ref().map(|it| it.0);
    let later_than = |seen: Option<usize>| said_at.is_some_and(|said| said > seen);
    let open: Vec<&&Finding> = own.iter().filter(|it| it.state.is_open()).collect();
    let closed = own.len() - open.len();
    let last_seen = |it: &&Finding| it.history.last().map(|it| time.rank(it.shoot));
    let faults = PartState::Faults {
        open: open.len(),
        closed,
    };
    match statement.map(|it| it.1) {
        // A part that was taken off later takes its faults with it.
        Some(absent @ PartState::Absent { .. })
            if own.iter().all(|it| later_than(last_seen(it))) =>
        {
            absent
        }
        _ if !open.is_empty() => faults,
        Some(said) if own.iter().all(|it| later_than(last_seen(it))) => said,
        _ if closed > 0 => faults,
        Some(said) => said,
        None => PartState::Silent,
    }
}

/// The last statement about a part or its whole, and the rank of its shoot; what was told at intake comes before all.
fn statement(
    case: &PieceRecord,
    time: &Timeline<'_>,
    part: &PartId,
) -> Option<(Option<usize>, PartState)> {
    let told = case.piece.absent.iter().any(|it| belongs(part, it));
    let at_intake = told.then_some((None, PartState::Absent { photo: None }));
    let said = time.marks().filter(|it| covers(it.mark, part));
    let said = said.filter_map(|it| Some((Some(it.rank), state_of(&it)?)));
    at_intake.into_iter().chain(said).last()
}

fn state_of(said: &DatedMark<'_>) -> Option<PartState> {
    match said.mark.tag.as_deref()? {
        "absent" => Some(PartState::Absent {
            photo: Some(said.photo.no),
        }),
        "not_examined" => Some(PartState::NotExamined {
            why: said.mark.note.clone(),
        }),
        "sound" => Some(PartState::Sound {
            photo: said.photo.no,
            day: said.shoot.day,
        }),
        _ => None,
    }
}

/// A statement that a part is sound, and where it stands.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SoundAt {
    /// Rank of its shoot.
    pub(crate) rank: usize,
    /// The photo.
    pub(crate) photo: u32,
    /// The day of its shoot.
    pub(crate) day: Day,
}

/// Statements that a part (or its whole) was looked at and found sound, in the order of time. Where the same shoot shows
/// a fault on what the statement is about, it does not count.
pub(crate) fn sound_statements<'a>(
    part: &'a PartId,
    time: &'a Timeline<'_>,
    book: &'a TradeBook,
) -> impl Iterator<Item = SoundAt> {
    let sound = time
        .marks()
        .filter(|it| is(it.mark, "sound") && covers(it.mark, part));
    let held = move |said: &DatedMark<'_>| {
        let about = said.mark.part.as_ref();
        let against = |it: &DatedMark<'_>| {
            let fault = it
                .mark
                .tag
                .as_deref()
                .is_some_and(|it| book.tag(it).is_some());
            let part = it.mark.part.as_ref().zip(about);
            fault && it.mark.state.is_there() && part.is_some_and(|(a, b)| belongs(a, b))
        };
        let mut same = time.marks().filter(|it| it.rank == said.rank);
        !same.any(|it| against(&it))
    };
    sound.filter(held).map(|it| SoundAt {
        rank: it.rank,
        photo: it.photo.no,
        day: it.day(),
    })
}
