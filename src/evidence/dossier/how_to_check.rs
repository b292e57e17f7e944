//! How to check a dossier with common programs: the commands, which are the same in every language, between the words of one.

use crate::tongue::Language;

/// In English, with the commands, which stand four spaces in.
const ENGLISH: &str = include_str!("how_to_check.txt");

/// The words alone, a paragraph for each in English.
const GERMAN: &str = include_str!("how_to_check.de.txt");

/// The same in French.
const FRENCH: &str = include_str!("how_to_check.fr.txt");

/// What `CHECK.txt` says in a language.
#[must_use]
pub fn how_to_check(language: Language) -> String {
    let words = match language {
        Language::English => return ENGLISH.to_owned(),
        Language::German => GERMAN,
        Language::French => FRENCH,
    };
    let mut words = paragraphs(words);
    let mut text = String::with_capacity(ENGLISH.len() + 2000);
    let mut within = false;
    for line in ENGLISH.lines() {
        if line.is_empty() || line.starts_with("    ") {
            within = false;
            text.push_str(line);
            text.push('\n');
        } else if !within {
            within = true;
            for word in words.next().into_iter().flatten() {
                text.push_str(word);
                text.push('\n');
            }
        }
    }
    text
}

/// The paragraphs of a text, line by line, without the commands.
fn paragraphs(text: &str) -> impl Iterator<Item = Vec<&str>> {
    let all = text.split("\n\n").map(|it| {
        let lines = it.lines().filter(|it| !it.trim().is_empty());
        lines.filter(|it| !it.starts_with("    ")).collect()
    });
    all.filter(|it: &Vec<&str>| !it.is_empty())
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::ENGLISH;
    use super::how_to_check;
    use super::paragraphs;
    use crate::tongue::Language;

    /// Every paragraph is there in every language, none of it in English, with the same number before it, and every command as it is.
    #[test]
    fn the_words_are_whole_in_every_language_and_the_commands_the_same() {
        let commands = |text: &str| -> Vec<String> {
            let lines = text.lines().filter(|it| it.starts_with("    "));
            lines.map(str::to_owned).collect()
        };
        let steps = |text: &str| -> Vec<String> {
            let first = paragraphs(text).map(|it| it[0].to_owned());
            let number = first.map(|it| it.split_once(". ").map(|it| it.0.to_owned()));
            number
                .map(|it| it.filter(|it| it.parse::<u8>().is_ok()).unwrap_or_default())
                .collect()
        };
        let english = how_to_check(Language::English);
        assert_eq!(english, ENGLISH);
        let ours: BTreeSet<&str> = paragraphs(ENGLISH).flatten().collect();
        for language in [Language::German, Language::French] {
            let text = how_to_check(language);
            assert_eq!(commands(&text), commands(&english), "{language}");
            assert_eq!(steps(&text), steps(&english), "{language}");
            for line in paragraphs(&text).flatten() {
                assert!(!ours.contains(line), "{language}: {line}");
            }
            let told: Vec<Vec<&str>> = paragraphs(&text).collect();
            let words: Vec<Vec<&str>> = match language {
                Language::German => paragraphs(super::GERMAN).collect(),
                _ => paragraphs(super::FRENCH).collect(),
            };
            assert_eq!(told, words, "{language}: a paragraph is left over");
        }
    }
}
