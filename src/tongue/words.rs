//! Words of the trade book in German and French, by their English. Common practice of the trade in each language, no source.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::kit::text::capital;
use crate::kit::text::small;
use crate::tongue::Language;
use crate::tongue::Tongue;
use crate::tongue::catalogue::lines;
use crate::tongue::catalogue::spaced;

/// What a word of the trade book is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A part: `Drawer 1, front`.
    Part,
    /// A side of the drawing: `Underside`.
    Face,
    /// A fault: `Lifting veneer`.
    Fault,
    /// A method of repair: `Relay loose veneer`.
    Method,
    /// A form of furniture: `Chest of drawers`.
    Form,
    /// A sentence of a caution.
    Caution,
    /// A test that a record may lack: `Species of the wood`.
    Test,
    /// A view: `Whole front, closed`.
    View,
    /// What is seen of how a piece was made or worked on: `Plugged or unused holes behind`.
    Cue,
    /// How a view is taken and why, and what to mind on the spot: a sentence, or a few words.
    Shot,
}

impl Kind {
    /// All of them, with the heading of each in the files.
    pub const ALL: [(Self, &'static str); 10] = [
        (Self::Part, "[part]"),
        (Self::Face, "[face]"),
        (Self::Fault, "[fault]"),
        (Self::Method, "[method]"),
        (Self::Form, "[form]"),
        (Self::Caution, "[caution]"),
        (Self::Test, "[test]"),
        (Self::View, "[view]"),
        (Self::Cue, "[cue]"),
        (Self::Shot, "[shot]"),
    ];

    /// Whether its words have a gender.
    const fn has_gender(self) -> bool {
        !matches!(self, Self::Caution | Self::View | Self::Cue | Self::Shot)
    }
}

/// The grammatical gender of a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gender {
    /// Masculine.
    M,
    /// Feminine.
    F,
    /// Neuter.
    N,
    /// Plural.
    P,
    /// None is told, or the language has none.
    None,
}

impl Gender {
    /// As catalogues name it.
    pub(super) const fn letter(self) -> &'static str {
        match self {
            Self::M => "m",
            Self::F => "f",
            Self::N => "n",
            Self::P => "p",
            Self::None => "other",
        }
    }

    fn of(letter: &str) -> Self {
        match letter {
            "m" => Self::M,
            "f" => Self::F,
            "n" => Self::N,
            "p" => Self::P,
            _ => Self::None,
        }
    }
}

/// A word in the language of a paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Word {
    /// As it begins a line.
    pub(super) text: String,
    pub(super) gender: Gender,
    /// Of several with their numbers; empty where there is none.
    plural: String,
    /// Where the comma stands before where it lies; `None` without one.
    placed: Option<usize>,
    /// Whether no file has it, so that it is the user's own.
    pub(super) is_own: bool,
}

impl Word {
    /// Without the comma before where it lies, which a sentence of German or French does not have: `Bein vorne links`.
    pub(super) fn within(&self) -> Self {
        let mut within = self.clone();
        if let Some(at) = self.placed {
            within.text.remove(at);
        }
        within
    }

    /// As within a sentence.
    pub(super) fn small(&self, tongue: Tongue) -> String {
        match tongue.language {
            Language::English | Language::French => small(&self.text),
            Language::German => self.text.clone(),
        }
    }
}

type Words = BTreeMap<(Kind, String), Word>;

static WORDS: LazyLock<[Words; 2]> = LazyLock::new(|| {
    [
        parsed(Language::German, include_str!("data/de.words.txt")),
        parsed(Language::French, include_str!("data/fr.words.txt")),
    ]
});

/// Reads a file of words: under the heading of its kind a word a line, `English = gender word ; plural`.
fn parsed(language: Language, text: &'static str) -> Words {
    let mut words = Words::new();
    let mut kind = Kind::Part;
    for line in lines(text) {
        if let Some(it) = Kind::ALL.iter().find(|it| it.1 == line) {
            kind = it.0;
        } else if let Some((english, said)) = line.split_once(" = ") {
            let told = match said.split_once(' ') {
                Some((gender, rest)) if gender.len() == 1 && kind.has_gender() => {
                    let (text, plural) = rest.split_once(" ; ").unwrap_or((rest, ""));
                    (Gender::of(gender), text, plural)
                }
                _ => (Gender::None, said, ""),
            };
            let word = Word {
                text: spaced(language, told.1),
                gender: told.0,
                plural: told.2.to_owned(),
                placed: placed(english, told.1),
                is_own: false,
            };
            words.insert((kind, english.to_lowercase()), word);
        }
    }
    words
}

