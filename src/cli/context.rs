//! What every command may need beside its own arguments.

use std::path::PathBuf;
use std::sync::Arc;

use crate::cli::environment;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::desk;
use crate::kit::clock::Moment;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::withdraw::withdrawal;

/// What every command may need.
pub(super) struct Context {
    book: Option<PathBuf>,
    /// Whether the answer is JSON.
    pub(super) json: bool,
    /// The moment that counts as now.
    pub(super) now: Moment,
}

impl Context {
    /// Of a command about the book in `book`, or about the nearest one.
    pub(super) fn new(book: Option<PathBuf>, json: bool, now: Moment) -> Self {
        Self { book, json, now }
    }

    /// The folder of the book that was named, or of the nearest one.
    fn root(&self) -> Result<PathBuf, WorkError> {
        match &self.book {
            Some(root) => Ok(root.clone()),
            None => {
                let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
                OpenBook::nearest(&here)
            }
        }
    }

    /// Opens the book that was named, or the nearest one, for a command that may write to it.
    pub(super) fn open(&self) -> Result<OpenBook, WorkError> {
        OpenBook::open(&self.root()?, self.now)
    }

    /// Opens it for a command that also has something to say of a book that cannot be written to.
    pub(super) fn open_to_read(&self) -> Result<OpenBook, WorkError> {
        OpenBook::open_to_read(&self.root()?, self.now)
    }

    /// The same for a command about a piece; where that is withdrawn, it is said.
    pub(super) fn open_of(&self, no: &StockNo) -> Result<OpenBook, WorkError> {
        let book = self.open()?;
        mind_withdrawn(&book, no);
        Ok(book)
    }

    /// The same for a command that also has something to say of a book that cannot be written to.
    pub(super) fn open_to_read_of(&self, no: &StockNo) -> Result<OpenBook, WorkError> {
        let book = self.open_to_read()?;
        mind_withdrawn(&book, no);
        Ok(book)
    }

    /// Opens it to be read; `None` where none was named and none is near.
    pub(super) fn open_if_any(&self) -> Result<Option<OpenBook>, WorkError> {
        match self.open_to_read() {
            Ok(book) => Ok(Some(book)),
            Err(WorkError::NoBook(_)) if self.book.is_none() => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// The moment that counts as now for a command that runs on for hours: fixed where the environment fixes it.
    pub(super) fn clock(&self) -> desk::Now {
        let (fixed, started) = (environment::is_now_fixed(), self.now);
        Arc::new(move || if fixed { started } else { Moment::now() })
    }
}

/// Says that a piece is withdrawn; of one that is not in the book, the job itself tells.
pub(super) fn mind_withdrawn(book: &OpenBook, no: &StockNo) {
    if let Ok(Some(it)) = withdrawal(book, no) {
        talk(&format!(
            "{} {no} was withdrawn on {}: {}",
            mark("mind:"),
            it.at.local_day(),
            it.why
        ));
    }
}
