//! The JSON files of a dossier that lead from its lines to its seals, and say what is left out. Each is canonical JSON.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::evidence::ledger::merkle;
use crate::evidence::seal::statement::Statement;
use crate::kit::digest::Digest;
use crate::kit::json::canonical::canonical;

/// `data/ledger/proofs.json`: that lines are in the tree of a seal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Proofs {
    /// Number of the seal, from 1.
    pub seal: u32,
    /// How many lines it covers.
    pub size: u64,
    /// The root it seals.
    pub root: Digest,
    /// One for each line of the piece below `size`, those left out too, by number.
    pub lines: Vec<LineProof>,
}

/// That a line is in a tree.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineProof {
    /// The line's number in the ledger.
    pub no: u64,
    /// Its leaf hash.
    pub leaf: Digest,
    /// From the leaf to the root (RFC 9162, 2.1.3).
    pub path: Vec<Digest>,
}

/// An entry of `data/ledger/consistency.json`: that one seal's tree goes on in another's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Number of the older seal.
    pub from: u32,
    /// Number of the next.
    pub to: u32,
    /// The proof (RFC 9162, 2.1.4).
    pub path: Vec<Digest>,
}

/// `data/ledger/left-out.json`: what is not enclosed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// Lines of the piece of which only the leaf hash is here, by number.
    pub lines: Vec<LeftOutLine>,
    /// Files that a line names and that are not here, by the line's number.
    pub files: Vec<LeftOutFile>,
}

/// A line of which only the leaf hash is here.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOutLine {
    /// Its number in the ledger.
    pub no: u64,
    /// Its leaf hash.
    pub leaf: Digest,
    /// Its kind, such as `photo`, as the maker says: the hash cannot show it.
    pub what: String,
    /// Why.
    pub why: Why,
}

/// A file that a line names and that is not here.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOutFile {
    /// Number of the line that names it.
    pub no: u64,
    /// Its digest, as the line has it.
    pub sha256: Digest,
    /// Why.
    pub why: Why,
}

/// Why something is left out, as the maker of the dossier says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Why {
    /// It is nobody else's business.
    Private,
    /// It is no longer to be found.
    Lost,
    /// It was taken out of the book.
    Removed,
    /// A later one took its place, such as a sidecar that was written on.
    Replaced,
}

impl Why {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Private => "private",
            Self::Lost => "lost",
            Self::Removed => "removed",
            Self::Replaced => "replaced by a later one",
        }
    }
}

/// A line of `data/ledger/private.jsonl`: the private part of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PrivatePart {
    /// The line's number.
    pub no: u64,
    /// The text whose SHA-256 is the line's `private`.
    pub text: String,
}

/// A file of a dossier is not what its name says.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ShapeError {
    /// Not JSON of its shape.
    #[error(
        "it does not have the form of a file of this name; ask its maker for the dossier once more"
    )]
    Shape(String),
    /// The same in another spelling.
    #[error("it is not in its canonical spelling")]
    Spelling,
}

/// Reads one of these, to the byte as [`text`] writes it.
///
/// # Errors
/// When it has another shape or spelling.
pub fn read<T: Serialize + DeserializeOwned>(text: &str) -> Result<T, ShapeError> {
    let it: T = serde_json::from_str(text).map_err(|why| ShapeError::Shape(why.to_string()))?;
    // The spelling of every value counts too: a digest in capitals is no other digest, but another file.
    match canonical(&it) {
        Ok(same) if same == text => Ok(it),
        _ => Err(ShapeError::Spelling),
    }
}

/// Its canonical text, without a line end.
#[must_use]
pub fn text(it: &impl Serialize) -> String {
    canonical(it).expect("it holds no number that JSON has not")
}

