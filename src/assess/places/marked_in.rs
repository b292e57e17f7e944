//! The pictures with a mark of a finding, and where they say that it was gone and is there again; plain data.

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::places::sight::LiesWhole;
use crate::assess::statements::looking::Looking;
use crate::kit::clock::Day;
use crate::kit::text::joined;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;

/// A picture with a mark of a finding, and what that says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct MarkedIn {
    /// The photo.
    pub photo: u32,
    /// The occasion of its shoot.
    pub stage: Stage,
    /// The day of its shoot.
    pub day: Day,
    /// What the mark says.
    pub state: MarkState,
    #[serde(skip)]
    order: usize,
}

impl MarkedIn {
    /// `picture 7 of 11 June 2026 (repaired)`.
    #[must_use]
    pub fn text(&self) -> String {
        format!(
            "picture {} of {} ({})",
            self.photo,
            self.day.spoken(),
            self.state.said()
        )
    }
}

/// That a fault was gone or repaired, and is there again.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Returned {
    /// The last picture that says it is repaired or gone.
    pub without: MarkedIn,
    /// The pictures after that one in which all of the place lies well enough, and in which it is not marked.
    pub not_marked: Vec<LiesWhole>,
    /// The next picture in which it is marked as there.
    pub there_again: MarkedIn,
}

impl Returned {
    /// `picture 5 of 1 July 2026 (repaired); not marked in picture 8 of 10 July 2026; picture 11 of 14 July 2026 (there)`.
    #[must_use]
    pub fn text(&self) -> String {
        let between = self.not_marked.iter();
        let between = between
            .map(|it| format!("picture {} of {}", it.photo(), it.day().spoken()))
            .collect::<Vec<String>>();
        let between = match between.is_empty() {
            true => String::new(),
            false => format!("; not marked in {}", joined(&between)),
        };
        let (without, again) = (self.without.text(), self.there_again.text());
        format!("{without}{between}; {again}")
    }
}

/// The pictures with a mark of a finding, in the order of time; of several marks in one picture the first counts.
pub(in crate::assess) fn marked(looking: &Looking<'_>, finding: &Finding) -> Vec<MarkedIn> {
    let marks = finding.history.iter().flat_map(|it| &it.marks);
    let one = marks.filter_map(|at| {
        let mut photos = looking.time.photos.iter();
        let order = photos.position(|it| it.no == at.photo)?;
        let shoot = looking.time.shoot_of(looking.time.photos[order]);
        Some(MarkedIn {
            photo: at.photo,
            stage: shoot.stage,
            day: shoot.day,
            state: looking.time.mark(*at)?.state,
            order,
        })
    });
    let mut all: Vec<MarkedIn> = one.collect();
    all.sort_by_key(|it| it.order);
    all.dedup_by_key(|it| it.photo);
    all
}

/// Each time that it was repaired or gone and there again, in the order of time.
pub(in crate::assess) fn returned(
    looking: &Looking<'_>,
    finding: &Finding,
    marked: &[MarkedIn],
) -> Vec<Returned> {
    let is_cured = |it: &&MarkedIn| matches!(it.state, MarkState::Repaired | MarkState::Gone);
    let telling = marked
        .iter()
        .filter(|it| it.state.is_there() || is_cured(it));
    let telling: Vec<&MarkedIn> = telling.collect();
    let turns = telling.windows(2);
    let turns = turns.filter(|two| is_cured(&two[0]) && two[1].state.is_there());
    let order = |no: u32| looking.time.photos.iter().position(|it| it.no == no);
    let between = |two: &[&MarkedIn]| {
        let own = |no: u32| marked.iter().any(|it| it.photo == no);
        let sights = finding.sights.iter().filter(|it| {
            let at = order(it.photo);
            Some(two[0].order) < at && at < Some(two[1].order) && !own(it.photo)
        });
        sights.filter_map(|it| it.whole().copied()).collect()
    };
    turns
        .map(|two| Returned {
            without: *two[0],
            not_marked: between(two),
            there_again: *two[1],
        })
        .collect()
}
