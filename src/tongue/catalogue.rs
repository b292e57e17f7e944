//! The messages of every language, embedded, and how they are filled.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::kit::text::capital;
use crate::kit::text::small;
use crate::tongue::Language;
use crate::tongue::Tongue;
use crate::tongue::form::NARROW;
use crate::tongue::pattern::How;
use crate::tongue::pattern::Piece;
use crate::tongue::pattern::read;
use crate::tongue::plural;
use crate::tongue::saying::Arg;
use crate::tongue::saying::Saying;
use crate::tongue::words::Gender;
use crate::tongue::words::Word;
use crate::tongue::words::word;

/// The texts of a language by the name of their message.
pub(super) type Catalogue = BTreeMap<String, Vec<Piece>>;

static CATALOGUES: LazyLock<[Catalogue; 3]> =
    LazyLock::new(|| Language::ALL.map(|it| parsed(it).unwrap_or_default()));

/// The file of a language.
const fn text_of(language: Language) -> &'static str {
    match language {
        Language::English => include_str!("data/en.txt"),
        Language::German => include_str!("data/de.txt"),
        Language::French => include_str!("data/fr.txt"),
    }
}

/// Reads the file of a language: a message a line, `name = text`.
///
/// # Errors
/// With the line that cannot be read.
pub(super) fn parsed(language: Language) -> Result<Catalogue, String> {
    let mut all = Catalogue::new();
    for line in lines(text_of(language)) {
        let (name, text) = line.split_once(" = ").ok_or_else(|| line.to_owned())?;
        let was = all.insert(name.to_owned(), read(&spaced(language, text))?);
        if was.is_some() {
            return Err(format!("`{name}` stands twice"));
        }
    }
    Ok(all)
}

/// The lines of a file of data that say something.
pub(super) fn lines(text: &'static str) -> impl Iterator<Item = &'static str> {
    let lines = text.lines().map(str::trim);
    lines.filter(|it| !it.is_empty() && !it.starts_with('#'))
}

/// With the narrow spaces of French before `; : ! ?` and inside its quotation marks; files have plain ones there.
pub(super) fn spaced(language: Language, text: &str) -> String {
    if language != Language::French {
        return text.to_owned();
    }
    let mut spaced = text.replace("\u{ab} ", &format!("\u{ab}{NARROW}"));
    for sign in [';', ':', '!', '\u{bb}', '%'] {
        spaced = spaced.replace(&format!(" {sign}"), &format!("{NARROW}{sign}"));
    }
    // A question mark with a space before it opens the arms of a choice where a brace stands open.
    spaced
}

/// The message of this name with its arguments, in the language of the paper; its name where there is none, which no catalogue
/// that passed its test gives.
pub(super) fn fill(tongue: Tongue, name: &str, args: &[(&'static str, Arg)]) -> String {
    let at = Language::ALL.iter().position(|it| *it == tongue.language);
    let catalogue = &CATALOGUES[at.unwrap_or_default()];
    let Some(pieces) = catalogue.get(name) else {
        return name.to_owned();
    };
    filled(tongue, pieces, args)
}

pub(super) fn filled(tongue: Tongue, pieces: &[Piece], args: &[(&'static str, Arg)]) -> String {
    let arg = |name: &str| args.iter().find(|it| it.0 == name).map(|it| &it.1);
    let mut text = String::new();
    for piece in pieces {
        match piece {
            Piece::Text(words) => text.push_str(words),
            Piece::Put(name, how) => {
                let Some(arg) = arg(name) else { continue };
                text.push_str(&put(tongue, arg, *how));
            }
            Piece::Choose(name, arms) => {
                let of = arg(name).map_or("other", |it| choice(tongue, it));
                let arm = arms.iter().find(|it| it.0 == of);
                let arm = arm.or_else(|| arms.last());
                if let Some((_, pieces)) = arm {
                    text.push_str(&filled(tongue, pieces, args));
                }
            }
        }
    }
    text
}

/// The arm that an argument chooses: the plural of a number, the gender of a word, `none` of nothing.
fn choice(tongue: Tongue, arg: &Arg) -> &'static str {
    match arg {
        Arg::Count(number) => plural::category(tongue.language, *number as f64, 0),
        Arg::List(all) => plural::category(tongue.language, all.len() as f64, 0),
        Arg::Said(it) => match it.as_ref() {
            Saying::Word(kind, english) => word(tongue, *kind, english).gender.letter(),
            _ => "other",
        },
        Arg::Text(_) | Arg::Day(_) | Arg::Tenths(_) => "other",
    }
}

fn put(tongue: Tongue, arg: &Arg, how: How) -> String {
    match arg {
        Arg::Text(text) => text.clone(),
        Arg::Count(number) => tongue.number(*number),
        Arg::Tenths(tenths) => tongue.decimal(*tenths as f64 / 10.0, 1),
        Arg::Day(day) => tongue.day(*day),
        Arg::List(all) => {
            let all: Vec<String> = all.iter().map(|it| it.said(tongue)).collect();
            tongue.list(&all)
        }
        Arg::Said(it) => match (it.as_ref(), how) {
            (Saying::Word(kind, english), How::Small) => word(tongue, *kind, english).small(tongue),
            (Saying::Word(kind, english), How::The) => the(tongue, &word(tongue, *kind, english)),
            (it, How::Capital) => capital(&it.said(tongue)),
            (it, How::Small) if tongue.language != Language::German => small(&it.said(tongue)),
            (it, _) => it.said(tongue),
        },
    }
}

/// A word in a sentence with its article: `the top`, `die Platte`, `le plateau`; one that ends with a number needs none in English and
/// German.
fn the(tongue: Tongue, word: &Word) -> String {
    let name = word.small(tongue);
    let numbered = name.chars().any(|it| it.is_ascii_digit());
    let vowel = name
        .to_lowercase()
        .starts_with(['a', 'e', 'é', 'i', 'o', 'u', 'y']);
    match (tongue.language, word.gender) {
        (Language::English, _) if numbered => name,
        (Language::English, _) => format!("the {name}"),
        (_, Gender::None) => name,
        (Language::German, _) if numbered => name,
        (Language::German, Gender::M) => format!("der {name}"),
        (Language::German, Gender::F | Gender::P) => format!("die {name}"),
        (Language::German, Gender::N) => format!("das {name}"),
        (Language::French, Gender::P) => format!("les {name}"),
        (Language::French, _) if vowel => format!("l\u{2019}{name}"),
        (Language::French, Gender::F) => format!("la {name}"),
        (Language::French, Gender::M | Gender::N) => format!("le {name}"),
    }
}

/// The English of every message, in pieces between its arguments: those of two words and more.
#[cfg(test)]
pub(crate) fn english_phrases() -> Vec<String> {
    fn of(pieces: &[Piece], all: &mut Vec<String>) {
        for piece in pieces {
            match piece {
                Piece::Text(text) => all.push(text.clone()),
                Piece::Put(..) => {}
                Piece::Choose(_, arms) => arms.iter().for_each(|it| of(&it.1, all)),
            }
        }
    }
    let mut all = Vec::new();
    for pieces in parsed(Language::English).unwrap_or_default().values() {
        of(pieces, &mut all);
    }
    let signs = [' ', ',', ';', ':', '.', '(', ')'];
    let trimmed = all.iter().map(|it| it.trim_matches(signs).to_owned());
    trimmed.filter(|it| it.contains(' ')).collect()
}
