//! Methods of repair.

use std::collections::BTreeSet;

use serde::Deserialize;
use serde::Serialize;

use crate::trade::entry::hazard::LineWith;
use crate::trade::entry::hazard::OtherLines;
use crate::trade::entry::hazard::Present;
use crate::trade::entry::repair::deed::Deed;

/// The step of the work to which a method belongs, in the order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Photographs before the work.
    Record,
    /// Dangers and quarantine.
    Hazard,
    /// Airing and drying, and what comes off dry, such as soot.
    Air,
    /// Taking apart, with labels.
    Dismantle,
    /// Joints, breaks, drawers, feet, loose veneer laid down.
    Structure,
    /// Cleaning with what is wet.
    CleanDry,
    /// Taking the old finish off.
    Strip,
    /// New face wood.
    Veneer,
    /// Dents raised, fills and plugs.
    Fill,
    /// Scraping and sanding.
    Level,
    /// Bleach and stain.
    Colour,
    /// Clear coats and paint.
    Coat,
    /// Rubbing out and wax.
    Rub,
    /// Hardware, glass, drawers, seats, safety parts.
    Refit,
    /// Photographs after the work.
    RecordAfter,
    /// Letting coats harden.
    Hold,
}

/// What a method does to a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Cures {
    /// The fault is gone.
    Cures,
    /// The fault is still there, but not to be seen.
    Hides,
    /// A danger is dealt with; the thing itself may stay.
    Handles,
    /// A danger is fought; only looks since show whether that worked.
    Treats,
    /// A doubt is tested; a mark tells the result.
    Tests,
    /// It is kept apart and watched.
    Watches,
}

impl Cures {
    /// Whether the fault is expected to be repaired after it.
    #[must_use]
    pub fn mends(self) -> bool {
        matches!(self, Self::Cures | Self::Hides)
    }

    /// Whether it may be the end of the fault; what treats, tests or watches never is.
    #[must_use]
    pub fn ends(self) -> bool {
        self.mends() || self == Self::Handles
    }
}

/// Who can do it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Who {
    /// The owner, in a home workshop.
    Owner,
    /// Somebody trained, and licensed where that is asked.
    Specialist,
}

/// The surface with which a method makes sense.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GoesWith {
    /// Any.
    #[default]
    Any,
    /// Paint alone, which then covers it.
    Paint,
    /// Wood from which the old coat has come off.
    BareWood,
    /// An old clear coat that it mends, or wood that stays to be seen under one.
    OldCoat,
    /// What stays to be seen: paint makes it pointless.
    ClearCoat,
}

