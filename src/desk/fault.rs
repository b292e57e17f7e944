//! Why a marking page cannot be opened.

use std::io;

use crate::kit::files::FileError;
use crate::kit::random::RandomError;
use crate::model::ids::StockNo;
use crate::work::WorkError;

/// Why a marking page cannot be opened or ended badly.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// A job on the book.
    #[error(transparent)]
    Work(#[from] WorkError),
    /// The book's folder cannot be written to.
    #[error("this book cannot be written to here, so nothing said on the page could be kept")]
    ReadOnly(#[source] FileError),
    /// No random numbers.
    #[error(transparent)]
    Chance(#[from] RandomError),
    /// The marking page of this book is open already.
    #[error("the marking page of this book is open already{}", at(.0.as_ref()))]
    OpenAlready(Option<(StockNo, String)>),
    /// No such photo in the piece.
    #[error("{piece} has no photo {photo}")]
    NoPhoto {
        /// The piece.
        piece: StockNo,
        /// The number asked for.
        photo: u32,
    },
    /// The port cannot be had.
    #[error("port {port} of 127.0.0.1 cannot be had")]
    Port {
        /// The port; 0 for any.
        port: u16,
        /// Why not.
        source: io::Error,
    },
    /// The system gave no means to serve.
    #[error("the marking page cannot be served")]
    Serve(#[source] io::Error),
}

/// Where the page that is open is.
fn at(open: Option<&(StockNo, String)>) -> String {
    open.map_or_else(
        || String::from(", in another window"),
        |(piece, address)| format!(", for {piece}, at {address}"),
    )
}

impl DeskError {
    /// What the user can do about it, in one sentence, if there is something.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        let text = match self {
            Self::Work(error) => return error.hint(),
            Self::ReadOnly(_) => {
                "copy the book to a place where you may write, or change the rights of its folder"
            }
            Self::OpenAlready(_) => {
                "go on there, or end it with Ctrl-C in its window, then run the same command again"
            }
            Self::NoPhoto { .. } => "`asfound survey` counts the photos of a piece",
            Self::Port { .. } => "name another one with --port, or leave it out",
            Self::Chance(_) | Self::Serve(_) => return None,
        };
        Some(text.to_owned())
    }
}
