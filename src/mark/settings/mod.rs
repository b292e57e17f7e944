//! The user's settings, and the story of the demo, from their texts.
//!
//! In: the text of `settings.toml` or of the demo's story. Out: checked values, or complaints with line and column.

pub(in crate::mark) mod reader;
pub(in crate::mark) mod season;
pub(in crate::mark) mod story;
pub(in crate::mark) mod terms;
pub(in crate::mark) mod trade_words;
