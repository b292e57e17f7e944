//! Pictures that were taken out of the record, and the findings that nothing names since.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::piece_record::PieceRecord;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;

/// A picture that was taken out of the record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TakenOutPhoto {
    /// Its number, which is never given again.
    pub photo: u32,
    /// The occasion of its shoot.
    pub stage: Stage,
    /// The day of its shoot.
    pub day: Day,
    /// The day on which it was taken out.
    pub out: Day,
    /// Why, in the owner's words; for the owner.
    pub why: String,
    /// Its view, by id, as written beside it.
    #[serde(skip)]
    pub view: Option<String>,
    /// The findings that it shows.
    pub findings: Vec<FindingNo>,
    /// Of these, the ones that no picture names any more.
    pub withdrawn: Vec<FindingNo>,
    /// What the first of its marks said of each.
    #[serde(skip)]
    pub said: BTreeMap<FindingNo, MarkState>,
}

impl TakenOutPhoto {
    /// What it told of findings: `F3 went with it: no picture that is left names it; it told of F4 (there) too`; `None` where it told of
    /// none.
    #[must_use]
    pub fn told(&self) -> Option<Saying> {
        let left = self.findings.iter();
        let left = left.filter(|it| !self.withdrawn.contains(it));
        let one = |no: &FindingNo| match self.said.get(no) {
            Some(state) => say::finding_said(no.to_string(), state.said()),
            None => Saying::Plain(no.to_string()),
        };
        let left: Vec<Saying> = left.map(one).collect();
        let with = self.went_with_it();
        match (with, left.is_empty()) {
            (with, true) => with,
            (Some(with), false) => Some(say::went_and_told(with, left)),
            (None, false) => Some(say::told_of(left)),
        }
    }

    /// `F3 and F4 went with it: no picture that is left names them`; `None` where nothing went with it.
    #[must_use]
    pub fn went_with_it(&self) -> Option<Saying> {
        let names = Saying::numbers(&self.withdrawn);
        (!names.is_empty()).then(|| say::went_with_it(names))
    }
}

/// The pictures that were taken out, by number.
pub(crate) fn taken_out(
    case: &PieceRecord,
    book: &TradeBook,
    findings: &[Finding],
) -> Vec<TakenOutPhoto> {
    let numbers = Numbers::of(&case.findings);
    let is_withdrawn = |no: &FindingNo| {
        let mut withdrawn = findings
            .iter()
            .filter(|it| it.state == FindingState::Withdrawn);
        withdrawn.any(|it| it.no == *no)
    };
    let told = case.removed.iter().filter_map(|it| {
        let shoot = case
            .shoots
            .iter()
            .find(|shoot| shoot.no == it.photo.shoot)?;
        let mut said = BTreeMap::new();
        for mark in &it.photo.sidecar.marks {
            if let Some(no) = numbers.of_mark(mark, book) {
                said.entry(no).or_insert(mark.state);
            }
        }
        let named: BTreeSet<FindingNo> = said.keys().copied().collect();
        Some(TakenOutPhoto {
            photo: it.photo.no,
            stage: shoot.stage,
            day: shoot.day,
            out: it.removed.local_day(),
            why: it.why.clone(),
            view: it.photo.sidecar.view.clone(),
            withdrawn: named.iter().copied().filter(is_withdrawn).collect(),
            findings: named.into_iter().collect(),
            said,
        })
    });
    told.collect()
}
