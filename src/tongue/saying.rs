//! What is said, before any language is chosen.

use std::fmt;

use crate::kit::clock::Day;
use crate::tongue::language::is_sign;
use crate::tongue::words::Kind;

/// What is said, in no language yet. As JSON it is its English.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saying {
    /// A message of the catalogue, by its name, with its arguments by theirs. Only the functions of [`crate::tongue::say`] make one.
    Message(&'static str, Vec<(&'static str, Arg)>),
    /// A word or sentence of the trade book, by its English; one that the user brought along stays as it is.
    Word(Kind, String),
    /// The same in every language: numbers, names of findings.
    Plain(String),
    /// As the user typed it: in a paper of another language in quotation marks.
    Own(String),
    /// What the user typed as a sentence or more: in quotation marks in every language.
    Quoted(String),
    /// Ours, and in no other language yet: marked as English where the paper is not.
    English(String),
    /// A measure, as typed.
    Size(String),
    /// With a capital first letter, and a stop at its end unless there is one.
    Sentence(Box<Self>),
    /// With a capital first letter.
    Capital(Box<Self>),
    /// Each after a semicolon, those that say nothing left out.
    Parted(Vec<Self>),
    /// Each after a comma.
    Commas(Vec<Self>),
    /// Each after a space, those that say nothing left out.
    Beside(Vec<Self>),
}

/// An argument of a message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Arg {
    /// Numbers of pictures, findings and repairs, and what was said in the paper's language already: as it is.
    Text(String),
    /// How many: its plural is the language's.
    Count(u64),
    /// A number in tenths.
    Tenths(i64),
    /// A day.
    Day(Day),
    /// Something said.
    Said(Box<Saying>),
    /// Several, as in a sentence: `a, b and c`.
    List(Vec<Saying>),
}

macro_rules! words {
    ($($(#[$note:meta])* $name:ident: $kind:ident;)*) => {
        impl Saying {
            $(
                $(#[$note])*
                #[must_use]
                pub fn $name(english: &str) -> Self {
                    Self::Word(Kind::$kind, english.to_owned())
                }
            )*
        }
    };
}

words! {
    /// A part, by its label.
    part: Part;
    /// A side of the drawing, by its label.
    face: Face;
    /// A fault, by its term.
    fault: Fault;
    /// A method of repair, by its name.
    method: Method;
    /// A form of furniture, by its label.
    form: Form;
    /// A sentence of a caution of the trade book.
    caution: Caution;
    /// A test that was not made, by its name.
    test: Test;
    /// A view, by its label.
    view: View;
    /// What is seen of how a piece was made, by its term.
    cue: Cue;
    /// A sentence of the trade book on how a view is taken.
    shot: Shot;
}

impl Default for Saying {
    fn default() -> Self {
        Self::nothing()
    }
}

impl Saying {
    /// Whether it says nothing in any language.
    #[must_use]
    pub fn is_nothing(&self) -> bool {
        *self == Self::nothing()
    }

    /// Nothing.
    #[must_use]
    pub const fn nothing() -> Self {
        Self::Parted(Vec::new())
    }

    /// Numbers or names that are the same in every language: the argument of a list.
    #[must_use]
    pub fn numbers<T: fmt::Display>(all: &[T]) -> Vec<Self> {
        all.iter().map(|it| Self::Plain(it.to_string())).collect()
    }

    /// A measure, as typed.
    #[must_use]
    pub fn size(typed: &str) -> Self {
        Self::Size(typed.to_owned())
    }

    /// As a sentence.
    #[must_use]
    pub fn sentence(self) -> Self {
        Self::Sentence(Box::new(self))
    }

    /// As it begins a line.
    #[must_use]
    pub fn capital(self) -> Self {
        Self::Capital(Box::new(self))
    }

    /// What the user typed with a stop at its end, unless there is one.
    #[must_use]
    pub fn ended(typed: &str) -> Self {
        Self::Own(stopped(typed))
    }

    /// What the user typed, as a quotation.
    #[must_use]
    pub fn quoted(typed: &str) -> Self {
        Self::Quoted(typed.trim().to_owned())
    }
}

/// With a stop at its end, unless it ends with a mark already.
#[must_use]
pub fn stopped(text: &str) -> String {
    let text = text.trim();
    let closes = |it: char| is_sign(it) || matches!(it, '”' | '“' | '»' | '\u{202F}');
    match text.trim_end_matches(closes).chars().last() {
        None => String::new(),
        Some('.' | '!' | '?' | '…') => text.to_owned(),
        Some(_) => format!("{text}."),
    }
}

impl Arg {
    /// A number, to a tenth.
    #[must_use]
    pub fn tenths(number: f64) -> Self {
        let digits = format!("{number:.1}").replace('.', "");
        Self::Tenths(digits.parse().unwrap_or_default())
    }
}

impl From<&str> for Arg {
    fn from(it: &str) -> Self {
        Self::Text(it.to_owned())
    }
}

impl From<String> for Arg {
    fn from(it: String) -> Self {
        Self::Text(it)
    }
}

/// A number that names one thing: never grouped.
impl From<u32> for Arg {
    fn from(it: u32) -> Self {
        Self::Text(it.to_string())
    }
}

impl From<u8> for Arg {
    fn from(it: u8) -> Self {
        Self::Text(it.to_string())
    }
}

impl From<usize> for Arg {
    fn from(it: usize) -> Self {
        Self::Count(it as u64)
    }
}

impl From<u64> for Arg {
    fn from(it: u64) -> Self {
        Self::Count(it)
    }
}

impl From<Day> for Arg {
    fn from(it: Day) -> Self {
        Self::Day(it)
    }
}

impl From<Saying> for Arg {
    fn from(it: Saying) -> Self {
        Self::Said(Box::new(it))
    }
}

impl From<Vec<Saying>> for Arg {
    fn from(it: Vec<Saying>) -> Self {
        Self::List(it)
    }
}
