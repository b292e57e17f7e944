//! Three answers to a question: yes, no, not known.

use crate::trade::entry::condition::Sign;

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

    /// The other way round; what is not known stays so.
    #[must_use]
    pub fn negated(self) -> Self {
        match self {
            Self::Yes => Self::No,
            Self::No => Self::Yes,
            Self::Open => Self::Open,
        }
    }

    /// What is known to be so, or not known at all.
    pub(crate) fn told(so: impl Into<Option<bool>>) -> Self {
        match so.into() {
            Some(true) => Self::Yes,
            Some(false) => Self::No,
            None => Self::Open,
        }
    }

    /// The answer to a question, or to its opposite.
    pub(crate) fn signed(self, sign: Sign) -> Self {
        match sign {
            Sign::Must => self,
            Sign::MustNot => self.negated(),
        }
    }
}
