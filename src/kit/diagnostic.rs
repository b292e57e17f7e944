//! What is wrong with a text that a person wrote, before it is drawn: where, what, and what to do about it.

use std::ops::Range;

/// A place in a text, in bytes.
pub type Span = Range<usize>;

/// Something wrong. Its place is a span of the text, or, in data that was read already, the key of an entry.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Diagnostic<P = Span> {
    /// Where.
    pub place: P,
    /// What is wrong, lower case, without a full stop.
    pub message: String,
    /// What to do about it, where that is known.
    pub help: Option<String>,
}

/// What was found wrong so far, in the order in which it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostics<P = Span>(Vec<Diagnostic<P>>);

impl<P> Default for Diagnostics<P> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<P> Diagnostics<P> {
    /// Adds what is wrong at a place.
    pub fn say(&mut self, place: P, message: impl Into<String>) {
        self.add(place, message.into(), None);
    }

    /// Adds what is wrong at a place, and what to do about it.
    pub fn advise(&mut self, place: P, message: impl Into<String>, help: impl Into<String>) {
        self.add(place, message.into(), Some(help.into()));
    }

    /// Adds what is wrong at a place, and what to do about it where that is known.
    pub fn add(&mut self, place: P, message: String, help: Option<String>) {
        self.0.push(Diagnostic {
            place,
            message,
            help,
        });
    }

    /// Adds what was found elsewhere.
    pub fn extend(&mut self, more: impl IntoIterator<Item = Diagnostic<P>>) {
        self.0.extend(more);
    }

    /// All that was found so far.
    #[must_use]
    pub fn all(&self) -> &[Diagnostic<P>] {
        &self.0
    }
}

impl Diagnostics {
    /// All of a text, sorted by place.
    #[must_use]
    pub fn by_place(mut self) -> Vec<Diagnostic> {
        self.0.sort_by_key(|it| (it.place.start, it.place.end));
        self.0
    }
}
