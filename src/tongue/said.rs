//! What is said, in the language of a paper.

use std::fmt;

use serde::Serialize;
use serde::Serializer;

use crate::kit::measure::with_mm;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::tongue::Language;
use crate::tongue::Tongue;
use crate::tongue::catalogue;
use crate::tongue::language::is_sign;
use crate::tongue::pattern::How;
use crate::tongue::pattern::Piece;
use crate::tongue::plural;
use crate::tongue::say;
use crate::tongue::saying::Arg;
use crate::tongue::saying::Saying;
use crate::tongue::saying::stopped;
use crate::tongue::words::Gender;
use crate::tongue::words::Word;
use crate::tongue::words::several;
use crate::tongue::words::word;

impl Saying {
    /// In the language of a paper.
    #[must_use]
    pub fn said(&self, tongue: Tongue) -> String {
        let each = |all: &[Self]| -> Vec<String> {
            let said = all.iter().map(|it| it.said(tongue));
            said.filter(|it| !it.is_empty()).collect()
        };
        match self {
            Self::Message(name, args) => fill(tongue, name, args),
            Self::Word(kind, english) => put_word(tongue, &word(tongue, *kind, english)),
            Self::Plain(text) => text.clone(),
            Self::Own(text) => tongue.own(text),
            Self::Quoted(text) => tongue.quoted(text),
            Self::English(text) => tongue.english(text),
            Self::Size(typed) => tongue.size(typed),
            // What stands in quotation marks keeps its first letter.
            Self::Sentence(it) => stopped(&capital(&it.said(tongue))),
            Self::Capital(it) => capital(&it.said(tongue)),
            Self::Parted(all) => tongue.parted(&each(all)),
            Self::Commas(all) => each(all).join(", "),
            Self::Beside(all) => each(all).join(" "),
        }
    }

    /// In English.
    #[must_use]
    pub fn english(&self) -> String {
        self.said(Tongue::ENGLISH)
    }
}

impl Tongue {
    /// What the user typed: never translated, and in quotation marks and marked with its language where that is not the paper's.
    #[must_use]
    pub fn own(self, text: &str) -> String {
        match self.language == self.writer {
            true => self.typed(text),
            false => self.quoted(text),
        }
    }

    /// What the user typed, in the quotation marks of the paper's language; nothing of nothing.
    fn quoted(self, text: &str) -> String {
        let [open, close] = self.quotes();
        match text.trim().is_empty() {
            true => String::new(),
            false => format!("{open}{}{close}", self.typed(text)),
        }
    }

    /// English text of ours in a paper of another language.
    pub(super) fn english(self, text: &str) -> String {
        match self.language == Language::English || text.is_empty() {
            true => text.to_owned(),
            false => Self {
                writer: Language::English,
                ..self
            }
            .marked(text),
        }
    }

    /// What the user typed, with its language where that is not the paper's. What we put into it, that a word claims what the record does
    /// not show, is ours, and so in the language of the paper.
    fn typed(self, text: &str) -> String {
        let bare: String = text.chars().filter(|it| !is_sign(*it)).collect();
        let (mark, said) = (
            say::claims_unshown().english(),
            say::claims_unshown().said(self),
        );
        let each = bare.split(&mark).map(|typed| {
            match self.language == self.writer || typed.trim().is_empty() {
                true => typed.to_owned(),
                false => self.marked(typed),
            }
        });
        each.collect::<Vec<_>>().join(&said)
    }

    /// A measure as the user typed it, with its millimetres: numbers in the form of the language, words as they were typed.
    #[must_use]
    pub fn size(self, typed: &str) -> String {
        let own = || self.own(&with_mm(typed));
        self.measure(typed).unwrap_or_else(own)
    }

    /// `Drawers 1 and 2`: several parts of one kind by their numbers; `stem` is the English of one of them.
    #[must_use]
    pub fn numbered_parts(self, stem: &str, numbers: &[String]) -> String {
        let many = several(self, stem);
        format!("{} {}", put_word(self, &many), self.list(numbers))
    }
}

/// Its English, as the command line and every answer in JSON print it.
impl fmt::Display for Saying {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.english())
    }
}

/// Its English.
impl From<Saying> for String {
    fn from(it: Saying) -> Self {
        it.english()
    }
}

impl Serialize for Saying {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.english())
    }
}

/// A word as it begins a line; the user's own as such.
fn put_word(tongue: Tongue, word: &Word) -> String {
    match word.is_own {
        true => tongue.own(&word.text),
        false => word.text.clone(),
    }
}

/// The message of this name with its arguments, in the language of the paper; its name where there is none, which no catalogue
/// that passed its test gives.
fn fill(tongue: Tongue, name: &str, args: &[(&'static str, Arg)]) -> String {
    match catalogue::text(tongue.language, name) {
        Some(pieces) => filled(tongue, pieces, args),
        None => name.to_owned(),
    }
}

fn filled(tongue: Tongue, pieces: &[Piece], args: &[(&'static str, Arg)]) -> String {
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
        Arg::Count(number) => plural::category(tongue.language, *number),
        Arg::List(all) => plural::category(tongue.language, all.len() as u64),
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
            (Saying::Word(kind, english), How::Small) => {
                put_small(tongue, &word(tongue, *kind, english))
            }
            (Saying::Word(kind, english), How::The) => the(tongue, &word(tongue, *kind, english)),
            (it, How::Capital) => capital(&it.said(tongue)),
            (it, How::Small) if tongue.language != Language::German => small(&it.said(tongue)),
            (it, _) => it.said(tongue),
        },
    }
}

/// A word as within a sentence; the user's own as it is.
fn put_small(tongue: Tongue, word: &Word) -> String {
    match word.is_own {
        true => tongue.own(&word.text),
        false => word.small(tongue),
    }
}

/// A word in a sentence with its article: `the top`, `die Platte`, `le plateau`; one that ends with a number needs none in English and
/// German.
fn the(tongue: Tongue, word: &Word) -> String {
    let name = put_small(tongue, &word.within());
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
