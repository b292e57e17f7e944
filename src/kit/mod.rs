//! Small tools that know nothing of furniture: digests, the clock, money, measures, files, near words.
//!
//! In: text and bytes from the edge. Out: checked values. May not know: pieces, photos, SQL, HTML.

pub mod calendar;
pub mod checksums;
pub mod clock;
pub mod copies;
pub mod diagnostic;
pub mod digest;
pub mod files;
pub mod json;
pub mod lock;
pub mod measure;
pub mod money;
pub mod random;
pub mod text;
pub(crate) mod words;