/// The proofs for lines of these numbers in the tree of a seal; `leaves` are the leaf hashes of the whole ledger.
///
/// Lines that the seal does not cover get none. `None` when there are fewer leaves than it covers.
#[must_use]
pub fn proofs(seal: u32, sealed: &Statement, leaves: &[Digest], lines: &[u64]) -> Option<Proofs> {
    let size = usize::try_from(sealed.size).ok()?;
    let leaves = leaves.get(..size)?;
    let mut numbers: Vec<u64> = lines
        .iter()
        .copied()
        .filter(|no| *no < sealed.size)
        .collect();
    numbers.sort_unstable();
    numbers.dedup();
    let mut found = Vec::new();
    let mut known = BTreeMap::new();
    for no in numbers {
        let at = usize::try_from(no).ok()?;
        found.push(LineProof {
            no,
            leaf: leaves[at],
            path: path(at, leaves, &mut known),
        });
    }
    Some(Proofs {
        seal,
        size: sealed.size,
        root: sealed.root,
        lines: found,
    })
}

/// As [`merkle::inclusion`], but each subtree is hashed once for all lines.
fn path(
    index: usize,
    leaves: &[Digest],
    known: &mut BTreeMap<(usize, usize), Digest>,
) -> Vec<Digest> {
    let (mut from, mut to) = (0, leaves.len());
    let mut steps = Vec::new();
    while to - from > 1 {
        let split = from + (1 << (to - from - 1).ilog2());
        let (mine, other) = match index < split {
            true => ((from, split), (split, to)),
            false => ((split, to), (from, split)),
        };
        let root = *known
            .entry(other)
            .or_insert_with(|| merkle::root(&leaves[other.0..other.1]));
        steps.push(root);
        (from, to) = mine;
    }
    steps.reverse();
    steps
}

/// The proofs from each seal to the next; `None` when there are fewer leaves than a seal covers.
#[must_use]
pub fn steps(seals: &[(u32, Statement)], leaves: &[Digest]) -> Option<Vec<Step>> {
    let step = |pair: &[(u32, Statement)]| {
        let old = usize::try_from(pair[0].1.size).ok()?;
        let new = usize::try_from(pair[1].1.size).ok()?;
        Some(Step {
            from: pair[0].0,
            to: pair[1].0,
            path: merkle::consistency(old, leaves.get(..new)?)?,
        })
    };
    seals.windows(2).map(step).collect()
}

#[cfg(test)]
mod tests {
    use super::LeftOut;
    use super::ShapeError;
    use super::Step;
    use super::proofs;
    use super::read;
    use super::text;
    use crate::evidence::ledger::merkle;
    use crate::evidence::ledger::merkle::Tree;
    use crate::evidence::seal::statement::Statement;
    use crate::kit::digest::Digest;

    #[test]
    fn proofs_of_many_lines_are_those_of_each() {
        let leaves: Vec<Digest> = (0..37_u8).map(|it| merkle::leaf(&[it])).collect();
        let tree = Tree {
            size: 37,
            root: merkle::root(&leaves),
        };
        let at = "2026-06-21T18:00:00Z".parse().unwrap();
        let sealed = Statement::new(leaves[0], &tree, at, Digest::of(b"key"));
        let all: Vec<u64> = (0..40).rev().collect();
        let found = proofs(1, &sealed, &leaves, &all).unwrap();
        assert_eq!(found.lines.len(), 37);
        for (at, it) in found.lines.iter().enumerate() {
            assert_eq!(it.path, merkle::inclusion(at, &leaves).unwrap());
        }
        assert_eq!(proofs(1, &sealed, &leaves[..36], &all), None);
    }

    #[test]
    fn only_the_canonical_spelling_is_read() {
        let step = Step {
            from: 1,
            to: 2,
            path: vec![Digest::of(b"a")],
        };
        let one = text(&vec![step.clone()]);
        assert_eq!(read(&one), Ok(vec![step]));
        let digest = Digest::of(b"a").to_string();
        for wrong in [
            one.replace(&digest, &digest.to_uppercase()),
            format!("{one}\n"),
            one.replace(":1", ":1.0"),
        ] {
            assert!(read::<Vec<Step>>(&wrong).is_err(), "{wrong}");
        }
        let twice = r#"{"files":[],"files":[],"lines":[]}"#;
        assert!(matches!(read::<LeftOut>(twice), Err(ShapeError::Shape(_))));
        assert_eq!(text(&LeftOut::default()), r#"{"files":[],"lines":[]}"#);
    }
}
