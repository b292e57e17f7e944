//! A guess -> the place at which the pixels of the faces fit best, and how well that is held.
//!
//! S. Baker and I. Matthews, Lucas-Kanade 20 Years On (2004): Gauss-Newton on the difference of two pictures, here made equal
//! in light, from coarse to fine.

mod dense;
mod loose;
mod pose;
mod samples;

pub(crate) use dense::Sums;
pub(crate) use loose::loosened;
pub(crate) use pose::spread;
pub(crate) use pose::tightened;
pub(crate) use samples::Sample;
pub(crate) use samples::samples;
