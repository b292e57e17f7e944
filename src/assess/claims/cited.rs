//! Observations in a sentence, with the numbers of their pictures.

use crate::kit::text::joined;
use crate::kit::text::small;

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
