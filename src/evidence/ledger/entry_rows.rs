//! What lines say of pieces, findings, shoots and stamps, rows of the record on which reports rest, of photos that came back or are of
//! another shoot, of pieces that were withdrawn, and of the book's keys.

use serde::Deserialize;
use serde::Serialize;

use crate::evidence::key::pair::Key;
use crate::evidence::key::pair::PublicKey;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::piece::Piece;

/// A piece was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakenIn {
    /// Its short description.
    pub title: String,
    /// Its form, by the trade book's word.
    pub form: String,
    /// Parts of its list that are told not to be there; `None` in a line from before this was told to anybody, where it is private.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub absent: Option<Vec<PartId>>,
    /// Parts that it is told never to have had; `None` as above.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub never_had: Option<Vec<PartId>>,
}

impl From<&Piece> for TakenIn {
    /// All of it that is not private.
    fn from(it: &Piece) -> Self {
        Self {
            title: it.title.clone(),
            form: it.form.clone(),
            absent: Some(it.absent.clone()),
            never_had: Some(it.never_had.clone()),
        }
    }
}

impl TakenIn {
    /// Whether a row says the same, where the line tells anybody of it.
    #[must_use]
    pub fn is_told_by(&self, row: &Self) -> bool {
        let told = Self {
            absent: self.absent.as_ref().and(row.absent.clone()),
            never_had: self.never_had.as_ref().and(row.never_had.clone()),
            ..row.clone()
        };
        *self == told
    }
}

/// A finding was given its number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingNumbered {
    /// The number, never given again within the piece.
    pub finding: FindingNo,
    /// Where it is.
    pub part: PartId,
    /// What it is, by the trade book's word.
    pub tag: String,
    /// Which one, in the owner's words; empty for the only one of its kind there.
    pub which: String,
    /// Whether it was there before findings had lines: the line is then younger than the number.
    pub later: bool,
}

/// A shoot was begun, or its occasion or day was put right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShootBegun {
    /// Its number within the piece, from 1.
    pub shoot: u32,
    /// Its occasion.
    pub stage: Stage,
    /// Its first day, by corrected camera time, else of import.
    pub day: Day,
    /// Name of its folder in the piece's folder.
    pub folder: String,
    /// Whether it was there before shoots had lines: the line is then younger than the shoot.
    pub later: bool,
}

/// A seal was time-stamped; the line is about the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealStamped {
    /// The seal's number.
    pub seal: u32,
    /// The time that the reply proves.
    pub at: Moment,
    /// Digest of the reply, DER.
    pub sha256: Digest,
    /// Whether it was there before stamps had lines: the line is then younger than the stamp.
    pub later: bool,
}

/// A photo that was taken out of the book was put back, under its old number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoReturned {
    /// Its number within the piece.
    pub photo: u32,
    /// Digest of the file.
    pub sha256: Digest,
}

/// A photo was put into another shoot of its piece; its file stays where it was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoMoved {
    /// Its number within the piece.
    pub photo: u32,
    /// Digest of the file.
    pub sha256: Digest,
    /// Number of the shoot that it is of from now on.
    pub shoot: u32,
}

/// The piece was withdrawn from stock: taken in by mistake. The line is about the piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PieceWithdrawn {
    /// Why, in the owner's words.
    pub why: String,
}

/// A piece that was withdrawn was brought back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PieceReinstated {}

/// The book got another key; the line is about the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeyChanged {
    /// The public key before, 32 bytes.
    pub old: Digest,
    /// The public key from now on.
    pub new: Digest,
    /// The signature of [`KeyChanged::text`] by the key before, 128 small hex digits; `None` when that key was lost.
    pub signature: Option<String>,
    /// From the seal of this number on, no seal of the key before is to be trusted; `None` when all are.
    pub distrust_from: Option<u32>,
}

impl KeyChanged {
    /// What the key before signs: that this book, by the leaf hash of its first line, has the new key.
    #[must_use]
    pub fn text(&self, book: Digest) -> String {
        let (old, new) = (self.old, self.new);
        format!(r#"{{"book":"{book}","kind":"asfound new key","new":"{new}","old":"{old}","v":1}}"#)
    }

    /// Signs it with the key before.
    pub fn sign(&mut self, book: Digest, old: &Key) {
        let signature = old.sign(self.text(book).as_bytes());
        self.signature = Some(signature.iter().map(|it| format!("{it:02x}")).collect());
    }

    /// Whether a signature is that of the key before.
    #[must_use]
    pub fn is_signed(&self, book: Digest, old: &PublicKey, signature: &str) -> bool {
        let digits = signature.as_bytes();
        let plain = |it: &u8| it.is_ascii_digit() || (b'a'..=b'f').contains(it);
        if digits.len() != 128 || !digits.iter().all(plain) {
            return false;
        }
        let byte = |at: usize| u8::from_str_radix(&signature[at..at + 2], 16).unwrap_or(0);
        let bytes: Vec<u8> = (0..digits.len()).step_by(2).map(byte).collect();
        old.verify(self.text(book).as_bytes(), &bytes).is_ok()
    }
}

impl FindingNumbered {
    /// Of a finding.
    #[must_use]
    pub fn of(it: &NumberedFinding, later: bool) -> Self {
        Self {
            finding: it.no,
            part: it.key.part.clone(),
            tag: it.key.tag.clone(),
            which: it.key.which.clone(),
            later,
        }
    }
}

impl ShootBegun {
    /// Of a shoot.
    #[must_use]
    pub fn of(it: &Shoot, later: bool) -> Self {
        Self {
            shoot: it.no,
            stage: it.stage,
            day: it.day,
            folder: it.folder.clone(),
            later,
        }
    }
}

impl SealStamped {
    /// Of the reply to a seal's request, and the time that it proves.
    #[must_use]
    pub fn of(seal: u32, reply: &[u8], at: Moment, later: bool) -> Self {
        Self {
            seal,
            at,
            sha256: Digest::of(reply),
            later,
        }
    }
}