/// Where a part of several lies: the English of what stands behind its comma. All else behind one is a part of it.
const PLACES: [&str; 6] = [
    "left",
    "right",
    "front left",
    "front right",
    "back left",
    "back right",
];

/// Where the comma stands in a word that a file has as a whole with where it lies, which may be the front or the back of it all.
fn placed(english: &str, text: &str) -> Option<usize> {
    let (_, place) = english.split_once(", ")?;
    let place = place.to_lowercase();
    let is_place = PLACES.contains(&place.as_str()) || matches!(place.as_str(), "front" | "back");
    is_place.then(|| text.find(", ")).flatten()
}

fn words_of(language: Language) -> Option<&'static Words> {
    match language {
        Language::English => None,
        Language::German => Some(&WORDS[0]),
        Language::French => Some(&WORDS[1]),
    }
}

/// The English of every word of a kind that the file of a language has, in small letters.
#[must_use]
pub fn entries(language: Language, kind: Kind) -> Vec<&'static str> {
    let words = words_of(language).into_iter().flatten();
    let of_kind = words.filter(|it| it.0.0 == kind);
    of_kind.map(|it| it.0.1.as_str()).collect()
}

/// A word in the language of a paper; one that no file has is the user's own, and stays as it is.
pub(super) fn word(tongue: Tongue, kind: Kind, english: &str) -> Word {
    let words = words_of(tongue.language);
    let found = words.and_then(|words| match kind {
        Kind::Part => part(words, tongue, english),
        _ => words.get(&(kind, english.to_lowercase())).cloned(),
    });
    found.unwrap_or_else(|| Word {
        text: english.to_owned(),
        gender: match words {
            None => number_of(english),
            Some(_) => Gender::None,
        },
        plural: String::new(),
        placed: None,
        is_own: words.is_some(),
    })
}

/// Plural where an English word, up to its comma, ends as one: `Slats`, `Straps, corners, handles`, and not `Mirror glass`.
fn number_of(english: &str) -> Gender {
    let head = english.split(',').next().unwrap_or_default();
    match head.ends_with('s') && !head.ends_with("ss") {
        true => Gender::P,
        false => Gender::None,
    }
}

/// `Drawer 1, front` in another language: known as a whole, or piece by piece.
fn part(words: &Words, tongue: Tongue, label: &str) -> Option<Word> {
    let get = |text: &str| words.get(&(Kind::Part, text.to_lowercase())).cloned();
    if let Some(whole) = get(label) {
        return Some(whole);
    }
    let pieces: Vec<&str> = label.split(", ").collect();
    let mut said: Option<Word> = None;
    for piece in pieces {
        let (stem, number) = numbered(piece);
        let mut word = get(stem)?;
        if let Some(number) = number {
            word.text = format!("{} {number}", word.text);
        }
        said = Some(match said {
            None => word,
            Some(before) => Word {
                text: format!("{}, {}", before.text, word.small(tongue)),
                placed: PLACES
                    .contains(&stem.to_lowercase().as_str())
                    .then_some(before.text.len()),
                ..before
            },
        });
    }
    said
}

/// A part of which several are named by their numbers: `Drawers`, `Schubladen`; `stem` is the English of one of them.
pub(super) fn several(tongue: Tongue, stem: &str) -> Word {
    let known = words_of(tongue.language);
    let known = known.and_then(|it| it.get(&(Kind::Part, stem.to_lowercase())));
    let text = match (tongue.language, known) {
        (Language::English, _) => plural_of(stem),
        (_, Some(it)) if !it.plural.is_empty() => capital(&it.plural),
        _ => return word(tongue, Kind::Part, stem),
    };
    Word {
        text,
        gender: Gender::P,
        plural: String::new(),
        placed: None,
        is_own: false,
    }
}

/// `Shelves`, for `Shelf`.
fn plural_of(stem: &str) -> String {
    match stem.strip_suffix("lf").or_else(|| stem.strip_suffix("af")) {
        Some(_) => format!("{}ves", &stem[..stem.len() - 1]),
        None => format!("{stem}s"),
    }
}

/// `Drawer` and `2`, for `Drawer 2`.
#[must_use]
pub fn numbered(label: &str) -> (&str, Option<&str>) {
    match label.rsplit_once(' ') {
        Some((stem, number)) if number.bytes().all(|it| it.is_ascii_digit()) => {
            (stem, Some(number))
        }
        _ => (label, None),
    }
}
