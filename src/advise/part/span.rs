//! A number of which only the bounds are known.

use crate::advise::part::truth::Truth;
use crate::trade::entry::condition::Op;

/// Everything a number may be, both ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Span {
    /// At least this.
    pub(crate) from: f64,
    /// At most this.
    pub(crate) to: f64,
}

impl Span {
    /// A number that is known.
    pub(crate) fn exactly(value: f64) -> Self {
        Self {
            from: value,
            to: value,
        }
    }

    /// How it compares with `value`, whichever of its numbers is true.
    pub(crate) fn compares(self, op: Op, value: f64) -> Truth {
        let less = match (self.to < value, self.from >= value) {
            (true, _) => Truth::Yes,
            (_, true) => Truth::No,
            _ => Truth::Open,
        };
        let at_most = match (self.to <= value, self.from > value) {
            (true, _) => Truth::Yes,
            (_, true) => Truth::No,
            _ => Truth::Open,
        };
        match op {
            Op::Less => less,
            Op::AtMost => at_most,
            Op::AtLeast => less.negated(),
            Op::More => at_most.negated(),
            Op::Equal => at_most.and(less.negated()),
        }
    }

    /// The lower of two numbers.
    pub(crate) fn lower(self, other: Self) -> Self {
        Self {
            from: self.from.min(other.from),
            to: self.to.min(other.to),
        }
    }

    /// Whether it may be this number.
    pub(crate) fn holds(self, value: f64) -> bool {
        self.from <= value && value <= self.to
    }
}
