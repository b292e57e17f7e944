//! The piece drawn unfolded: scene and findings -> faces in millimetres -> shapes and pins for the template.

mod fold;
pub(super) mod map;
mod pins;
mod placed;
pub(super) mod scene;
pub(super) mod view;
