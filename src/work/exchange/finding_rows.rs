//! The findings of a piece as rows of a table.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Origin;
use crate::assess::findings::outcome::Outcome;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::report::with_claims_marked;
use crate::work::WorkError;
use crate::work::advice::survey::survey;
use crate::work::book::open_book::OpenBook;

/// One finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct FindingRow {
    pub stock_no: StockNo,
    pub id: FindingNo,
    pub term: String,
    pub which: String,
    pub part: PartId,
    pub part_label: String,
    pub level: Option<u8>,
    pub state: FindingState,
    pub outcome: Option<Outcome>,
    /// The first and the last day on which it was seen there.
    pub first_seen: Option<Day>,
    pub last_seen: Option<Day>,
    pub size: Option<String>,
    /// The face on which it lies; left, top, width, height there and how far they may be off (k = 2), mm.
    pub face: Option<PartId>,
    pub left_mm: Option<f64>,
    pub top_mm: Option<f64>,
    pub width_mm: Option<f64>,
    pub height_mm: Option<f64>,
    pub uncertainty_mm: Option<f64>,
    /// Numbers of the repairs made for it.
    pub repairs: Vec<u32>,
    /// Numbers of the photos that name it.
    pub photos: Vec<u32>,
    /// Where it came from.
    pub origin: Origin,
    /// What was noted beside its marks, each text once.
    pub note: String,
    /// When the piece was withdrawn from stock; `None` while it is in it.
    pub withdrawn_on: Option<Day>,
    /// The day of the measure, where the level is of another day.
    pub measured_on: Option<Day>,
}

/// Every finding of a piece that is not withdrawn, by number; what changed in its sidecars is read first.
///
/// # Errors
/// When there is no such piece, or the book cannot be read.
pub fn finding_rows(book: &mut OpenBook, no: &StockNo) -> Result<Vec<FindingRow>, WorkError> {
    let all = with_claims_marked(&survey(book, no)?.assessment).findings;
    let withdrawn = book.record.withdrawal(no)?.map(|it| it.at.local_day());
    let kept = all.iter().filter(|it| it.state != FindingState::Withdrawn);
    Ok(kept.map(|it| row(no, it, withdrawn)).collect())
}

fn row(no: &StockNo, it: &Finding, withdrawn_on: Option<Day>) -> FindingRow {
    let there = || it.history.iter().filter(|it| it.state.is_there());
    let photos = it.history.iter().flat_map(|it| &it.marks);
    let photos: BTreeSet<u32> = photos.map(|it| it.photo).collect();
    let tenth = |it: f64| (it * 10.0).round() / 10.0;
    let bounds = it.place.as_ref().map(|it| it.bounds().map(tenth));
    let side = |n: usize| bounds.map(|it| it[n]);
    FindingRow {
        stock_no: no.clone(),
        id: it.no,
        term: it.term.clone(),
        which: it.which.clone(),
        part: it.part.clone(),
        part_label: it.part_label.clone(),
        level: it.level,
        state: it.state,
        outcome: it.outcome,
        first_seen: there().next().map(|it| it.day),
        last_seen: there().next_back().map(|it| it.day),
        size: it.size.clone(),
        face: it.place.as_ref().map(|it| it.face.clone()),
        left_mm: side(0),
        top_mm: side(1),
        width_mm: side(2),
        height_mm: side(3),
        uncertainty_mm: it.place.as_ref().map(|it| tenth(it.uncertainty_mm)),
        repairs: it.repairs.clone(),
        photos: photos.into_iter().collect(),
        origin: it.origin,
        note: it.told_words().join("; "),
        withdrawn_on,
        measured_on: it.size_of,
    }
}
