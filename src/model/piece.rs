//! A piece of furniture as the owner entered it.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::money::Money;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::market::Market;

/// Outer size, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Size {
    /// Height, floor to the highest point.
    pub height_mm: f64,
    /// Width, left to right of the viewer.
    pub width_mm: f64,
    /// Depth, front to back.
    pub depth_mm: f64,
}

/// What the owner told of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// Stock number.
    pub stock_no: StockNo,
    /// A short description, such as `walnut-veneered chest of five drawers`.
    pub title: String,
    /// Form of the trade book, such as `chest_of_drawers`.
    pub form: String,
    /// Outer size, once measured.
    pub size: Option<Size>,
    /// Drawers in each row from the top; `[2, 1, 1, 1]` is two over three.
    pub drawer_rows: Vec<u8>,
    /// Optional parts this piece has, by kind (`leg`, `lock` ...) as the form names them.
    pub with: Vec<String>,
    /// Parts of the list that are not there.
    pub absent: Vec<PartId>,
    /// A paragraph for the buyer in the owner's words.
    pub about: Option<String>,
    /// Who examined it.
    pub examined_by: Option<String>,
    /// Weight in kilograms, as measured or estimated, such as `about 48 kg`.
    pub weight: Option<String>,
    /// Private: what was paid.
    pub bought_for: Option<Money>,
    /// Private: when it was bought.
    pub bought_on: Option<Day>,
    /// Private: what is asked for it.
    pub asking: Option<Money>,
    /// Private: where it came from and anything else.
    pub private_note: Option<String>,
    /// Private: what was told for its plan and its offer.
    #[serde(default)]
    pub market: Market,
    /// Its folder, a name within the book.
    pub folder: String,
    /// When it was taken into the book.
    pub taken_in: Moment,
}
