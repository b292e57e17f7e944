//! A letter against what is here: whether this is the record that it names.

use std::collections::BTreeSet;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::letter::Letter;
use crate::evidence::seal::letter::flattened;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::sealed::keys::Keys;
use crate::evidence::verify::sealed::seals::FoundSeal;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::Tree;
use crate::evidence::verify::unsealed;
use crate::kit::clock::Day;

const CODE: &str = "letter";

/// That what is here is the record that a letter names. Only a check of its root and its key makes one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Redeemed {
    day: Option<Day>,
    seal: Option<u32>,
    size: u64,
    /// Lines about pieces that are here and that the letter covers.
    covered: usize,
    /// Those that came after it, and the number of the first of them.
    newer: usize,
    first_newer: u64,
}

impl Redeemed {
    /// Whether lines are here that came after the letter.
    #[must_use]
    pub fn is_older(&self) -> bool {
        self.newer > 0
    }

    /// In two sentences.
    #[must_use]
    pub fn sentence(&self) -> String {
        let letter = match self.day {
            Some(day) => format!("the letter of {day}"),
            None => "the letter".to_owned(),
        };
        let seal = self.seal.map_or(String::new(), |it| format!("seal {it}, "));
        let newer = match self.newer {
            0 => String::new(),
            1 => format!(", 1 came after it (line {})", self.first_newer),
            n => format!(", {n} came after it (from line {} on)", self.first_newer),
        };
        format!(
            "This is the record that {letter} names: {seal}{} lines, and {} of the lines here about a piece are among them{newer}. When that was is worth as \
             much as the mail that carried the letter.",
            self.size, self.covered
        )
    }
}

/// What a letter came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// This is the record that it names.
    Same(Redeemed),
    /// It is not; why.
    Other(String),
    /// Not to be said from what is here; why.
    Open(String),
}

impl Answer {
    /// For people.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Self::Same(it) => it.sentence(),
            Self::Other(why) | Self::Open(why) => format!("{why}."),
        }
    }
}

/// What the letters are held against.
pub(in crate::evidence::verify) struct Held<'a> {
    pub(in crate::evidence::verify) contents: &'a Contents,
    pub(in crate::evidence::verify) keys: Option<&'a Keys>,
    pub(in crate::evidence::verify) lines: &'a [FoundLine],
    pub(in crate::evidence::verify) seals: &'a [FoundSeal<'a>],
}

/// Compares; called when lines, seals and the tree were checked.
pub(in crate::evidence::verify) fn check(
    letters: &[Letter],
    held: &Held,
    notes: &mut Notes,
) -> Vec<Answer> {
    let mut answers = Vec::new();
    for it in letters {
        let answer = held.one(it, notes);
        match &answer {
            Answer::Same(same) => notes.close(CODE, same.sentence()),
            Answer::Other(why) => notes.wrong(CODE, why.clone()),
            Answer::Open(why) => notes.missing(CODE, why.clone()),
        }
        answers.push(answer);
    }
    answers
}