/// A method of repair.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Method {
    /// Its id, such as `veneer_patch`.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What such work is in general; never printed as what was done.
    pub plain: String,
    /// The step of the work.
    pub phase: Phase,
    /// What the hours count for, such as `drawer` or `m2`.
    pub unit: String,
    /// Hands-on hours a unit: low, likely, high.
    pub hours: [f64; 3],
    /// Hours to lay out tools, cover and mask, once a task: low, likely, high.
    #[serde(default)]
    pub set_up: [f64; 3],
    /// Hours in which nothing may touch it: low, likely, high.
    pub wait_hours: [f64; 3],
    /// Materials for a unit: low, likely, high, in whole units of money of about a euro, a pound or a dollar.
    pub cost: [f64; 3],
    /// What is used up.
    #[serde(default)]
    pub uses: Vec<String>,
    /// How it is done, step by step.
    #[serde(default)]
    pub steps: Vec<String>,
    /// The surface with which it makes sense.
    #[serde(default)]
    pub goes_with: GoesWith,
    /// What it does to the face on which it is done.
    #[serde(default)]
    pub does: Vec<Deed>,
    /// Paths of which it is a part besides those that name it as a step: it is done on a face only where one of all these can
    /// be taken.
    #[serde(default)]
    pub ways: Vec<String>,
    /// Every coat that it may leave on a face; empty when the coat stays what it was.
    #[serde(default)]
    pub leaves: Vec<String>,
    /// The same, where the wood was bare before.
    #[serde(default)]
    pub leaves_on_bare: Vec<String>,
    /// Whether a coat is no longer the first one after it.
    #[serde(default)]
    pub recoats: bool,
    /// Whether it puts something new in the place of the old.
    #[serde(default)]
    pub replaces: bool,
    /// Whether what it makes or mends is of wood: never right for a part of metal, glass or stone.
    #[serde(default)]
    pub of_wood: bool,
    /// Whether it opens a joint, so that what holds it is seen.
    #[serde(default)]
    pub opens_joints: bool,
    /// Whether it is not done again where it was done and did not hold.
    #[serde(default)]
    pub once: bool,
    /// Whether it opens the filling of a seat, so that what is in it is seen or new.
    #[serde(default)]
    pub opens_filling: bool,
    /// Methods that are part of it, where both would be done to one piece.
    #[serde(default)]
    pub includes: Vec<String>,
    /// Methods that it does on the way on what is set in its part.
    #[serde(default)]
    pub takes_out: Vec<String>,
    /// Methods that have to be done first for it, on the same part.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Methods that have to be done after it on the same part, where its old coat stays.
    #[serde(default)]
    pub then: Vec<String>,
    /// What it does to the fault.
    pub cures: Cures,
    /// New material that becomes part of the piece; `None` when nothing does.
    pub adds: Option<String>,
    /// Whether it adds that only where it is needed, so that nobody knows of it before it is told.
    #[serde(default)]
    pub may_add: bool,
    /// The kind of part that is there after it, though it is told for another: a key for its lock.
    #[serde(default)]
    pub brings: Option<String>,
    /// Cautions for who does it.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// The caution on old paint in which no test found lead yet; where one did, that of the danger is said in its place.
    pub before_test: Option<String>,
    /// Cautions for who does it on parts of certain kinds.
    #[serde(default)]
    pub cautions_with: Vec<LineWith>,
    /// Whether what it leaves in the piece is kept from food and from children.
    #[serde(default)]
    pub poison: bool,
    /// What a buyer must mind on a piece on which that was done, in sentences.
    #[serde(default)]
    pub buyer: Vec<String>,
    /// Hazards that come with it.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// Who can do it.
    pub by: Who,
}

impl Method {
    /// The cautions for who does it on parts of these kinds; `found` is what is told of lead where a test found it there.
    #[must_use]
    pub fn cautions_on(&self, kinds: BTreeSet<&str>, found: Option<&OtherLines>) -> Vec<String> {
        let on = Present {
            kinds,
            ..Present::default()
        };
        let with = on.called_for(&self.cautions_with);
        let of_paint = match found {
            Some(found) if self.makes_dust() || self.before_test.is_some() => found.worker.as_ref(),
            _ => self.before_test.as_ref(),
        };
        let all = of_paint.into_iter().chain(&self.cautions).chain(with);
        all.cloned().collect()
    }

    /// Whether it makes dust of what is on the face.
    #[must_use]
    pub fn makes_dust(&self) -> bool {
        let dusty = |it: &Deed| matches!(it, Deed::Sand | Deed::Dust);
        self.does.iter().any(dusty)
    }

    /// Whether it takes the coat off, down to the wood.
    #[must_use]
    pub fn bares(&self) -> bool {
        self.leaves.iter().any(|it| it == "bare")
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use crate::trade::trade_book::TradeBook;

    #[test]
    fn methods_are_in_bounds() {
        let book = TradeBook::parse().unwrap();
        for method in &book.methods {
            let [low, likely, high] = method.hours;
            assert!(
                0.0 < low && low <= likely && likely <= high,
                "{}",
                method.id
            );
            let [low, likely, high] = method.wait_hours;
            assert!(
                0.0 <= low && low <= likely && likely <= high,
                "{}",
                method.id
            );
            assert!(!method.id.starts_with("m_"));
        }
        let used: BTreeSet<_> = book.tags.iter().flat_map(|it| it.fixes()).collect();
        assert!(used.len() > 60, "{}", used.len());
    }
}
