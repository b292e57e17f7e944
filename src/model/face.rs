//! Where a flat face of the piece lies in a picture, as somebody laid it.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::measure::LengthPair;
use crate::model::ids::PartId;

/// A flat rectangle of the piece in one picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LaidFace {
    /// A side of the drawing (`top`, `front`, `left`, `right`, `back`, `under`), or a part that is flat.
    pub face: PartId,
    /// Where it lies in the picture.
    pub lie: Lie,
    /// How that came about.
    pub how: How,
    /// Width and height of the rectangle, when it is not the whole side.
    pub size: Option<LengthPair>,
    /// How far from the left and from the top of the side its top left corner lies.
    pub at: Option<LengthPair>,
}

/// Where a rectangle lies in a picture.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Lie {
    /// Top left, top right, bottom right, bottom left as one looks straight at it; percent of the upright picture. Corners may
    /// lie outside it.
    Corners([[f64; 2]; 4]),
    /// Four or more points that are known on the rectangle and in the picture.
    Points(Vec<KnownPoint>),
}

/// A point that is known on the rectangle and in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct KnownPoint {
    /// From its top left corner to the right and down, mm.
    pub mm: [f64; 2],
    /// Percent of the upright picture.
    pub at: [f64; 2],
}

/// How a laid face came about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum How {
    /// A person set its corners.
    #[default]
    ByHand,
    /// The program carried it over from the picture of this number.
    FromPicture(u32),
}

/// The text does not say how a face was laid.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` does not say how a face was laid: write `by hand`, or `from picture 5`")]
pub struct HowError(String);

impl Lie {
    /// The points in the picture, percent.
    #[must_use]
    pub fn in_picture(&self) -> Vec<[f64; 2]> {
        match self {
            Self::Corners(corners) => corners.to_vec(),
            Self::Points(points) => points.iter().map(|it| it.at).collect(),
        }
    }
}

impl fmt::Display for How {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ByHand => f.write_str("by hand"),
            Self::FromPicture(no) => write!(f, "from picture {no}"),
        }
    }
}

impl FromStr for How {
    type Err = HowError;

    fn from_str(text: &str) -> Result<Self, HowError> {
        let words: Vec<&str> = text.split_whitespace().collect();
        match words.as_slice() {
            ["by", "hand"] => Ok(Self::ByHand),
            ["from", "picture", no] => {
                let no = no.parse().ok().filter(|it| *it > 0);
                no.map(Self::FromPicture)
                    .ok_or_else(|| HowError(text.to_owned()))
            }
            _ => Err(HowError(text.to_owned())),
        }
    }
}

impl TryFrom<String> for How {
    type Error = HowError;

    fn try_from(text: String) -> Result<Self, HowError> {
        text.parse()
    }
}

impl From<How> for String {
    fn from(it: How) -> Self {
        it.to_string()
    }
}
