//! A line of the ledger: one thing that entered the book, as canonical JSON (RFC 8785).
//!
//! A line never changes. What is private in it is not in the line itself but in a second JSON text beside it, of which
//! the line holds only the digest; that text begins with random salt, so that it cannot be guessed from the digest.

use serde::Deserialize;
use serde::Serialize;
use serde_json::Value;

use crate::evidence::ledger::merkle;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::json::canonical::canonical;
use crate::kit::json::canonical::is_canonical;

/// Version of the format of lines that are written now.
pub const VERSION: u32 = 2;

/// The version before, in which a line had no running number; such lines stay as they are.
const UNCOUNTED: u32 = 1;

/// One line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LedgerLine {
    /// Version of the format.
    pub v: u32,
    /// Its place in the ledger, from 0.
    pub no: u64,
    /// Its place among the lines about the same piece, from 0, so that one that is held back leaves a gap; `None` in the first
    /// version.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_piece: Option<u64>,
    /// When it was written, by this machine's clock.
    pub at: Moment,
    /// What it is, such as `photo`.
    pub what: String,
    /// The stock number of the piece it is about; empty for the book.
    pub piece: String,
    /// What anybody may see.
    pub open: Value,
    /// SHA-256 of the canonical JSON of the private part; `None` when there is none.
    pub private: Option<Digest>,
}

/// Why a text is no line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// Not JSON of this shape.
    #[error("it is no line of a ledger: {0}")]
    Shape(String),
    /// The same in another spelling: its hash would differ.
    #[error("it is not in its canonical spelling")]
    Spelling,
    /// Written by a newer program.
    #[error("it is of version {0}, which this program does not know")]
    Version(u32),
}

impl LedgerLine {
    /// Reads a line without its line end.
    ///
    /// # Errors
    /// When it has another shape, spelling or version.
    pub fn read(text: &str) -> Result<Self, LineError> {
        let line: Self =
            serde_json::from_str(text).map_err(|why| LineError::Shape(why.to_string()))?;
        match (line.v, line.in_piece) {
            (UNCOUNTED, None) | (VERSION, Some(_)) => {}
            (UNCOUNTED | VERSION, _) => {
                let about = "the running number and the version do not go together";
                return Err(LineError::Shape(about.to_owned()));
            }
            (v, _) => return Err(LineError::Version(v)),
        }
        is_canonical(text)
            .then_some(line)
            .ok_or(LineError::Spelling)
    }

    /// Its canonical text, without a line end.
    #[must_use]
    pub fn text(&self) -> String {
        canonical(self).expect("a line holds no number that JSON has not")
    }

    /// Its hash as a leaf of the ledger's tree.
    #[must_use]
    pub fn leaf(&self) -> Digest {
        merkle::leaf(self.text().as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::LedgerLine;
    use super::LineError;

    fn line() -> LedgerLine {
        LedgerLine {
            v: 1,
            no: 7,
            in_piece: None,
            at: "2026-05-03T10:02:11Z".parse().unwrap(),
            what: "photo".to_owned(),
            piece: "26-001".to_owned(),
            open: json!({"photo": 3, "name": "O'Hara <1>.jpg"}),
            private: None,
        }
    }

    #[test]
    fn a_line_reads_back_to_the_byte() {
        let text = line().text();
        assert_eq!(
            text,
            r#"{"at":"2026-05-03T10:02:11Z","no":7,"open":{"name":"O'Hara <1>.jpg","photo":3},"piece":"26-001","private":null,"v":1,"what":"photo"}"#
        );
        assert_eq!(LedgerLine::read(&text), Ok(line()));
        let counted = LedgerLine {
            v: 2,
            in_piece: Some(4),
            ..line()
        };
        let text = counted.text();
        assert!(text.starts_with(r#"{"at":"2026-05-03T10:02:11Z","in_piece":4,"no":7,"#));
        assert_eq!(LedgerLine::read(&text), Ok(counted));
    }

    #[test]
    fn the_running_number_came_with_the_second_version() {
        for (v, in_piece) in [(1, Some(4)), (2, None)] {
            let text = LedgerLine {
                v,
                in_piece,
                ..line()
            }
            .text();
            assert!(
                matches!(LedgerLine::read(&text), Err(LineError::Shape(_))),
                "{text}"
            );
        }
    }

    #[test]
    fn another_spelling_is_another_line() {
        let text = line().text();
        assert_eq!(
            LedgerLine::read(&text.replace(",\"no\"", ", \"no\"")),
            Err(LineError::Spelling)
        );
        assert_eq!(
            LedgerLine::read(&text.replace("\"v\":1", "\"v\":3")),
            Err(LineError::Version(3))
        );
        for wrong in ["", "{}", &text[..text.len() - 1], &text.replace("no", "nö")] {
            assert!(
                matches!(LedgerLine::read(wrong), Err(LineError::Shape(_))),
                "{wrong}"
            );
        }
    }
}
