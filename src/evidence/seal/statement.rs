//! A seal: the size and root of the ledger at a moment, as a statement that is signed and, where possible, time-stamped.
//!
//! A seal lies in files: `seal-0001.json` holds the statement, to the byte what is signed and time-stamped; `seal-0001.sig` the
//! 64 bytes of its Ed25519 signature (RFC 8032); `seal-0001.tsq` a time-stamp request (RFC 3161) and `seal-0001.tsr` the reply.

use serde::Deserialize;
use serde::Serialize;

use crate::evidence::ledger::merkle::Tree;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::kit::json::canonical::canonical;
use crate::kit::json::canonical::is_canonical;

/// What a statement calls itself.
pub const KIND: &str = "asfound seal";

/// What is signed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Statement {
    /// `asfound seal`.
    pub kind: String,
    /// Version of the format.
    pub v: u32,
    /// The book: the leaf hash of its ledger's first line.
    pub book: Digest,
    /// How many lines the ledger had.
    pub size: u64,
    /// The root of its tree.
    pub root: Digest,
    /// When it was made, by the maker's own clock: a claim, unlike a time stamp.
    pub at: Moment,
    /// The public key that signs, 32 bytes as 64 hex digits.
    pub key: Digest,
}

/// Why a text is no statement.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StatementError {
    /// Not JSON of this shape, or not in its canonical spelling.
    #[error("it is no seal: {0}")]
    Shape(String),
    /// Written by a newer program.
    #[error("it is of version {0}, which this program does not know")]
    Version(u32),
}

impl Statement {
    /// Of a tree at a moment.
    #[must_use]
    pub fn new(book: Digest, tree: &Tree, at: Moment, key: Digest) -> Self {
        Self {
            kind: KIND.to_owned(),
            v: 1,
            book,
            size: tree.size,
            root: tree.root,
            at,
            key,
        }
    }

    /// Reads a statement.
    ///
    /// # Errors
    /// When it has another shape, spelling or version.
    pub fn read(text: &str) -> Result<Self, StatementError> {
        let shape = |why: String| StatementError::Shape(why);
        let it: Self = serde_json::from_str(text).map_err(|why| shape(why.to_string()))?;
        if it.v != 1 {
            return Err(StatementError::Version(it.v));
        }
        if it.kind != KIND || !is_canonical(text) {
            return Err(shape("another kind or another spelling".to_owned()));
        }
        Ok(it)
    }

    /// The tree it is about.
    #[must_use]
    pub fn tree(&self) -> Tree {
        Tree {
            size: self.size,
            root: self.root,
        }
    }

    /// Its text: to the byte what is signed and time-stamped; without a line end.
    #[must_use]
    pub fn text(&self) -> String {
        canonical(self).expect("a statement holds no number that JSON has not")
    }
}

/// Name of a file of the seal of this number, such as `seal-0001.json`.
#[must_use]
pub fn file_name(no: u32, ending: &str) -> String {
    format!("seal-{no:04}.{ending}")
}

#[cfg(test)]
mod tests {
    use super::Statement;
    use crate::evidence::ledger::merkle::Tree;
    use crate::kit::digest::Digest;

    #[test]
    fn a_statement_reads_back_to_the_byte() {
        let tree = Tree {
            size: 12,
            root: Digest::of(b"root"),
        };
        let at = "2026-06-21T18:00:00Z".parse().unwrap();
        let it = Statement::new(Digest::of(b"book"), &tree, at, Digest::of(b"key"));
        let text = it.text();
        assert_eq!(Statement::read(&text), Ok(it));
        assert!(Statement::read(&text.replace("asfound seal", "other seal")).is_err());
        assert!(Statement::read(&format!("{text}\n")).is_err());
        assert!(Statement::read(&text.replace("\"v\":1", "\"v\":3")).is_err());
    }
}
