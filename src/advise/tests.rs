//! Rules on cases.
#![expect(clippy::unwrap_used, reason = "a test may fail by panic")]

mod labour;
mod made_up;
mod price;
mod refinish;
mod words;
