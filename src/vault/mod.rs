//! Originals <-> files: copied, synced, renamed into place, read-only.
//!
//! In: names and bytes. Out: the names they were stored under. May not know: what the bytes are.
