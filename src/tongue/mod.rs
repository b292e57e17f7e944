//! A sentence and its arguments -> the words of the reader's language.
//!
//! In: a message of [`say`] with its arguments, words of the trade by their English, numbers, days, and what the user typed. Out: text in
//! English, German or French. What is said is kept as a [`Saying`], which has no language; the language is chosen where it is printed.
//! Plurals, numbers, days and lists are those of CLDR 46 (from memory; held against Babel where that is at hand). May not know: furniture
//! beyond its words, the user's pieces, pages.

mod catalogue;
mod form;
mod language;
mod pattern;
mod plural;
mod said;
pub mod say;
mod saying;
#[cfg(test)]
mod tests;
mod words;

#[cfg(test)]
pub(crate) use crate::tongue::catalogue::english_phrases;
pub use crate::tongue::language::Language;
pub use crate::tongue::language::LanguageError;
pub use crate::tongue::language::Tongue;
pub use crate::tongue::language::is_sign;
pub use crate::tongue::language::plain;
pub use crate::tongue::language::split_own;
pub use crate::tongue::plural::category;
pub use crate::tongue::saying::Arg;
pub use crate::tongue::saying::Saying;
pub use crate::tongue::saying::stopped;
pub use crate::tongue::words::Kind;
pub use crate::tongue::words::entries;
pub use crate::tongue::words::numbered;
