//! Plural categories of CLDR 46, for whole numbers and fractions (from memory; `tongue_reference` holds them against Babel).

use crate::tongue::Language;

/// `one`, `many` or `other` for a number that is written with `decimals`.
#[must_use]
pub fn category(language: Language, number: f64, decimals: usize) -> &'static str {
    let whole = number.abs().trunc();
    match language {
        // i = 1 and v = 0
        Language::English | Language::German if number.abs() == 1.0 && decimals == 0 => "one",
        // i = 0,1
        Language::French if whole <= 1.0 => "one",
        // i != 0 and i % 1000000 = 0 and v = 0
        Language::French if whole % 1_000_000.0 == 0.0 && decimals == 0 => "many",
        _ => "other",
    }
}
