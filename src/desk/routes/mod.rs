//! One function a request.

pub(in crate::desk) mod answers;
pub(in crate::desk) mod assets;
pub(in crate::desk) mod jobs;
pub(in crate::desk) mod refusal;
pub(in crate::desk) mod served;
