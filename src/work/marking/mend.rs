//! Putting right the text beside a photo, where it has mistakes.

use serde::Deserialize;
use serde::Serialize;

use crate::assess::faces::piece_shape::PieceShape;
use crate::kit::clock::Moment;
use crate::kit::files::write_whole;
use crate::mark;
use crate::model::complaint::Complaint;
use crate::model::face::LaidFace;
use crate::model::mark::Sidecar;
use crate::work::WorkError;
use crate::work::marking::At;
use crate::work::marking::MarkingSession;
use crate::work::marking::save::Answer;
use crate::work::marking::save::Conflict;
use crate::work::marking::save::Said;
use crate::work::marking::save::Wrong;
use crate::work::marking::save::version_of;
use crate::work::sidecars::face_check;
use crate::work::sidecars::vocabulary;

/// The text beside a photo.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Text {
    /// Tells one text of the file from another.
    pub version: String,
    /// The name of the file.
    pub file: String,
    /// What stands in it.
    pub text: String,
}

/// A text that is put right.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MendRequest {
    /// The photo.
    pub photo: u32,
    /// The version of the text that was put right.
    pub version: String,
    /// The text as it shall be.
    pub text: String,
}

impl MarkingSession {
    /// The text beside a photo, mistakes and all.
    ///
    /// # Errors
    /// When there is no such photo, or the file is none that can be read as text.
    pub fn text_beside(&self, now: Moment, photo: u32) -> Result<Text, WorkError> {
        let at = self.at(now, photo)?;
        let path = at.sidecar();
        let file = at.photo.sidecar_name();
        match self.text(&at, &path, &file)? {
            Ok(text) => Ok(Text {
                version: version_of(&text),
                file,
                text,
            }),
            Err(complaint) => Err(WorkError::asked_with(complaint.message, MEND_ELSEWHERE)),
        }
    }

    /// Writes a text beside a photo, if all of it can be read; a text that somebody else changed meanwhile is left alone.
    ///
    /// # Errors
    /// When there is no such photo, or the file cannot be read or written.
    pub fn mend(&self, now: Moment, asked: &MendRequest) -> Result<Answer, WorkError> {
        let at = self.at(now, asked.photo)?;
        let path = at.sidecar();
        let file = at.photo.sidecar_name();
        let there = match self.text(&at, &path, &file)? {
            Ok(text) => version_of(&text),
            Err(complaint) => return Ok(wrong(vec![complaint])),
        };
        let said = match self.read_beside(&at, &file, &asked.text)? {
            Ok(said) => said,
            Err(complaints) => return Ok(wrong(complaints)),
        };
        if there != asked.version {
            return Ok(Answer::Conflict(Conflict {
                version: there,
                said: at.photo.sidecar.clone(),
                stuck: Vec::new(),
            }));
        }
        write_whole(&path, asked.text.as_bytes())?;
        Ok(Answer::Said(Said {
            version: version_of(&asked.text),
            said,
        }))
    }

    /// What the file beside a photo says by now; `None` where it cannot be read.
    pub(super) fn said_beside(&self, at: &At) -> Result<Option<Sidecar>, WorkError> {
        let path = at.sidecar();
        let shown = path.file_name().unwrap_or_default().to_string_lossy();
        let Ok(text) = self.text(at, &path, &shown)? else {
            return Ok(None);
        };
        Ok(self.read_beside(at, &shown, &text)?.ok())
    }

    /// What a text says beside a photo, with the words of this piece.
    pub(super) fn read_beside(
        &self,
        at: &At,
        file: &str,
        text: &str,
    ) -> Result<Result<Sidecar, Vec<Complaint>>, WorkError> {
        let trade = at.book.trade()?;
        let words =
            vocabulary::of_piece(trade, &at.piece, &at.book.record.findings(&self.stock_no)?);
        let shape = PieceShape::of(trade, &at.piece, &vocabulary::parts(trade, &at.piece));
        let check = |laid: &LaidFace| face_check::doubt(&shape, &at.photo.facts, laid);
        Ok(mark::read_with(file, text, &words, &check))
    }
}

const MEND_ELSEWHERE: &str = "open it in an editor, and save it as UTF-8";

fn wrong(complaints: Vec<Complaint>) -> Answer {
    let first = complaints.first();
    Answer::Wrong(Wrong {
        message: first.map_or_else(String::new, |it| {
            format!("line {}: {}", it.line, it.message)
        }),
        complaints,
    })
}
