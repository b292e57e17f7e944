//! First letters of sentences and names, and lists in a sentence.

pub mod suggest;

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

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn joined(words: &[String]) -> String {
    joined_by(words, "and")
}

/// The same with another word than `and`.
#[must_use]
pub fn joined_by(words: &[String], and: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} {and} {last}", most.join(", ")),
    }
}

/// `a, b, c`, and `a; b, c; d` where one of them has a comma of its own.
#[must_use]
pub fn listed(words: &[String]) -> String {
    let apart = words.len() > 1 && words.iter().any(|it| it.contains(','));
    words.join(if apart { "; " } else { ", " })
}

#[cfg(test)]
mod tests {
    use super::capital;
    use super::joined;
    use super::listed;
    use super::small;

    #[test]
    fn a_list_reads_as_one_would_say_it() {
        let words = ["a", "b", "c"].map(str::to_owned);
        let said = [0, 1, 2, 3].map(|n| joined(&words[..n]));
        assert_eq!(said, ["", "a", "a and b", "a, b and c"]);
        assert_eq!(listed(&words), "a, b, c");
        let names = ["leg, left", "top"].map(str::to_owned);
        assert_eq!(listed(&names), "leg, left; top");
        assert_eq!(listed(&names[..1]), "leg, left");
    }

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
