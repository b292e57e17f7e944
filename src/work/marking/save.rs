//! Saving what was said: each change names what it takes the place of, and is made to the file as it is now.
//!
//! So two windows, and an edit by hand made meanwhile, come together; where a change would write over what somebody else
//! wrote, nothing is written, both are shown and the person chooses.

use std::path::Path;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::files::make_folder;
use crate::kit::files::read;
use crate::kit::files::write_whole;
use crate::mark;
use crate::model::complaint::Complaint;
use crate::model::mark::Sidecar;
use crate::work::WorkError;
use crate::work::book::user_text::not_utf8;
use crate::work::marking::At;
use crate::work::marking::MarkingSession;
use crate::work::marking::edit::Clash;
use crate::work::marking::edit::Edit;
use crate::work::marking::fitting::fitted;
use crate::work::sidecars::vocabulary;

/// Changes to what is said of one photo, in order.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaveRequest {
    /// The photo.
    pub photo: u32,
    /// The changes.
    pub changes: Vec<Edit>,
    /// Whether the person saw both sides and chose their own.
    #[serde(default)]
    pub mine: bool,
}

/// What came of it.
#[derive(Clone, Debug, Serialize)]
#[serde(untagged)]
pub enum Answer {
    /// All is written.
    Said(Said),
    /// Nothing is written: somebody else changed the same thing.
    Conflict(Conflict),
    /// Nothing is written: the file, or what it would become, cannot be read.
    Wrong(Wrong),
}

/// A sidecar as it is now.
#[derive(Clone, Debug, Serialize)]
pub struct Said {
    /// Tells one text of the file from another.
    pub version: String,
    /// What it says.
    pub said: Sidecar,
}

/// Changes that would write over what somebody else wrote.
#[derive(Clone, Debug, Serialize)]
pub struct Conflict {
    /// Tells one text of the file from another.
    pub version: String,
    /// What the file says.
    pub said: Sidecar,
    /// The changes that do not fit, with what stands there now.
    pub stuck: Vec<Clash>,
}

/// What the page asks for again and again, to see whether somebody worked elsewhere.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FileNow {
    /// Tells one text of the file from another; empty while there is no file.
    pub version: String,
    /// How many photos the piece has.
    pub photos: usize,
}

/// Why a text cannot be read.
#[derive(Clone, Debug, Serialize)]
pub struct Wrong {
    /// What, and what to do.
    pub message: String,
    /// Where.
    pub complaints: Vec<Complaint>,
}

impl MarkingSession {
    /// Writes changes into the sidecar of a photo, whole or not at all; comments and order stay.
    ///
    /// # Errors
    /// When there is no such photo, or the file cannot be read or written.
    pub fn say(&self, now: Moment, saying: &SaveRequest) -> Result<Answer, WorkError> {
        let at = self.at(now, saying.photo)?;
        let path = at.sidecar();
        let shown = path.file_name().unwrap_or_default().to_string_lossy();
        let words = vocabulary::of_piece(
            at.book.trade()?,
            &at.piece,
            &at.book.record.findings(&self.stock_no)?,
        );
        let text = match self.text(&at, &path, &shown)? {
            Ok(text) => text,
            Err(complaint) => return Ok(wrong(BROKEN, vec![complaint])),
        };
        let said = match self.read_beside(&at, &shown, &text)? {
            Ok(said) => said,
            Err(complaints) => return Ok(wrong(BROKEN, complaints)),
        };
        let (changes, clashes) = fitted(&said, &saying.changes, saying.mine, &words);
        if !clashes.is_empty() {
            return Ok(Answer::Conflict(Conflict {
                version: version_of(&text),
                said,
                stuck: clashes,
            }));
        }
        let written = match mark::rewritten(&text, &changes) {
            Ok(written) => written,
            Err(complaints) => return Ok(wrong(SHAPE, complaints)),
        };
        let said = match self.read_beside(&at, &shown, &written)? {
            Ok(said) => said,
            Err(complaints) => return Ok(wrong(REFUSED, complaints)),
        };
        if written != text || !path.exists() {
            if let Some(folder) = path.parent() {
                make_folder(folder)?;
            }
            write_whole(&path, written.as_bytes())?;
        }
        Ok(Answer::Said(Said {
            version: version_of(&written),
            said,
        }))
    }

    /// The version of a photo's sidecar, and how many photos there are by now.
    ///
    /// # Errors
    /// When there is no such photo, or the file cannot be read.
    pub fn version(&self, now: Moment, photo: u32) -> Result<FileNow, WorkError> {
        let at = self.at(now, photo)?;
        let path = at.sidecar();
        let version = match path.exists() {
            true => version_of(&String::from_utf8_lossy(&read(&path)?)),
            false => String::new(),
        };
        let photos = at.photos;
        Ok(FileNow { version, photos })
    }

    /// The text of a sidecar; of one that is gone the last good one, else what the record says.
    pub(super) fn text(
        &self,
        at: &At,
        path: &Path,
        shown: &str,
    ) -> Result<Result<String, Complaint>, WorkError> {
        if path.exists() {
            let text = String::from_utf8(read(path)?);
            return Ok(text.map_err(|error| {
                not_utf8(shown, error.as_bytes(), error.utf8_error().valid_up_to())
            }));
        }
        let last = at.book.record.sidecar_text(&self.stock_no, at.photo.no)?;
        Ok(Ok(last.unwrap_or_else(|| {
            mark::written(&at.photo.name, &at.photo.sidecar)
        })))
    }
}

const BROKEN: &str = "the file beside this picture has mistakes and cannot be changed from here: put it right there, or in an editor; what you said is kept on this page, and written then";
const SHAPE: &str = "the file beside this picture is written in a way that cannot be changed from here: change it in an editor; what you said is kept on this page";
const REFUSED: &str = "this cannot be written as it is";

/// The version of a text.
pub(super) fn version_of(text: &str) -> String {
    Digest::of(text.as_bytes()).short(16)
}

fn wrong(message: &str, complaints: Vec<Complaint>) -> Answer {
    let because = complaints.first().map(|it| it.message.as_str());
    let message = match because {
        Some(because) => format!("{message} ({because})"),
        None => message.to_owned(),
    };
    Answer::Wrong(Wrong {
        message,
        complaints,
    })
}
