//! Spots of two pictures -> guesses where the camera of the second stands, and the ties that spots make.

mod face;
mod same_view;
mod surroundings;
mod views;

use crate::camera::Camera;
use crate::camera::Tie;

pub(crate) use face::View;
pub(crate) use face::from_face;
pub(crate) use same_view::from_same_view;
pub(crate) use surroundings::from_surroundings;
pub(crate) use views::from_views;

use plane::Xy;
use serde::Deserialize;
use serde::Serialize;

use crate::algebra::Map;
use crate::spots::Spot;

/// What a guess rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum Source {
    /// Spots of the faces themselves.
    Face,
    /// Spots of the faces as they look from other sides.
    Views,
    /// What lies around the faces.
    Surroundings,
    /// That the view was taken again from about the same place.
    SameView,
}

/// A camera that may have taken the second picture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Guess {
    pub(crate) camera: Camera,
    pub(crate) source: Source,
}

/// What spots gave.
#[derive(Debug, Default)]
pub(crate) struct Found {
    pub(crate) ties: Vec<Tie>,
    pub(crate) guesses: Vec<Guess>,
}

fn place(spot: &Spot) -> Xy {
    [f64::from(spot.x), f64::from(spot.y)]
}

/// The shift, turn and size that one pair of spots tells.
fn likeness(from: &Spot, to: &Spot) -> Map {
    let by = f64::from(to.size / from.size);
    let (sine, cosine) = f64::from(to.turn - from.turn).sin_cos();
    let (c, s) = (by * cosine, by * sine);
    let ([x, y], [u, v]) = (place(from), place(to));
    Map([
        [c, -s, u - c * x + s * y],
        [s, c, v - s * x - c * y],
        [0.0, 0.0, 1.0],
    ])
}
