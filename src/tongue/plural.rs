//! Plural categories of CLDR 46 for whole numbers (from memory; held against Babel in `tests/it/tongue.rs`).

use crate::tongue::Language;

/// `one`, `many` or `other`.
#[must_use]
pub const fn category(language: Language, number: u64) -> &'static str {
    match (language, number) {
        (Language::English | Language::German, 1) | (Language::French, 0 | 1) => "one",
        (Language::French, _) if number.is_multiple_of(1_000_000) => "many",
        _ => "other",
    }
}
