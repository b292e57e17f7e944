//! What a piece of work does to the face of a part, so that a rule need not name every way and every method that does it.

use serde::Deserialize;
use serde::Serialize;

/// What a piece of work does to a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Deed {
    /// Wipes dirt or wax off the coat.
    Wipe,
    /// Puts wax on.
    Wax,
    /// Colours a place in.
    Colour,
    /// Softens the coat, so that it flows.
    Soften,
    /// Takes the coat off.
    Strip,
    /// Takes wood off.
    Sand,
    /// Makes dust of what is on the face: it is scraped, cut or rubbed dry.
    Dust,
    /// Squeezes glue out on it, or presses it with clamps, as where a joint or a break in it is glued.
    Glue,
    /// Heats the face.
    Heat,
    /// Wets the wood.
    Wet,
    /// Stains the whole face.
    Stain,
    /// Lays a clear film on it.
    Film,
    /// Hides the wood under paint.
    Cover,
    /// Lays new face wood over the whole of it; what comes after is done to the new one.
    Reface,
}
