//! Woods: how much they move with the air, and whether they bleed through paint.

use serde::Deserialize;
use serde::Serialize;

/// Change of size per change of 1 % moisture content, between 6 and 14 % moisture, as a share of the width.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Movement {
    /// Across the growth rings (quarter-sawn boards move by this across their width).
    pub radial: f64,
    /// Along the growth rings (flat-sawn boards move by this across their width).
    pub tangential: f64,
}

/// A wood.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wood {
    /// Its id, such as `black_walnut`.
    pub id: String,
    /// Its name.
    pub label: String,
    /// Other names, in lower case.
    #[serde(default)]
    pub synonyms: Vec<String>,
    /// Shrinkage from green to oven-dry, percent of the green size: radial, tangential.
    pub shrinkage: Option<[f64; 2]>,
    /// Dimensional change coefficients, where the table has them.
    pub movement: Option<Movement>,
    /// Where the figures are from.
    pub source: String,
    /// Whether its colour bleeds through paint.
    #[serde(default)]
    pub bleeds: bool,
}

/// `woods.toml` as it lies in the book.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Woods {
    pub(crate) wood: Vec<Wood>,
}
