//! What every command may need beside its own arguments.

use std::path::PathBuf;
use std::sync::Arc;

use crate::cli::environment;
use crate::desk;
use crate::kit::clock::Moment;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

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

    /// Opens the book that was named, or the nearest one.
    pub(super) fn open(&self) -> Result<OpenBook, WorkError> {
        match &self.book {
            Some(root) => OpenBook::open(root, self.now),
            None => {
                let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
                OpenBook::nearest(&here, self.now)
            }
        }
    }

    /// Opens the book that was named, or the nearest one; `None` where none was named and none is near.
    pub(super) fn open_if_any(&self) -> Result<Option<OpenBook>, WorkError> {
        match self.open() {
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
