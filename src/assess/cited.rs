//! Observations in a sentence, with the numbers of their pictures.

use crate::assess::origin::joined;

/// `a thin line of other wood along the edge (pictures 13 and 14); ...`, each observation once, in the order given.
pub(crate) fn cited<'a>(seen: impl IntoIterator<Item = (&'a str, u32)>) -> String {
    let mut photos: Vec<(&str, Vec<String>)> = Vec::new();
    for (term, photo) in seen {
        let number = photo.to_string();
        match photos.iter_mut().find(|known| known.0 == term) {
            Some((_, numbers)) if numbers.contains(&number) => {}
            Some((_, numbers)) => numbers.push(number),
            None => photos.push((term, vec![number])),
        }
    }
    let one = |(term, numbers): &(&str, Vec<String>)| {
        let word = if numbers.len() == 1 {
            "picture"
        } else {
            "pictures"
        };
        format!("{} ({word} {})", small(term), joined(numbers))
    };
    photos.iter().map(one).collect::<Vec<String>>().join("; ")
}

/// With a small first letter, unless the word is all capitals.
pub(crate) fn small(text: &str) -> String {
    first_letter(text, |it| it.to_lowercase().to_string())
}

/// With a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    first_letter(text, |it| it.to_uppercase().to_string())
}

fn first_letter(text: &str, change: impl Fn(char) -> String) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let rest = letters.as_str();
    let shouted = rest.chars().next().is_some_and(char::is_uppercase);
    match shouted {
        true => text.to_owned(),
        false => change(first) + rest,
    }
}
