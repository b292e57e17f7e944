//! Four points -> how a plane lies in a picture.
//!
//! In: points, as numbers. Out: the projective map that takes them to other points. May not know: pictures, units.
//!
//! A crate of its own, so that it is compiled with full optimisation in tests, which ask for many thousands of maps;
//! they stand in `compare`, which measures with it.

mod homography;
mod solve;

pub use homography::Degenerate;
pub use homography::Homography;
pub use homography::Xy;
pub use homography::distance;
pub use homography::turn;
