//! The pictures still to take; plain data.

use serde::Serialize;

use crate::advise::shots::area_shot::AreaShot;
use crate::advise::shots::earlier::Earlier;
use crate::assess::findings::finding::FindingState;
use crate::assess::gaps::lacks::MissingView;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::tongue::say;

/// What is still to be photographed at a stage.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ShotList {
    /// Views still to take, in walking order.
    pub views: Vec<ShotLine>,
    /// Faults still to be shown again, in walking order of their parts.
    pub faults: Vec<FaultShot>,
    /// Areas of laid faces that no laid picture shows large enough.
    pub areas: Vec<AreaShot>,
    /// What else to take, in words.
    pub plus: Saying,
    /// Views of the stage that the book holds.
    pub held: Vec<String>,
    /// Faults that a picture of the stage shows.
    pub faults_held: Vec<FindingNo>,
    /// Views of the stage that the book held, and whose pictures were taken out of the record.
    pub taken_out: Vec<MissingView>,
    /// What to mind on the spot.
    pub mind: Vec<Saying>,
}

/// A view to take.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ShotLine {
    /// The view's word for the sidecar.
    pub view: String,
    /// Its label.
    pub label: Saying,
    /// Where one stands for it.
    pub stop: Saying,
    /// How to take it.
    pub how: Saying,
    /// The light it wants.
    pub light: Saying,
    /// Where the scale card goes; `None` where none is wanted.
    pub card: Option<Saying>,
    /// The parts of the piece it shows.
    pub parts: Vec<PartId>,
    /// The same in words; empty when it shows no part of the list.
    pub shows: Saying,
    /// The question it answers.
    pub why: Saying,
}

/// A fault to be shown again.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FaultShot {
    /// Its number.
    pub finding: FindingNo,
    /// The part.
    pub part: PartId,
    /// The part's label.
    pub part_label: String,
    /// The fault's name, with which of several it is.
    pub term: Saying,
    /// What became of it.
    pub state: FindingState,
    /// The earlier picture that shows it best; `None` when no picture does.
    pub earlier: Option<Earlier>,
    /// What comes before it, or how far it goes, where the piece is not to be moved or opened; else empty.
    pub first: Saying,
    /// How to take it.
    pub how: Saying,
    /// The light it wants.
    pub light: Saying,
    /// Where the scale card goes.
    pub card: Saying,
}

impl FaultShot {
    /// How to take it, with what comes before.
    #[must_use]
    pub fn told(&self) -> Saying {
        match self.first.is_nothing() {
            true => self.how.clone(),
            false => say::shot_before(self.first.clone(), self.how.clone()),
        }
    }
}
