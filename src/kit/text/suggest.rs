//! "Did you mean": the words nearest to one that is not known.

/// How alike two words must be, by Jaro and Winkler's measure (0 to 1), to be taken for a slip of the pen.
/// The number is ours: it takes every word with one wrong, missing or exchanged letter that the tests hold.
const ALIKE: f64 = 0.86;

/// Gives the words that may have been meant; the likeliest first, at most three, none when nothing is near. A synonym
/// is a word people type, with the word it stands for.
#[must_use]
pub fn near<'a>(word: &str, words: &[&'a str], synonyms: &'a [(String, String)]) -> Vec<&'a str> {
    let typed = bare(word);
    if typed.is_empty() {
        return Vec::new();
    }
    let mut same: Vec<&str> = words
        .iter()
        .copied()
        .filter(|it| bare(it) == typed)
        .collect();
    let meant = synonyms.iter().filter(|(it, _)| bare(it) == typed);
    same.extend(meant.map(|(_, tag)| tag.as_str()));
    let inner = words.iter().copied().filter(|it| {
        let inner = it.split_once('/');
        inner.is_some_and(|(_, inner)| bare(inner) == typed)
    });
    same.extend(inner);
    same.dedup();
    if !same.is_empty() {
        same.truncate(3);
        return same;
    }
    // `door-1/glass` where the door has `door-1/glass-2`.
    if let Some((whole, inner)) = typed.split_once('/') {
        let name = |it: &str| {
            it.trim_end_matches(|it: char| it.is_ascii_digit() || it == '-')
                .to_owned()
        };
        let kin = words.iter().copied().filter(|it| {
            let known = it.split_once('/');
            known.is_some_and(|(of, known)| bare(of) == whole && name(known) == name(inner))
        });
        let kin: Vec<&str> = kin.take(3).collect();
        if !kin.is_empty() {
            return kin;
        }
    }
    let words = words.iter().map(|it| (*it, *it));
    let synonyms = synonyms.iter().map(|(it, tag)| (it.as_str(), tag.as_str()));
    let alike = words.chain(synonyms).filter_map(|(it, means)| {
        let other = bare(it);
        let score = strsim::jaro_winkler(&typed, &other);
        // `drawer-9` is no slip for `drawer-1`.
        (score >= ALIKE && digits(&typed) == digits(&other)).then_some((score, means))
    });
    let best = alike.reduce(|best, it| if it.0 > best.0 { it } else { best });
    best.map(|(_, means)| means).into_iter().collect()
}

/// A word without what people write differently: case, spaces, dashes, underscores.
pub(crate) fn bare(word: &str) -> String {
    let word = word.trim().to_lowercase();
    word.replace([' ', '_'], "-").chars().take(80).collect()
}

fn digits(word: &str) -> String {
    word.chars().filter(char::is_ascii_digit).collect()
}

#[cfg(test)]
mod tests {
    use super::near;

    const PARTS: [&str; 7] = [
        "top",
        "back",
        "drawer-1",
        "drawer-2",
        "drawer-1/bottom",
        "drawer-1/glass-2",
        "leg-front-left",
    ];

    #[test]
    fn slips_of_the_pen_are_told_from_other_words() {
        let meant = |word: &str| near(word, &PARTS, &[]).join(" ");
        for (typed, part) in [
            ("Top", "top"),
            ("drawer 2", "drawer-2"),
            ("Drawer_1", "drawer-1"),
            ("drawr-2", "drawer-2"),
            ("drwaer-1", "drawer-1"),
            ("leg-front-lef", "leg-front-left"),
            ("bakc", "back"),
            ("bottom", "drawer-1/bottom"),
            ("drawer-1/glass", "drawer-1/glass-2"),
            ("drawer-9", ""),
            ("window", ""),
            ("", ""),
        ] {
            assert_eq!(meant(typed), part, "{typed}");
        }
    }
}
