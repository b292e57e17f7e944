//! The stock book as a folder: found, made, opened, locked.

use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;

use crate::kit::clock::Moment;
use crate::kit::files::make_folder;
use crate::kit::files::write_whole;
use crate::kit::lock::Lock;
use crate::kit::money::Currency;
use crate::mark;
use crate::model::complaint::Complaint;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::record::Previews;
use crate::record::Record;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::overlay;
use crate::work::book::overlay::OwnWords;
use crate::work::book::user_text::read_user_text;
use crate::work::progress::Progress;
use crate::work::sidecars::vocabulary;

/// The user's settings.
const SETTINGS: &str = "book.toml";

/// The words of a sidecar, for editors.
const SCHEMA: &str = "sidecar.schema.json";

/// The file whose lock is held while files enter the book.
pub(in crate::work) const LOCK: &str = ".book.lock";

/// The small pictures, worked out from the originals.
pub(in crate::work) const PREVIEWS: &str = "previews.db";

/// The file that makes a folder a stock book.
pub const DATABASE: &str = "book.db";

/// A stock book, open.
#[derive(Debug)]
pub struct OpenBook {
    /// Its folder.
    pub root: PathBuf,
    /// The moment that counts as now for the whole command.
    pub now: Moment,
    /// The trade book with the user's own words in it; the embedded one while these have mistakes.
    pub(in crate::work) trade: Arc<TradeBook>,
    /// What is wrong with the user's own words.
    word_mistakes: Vec<Complaint>,
    pub(in crate::work) record: Record,
}

impl OpenBook {
    /// Starts a stock book in `root`, which may be there as long as no book is in it.
    ///
    /// # Errors
    /// When there is a book already, or the folder cannot be written.
    pub fn make(root: &Path, currency: Option<Currency>, now: Moment) -> Result<Self, WorkError> {
        if root.join(DATABASE).exists() {
            return Err(WorkError::BookThere(root.to_owned()));
        }
        make_folder(root)?;
        let settings = root.join(SETTINGS);
        if !settings.exists() {
            write_whole(&settings, mark::fresh_settings(currency).as_bytes())?;
        }
        let own = overlay::of(root)?;
        let schema = mark::schema(&vocabulary::of_the_trade(&own.trade));
        write_whole(&root.join(SCHEMA), schema.as_bytes())?;
        let record = Record::make(&root.join(DATABASE), now)?;
        Ok(Self::with(root, now, own, record))
    }

    /// Opens the book in `root`, for a job that may write to it.
    ///
    /// # Errors
    /// When there is none, or it cannot be read and written.
    pub fn open(root: &Path, now: Moment) -> Result<Self, WorkError> {
        let book = Self::open_to_read(root, now)?;
        book.record.needs_writable()?;
        Ok(book)
    }

    /// Opens the book in `root`, for a job that has something to say of a book that cannot be written to.
    ///
    /// # Errors
    /// When there is none, or it cannot be read.
    pub fn open_to_read(root: &Path, now: Moment) -> Result<Self, WorkError> {
        let database = root.join(DATABASE);
        if !database.is_file() {
            return Err(WorkError::NoBook(root.to_owned()));
        }
        let own = overlay::of(root)?;
        let book = Self::with(root, now, own, Record::open(&database, now)?);
        book.renew_schema();
        Ok(book)
    }

    fn with(root: &Path, now: Moment, own: OwnWords, record: Record) -> Self {
        Self {
            root: root.to_owned(),
            now,
            trade: own.trade,
            word_mistakes: own.mistakes,
            record,
        }
    }

    /// Writes the schema again where it does not hold the words of today. It only helps an editor: a book on a medium that
    /// cannot be written to opens all the same.
    fn renew_schema(&self) {
        if !self.word_mistakes.is_empty() {
            return;
        }
        let path = self.root.join(SCHEMA);
        let schema = mark::schema(&vocabulary::of_the_trade(&self.trade));
        if fs::read(&path).is_ok_and(|it| it == schema.as_bytes()) {
            return;
        }
        let _ = write_whole(&path, schema.as_bytes());
    }

    /// The folder of the book in `start` or the nearest folder above it.
    ///
    /// # Errors
    /// When there is none.
    pub fn nearest(start: &Path) -> Result<PathBuf, WorkError> {
        let found = start.ancestors().find(|it| it.join(DATABASE).is_file());
        let root = found.ok_or_else(|| WorkError::NoBook(start.to_owned()))?;
        Ok(root.to_owned())
    }

    /// The trade book with the user's own words in it.
    ///
    /// # Errors
    /// When `words.toml` has mistakes.
    pub fn trade(&self) -> Result<&TradeBook, WorkError> {
        if self.word_mistakes.is_empty() {
            return Ok(&self.trade);
        }
        Err(WorkError::Settings(self.word_mistakes.clone()))
    }

    /// The user's settings; the usual ones where `book.toml` is not there.
    ///
    /// # Errors
    /// When `book.toml` or `words.toml` cannot be read or has mistakes.
    pub fn settings(&self) -> Result<Settings, WorkError> {
        let words = vocabulary::of_settings(self.trade()?);
        let Some(text) = read_user_text(&self.root, SETTINGS)? else {
            return mark::settings(SETTINGS, "", &words).map_err(WorkError::Settings);
        };
        let text = text.map_err(|it| WorkError::Settings(vec![it]))?;
        mark::settings(SETTINGS, &text, &words).map_err(WorkError::Settings)
    }

    /// The user's settings, or the usual ones with the complaints, where `book.toml` or `words.toml` has mistakes.
    pub(in crate::work) fn settings_or_usual(
        &self,
    ) -> Result<(Settings, Vec<Complaint>), WorkError> {
        match self.settings() {
            Ok(settings) => Ok((settings, Vec::new())),
            Err(WorkError::Settings(mistakes)) => {
                let words = vocabulary::of_settings(&self.trade);
                let usual = mark::settings(SETTINGS, "", &words).map_err(WorkError::Settings)?;
                Ok((usual, mistakes))
            }
            Err(error) => Err(error),
        }
    }

    /// The small pictures.
    pub(in crate::work) fn previews(&self) -> Result<Previews, WorkError> {
        Ok(Previews::open(&self.root.join(PREVIEWS))?)
    }

    /// A piece's folder.
    #[must_use]
    pub fn piece_folder(&self, piece: &Piece) -> PathBuf {
        self.root.join(&piece.folder)
    }

    /// Where a photo's original lies.
    pub(in crate::work) fn original(&self, piece: &Piece, photo: &Photo) -> PathBuf {
        self.piece_folder(piece)
            .join(&photo.folder)
            .join(&photo.name)
    }

    /// A piece.
    ///
    /// # Errors
    /// When there is none of that number.
    pub fn piece(&self, stock_no: &StockNo) -> Result<Piece, WorkError> {
        Ok(self.record.piece(stock_no)?)
    }

    /// Waits until no other window works on the files of the book, and keeps others waiting until the lock is dropped.
    pub(in crate::work) fn lock(&self, progress: &dyn Progress) -> Result<Lock, WorkError> {
        let wait =
            || progress.say("another window works on the files of this book; waiting for it");
        // Where a share knows no locks, the database is the only guard.
        Ok(Lock::take(&self.root.join(LOCK), wait)?)
    }
}
