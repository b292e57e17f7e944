//! A picture and a thing of known size in it into millimetres, with their uncertainty.
//!
//! In: a scale or a laid face of known size, the size of an upright picture in px, a region. Out: lengths, areas and places, each
//! with what it may be off by; whether a camera could have seen it so, and how much of a place a picture shows. May not know:
//! pieces, SQL, the colours of pixels, the disk.

pub mod apart;
mod budget;
pub mod figures;
pub mod measure;
pub mod measure_error;
pub mod picture;
pub mod ruler;
pub mod seen;
mod shape;
pub mod straight;

#[cfg(test)]
mod tests;
