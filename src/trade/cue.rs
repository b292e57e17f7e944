//! Observations that are no faults: what a part is made of, how and when.

use serde::Deserialize;
use serde::Serialize;

/// An observation.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cue {
    /// Its id, such as `layer_line`.
    pub id: String,
    /// Its group, such as `material` or `joinery`.
    pub group: String,
    /// Its name: what is seen.
    pub term: String,
    /// What that tells, for a buyer.
    pub plain: String,
    /// For material cues, the class it speaks for: `solid`, `veneer`, `plywood`, `particleboard`, `mdf`, `laminate`,
    /// `print` or `composition`.
    pub supports: Option<String>,
    /// The class it speaks against.
    pub against: Option<String>,
    /// 3 strong (direct, hard to fake), 2 medium, 1 weak, 0 proves nothing.
    pub weight: u8,
    /// What misleads.
    pub trap: String,
    /// The view that shows it; `None` for what no photo shows.
    pub view: Option<String>,
    /// The part is not older than this year, if it is original; the earliest plausible year.
    pub not_before: Option<i16>,
    /// The part is probably not younger than this year, if it is original.
    pub not_after: Option<i16>,
    /// Whether it settles its class alone for the part on which it is seen.
    #[serde(default)]
    pub decides: bool,
}
