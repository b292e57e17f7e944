//! Sides of the piece that were laid in other photos, as they seem to lie in this one.

use serde::Serialize;

use crate::kit::clock::Moment;
use crate::model::face::LaidFace;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;
use crate::work::photos::lay_faces::lay_into;

/// A side as it would be said; nothing is written.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FaceOffer {
    /// It, its corners, and from which picture it was carried.
    pub laid: LaidFace,
    /// Standard deviation of a point of it, px of the picture at 1600 px.
    pub error_px: f64,
    /// What is against it; `None` where it is beyond doubt.
    pub doubt: Option<String>,
}

impl MarkingSession {
    /// The sides that a person laid in other photos and that were found in this one, where it does not say them yet.
    ///
    /// # Errors
    /// When there is no such photo, or the book cannot be read.
    pub fn offer_faces(&self, now: Moment, photo: u32) -> Result<Vec<FaceOffer>, WorkError> {
        let said = self.said_beside(&self.at(now, photo)?)?;
        let said = said.map(|it| it.faces).unwrap_or_default();
        let found = lay_into(&mut self.open(now)?, &self.stock_no, photo)?;
        let mut offers: Vec<FaceOffer> = found
            .into_iter()
            .map(|it| FaceOffer {
                error_px: it.error_px,
                doubt: it.reason.clone(),
                laid: it.into_laid(),
            })
            .collect();
        offers.retain(|it| !said.iter().any(|said| said.face == it.laid.face));
        Ok(offers)
    }
}
