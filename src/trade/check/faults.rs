//! What cannot be right in a trade book: our own, or one with the user's words in it.

use crate::kit::diagnostic::Diagnostic;
use crate::kit::diagnostic::Diagnostics;
use crate::kit::text::suggest::near;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::trade_book::TradeBook;

/// Something that cannot be right in a book, at a key of an entry.
pub type Fault = Diagnostic<At>;

/// A book that is being checked, and what was found so far.
pub(in crate::trade) struct Check<'a> {
    pub(in crate::trade) book: &'a TradeBook,
    faults: Diagnostics<At>,
}

/// One key of one entry.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct At {
    /// The list, such as `tag`.
    pub list: &'static str,
    /// The entry.
    pub id: String,
    /// The key in it; empty for the entry as a whole.
    pub key: &'static str,
}

/// A key of an entry.
pub(in crate::trade) fn at(list: &'static str, id: &str, key: &'static str) -> At {
    At {
        list,
        id: id.to_owned(),
        key,
    }
}

impl<'a> Check<'a> {
    /// Begins with a book and no fault.
    pub(in crate::trade) fn of(book: &'a TradeBook) -> Self {
        Self {
            book,
            faults: Diagnostics::default(),
        }
    }

    /// All that was found, sorted, each fault once.
    pub(in crate::trade) fn end(self) -> Vec<Fault> {
        let mut faults = self.faults.all().to_vec();
        faults.sort();
        faults.dedup();
        faults
    }

    /// Says what is wrong there.
    pub(in crate::trade) fn say(&mut self, at: &At, says: impl Into<String>) {
        self.faults.say(at.clone(), says);
    }

    /// Says what is wrong there, and what to do.
    pub(in crate::trade) fn advise(&mut self, at: &At, says: impl Into<String>, help: &str) {
        self.faults.advise(at.clone(), says, help);
    }

    /// Every named word must be one of the known ones.
    pub(in crate::trade) fn named<'b>(
        &mut self,
        at: &At,
        named: impl IntoIterator<Item = &'b String>,
        known: &Known<'_>,
    ) {
        for word in named {
            if known.words.contains(&word.as_str()) {
                continue;
            }
            let meant = near(word, &known.words, &[]);
            let help = meant.first().map(|it| format!("did you mean `{it}`?"));
            let says = format!("`{word}` is not a {}", known.what);
            self.faults.add(at.clone(), says, help);
        }
    }

    /// Three numbers from low to high, none below the least one.
    pub(in crate::trade) fn ascending(&mut self, at: &At, [low, likely, high]: [f64; 3]) {
        let fits = low >= 0.0 && low <= likely && likely <= high && high.is_finite();
        let says = format!(
            "`{}` must be three numbers of 0 or more: low, likely, high",
            at.key
        );
        if !fits {
            self.say(at, says);
        }
    }

    /// Every question names what there is.
    pub(in crate::trade) fn questions(&mut self, at: &At, when: &[Vec<Condition>]) {
        let empty = when.iter().any(Vec::is_empty);
        if empty {
            self.say(at, "a line asks nothing");
        }
        for atom in when.iter().flatten() {
            let one = |word: &str| [word.to_owned()];
            match atom {
                Condition::Is { fact, value, .. } => {
                    let what = format!("value of `{}`", fact.word());
                    let words = fact.values().to_vec();
                    self.named(at, &one(value), &Known { what, words });
                }
                Condition::Fault { tag, .. } => self.named(at, &one(tag), &tags(self.book)),
                Condition::Group { group, .. } => {
                    let words = self.book.tags.iter().map(|it| it.group.as_str());
                    let words = words.collect();
                    let what = "group of faults".to_owned();
                    self.named(at, &one(group), &Known { what, words });
                }
                Condition::Cue { cue, .. } => self.named(at, &one(cue), &cues(self.book)),
                Condition::Number { .. } => {}
            }
        }
    }
}

/// Words that may be named, and what they are called.
pub(in crate::trade) struct Known<'a> {
    what: String,
    words: Vec<&'a str>,
}

impl<'a> Known<'a> {
    /// Words that are called so.
    pub(in crate::trade) fn of(what: &str, words: impl IntoIterator<Item = &'a str>) -> Self {
        Self {
            what: what.to_owned(),
            words: words.into_iter().collect(),
        }
    }
}

/// Coats, and none.
pub(in crate::trade) fn coats() -> Known<'static> {
    let words = Fact::Finish.values().iter().copied();
    Known::of("coat", words.filter(|it| *it != "unknown"))
}

macro_rules! known {
    ($($(#[$about:meta])* $name:ident, $list:ident, $what:literal;)*) => {$(
        $(#[$about])*
        pub(in crate::trade) fn $name(book: &TradeBook) -> Known<'_> {
            Known::of($what, book.$list.iter().map(|it| it.id.as_str()))
        }
    )*};
}

known! {
    /// Faults.
    tags, tags, "fault of the trade book";
    /// Observations.
    cues, cues, "observation of the trade book";
    /// Methods.
    methods, methods, "method of the trade book";
    /// Kinds of parts.
    kinds, kinds, "kind of part";
    /// Views.
    views, views, "view";
    /// Forms.
    forms, forms, "form of the trade book";
    /// Hazards.
    hazards, hazards, "hazard of the trade book";
    /// Paths.
    paths, paths, "path of the trade book";
}
