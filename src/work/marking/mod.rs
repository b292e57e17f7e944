//! What the marking page asks for: the walk round a piece, the words, pictures, and the saving of what was said.
//!
//! In: what the page asks. Out: what it shows, as plain data.
//!
//! Every job opens the book anew, so that hand edits, other windows and other commands are seen.

mod again;
pub mod edit;
mod finding_lines;
mod fitting;
mod guess;
mod laid;
pub mod laying;
mod look_alikes;
pub mod measure;
pub mod mend;
pub mod offer;
pub mod picture;
mod said;
pub mod save;
pub mod walk;
pub mod words;

use std::path::PathBuf;

use crate::kit::clock::Moment;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::piece::Piece;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// The piece that a marking page is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkingSession {
    /// The stock book's folder.
    pub root: PathBuf,
    /// The piece.
    pub stock_no: StockNo,
}

/// The record of one photo of the piece.
struct At {
    book: OpenBook,
    piece: Piece,
    photo: Photo,
    /// How many the piece has.
    photos: usize,
}

impl MarkingSession {
    /// The page of a piece of an open book.
    ///
    /// # Errors
    /// When there is no such piece.
    pub fn new(book: &OpenBook, stock_no: &StockNo) -> Result<Self, WorkError> {
        book.piece(stock_no)?;
        Ok(Self {
            root: book.root.clone(),
            stock_no: stock_no.clone(),
        })
    }

    fn open(&self, now: Moment) -> Result<OpenBook, WorkError> {
        OpenBook::open(&self.root, now)
    }

    /// Opens the book at a photo.
    fn at(&self, now: Moment, photo: u32) -> Result<At, WorkError> {
        let book = self.open(now)?;
        let photos = book.record.photos(&self.stock_no)?;
        let many = photos.len();
        let found = photos.into_iter().find(|it| it.no == photo);
        let photo = found.ok_or_else(|| {
            WorkError::asked_with(
                format!("there is no picture {photo} of piece {}", self.stock_no),
                "load the page again",
            )
        })?;
        Ok(At {
            piece: book.record.piece(&self.stock_no)?,
            photo,
            photos: many,
            book,
        })
    }
}

impl At {
    /// Where the original lies.
    fn original(&self) -> PathBuf {
        self.book.original(&self.piece, &self.photo)
    }

    /// Where its sidecar lies.
    fn sidecar(&self) -> PathBuf {
        let mut path = self.original();
        path.set_file_name(self.photo.sidecar_name());
        path
    }
}
