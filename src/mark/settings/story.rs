//! The script of a worked example: a piece, its shoots, its repairs.

use serde::Deserialize;

/// A story that can be replayed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Story {
    /// The piece, as told at intake.
    pub piece: StoryPiece,
    /// The shoots, in order.
    #[serde(rename = "shoot")]
    pub shoots: Vec<StoryShoot>,
    /// The repairs, in order.
    #[serde(rename = "repair", default)]
    pub repairs: Vec<StoryRepair>,
    /// The sale.
    pub sale: StorySale,
}

/// The sale of a story; amount and day as text.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StorySale {
    /// The day.
    pub on: String,
    /// What was paid.
    pub price: String,
    /// To whom.
    pub to: String,
}

/// The piece of a story; amounts and days as text.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoryPiece {
    /// A short description.
    pub title: String,
    /// Form of the trade book.
    pub form: String,
    /// Height, mm.
    pub height_mm: f64,
    /// Width, mm.
    pub width_mm: f64,
    /// Depth, mm.
    pub depth_mm: f64,
    /// Drawers in each row from the top.
    pub drawer_rows: Vec<u8>,
    /// Optional parts it has, by kind.
    pub with: Vec<String>,
    /// A paragraph for the buyer.
    pub about: String,
    /// Who examined it.
    pub examined_by: String,
    /// Its weight.
    pub weight: String,
    /// What was paid.
    pub bought_for: String,
    /// The day it was bought.
    pub bought_on: String,
    /// What is asked for it.
    pub asking: String,
    /// A note for the owner alone.
    pub private_note: String,
    /// What it is taken for: fine, good or ordinary.
    pub worth: String,
    /// What comparable pieces were sold for.
    #[serde(rename = "sold")]
    pub sold: Vec<StorySold>,
}

/// Comparable pieces that were sold.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StorySold {
    /// The refinish path whose result they had.
    pub path: String,
    /// Their prices.
    pub prices: Vec<String>,
}

/// A shoot of a story.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoryShoot {
    /// Its stage.
    pub stage: String,
    /// The folder of its photos.
    pub folder: String,
    /// Correction of the camera's clock, such as `+1d1h`.
    pub clock_off: Option<String>,
}

/// A repair of a story; amounts and days as text.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoryRepair {
    /// The folder of the shoot after which it is told.
    pub after: String,
    /// The findings it is for.
    pub findings: Vec<String>,
    /// Method of the trade book.
    pub method: String,
    /// The day.
    pub day: String,
    /// Hands-on minutes.
    pub minutes: u32,
    /// Cost of materials.
    pub cost: String,
    /// New material, for the buyer.
    pub new_material: Option<String>,
    /// What is hidden rather than cured.
    pub hides: Option<String>,
    /// A note for the report.
    pub note: Option<String>,
    /// A private note.
    pub private_note: Option<String>,
}

/// Reads a story.
///
/// # Errors
/// When the text is no story, in the parser's words with the place.
pub fn story(text: &str) -> Result<Story, String> {
    toml::from_str(text).map_err(|error| error.to_string())
}
