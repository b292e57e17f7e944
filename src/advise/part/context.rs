//! A part, with what the record says of it.

use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::material::clue::Observation;
use crate::assess::part_list::belongs;
use crate::assess::part_list::is_face;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::trade::TradeBook;

/// A part, with what the record says of it.
#[derive(Clone, Copy)]
pub(crate) struct PartContext<'a> {
    pub(crate) it: &'a Assessment,
    pub(crate) part: &'a PartId,
    pub(crate) book: &'a TradeBook,
}

impl<'a> PartContext<'a> {
    /// Observations on its face.
    pub(crate) fn on_face(self) -> impl Iterator<Item = &'a Observation> {
        let seen = self.it.observations.iter();
        seen.filter(move |it| is_face(&it.part, self.part))
    }

    /// Observations on it or on a part of it.
    pub(crate) fn on_it(self) -> impl Iterator<Item = &'a Observation> {
        let seen = self.it.observations.iter();
        seen.filter(move |it| belongs(&it.part, self.part))
    }

    /// Repairs of its face.
    pub(crate) fn repairs(self) -> impl Iterator<Item = &'a Repair> {
        let of_face =
            move |it: &&Repair| Worked::by(it, &self.it.findings).any(|it| is_face(it, self.part));
        self.it.repairs.iter().filter(of_face)
    }

    /// Whether a finding is on its face.
    pub(crate) fn is_on_face(self, finding: &Finding) -> bool {
        is_face(&finding.part, self.part)
    }

    /// Its report, if it is on the list.
    pub(crate) fn report(self) -> Option<&'a PartReport> {
        self.it.parts.iter().find(|it| it.part == *self.part)
    }

    /// Whether anything was said of it. What is said of its face outweighs what is said of the whole.
    pub(crate) fn looked_at(self) -> bool {
        let said = |it: &&PartReport| it.state != PartState::Silent;
        let face = |it: &&PartReport| it.part != *self.part;
        let of_face = |it: &&PartReport| is_face(&it.part, self.part);
        let parts = self.it.parts.iter().filter(of_face);
        let face = parts.clone().filter(face).find(said);
        let told = face.or_else(|| self.report());
        told.is_some_and(|it| matches!(it.state, PartState::Sound(_) | PartState::Faults))
    }
}

/// Whether somebody looked for this on the face of the part and wrote that it is not there.
pub(in crate::advise) fn is_said_gone(it: &Assessment, tag: &str, part: &PartId) -> bool {
    let mut marks = it.photos.iter().flat_map(|it| &it.sidecar.marks);
    marks.any(|it| {
        let here = { it.part.as_ref() }.is_some_and(|of| is_face(of, part));
        here && it.state == MarkState::Gone && it.tag.as_deref() == Some(tag)
    })
}

/// Words as a set.
pub(crate) fn set(words: &[&str]) -> BTreeSet<String> {
    words.iter().map(|it| (*it).to_owned()).collect()
}
