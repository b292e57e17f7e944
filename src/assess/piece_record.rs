//! A piece as the record holds it: what an assessment is made of.

use crate::model::complaint::Complaint;
use crate::model::finding::NumberedFinding;
use crate::model::photo::Photo;
use crate::model::photo::RemovedPhoto;
use crate::model::photo::Shoot;
use crate::model::piece::LackTold;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::settings::Settings;

/// A piece as the record holds it.
#[derive(Clone, Debug)]
pub struct PieceRecord {
    /// The piece.
    pub piece: Piece,
    /// Which parts it was told to lack, change by change.
    pub lacks_told: Vec<LackTold>,
    /// Its shoots, by number.
    pub shoots: Vec<Shoot>,
    /// Its photos with what is written beside them, in any order.
    pub photos: Vec<Photo>,
    /// The photos that were taken out of it, by number.
    pub removed: Vec<RemovedPhoto>,
    /// The numbers given out to its findings.
    pub findings: Vec<NumberedFinding>,
    /// Its repairs, by number.
    pub repairs: Vec<Repair>,
    /// Sidecars whose newest text is not in force, and why.
    pub complaints: Vec<Complaint>,
    /// The user's settings.
    pub settings: Settings,
}
