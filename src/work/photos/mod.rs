//! Files the user named into photos of the book, and out of it again.

pub mod clock;
mod companions;
mod grey_photos;
pub mod import;
pub mod import_request;
pub mod imported;
pub mod known_photos;
mod laid_by_hand;
pub mod lay_faces;
mod lay_reason;
mod lay_wishes;
pub(in crate::work) mod orphans;
pub mod process;
pub mod scan_sources;
pub(in crate::work) mod throttle;
