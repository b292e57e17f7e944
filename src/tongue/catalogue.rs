//! The messages of every language, embedded.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::tongue::Language;
use crate::tongue::form::NARROW;
use crate::tongue::pattern::Piece;
use crate::tongue::pattern::read;

/// The texts of a language by the name of their message.
pub(super) type Catalogue = BTreeMap<String, Vec<Piece>>;

static CATALOGUES: LazyLock<[Catalogue; 3]> =
    LazyLock::new(|| Language::ALL.map(|it| parsed(it).unwrap_or_default()));

/// The file of a language.
const fn file_of(language: Language) -> &'static str {
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
    for line in lines(file_of(language)) {
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

/// With the narrow spaces of French before `; : ! %` and inside its quotation marks; files have plain ones there.
pub(super) fn spaced(language: Language, text: &str) -> String {
    if language != Language::French {
        return text.to_owned();
    }
    let mut spaced = text.replace("\u{ab} ", &format!("\u{ab}{NARROW}"));
    // No question mark: one with a space before it opens the arms of a choice.
    for sign in [';', ':', '!', '\u{bb}', '%'] {
        spaced = spaced.replace(&format!(" {sign}"), &format!("{NARROW}{sign}"));
    }
    spaced
}

/// The text of the message of this name; `None` where there is none.
pub(super) fn text(language: Language, name: &str) -> Option<&'static [Piece]> {
    let at = Language::ALL.iter().position(|it| *it == language);
    let pieces = CATALOGUES[at.unwrap_or_default()].get(name)?;
    Some(pieces.as_slice())
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
