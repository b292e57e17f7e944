//! By what a record shows that a piece had left.

use crate::kit::clock::Day;
use crate::model::photo::Stage;

/// When the first pictures from after the sale came into the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CameIn {
    /// Their occasion: the one that they are, or ever were, told as of.
    pub stage: Stage,
    /// The occasion with which they were taken in, by the line.
    pub taken_in_as: Stage,
    /// The day.
    pub day: Day,
    /// The line.
    pub line: u64,
}

/// The line from which on the piece had left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SinceLeft {
    /// That it was sold.
    Sold {
        /// The line that first tells the sale.
        line: u64,
        /// The day of the sale, as told.
        day: Day,
    },
    /// That the first pictures from after the sale came in.
    CameIn(CameIn),
}

impl SinceLeft {
    /// Its line.
    #[must_use]
    pub fn line(&self) -> u64 {
        match self {
            Self::Sold { line, .. } => *line,
            Self::CameIn(it) => it.line,
        }
    }

    /// `after it had been sold`.
    pub(in crate::report) fn named(&self) -> String {
        match self {
            Self::Sold { .. } => "after it had been sold".to_owned(),
            Self::CameIn(it) => format!("after the pictures of the {} came in", it.stage),
        }
    }

    /// The same with its day and line.
    pub(in crate::report) fn told(&self) -> String {
        let named = self.named();
        match self {
            Self::Sold { line, day } => format!("{named} ({}, line {line})", day.spoken()),
            Self::CameIn(it) => {
                let other = match it.taken_in_as == it.stage {
                    true => String::new(),
                    false => format!(", taken in as {}", it.taken_in_as),
                };
                format!("{named} ({}, line {}{other})", it.day.spoken(), it.line)
            }
        }
    }
}
