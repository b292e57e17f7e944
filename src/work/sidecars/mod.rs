//! Sidecar files into the record, and back onto the disk.

pub mod put_back;
pub(in crate::work) mod source_sidecars;
pub mod sync_sidecars;
pub mod vocabulary;
