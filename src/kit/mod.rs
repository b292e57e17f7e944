//! Small tools that know nothing of furniture: digests, the clock, money, measures, files, near words.
//!
//! In: text and bytes from the edge. Out: checked values. May not know: pieces, photos, SQL, HTML.

pub mod canon;
pub mod chance;
pub mod clock;
pub mod diagnostic;
pub mod digest;
pub mod files;
pub mod measure;
pub mod money;
pub mod near;
pub mod sums;
pub mod text;
