//! "Did you mean": the words nearest to one that is not known.

use crate::mark::draw::quoted;

/// At most so many words are listed in a help.
const MOST_LISTED: usize = 12;

/// How alike two words must be, by Jaro and Winkler's measure (0 to 1), to be taken for a slip of the pen.
/// The number is ours: it takes every word with one wrong, missing or exchanged letter that the tests hold.
const ALIKE: f64 = 0.86;

/// The words that may have been meant; the likeliest first, at most three, none when nothing is near.
pub(crate) fn near<'a>(
    word: &str,
    words: &[&'a str],
    synonyms: &'a [(String, String)],
) -> Vec<&'a str> {
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

/// The help for a word that is not known: what may have been meant, else what there is.
pub(crate) fn help(
    word: &str,
    kind: &str,
    words: &[&str],
    synonyms: &[(String, String)],
) -> Option<String> {
    let near = near(word, words, synonyms);
    if !near.is_empty() {
        return Some(format!("did you mean {}?", listed(&near, "or")));
    }
    if words.is_empty() {
        return None;
    }
    let stem = stem(&bare(word)).to_owned();
    let mut kin: Vec<_> = words.to_vec();
    kin.retain(|it| self::stem(it) == stem && !stem.is_empty() && !it.contains('/'));
    let words = if kin.is_empty() { words } else { &kin };
    let some = &words[..words.len().min(MOST_LISTED)];
    let known = listed(some, "and");
    Some(match words.len() - some.len() {
        0 => format!("the {kind} are {known}"),
        more => format!("the {kind} are {known} and {more} more"),
    })
}

/// Words in backticks: `a`, `b` or `c`.
pub(crate) fn listed(words: &[&str], last: &str) -> String {
    let words: Vec<_> = words.iter().map(|it| quoted(it)).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [more @ .., one] => format!("{} {last} {one}", more.join(", ")),
    }
}

/// A word without what people write differently: case, spaces, dashes, underscores.
fn bare(word: &str) -> String {
    let word = word.trim().to_lowercase();
    word.replace([' ', '_'], "-").chars().take(80).collect()
}

/// `drawer` of `drawer-9`.
fn stem(word: &str) -> &str {
    let end = word.find(|it: char| it.is_ascii_digit());
    end.map_or("", |end| word[..end].trim_end_matches(['-', ' ', '_']))
}

fn digits(word: &str) -> String {
    word.chars().filter(char::is_ascii_digit).collect()
}

#[cfg(test)]
mod tests {
    use super::help;
    use super::near;

    const PARTS: [&str; 6] = [
        "top",
        "back",
        "drawer-1",
        "drawer-2",
        "drawer-1/bottom",
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
            ("drawer-9", ""),
            ("window", ""),
            ("", ""),
        ] {
            assert_eq!(meant(typed), part, "{typed}");
        }
    }

    #[test]
    fn words_people_type_lead_to_the_term() {
        let synonyms = [
            ("ring".to_owned(), "white_mark".to_owned()),
            ("ring".to_owned(), "black_stain".to_owned()),
        ];
        let tags = ["white_mark", "black_stain"];
        let said = help("Ring", "tags", &tags, &synonyms);
        assert_eq!(said.unwrap(), "did you mean `white_mark` or `black_stain`?");
        assert_eq!(near("rings", &tags, &synonyms), ["white_mark"]);
    }

    #[test]
    fn without_a_near_word_the_help_lists_what_there_is() {
        let said = |word| help(word, "parts", &PARTS, &[]).unwrap();
        assert_eq!(said("drawer-9"), "the parts are `drawer-1` and `drawer-2`");
        assert!(said("window").starts_with("the parts are `top`, `back`"));
        assert_eq!(help("x", "parts", &[], &[]), None);
    }
}
