//! Observations in a sentence, with the numbers of their pictures.

use crate::tongue::Saying;
use crate::tongue::say;

/// `a thin line of other wood along the edge (pictures 13 and 14); ...`, each observation once, in the order given.
pub(crate) fn cited<'a>(seen: impl IntoIterator<Item = (&'a str, u32)>) -> Saying {
    let mut photos: Vec<(&str, Vec<u32>)> = Vec::new();
    for (term, photo) in seen {
        match photos.iter_mut().find(|known| known.0 == term) {
            Some((_, numbers)) if numbers.contains(&photo) => {}
            Some((_, numbers)) => numbers.push(photo),
            None => photos.push((term, vec![photo])),
        }
    }
    let one = |(term, numbers): &(&str, Vec<u32>)| {
        let pictures = match numbers.as_slice() {
            [one] => say::picture_small(*one),
            several => say::pictures_small(Saying::numbers(several)),
        };
        say::cited(Saying::cue(term), pictures)
    };
    Saying::Parted(photos.iter().map(one).collect())
}
