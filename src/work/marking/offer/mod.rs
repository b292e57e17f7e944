//! What the program offers to say of a photo, found by its pixels: drafts for a person to nod at. Nothing is written.
//!
//! In: a photo. Out: a card that seems to lie in it and sides that were laid in other photos.

pub mod card;
pub mod faces;
pub(super) mod seen;
