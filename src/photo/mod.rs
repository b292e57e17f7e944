//! Photo bytes -> facts and previews.
//!
//! In: the bytes of one photo. Out: its facts, small pictures, crops. May not know: paths, pieces.
//!
//! `pixels` decodes and measures; `camera` reads what the camera wrote (Exif); `disclosed` finds what tells of places
//! and people; `written` what other programs wrote about the picture; `processor` joins both.

use crate::kit::clock::CameraTime;
use crate::model::facts::Facts;
use crate::pixels::guarded;
use crate::pixels::sniff;

mod block;
mod camera;
mod contradictions;
mod disclosed;
mod processor;
mod programs;
mod written;

pub use crate::pixels::Grey;
pub use crate::pixels::Limits;
pub use crate::pixels::PhotoError;
pub use crate::pixels::Small;
pub use crate::pixels::shown;
pub use crate::pixels::stored_size;
pub use crate::pixels::with_xmp;
pub use disclosed::Disclosed;
pub use disclosed::disclosed;
pub use processor::PhotoProcessor;
pub use written::Written;
pub use written::written_in;

/// All that one look at a photo gives.
#[derive(Clone, Debug)]
pub struct Look {
    /// The facts.
    pub facts: Facts,
    /// At most [`PREVIEW_SIDE`](crate::pixels::PREVIEW_SIDE) pixels on the long side, quality 82.
    pub preview: Small,
    /// At most [`THUMB_SIDE`](crate::pixels::THUMB_SIDE) pixels on the long side, quality 80.
    pub thumb: Small,
}

/// Reads the camera's own time, and its name, from the Exif block; decodes nothing.
#[must_use]
pub fn camera_time(bytes: &[u8]) -> Option<(CameraTime, Option<String>)> {
    let format = sniff(bytes).ok()?;
    let camera = guarded(|| Ok(camera::read(bytes, format))).ok()?;
    Some((camera.time?, camera.name))
}
