//! Grey picture -> spots that are found again at another size, turn and light; two sets of spots -> pairs.
//!
//! D. Lowe, Distinctive Image Features from Scale-Invariant Keypoints (2004): extremes of differences of Gaussians, the
//! direction of the slopes around, 4 x 4 cells of 8 directions. Two things differ. Each octave is made equal in light by
//! itself, so that a spot looks the same in a near picture and in the middle of a far one. Cells are compared by the root of
//! their share (R. Arandjelović and A. Zisserman, Three things everyone should know to improve object retrieval, 2012).

mod describe;
mod detect;
mod forest;
mod pairs;

pub(crate) use detect::spots;
pub(crate) use forest::Forest;
pub(crate) use pairs::Among;
pub(crate) use pairs::Pair;
pub(crate) use pairs::pairs;

/// Numbers of a description.
pub(crate) const DESCRIPTION: usize = 128;

/// A place in a picture that is found again.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Spot {
    /// px.
    pub(crate) x: f32,
    pub(crate) y: f32,
    /// Its standard deviation, px.
    pub(crate) size: f32,
    /// The direction of its slopes, radians.
    pub(crate) turn: f32,
    /// 0 to 255.
    pub(crate) looks: [u8; DESCRIPTION],
}
