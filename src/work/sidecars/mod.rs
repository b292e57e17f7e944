//! Sidecar files into the record, and back onto the disk.

pub mod all_sidecars;
pub(in crate::work) mod face_check;
pub mod put_back;
pub mod put_back_photo;
pub(in crate::work) mod source_sidecars;
pub mod sync_sidecars;
pub mod vocabulary;
