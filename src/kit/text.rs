//! First letters of sentences and names.

/// With a small first letter, unless the word is all capitals, such as `MDF`.
#[must_use]
pub fn small(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    if letters.clone().next().is_some_and(char::is_uppercase) {
        return text.to_owned();
    }
    first.to_lowercase().chain(letters).collect()
}

/// With a capital first letter.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

#[cfg(test)]
mod tests {
    use super::capital;
    use super::small;

    #[test]
    fn only_the_first_letter_changes() {
        for (text, low, high) in [
            ("Top, left", "top, left", "Top, left"),
            ("MDF edge", "MDF edge", "MDF edge"),
            ("äußere Kante", "äußere Kante", "Äußere Kante"),
            ("A", "a", "A"),
            ("", "", ""),
        ] {
            assert_eq!((small(text).as_str(), capital(text).as_str()), (low, high));
        }
    }
}
