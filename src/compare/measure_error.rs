//! Why a shape cannot be measured.

/// Why a shape cannot be measured.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MeasureError {
    /// Neither four corners nor two ends, or no size, or a number that is none.
    #[error(
        "a card or a sheet needs 4 corners and its width and height, a tape 2 ends and its length"
    )]
    NoScale,
    /// The corners make no shape.
    #[error(
        "the corners do not go round the thing in order, or it is seen almost from its edge; set each on a corner of its own"
    )]
    Corners,
    /// The picture or the shape has no size, or a number is none.
    #[error("the shape has no size in this picture")]
    NoShape,
    /// The shape lies near or past the horizon of the plane.
    #[error(
        "the shape reaches too far back, to where the plane of the scale runs into the distance; draw only what lies in that plane, near the scale"
    )]
    PastHorizon,
    /// More than half of the figure is uncertain.
    #[error(
        "so far from the scale, or so small, the shape cannot be measured: the figure could be off by more than half; lay the scale beside it"
    )]
    TooUnsure,
}
