//! The languages, and the tongue of one paper: its own language and that of whoever typed.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

/// A language in which papers are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Language {
    /// English, as in the United Kingdom.
    #[default]
    #[serde(rename = "en")]
    English,
    /// German.
    #[serde(rename = "de")]
    German,
    /// French, as in France.
    #[serde(rename = "fr")]
    French,
}

/// The text names no language in which papers are written.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a language in which papers are written; there are `en`, `de` and `fr`")]
pub struct LanguageError(String);

impl Language {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::English, Self::German, Self::French];

    /// Its two letters by ISO 639.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::French => "fr",
        }
    }

    /// Its name in English.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "German",
            Self::French => "French",
        }
    }
}

impl fmt::Display for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl FromStr for Language {
    type Err = LanguageError;

    fn from_str(text: &str) -> Result<Self, LanguageError> {
        let wanted = text.trim().to_ascii_lowercase();
        let found = Self::ALL.into_iter().find(|it| it.code() == wanted);
        found.ok_or_else(|| LanguageError(text.to_owned()))
    }
}

/// Opens what the user typed; two letters of its language and [`THEN`] follow. Letters for private use: [`Tongue::own`] takes them out
/// of a user's text, and where one stands in a text that never came there, it opens nothing unless a language follows.
const OPEN: char = '\u{E000}';
/// Closes what the user typed.
const CLOSE: char = '\u{E001}';
/// Ends the letters of the language.
const THEN: char = '\u{E002}';

/// In what language a paper is written, and in which its user types.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tongue {
    /// That of the paper.
    pub language: Language,
    /// That of the user's own words: the language of the book.
    pub writer: Language,
}

impl Tongue {
    /// English, for a user who types English.
    pub const ENGLISH: Self = Self {
        language: Language::English,
        writer: Language::English,
    };

    /// For a section in English of a paper in any language.
    #[must_use]
    pub const fn in_english(self) -> Self {
        Self {
            language: Language::English,
            ..self
        }
    }

    /// A text that is without such signs, as the user's own.
    pub(super) fn marked(self, text: &str) -> String {
        format!("{OPEN}{}{THEN}{text}{CLOSE}", self.writer)
    }
}

/// Whether a letter is one of the signs round what the user typed.
#[must_use]
pub const fn is_sign(letter: char) -> bool {
    matches!(letter, OPEN | CLOSE | THEN)
}

/// The text without the signs that tell which of it the user typed.
#[must_use]
pub fn plain(text: &str) -> String {
    split_own(text).into_iter().map(|it| it.1).collect()
}

/// The text in pieces, each with the language of the user where it is the user's own.
#[must_use]
pub fn split_own(text: &str) -> Vec<(Option<Language>, &str)> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(OPEN) {
        let (before, opened) = rest.split_at(at);
        pieces.push((None, before));
        match own_words(opened) {
            Some((language, own, behind)) => {
                pieces.push((Some(language), own));
                rest = behind;
            }
            None => {
                let (sign, behind) = opened.split_at(OPEN.len_utf8());
                pieces.push((None, sign));
                rest = behind;
            }
        }
    }
    pieces.push((None, rest));
    pieces.retain(|it| !it.1.is_empty());
    pieces
}

/// What is marked at the beginning of a text: its language, the words, and what follows.
fn own_words(opened: &str) -> Option<(Language, &str, &str)> {
    let (language, text) = opened.strip_prefix(OPEN)?.split_once(THEN)?;
    let (own, behind) = text.split_once(CLOSE)?;
    Some((language.parse().ok()?, own, behind))
}
