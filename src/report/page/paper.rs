//! What stands in the margins of every sheet of paper.

/// Countries that print on Letter: the territories of `US-Letter` in CLDR, supplemental data, paper size (from memory).
const LETTER: [&str; 14] = [
    "BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE",
];

/// The paper of a country, as CSS names it; A4 where none is told.
fn size(country: Option<&str>) -> &'static str {
    match country.is_some_and(|it| LETTER.contains(&it)) {
        true => "letter",
        false => "A4",
    }
}

/// Rules for the paper and its margins: the words at the foot with `page of pages`, and on a draft the stamp at the head.
///
/// Where a browser draws no margins, nothing is lost: all of it stands on the page as well.
pub(in crate::report) fn running(
    country: Option<&str>,
    words: &[&str],
    stamp: Option<&str>,
) -> String {
    let line = quoted(&words.join(" \u{b7} "));
    // Our own words, of every language.
    let stamp = stamp.map_or_else(String::new, |it| {
        format!("@top-right{{content:\"{it}\";font-weight:700}}")
    });
    let size = size(country);
    format!("@page{{size:{size};@bottom-left{{content:{line}}}{stamp}}}")
}

/// A CSS string in which every letter that is no plain ASCII letter or digit is written by its code, so that none acts.
fn quoted(text: &str) -> String {
    let mut quoted = "\"".to_owned();
    for letter in text.chars() {
        match letter {
            _ if letter.is_ascii_alphanumeric() || letter == ' ' => quoted.push(letter),
            _ if letter.is_control() => quoted.push(' '),
            // One space after an escape belongs to it, by CSS Syntax Module Level 3, section 4.3.7.
            _ => quoted.push_str(&format!("\\{:06x} ", u32::from(letter))),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::running;

    #[test]
    fn no_letter_of_the_running_line_acts() {
        let rules = running(
            Some("GB"),
            &["26-001", "oak \"</style>\\ chest"],
            Some("Draft"),
        );
        assert!(
            !rules.contains("</") && !rules.contains("oak \"<"),
            "{rules}"
        );
        assert!(rules.contains("26\\00002d 001 \\0000b7  oak \\000022 \\00003c \\00002f style"));
        assert!(rules.contains("content:\"Draft\""));
        assert!(!running(None, &["a"], None).contains("top-right"));
    }

    #[test]
    fn the_paper_is_that_of_the_country() {
        let of = |country| running(country, &["a"], None);
        assert!(of(Some("US")).contains("size:letter"));
        assert!(of(Some("GB")).contains("size:A4") && of(None).contains("size:A4"));
    }
}
