//! The script of a worked example: a piece, its shoots, its repairs.

use serde::Deserialize;

use crate::model::piece::PieceInput;
use crate::model::repair::RepairInput;
use crate::model::sale::SaleInput;

/// A story that can be replayed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Story {
    /// The piece, as told at intake.
    pub piece: PieceInput<String>,
    /// The shoots, in order.
    #[serde(rename = "shoot")]
    pub shoots: Vec<StoryShoot>,
    /// The repairs, in order.
    #[serde(rename = "repair", default)]
    pub repairs: Vec<StoryRepair>,
    /// The sale.
    pub sale: SaleInput<String>,
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

/// A repair of a story.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoryRepair {
    /// The folder of the shoot after which it is told.
    pub after: String,
    /// What is told.
    pub told: RepairInput<String>,
}

/// Reads a story.
///
/// # Errors
/// When the text is no story, in the parser's words with the place.
pub fn story(text: &str) -> Result<Story, String> {
    toml::from_str(text).map_err(|error| error.to_string())
}
