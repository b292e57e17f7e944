//! Where on the piece the faults lie, and which pictures show those places.
//!
//! In: the laid faces of the photos and the marks in them. Out: places in mm on the faces, how each photo sees them, what contradicts
//! itself, and which areas no picture shows. A picture is said to show a place only by a value that only `sight` makes.

pub mod all_told;
pub mod conflicts;
pub mod coverage;
pub mod laid_faces;
pub mod marked_in;
pub mod other_marks;
pub mod place;
mod rounded;
pub mod sight;
pub mod sizes;
pub mod straight;
pub mod taken_out;
pub mod told;
mod turn;
