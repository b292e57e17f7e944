//! How lengths and scales of places are written: no more digits than they bear.

use serde::Serialize;
use serde::Serializer;

fn round(it: f64, to: f64) -> f64 {
    (it * to).round() / to
}

/// A length or an angle, to a tenth.
pub(super) fn tenth<S: Serializer>(it: &f64, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(round(*it, 10.0))
}

/// A scale, to a hundredth.
pub(super) fn hundredth<S: Serializer>(it: &f64, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(round(*it, 100.0))
}

/// The sides of a rectangle, each to a tenth.
pub(super) fn tenths<S: Serializer>(all: &[f64; 4], to: S) -> Result<S::Ok, S::Error> {
    all.map(|it| round(it, 10.0)).serialize(to)
}

/// Points, each to a tenth.
pub(super) fn points<S: Serializer>(points: &[[f64; 2]], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(points.iter().map(|it| it.map(|it| round(it, 10.0))))
}
