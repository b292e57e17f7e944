//! A book into a backup, and back.
//!
//! In: a book and a folder or bucket, or a backup and a new folder. Out: what was stored, restored or found. A backup holds every file once,
//! under its digest (`objects`), the key as the book holds it (`keys`), and a list for each run (`runs`), which is written last: a
//! run that was killed left nothing but objects that the next one uses. Nothing is ever taken away.

pub mod back_up;
pub mod backed_up;
pub(in crate::work) mod book_files;
pub mod check;
mod lay_out;
pub mod marker;
pub mod opening;
pub mod other_copy;
pub mod place;
pub mod restore;
pub(in crate::work) mod run;
mod runs;
mod scratch;
pub(in crate::work) mod store;
mod storing;
