//! Sidecar text into marks, with located complaints.

pub(in crate::mark) mod checked;
pub(in crate::mark) mod draw;
pub(in crate::mark) mod read_face;
pub(in crate::mark) mod read_mark;
pub(in crate::mark) mod read_region;
pub(in crate::mark) mod reader;
pub(in crate::mark) mod reading;
pub(in crate::mark) mod source;
pub(in crate::mark) mod suggest;
pub(in crate::mark) mod syntax;
pub(in crate::mark) mod values;
