//! Help for a word that is not known: what may have been meant, else what there is.

use crate::kit::text::suggest::bare;
use crate::kit::text::suggest::near;
use crate::mark::read::draw::quoted;

/// At most so many words are listed in a help.
const MOST_LISTED: usize = 12;

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

/// `drawer` of `drawer-9`.
fn stem(word: &str) -> &str {
    let end = word.find(|it: char| it.is_ascii_digit());
    end.map_or("", |end| word[..end].trim_end_matches(['-', ' ', '_']))
}

#[cfg(test)]
mod tests {
    use super::help;
    use crate::kit::text::suggest::near;

    const PARTS: [&str; 6] = [
        "top",
        "back",
        "drawer-1",
        "drawer-2",
        "drawer-1/bottom",
        "leg-front-left",
    ];

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
