//! One function a request.
//!
//! In: a request that is let in. Out: its answer.

pub(in crate::desk) mod answers;
pub(in crate::desk) mod assets;
pub(in crate::desk) mod jobs;
pub(in crate::desk) mod refusal;
pub(in crate::desk) mod served;
