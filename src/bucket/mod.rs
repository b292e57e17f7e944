//! Bytes under names into object storage of the S3 type, and back.
//!
//! In: an address such as `s3://bucket/prefix`, keys from the environment, names and bytes. Out: the bytes, lists, or why not. Three
//! requests are all it knows: get, put and list; so the key needs no right to delete. May not know: what the bytes are.

pub mod access;
mod ask;
pub mod fault;
pub mod listing;
pub mod objects;
mod sign;
