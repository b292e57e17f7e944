//! The piece drawn unfolded: scene and findings -> faces in millimetres -> shapes and pins for the template.

mod fold;
pub(super) mod map;
mod pins;
pub(super) mod scene;
pub(super) mod view;
