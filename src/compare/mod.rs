//! A picture and a thing of known size in it into millimetres, with their uncertainty.
//!
//! In: a scale, the size of an upright picture in px, a region. Out: lengths and areas, each with what it may be off by. May not
//! know: pieces, SQL, the colours of pixels, the disk.

pub mod along;
mod budget;
pub mod figures;
pub mod flat;
mod laid;
pub mod measure;
pub mod measure_error;
pub mod picture;
mod ruler;
mod shape;

#[cfg(test)]
mod tests;
