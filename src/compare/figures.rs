//! Figures in words: honest rounding, millimetres or inches.

use serde::Deserialize;
use serde::Serialize;

/// Millimetres in an inch, exact (international yard and pound agreement of 1959).
const MM_PER_INCH: f64 = 25.4;

/// Areas from here on, mm2, are told in cm2.
const IN_CM2: f64 = 1000.0;

/// An uncertainty may be rounded down when it loses no more than this part of itself.
const LOST: f64 = 0.04;

/// The units of a text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Units {
    /// mm, mm2 and cm2.
    #[default]
    #[serde(rename = "mm")]
    Millimetres,
    /// Inches and square inches with decimals.
    #[serde(rename = "in")]
    Inches,
}

/// A figure with its expanded uncertainty, k = 2.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// mm or mm2.
    pub value: f64,
    /// The same unit.
    pub u: f64,
}

/// A figure as it is written: its value and its uncertainty to the same place, and the unit.
pub(crate) struct Written {
    /// The value.
    pub(crate) value: String,
    /// The uncertainty.
    pub(crate) u: String,
    /// The unit.
    pub(crate) unit: &'static str,
}

impl Written {
    /// A length, mm.
    pub(crate) fn length(it: Reading, units: Units) -> Self {
        match units {
            Units::Millimetres => Self::of(it, 1.0, "mm"),
            Units::Inches => Self::of(it, MM_PER_INCH, "in"),
        }
    }

    /// An area, mm2.
    pub(crate) fn area(it: Reading, units: Units) -> Self {
        match units {
            Units::Millimetres if it.value < IN_CM2 => Self::of(it, 1.0, "mm2"),
            Units::Millimetres => Self::of(it, 100.0, "cm2"),
            Units::Inches => Self::of(it, MM_PER_INCH * MM_PER_INCH, "in2"),
        }
    }

    /// Such as `70 ± 3 mm`.
    pub(crate) fn whole(&self) -> String {
        format!("{} ± {} {}", self.value, self.u, self.unit)
    }

    fn of(it: Reading, per_unit: f64, unit: &'static str) -> Self {
        let (value, u) = rounded(it.value / per_unit, it.u / per_unit);
        Self { value, u, unit }
    }
}

/// A value and its uncertainty to the same place. GUM 7.2.6: at most two significant digits of the uncertainty (here two while
/// the first is 1 or 2, else one), rounded up unless almost nothing is lost, and the value to the same place.
pub(crate) fn rounded(value: f64, u: f64) -> (String, String) {
    if !(u > 0.0 && u.is_finite() && value.is_finite()) {
        return (value.to_string(), u.to_string());
    }
    #[expect(clippy::cast_possible_truncation, reason = "at most 308")]
    let first = u.log10().floor() as i32;
    let two = u < 3.0 * 10.0_f64.powi(first);
    let place = if two { first - 1 } else { first };
    let step = 10.0_f64.powi(place);
    let down = (u / step).floor();
    let lost = u / step - down;
    let count = if lost <= LOST * down {
        down
    } else {
        down + 1.0
    };
    let decimals = usize::try_from(-place).unwrap_or(0);
    let print = |count: f64| format!("{:.decimals$}", count * step);
    (print((value / step).round()), print(count))
}
