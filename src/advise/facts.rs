//! What is known of a part, as the rules of the trade book ask for it: yes, no, or not known.

use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::atom::Atom;

/// The answer to a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Truth {
    /// It is so.
    Yes,
    /// It is not so.
    No,
    /// The record does not tell.
    Open,
}

impl Truth {
    /// Both (Kleene's strong logic).
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::No, _) | (_, Self::No) => Self::No,
            (Self::Yes, Self::Yes) => Self::Yes,
            _ => Self::Open,
        }
    }

    /// Either (Kleene's strong logic).
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        match (self, other) {
            (Self::Yes, _) | (_, Self::Yes) => Self::Yes,
            (Self::No, Self::No) => Self::No,
            _ => Self::Open,
        }
    }
}

/// What is known of one part.
#[derive(Clone, Debug)]
pub struct Facts {
    // To be filled: material, face_mm, finish, levels by tag, cues ...
}

impl Facts {
    /// Of a part of the piece, with the faults of the whole piece where a rule reaches that far.
    #[must_use]
    pub fn of(_it: &Assessment, _part: &PartId, _book: &TradeBook) -> Self {
        Self {}
    }

    /// The answer to one question.
    #[must_use]
    pub fn answer(&self, _atom: &Atom) -> Truth {
        Truth::Open
    }

    /// Whether all lines hold; a line holds when one of its questions does.
    #[must_use]
    pub fn holds(&self, when: &[Vec<Atom>]) -> Truth {
        let line = |line: &Vec<Atom>| {
            line.iter()
                .fold(Truth::No, |sum, it| sum.or(self.answer(it)))
        };
        when.iter().fold(Truth::Yes, |sum, it| sum.and(line(it)))
    }
}
