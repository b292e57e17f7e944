//! How a command ended.

use std::process::ExitCode;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Exit {
    /// Done.
    Done,
    /// Done, but something needs a hand.
    NeedsAHand,
    /// Not done; what is missing has been told.
    CouldNot,
}

impl Exit {
    /// Done, and whether nothing needs a hand.
    pub(super) fn clean(clean: bool) -> Self {
        if clean { Self::Done } else { Self::NeedsAHand }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        match exit {
            Exit::Done => Self::SUCCESS,
            Exit::NeedsAHand => Self::from(1),
            Exit::CouldNot => Self::from(2),
        }
    }
}
