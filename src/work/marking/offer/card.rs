//! A card that seems to lie in a photo.

use serde::Serialize;

use crate::kit::clock::Moment;
use crate::lay::Outline;
use crate::lay::Rounded;
use crate::lay::outlines;
use crate::mark;
use crate::model::mark::Scale;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;
use crate::work::marking::offer::seen::Seen;

/// The name of the card among the things of known size.
const CARD: &str = "id-1";

/// Radius of the corners of an ID-1 card, mm (ISO/IEC 7810: 3.18 within 0.30; from memory).
const RADIUS: f64 = 3.18;

/// A card as it would be said; nothing is written.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardOffer {
    /// It and its corners.
    pub scale: Scale,
    /// Percent of its border at which an edge is seen.
    pub shown: f64,
}

impl MarkingSession {
    /// The outline in a photo that is most likely a bank card's; none where there is none, or its scale is said.
    ///
    /// # Errors
    /// When there is no such photo, or it cannot be looked at.
    pub fn offer_card(&self, now: Moment, photo: u32) -> Result<Vec<CardOffer>, WorkError> {
        let said = self.said_beside(&self.at(now, photo)?)?;
        if said.is_some_and(|it| it.scale.is_some()) {
            return Ok(Vec::new());
        }
        Ok(self.look_for_card(now, photo)?.into_iter().collect())
    }

    /// The same, whatever is said of the photo.
    ///
    /// # Errors
    /// As [`MarkingSession::offer_card`].
    pub fn look_for_card(&self, now: Moment, photo: u32) -> Result<Option<CardOffer>, WorkError> {
        let at = self.at(now, photo)?;
        let sides = mark::objects().find(|it| it.0 == CARD).map(|it| it.1);
        let (Some(sides), Some(seen)) = (sides, Seen::of(&at)?) else {
            return Ok(None);
        };
        let wanted = Rounded {
            sides,
            radius: RADIUS,
        };
        let offer = |it: Outline| CardOffer {
            scale: Scale {
                width_mm: sides[0],
                height_mm: Some(sides[1]),
                corners: it.corners.map(|it| seen.percent(it)).to_vec(),
            },
            shown: (it.shown * 100.0).round(),
        };
        let found = outlines(seen.grey(), &seen.lens, wanted);
        Ok(found.into_iter().next().map(offer))
    }
}
