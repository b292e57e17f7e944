//! Measuring what is drawn, while it is drawn.

use serde::Deserialize;
use serde::Serialize;

use crate::compare::figures::Reading;
use crate::compare::figures::Units;
use crate::compare::measure::measure;
use crate::compare::picture::Picture;
use crate::kit::clock::Moment;
use crate::model::mark::Scale;
use crate::model::region::Region;
use crate::model::settings::Settings;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;

/// A shape in a photo, and the scale to measure it by; neither need be saved.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawn {
    /// The photo.
    pub photo: u32,
    /// The thing of known size.
    pub scale: Scale,
    /// The shape.
    pub region: Region,
}

/// What it measures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// Of a line its length, of an outline its greatest extent, of a box its width; mm, k = 2.
    pub length_mm: Option<Reading>,
    /// Of an outline the extent at right angles to it, of a box its height; mm, k = 2.
    pub across_mm: Option<Reading>,
    /// The area; mm2, k = 2.
    pub area_mm2: Option<Reading>,
    /// All of it in words, in the units of the book, such as `70 ± 4 mm`.
    pub text: String,
    /// Fit for the size of a mark, such as `70 mm (± 3 mm)`.
    pub size: Option<String>,
    /// What a reader of the figures must know.
    pub notes: Vec<String>,
}

impl MarkingSession {
    /// Measures a shape by a scale.
    ///
    /// # Errors
    /// When there is no such photo, or the shape cannot be measured by that scale.
    pub fn measure(&self, now: Moment, drawn: &Drawn) -> Result<Measured, WorkError> {
        let at = self.at(now, drawn.photo)?;
        let (settings, _) = at.book.settings_or_usual()?;
        let picture = Picture {
            width: at.photo.facts.width,
            height: at.photo.facts.height,
        };
        let wrong = |error: String| WorkError::asked(error);
        let region = drawn.region.clone().checked();
        let region = region.map_err(|it| wrong(it.to_string()))?;
        let told = measure(&drawn.scale, picture, &region).map_err(|it| wrong(it.to_string()))?;
        let units = units(&settings);
        Ok(Measured {
            text: told.text(units),
            size: told.size(units),
            length_mm: told.length_mm,
            across_mm: told.across_mm,
            area_mm2: told.area_mm2,
            notes: told.notes,
        })
    }
}

/// The unit of a book. Common practice, no source: who sells in dollars measures in inches.
pub(in crate::work::marking) fn units(settings: &Settings) -> Units {
    match settings.currency.to_string().as_str() {
        "USD" => Units::Inches,
        _ => Units::Millimetres,
    }
}
