//! The piece drawn unfolded: scene and findings -> faces in millimetres -> shapes and pins for the template.

mod case;
mod face;
mod fold;
mod frame;
pub(super) mod map;
mod pins;
mod place;
pub(super) mod scene;
pub(super) mod view;
