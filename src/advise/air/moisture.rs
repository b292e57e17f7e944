//! How much solid wood moves with the seasons; advice, not a measurement.
//!
//! Figures of the Wood Handbook (Wood as an Engineering Material, FPL-GTR-190, 2010): the moisture that wood takes on in
//! the air by equation 4-5, the change of width by equation 13-2 with the coefficients of table 13-5, and by equation 13-3
//! from the shrinkage of tables 4-3 and 4-4 where that table has none.

use serde::Serialize;

use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::entry::wood::Wood;

/// Moisture content between which equation 13-2 is a straight line, percent.
pub const STRAIGHT: [f64; 2] = [6.0, 14.0];

/// How a board was cut from the log.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grain {
    /// Growth rings lie along the width: it moves most (tangential).
    Flat,
    /// Growth rings stand across the thickness: it moves less (radial).
    Quarter,
    /// Not known: the larger movement is taken.
    #[default]
    Unknown,
}

impl Grain {
    /// In words.
    #[must_use]
    pub fn words(self) -> Saying {
        match self {
            Self::Flat => say::grain_flat(),
            Self::Quarter => say::grain_quarter(),
            Self::Unknown => say::grain_unknown(),
        }
    }
}

/// Which equation a change of width comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Equation 13-2 with a coefficient of table 13-5.
    Coefficient,
    /// Equation 13-3 from the shrinkage between green and oven-dry.
    Shrinkage,
}

/// The moisture content that wood comes to in the air, percent of its dry weight.
///
/// `humidity` is relative, percent; equation 4-5 (Hailwood and Horrobin, one hydrate), with the coefficients for degrees
/// Celsius.
#[must_use]
pub fn moisture(humidity: f64, celsius: f64) -> f64 {
    let (h, t) = (humidity / 100.0, celsius);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.00938 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let dissolved = kh / (1.0 - kh);
    let bound = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
    1800.0 / w * (dissolved + bound)
}

/// Change of a width, in its unit, by equation 13-2: `coefficient` is the share of the width per 1 % of moisture.
#[must_use]
pub fn by_coefficient(width: f64, coefficient: f64, from: f64, to: f64) -> f64 {
    width * coefficient * (to - from)
}

/// Change of a width, in its unit, by equation 13-3: `shrinkage` is that from green (30 %) to oven-dry, percent of the
/// green width; `from` and `to` are moisture contents, percent.
#[must_use]
pub fn by_shrinkage(width: f64, shrinkage: f64, from: f64, to: f64) -> f64 {
    width * (to - from) / (30.0 * 100.0 / shrinkage - 30.0 + from)
}

/// Change of the width of a board of this wood, in the unit of `width`, with what it rests on; `None` where the tables
/// have no figure for it.
#[must_use]
pub fn change(wood: &Wood, grain: Grain, width: f64, from: f64, to: f64) -> Option<(f64, Basis)> {
    let larger = |radial: f64, tangential: f64| match grain {
        Grain::Flat => tangential,
        Grain::Quarter => radial,
        Grain::Unknown => radial.max(tangential),
    };
    if let Some(it) = wood.movement {
        let coefficient = larger(it.radial, it.tangential);
        let change = by_coefficient(width, coefficient, from, to);
        return Some((change, Basis::Coefficient));
    }
    let [radial, tangential] = wood.shrinkage?;
    let change = by_shrinkage(width, larger(radial, tangential), from, to);
    Some((change, Basis::Shrinkage))
}

/// Whether a moisture content lies where the equations hold as a straight line.
#[must_use]
pub fn is_straight(moisture: f64) -> bool {
    (STRAIGHT[0]..=STRAIGHT[1]).contains(&moisture)
}

#[cfg(test)]
mod tests;
