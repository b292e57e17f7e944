//! A face known in one picture -> where it lies in another, and how far that can be trusted.
//!
//! In: grey pictures with about their focal length, flat faces of known size (mm) and their corners (px) in one of them. Out:
//! the corners in the other, their uncertainty, what speaks for them, a verdict. May not know: pieces, files, colours.
//!
//! Beside that: a rectangle of known sides in one picture, found by its edges (`outline`), to be offered to a person.
//!
//! A crate of its own, so that it is compiled with full optimisation in tests. `field` holds pictures as numbers, `spots`
//! finds places that look alike, `guess` makes cameras of them, `fit` tightens a camera on the pixels, `judge` looks at what
//! came out, `laying` joins them.
//!
//! Places in pictures are px from the outer corner of the first pixel, places on a face mm from its top left corner.

#![cfg_attr(
    test,
    allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")
)]

mod algebra;
mod bytes;
mod camera;
mod carry;
mod face;
mod field;
mod fit;
mod guess;
mod judge;
mod laying;
mod lens;
mod outline;
mod photo;
mod spots;
mod straight;
mod task;
#[cfg(test)]
mod tests;
mod verdict;

pub use carry::Carried;
pub use carry::Corners;
pub use carry::Eyes;
pub use carry::InTurn;
pub use carry::Pair;
pub use carry::Step;
pub use carry::carry;
pub use carry::likeness;
pub use face::Face;
pub use guess::Source;
pub use judge::Evidence;
pub use laying::Known;
pub use laying::Laid;
pub use laying::Ways;
pub use laying::lay;
pub use lens::Lens;
pub use outline::Outline;
pub use outline::Rounded;
pub use outline::outlines;
pub use photo::Grey;
pub use photo::Photo;
pub use straight::Bend;
pub use straight::bend;
pub use verdict::Grade;
pub use verdict::Reason;

/// In which way faces are laid, counted up when a change makes the same pictures give another place: what was kept of a former
/// way is worked out again.
pub const WAY: u32 = 3;
