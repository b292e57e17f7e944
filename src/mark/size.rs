//! The one rule for a size as the user writes it: a number has a unit.

/// Whether a size is nothing but numbers, such as `70` or `70 x 40`, so that nobody knows of what.
pub(crate) fn lacks_unit(size: &str) -> bool {
    let has_digit = size.contains(|it: char| it.is_ascii_digit());
    has_digit
        && size
            .chars()
            .all(|it| it.is_ascii_digit() || it.is_whitespace() || ".,/xX×-–~+".contains(it))
}

/// Whether a size begins with a number below 0, such as `-12 mm`.
pub(crate) fn is_below_zero(size: &str) -> bool {
    let rest = size.trim().strip_prefix(['-', '\u{2212}']);
    rest.is_some_and(|it| it.trim_start().starts_with(|it: char| it.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::is_below_zero;
    use super::lacks_unit;

    #[test]
    fn no_size_is_below_zero() {
        for below in ["-12 mm", " - 12 mm", "\u{2212}3 cm"] {
            assert!(is_below_zero(below), "{below}");
        }
        for good in ["12 mm", "5-12 mm", "- see note", ""] {
            assert!(!is_below_zero(good), "{good}");
        }
    }

    #[test]
    fn only_bare_numbers_lack_a_unit() {
        for bare in ["70", " 70 ", "7,5", "70 x 40", "56×43", "1-2", "1/2"] {
            assert!(lacks_unit(bare), "{bare}");
        }
        for good in [
            "70 mm",
            "70mm",
            "3 cm x 2 cm",
            "56 x 43 mm",
            "3 of 1-2 mm",
            "3 rings",
            "10 %",
            "4 cm2",
            "2 in2",
            "1/2\"",
            "1 m",
            "a hand's breadth",
            "",
        ] {
            assert!(!lacks_unit(good), "{good}");
        }
    }
}