impl Held<'_> {
    fn one(&self, it: &Letter, notes: &mut Notes) -> Answer {
        let name = it.name();
        let Some(keys) = self.keys else {
            return Answer::Open(format!("Without a key {name} cannot be compared"));
        };
        if it.key.as_ref().is_some_and(|told| !keys.is_meant_by(told)) {
            return other(it, "its key is another than the one here");
        }
        let found = self
            .seals
            .iter()
            .find(|seal| seal.statement.root == it.root);
        let sealed = found.map(|seal| (seal.no, seal.statement.size));
        if let (Some((no, size)), Some(told)) = (sealed, it.seal)
            && told != (no, size)
        {
            let why = format!(
                "it says seal {} and {} lines, but its root is here that of seal {no} and {size} lines",
                told.0, told.1
            );
            return other(it, &why);
        }
        let Some((_, size)) = sealed.or(it.seal) else {
            return other(it, "no seal here has its root");
        };
        if !self.leads(it, size, found.is_some()) {
            return self.absent(it);
        }
        if let (Some(told), None) = (it.seal, found) {
            return self.without_seal(it, told);
        }
        if let (Some(day), Some(seal)) = (it.day, found)
            && seal.statement.at.day() != day
        {
            let why = format!(
                "it is of {day}, but the seal of that root is of {}",
                seal.statement.at
            );
            return other(it, &why);
        }
        if let Some(why) = self.other_pieces(it, size) {
            return other(it, &why);
        }
        if ["seals", "signatures", "inclusion", "consistency"]
            .iter()
            .any(|it| notes.is_bad(it))
        {
            return Answer::Open(format!(
                "The root that {name} names is here, but not all that leads from it to the lines is in order"
            ));
        }
        let (covered, newer) = self.told(size);
        if covered == 0 && !newer.is_empty() {
            return Answer::Open(format!(
                "Of this record {name} covers nothing: every line about a piece that is here is newer"
            ));
        }
        Answer::Same(Redeemed {
            day: it.day,
            seal: found.map(|it| it.no),
            size,
            covered,
            newer: newer.len(),
            first_newer: newer.first().copied().unwrap_or(size),
        })
    }

    /// How many lines about pieces are among so many first ones; and the numbers of those that came after them, with those by which the
    /// book got another key, which weigh as much.
    fn told(&self, size: u64) -> (usize, Vec<u64>) {
        let first = self.lines.partition_point(|it| it.line.no < size);
        let (covered, newer) = self.lines.split_at(first);
        let of_piece = |it: &&FoundLine| !it.line.piece.is_empty();
        let is_key = |it: &FoundLine| matches!(it.known(), Some(EntryKind::Key(_)));
        let newer = newer.iter().filter(|it| of_piece(it) || is_key(it));
        let newer = newer.map(|it| it.line.no).collect();
        (covered.iter().filter(of_piece).count(), newer)
    }

    /// The sealed lines of a book that came after what a letter names, by piece and file; what no seal covers is told elsewhere.
    /// A dossier lists its lines with the seals that cover them.
    pub(in crate::evidence::verify) fn came_after(&self, answer: &Answer) -> Option<String> {
        let (Answer::Same(same), Tree::Whole) = (answer, &self.contents.tree) else {
            return None;
        };
        let sealed = self.seals.last().map_or(0, |it| it.statement.size);
        let lines = self.lines.partition_point(|it| it.line.no < sealed);
        let named = unsealed::named(&self.lines[..lines], same.size);
        (!named.is_empty()).then(|| format!("After the letter came: {named}."))
    }

    /// A book whose first lines are those that a letter names, but that lacks its seal: a book keeps every seal it made.
    fn without_seal(&self, it: &Letter, (no, size): (u32, u64)) -> Answer {
        let gone = format!("its seal {no} over {size} lines is not in this book");
        match self.seals.iter().find(|seal| seal.no == no) {
            Some(seal) => other(
                it,
                &format!(
                    "{gone}; another seal {no}, over {} lines, stands in its place",
                    seal.statement.size
                ),
            ),
            None => Answer::Open(format!(
                "The lines that {} names are here, but {gone}",
                it.name()
            )),
        }
    }

    /// Why what is here is of other pieces than a letter names; `None` when it names none, or these.
    fn other_pieces(&self, it: &Letter, size: u64) -> Option<String> {
        let covered = self.lines.iter().map(|it| &it.line);
        let covered = covered.filter(|it| !it.piece.is_empty() && it.no < size);
        let here: BTreeSet<&str> = covered.map(|it| it.piece.as_str()).collect();
        let is_named = |no: &&&str| it.pieces.contains(&flattened(no));
        let (named, lines) = match &self.contents.tree {
            Tree::Parts { .. } => (here.iter().any(|no| is_named(&no)), "this is of"),
            Tree::Whole => {
                let n = here.iter().filter(is_named).count();
                (n == it.pieces.len(), "its lines are of")
            }
        };
        let is_other = !it.pieces.is_empty() && !here.is_empty() && !named;
        is_other.then(|| {
            let here: Vec<&str> = here.into_iter().take(5).collect();
            format!(
                "it names {}, {lines} {}",
                it.pieces.join(", "),
                here.join(", ")
            )
        })
    }

    /// Whether the root is that of the first lines: of a book by their hashes, of a dossier by a seal, whose proofs were checked.
    fn leads(&self, it: &Letter, size: u64, sealed: bool) -> bool {
        match &self.contents.tree {
            Tree::Parts { .. } => sealed,
            Tree::Whole => {
                let rows = self.contents.lines.iter();
                let leaves: Vec<_> = rows.map(|it| merkle::leaf(&it.bytes)).collect();
                let first = usize::try_from(size).ok().and_then(|it| leaves.get(..it));
                first.map(merkle::root) == Some(it.root)
            }
        }
    }

    /// Nothing here has the letter's root. A dossier may be older than the letter; a book is all that there is.
    fn absent(&self, it: &Letter) -> Answer {
        let newest = self.seals.last();
        if let (Tree::Parts { .. }, Some((no, size)), Some(newest)) =
            (&self.contents.tree, it.seal, newest)
        {
            let gone = self.seals.iter().all(|it| it.no != no);
            if gone && (newest.no > no || newest.statement.size < size) {
                return Answer::Open(format!(
                    "Seal {no} with its {size} lines, which {} names, is not here; ask for a dossier that was made after the letter",
                    it.name()
                ));
            }
        }
        other(it, "no seal here has its root")
    }
}

fn other(it: &Letter, why: &str) -> Answer {
    Answer::Other(format!(
        "This is not the record that {} names: {why}. It was changed or made anew after the letter, is a copy from before the letter, or the letter is of another record",
        it.name()
    ))
}
