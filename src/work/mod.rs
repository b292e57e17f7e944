//! One function a job; the only room where the others meet.
//!
//! In: what the user asked. Out: what was done, as plain data. May not know: printing, the command line.

pub mod advice;
pub mod backup;
pub mod book;
pub mod dossier;
pub mod exchange;
pub mod keep;
pub mod marking;
pub mod out;
pub mod photos;
pub mod piece;
pub mod progress;
pub mod proof;
pub mod remove;
pub mod report;
pub mod sidecars;

use std::path::PathBuf;

use crate::bucket::fault::BucketFault;
use crate::evidence::dossier::package::DossierError;
use crate::evidence::key::file::KeyFileFault;
use crate::evidence::key::passphrase::TooShort;
use crate::evidence::stamp::fault::StampFault;
use crate::kit::clock::ClockError;
use crate::kit::files::FileError;
use crate::kit::measure::LengthError;
use crate::kit::money::MoneyError;
use crate::kit::random::RandomError;
use crate::model::complaint::Complaint;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::record::RecordError;
use crate::record::RemovedRow;
use crate::report::ReportError;
use crate::vault::VaultError;
use crate::work::proof::authority::AuthorityError;

/// What to do where a book cannot be written to.
const READ_ONLY: &str = "the book cannot be written to here; copy it to a place where you may write, or change the rights of its folder";

/// Why a job could not be done.
#[derive(Debug, thiserror::Error)]
pub enum WorkError {
    /// A file or folder.
    #[error(transparent)]
    File(#[from] FileError),
    /// The stock book's database.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// An original could not be stored.
    #[error(transparent)]
    Vault(#[from] VaultError),
    /// The page could not be made.
    #[error(transparent)]
    Report(#[from] ReportError),
    /// The book's key.
    #[error("the book's key cannot be used")]
    Key(#[from] KeyFileFault),
    /// A time-stamp reply that proves nothing.
    #[error("the time stamp does not hold")]
    Stamp(#[from] StampFault),
    /// An authority that gave no reply.
    #[error(transparent)]
    Authority(#[from] AuthorityError),
    /// A dossier that cannot be written.
    #[error(transparent)]
    Dossier(#[from] DossierError),
    /// No random numbers.
    #[error(transparent)]
    Chance(#[from] RandomError),
    /// No book where one was looked for.
    #[error("there is no stock book in `{}` or any folder above it", .0.display())]
    NoBook(PathBuf),
    /// A book is there already.
    #[error("there is a stock book in `{}` already", .0.display())]
    BookThere(PathBuf),
    /// The folder is not empty.
    #[error("the folder `{}` is not empty", .0.display())]
    NotEmpty(PathBuf),
    /// What the user asked makes no sense, and why; with what to do.
    #[error("{what}")]
    Asked {
        /// What is wrong.
        what: String,
        /// What to do.
        hint: Option<String>,
    },
    /// The settings or the user's own words have mistakes.
    #[error("`{}` cannot be used until it is put right", .0.first().map_or("book.toml", |it| it.file.as_str()))]
    Settings(Vec<Complaint>),
    /// A sidecar was changed, and the book cannot be written to.
    #[error("the sidecar `{0}` was changed and cannot be taken in")]
    Unread(String),
    /// The demo photos are not there.
    #[error("the demo photos are not in `{}`", .0.display())]
    NoDemo(PathBuf),
}

impl WorkError {
    /// Something the user asked that makes no sense.
    fn asked(what: impl Into<String>) -> Self {
        Self::Asked {
            what: what.into(),
            hint: None,
        }
    }

    /// The same, with what to do.
    fn asked_with(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Asked {
            what: what.into(),
            hint: Some(hint.into()),
        }
    }

    /// A picture that the piece has not; `all` are the numbers of those that it has.
    fn no_picture(
        out: &[RemovedRow],
        stock_no: &StockNo,
        photo: u32,
        all: impl IntoIterator<Item = u32>,
    ) -> Self {
        let all: Vec<u32> = all.into_iter().collect();
        if let Some(it) = out.iter().find(|it| it.no == photo) {
            return Self::asked_with(
                format!(
                    "picture {photo} of {stock_no} was taken out of the record on {}",
                    it.removed.local_day()
                ),
                format!("`asfound put-back {stock_no} --photo {photo}` brings it back"),
            );
        }
        let what = format!("{stock_no} has no picture {photo}");
        match (all.iter().min(), all.iter().max()) {
            (Some(first), Some(last)) => Self::asked_with(
                what,
                format!("its pictures have numbers from {first} to {last}"),
            ),
            _ => Self::asked_with(what, "it has no pictures: `asfound import` takes them in"),
        }
    }

    /// A finding that the piece has not.
    fn no_finding(stock_no: &StockNo, no: FindingNo) -> Self {
        Self::asked_with(
            format!("{stock_no} has no finding {no}"),
            format!("`asfound survey {stock_no}` lists its findings"),
        )
    }

    /// Whether the cause is a disk without room.
    #[must_use]
    pub fn is_full_disk(&self) -> bool {
        match self {
            Self::File(error) | Self::Vault(VaultError::File(error)) => error.is_full_disk(),
            Self::Record(error) => error.is_full_disk(),
            _ => false,
        }
    }

    /// What the user can do about it, in one sentence, if there is something.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        if let Self::File(error) = self
            && let Some(fault) = BucketFault::of(&error.source)
        {
            return fault.hint.map(str::to_owned);
        }
        if self.is_full_disk() {
            return Some(
                "the disk is full; what was taken in is whole: make room and run the same command again".into(),
            );
        }
        match self {
            Self::File(error) | Self::Vault(VaultError::File(error)) => {
                error.what_to_do().map(str::to_owned)
            }
            Self::Record(error) if error.is_read_only() => Some(READ_ONLY.into()),
            Self::Unread(_) => Some(READ_ONLY.into()),
            Self::Record(error) if error.is_busy() => {
                Some("another program is writing to the book; wait until it is done, then run the same command again".into())
            }
            Self::Record(RecordError::Newer { .. }) => {
                Some("get the newest asfound; this one leaves the book as it is".into())
            }
            Self::Record(RecordError::NoPiece(_)) => Some("`asfound stock` lists the pieces".into()),
            Self::NoBook(_) => Some(
                "go to your book's folder, name it with --book, or start one with `asfound new-book DIR`".into(),
            ),
            Self::NotEmpty(_) => Some("name a folder that is empty or not there yet".into()),
            Self::NoDemo(_) => Some("run the demo from the project's own folder".into()),
            Self::Asked { hint, .. } => hint.clone(),
            _ => None,
        }
    }

    /// Complaints to be drawn below the message.
    #[must_use]
    pub fn complaints(&self) -> &[Complaint] {
        match self {
            Self::Settings(complaints) => complaints,
            _ => &[],
        }
    }
}

impl From<TooShort> for WorkError {
    fn from(why: TooShort) -> Self {
        Self::asked_with(why.to_string(), TooShort::HINT)
    }
}

macro_rules! asked_from {
    ($($kind:ty),*) => {$(
        impl From<$kind> for WorkError {
            fn from(error: $kind) -> Self {
                Self::asked(error.to_string())
            }
        }
    )*};
}

asked_from!(ClockError, LengthError, MoneyError);
