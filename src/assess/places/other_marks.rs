//! Marks of one finding that do not lie where its place is told.

use serde::Serialize;

use crate::assess::places::place::Place;
use crate::assess::places::place::best;
use crate::assess::places::rounded::tenth;
use crate::model::mark::MarkState;

/// Two marks are drawn round the same thing where they are as long and as wide as each other, within so much.
const AS_LARGE: f64 = 0.1;

/// Another mark of a finding, of a fault that is there and drawn as large, that lies further from its place than both may be off: a
/// face is laid wrong in one of the two pictures, and which is not known.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherMark {
    /// The photo in which it is drawn.
    pub photo: u32,
    /// How far its middle lies from that of the place, mm.
    #[serde(serialize_with = "tenth")]
    pub off_mm: f64,
}

/// The marks of a finding that lie further from its place than both may be off; what is gone is outlined from memory.
pub(crate) fn other_marks(places: &[(MarkState, Place)]) -> Vec<OtherMark> {
    let there = |own: &&Place| {
        let mut marks = places.iter().filter(|it| it.1.from == own.from);
        marks.any(|it| it.0.is_there())
    };
    let Some(own) = best(places).filter(there) else {
        return Vec::new();
    };
    let others = places.iter().filter(|(state, other)| {
        let is_other = other.face == own.face && other.from != own.from;
        is_other && state.is_there() && is_as_large(own, other)
    });
    let off = others.filter_map(|(_, other)| {
        let off_mm = own.middles_apart(other);
        let may_be = own.uncertainty_mm.hypot(other.uncertainty_mm);
        (off_mm > may_be).then_some(OtherMark {
            photo: other.from.photo,
            off_mm,
        })
    });
    off.collect()
}

/// The place of a finding, off by no less than its other marks lie from it.
pub(crate) fn with_others(places: &[(MarkState, Place)]) -> Option<Place> {
    let mut place = best(places)?.clone();
    let off = other_marks(places).into_iter().map(|it| it.off_mm);
    place.uncertainty_mm = off.fold(place.uncertainty_mm, f64::max);
    Some(place)
}

/// Whether two marks are drawn round the same thing.
pub(crate) fn is_as_large(a: &Place, b: &Place) -> bool {
    let ([_, _, w, h], [_, _, wide, high]) = (a.bounds(), b.bounds());
    let alike = |a: f64, b: f64| (a - b).abs() <= AS_LARGE * a.max(b).max(1.0);
    alike(w, wide) && alike(h, high)
}
