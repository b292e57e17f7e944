//! The lines of a ledger: their spelling, their order, the pieces they are about, and their private parts.

use std::collections::BTreeSet;

use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::line::LineError;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::seal::statement::Statement;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::RawLine;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Tree;
use crate::kit::digest::Digest;

/// A line that could be read.
pub(super) struct FoundLine {
    /// The line.
    pub(super) line: LedgerLine,
    /// What it says; `None` when this program cannot read it.
    pub(super) entry: Option<Entry>,
    /// The hash of its bytes.
    pub(super) leaf: Digest,
}

impl FoundLine {
    /// What it says, when it is of a kind that this program knows.
    pub(super) fn known(&self) -> Option<&EntryKind> {
        match &self.entry {
            Some(Entry::Known(known)) => Some(known),
            _ => None,
        }
    }

    /// Whether it tells of a seal's time stamp, as the next seal covers it.
    pub(super) fn is_stamp(&self) -> bool {
        matches!(self.known(), Some(EntryKind::Stamp(_)))
    }
}

/// Reads the lines and checks their spelling and order.
pub(super) fn read(scope: Scope, contents: &Contents, notes: &mut Notes) -> Vec<FoundLine> {
    let sealed = sealed_leaves(contents);
    let mut found: Vec<FoundLine> = Vec::new();
    if contents.lines.is_empty() {
        notes.missing("lines", "there is no line");
    }
    for it in &contents.lines {
        let leaf = merkle::leaf(&it.bytes);
        match one(&it.bytes) {
            Ok((line, entry)) => {
                let entry = entry.unwrap_or_else(|why| {
                    unread(notes, it, &why, sealed.contains(&leaf));
                    None
                });
                kept_beside(notes, it, &line, leaf);
                found.push(FoundLine { line, entry, leaf });
            }
            Err(why) => unread(notes, it, &why, sealed.contains(&leaf)),
        }
    }
    let n = found.len();
    notes.close(
        "lines",
        format!("All {n} lines are in their canonical spelling."),
    );
    order(scope, contents, notes, &found);
    first(notes, &found);
    pieces(scope, notes, &found);
    found
}

/// The leaf hashes that a seal covers, to tell a line that was changed from one that this program cannot read.
fn sealed_leaves(contents: &Contents) -> BTreeSet<Digest> {
    match &contents.tree {
        Tree::Parts { proofs, .. } => {
            let proofs = proofs.iter().flat_map(|it| &it.lines);
            proofs.map(|it| it.leaf).collect()
        }
        Tree::Whole => {
            let lines = contents.lines.iter();
            let leaves: Vec<Digest> = lines.map(|it| merkle::leaf(&it.bytes)).collect();
            let statements = contents.seals.iter().rev();
            let mut statements =
                statements.filter_map(|it| Statement::read(it.statement.as_ref()?).ok());
            let covered = statements.find_map(|it| {
                let these = leaves.get(..usize::try_from(it.size).ok()?)?;
                (merkle::root(these) == it.root).then_some(these)
            });
            covered.unwrap_or_default().iter().copied().collect()
        }
    }
}

fn unread(notes: &mut Notes, it: &RawLine, why: &str, sealed: bool) {
    let place = &it.place;
    if sealed {
        let about = format!("{place}: it is as it was sealed, but cannot be read: {why}");
        notes.missing("lines", about);
    } else {
        notes.wrong("lines", format!("{place}: {why}"));
    }
}

/// The number and the hash that are kept beside a line.
fn kept_beside(notes: &mut Notes, it: &RawLine, line: &LedgerLine, leaf: Digest) {
    let Some((no, hash)) = it.beside else { return };
    if line.no != no {
        notes.wrong(
            "order",
            format!("line {no} says that it is line {}", line.no),
        );
    }
    if leaf != hash {
        notes.wrong("lines", format!("line {no} is not the one that was hashed"));
    }
}

type ReadLine = (LedgerLine, Result<Option<Entry>, String>);

fn one(raw: &[u8]) -> Result<ReadLine, String> {
    let text = std::str::from_utf8(raw).map_err(|_| "it is not UTF-8 text".to_owned())?;
    let line = LedgerLine::read(text).map_err(|why| why.to_string())?;
    // A moment with a fraction, a digest in capitals: read as the same, but not the same line.
    if line.text() != text {
        return Err(LineError::Spelling.to_string());
    }
    let entry = Entry::read(&line);
    Ok((line, entry.map(Some).map_err(|why| why.to_string())))
}

fn order(scope: Scope, contents: &Contents, notes: &mut Notes, found: &[FoundLine]) {
    for pair in found.windows(2) {
        let (a, b) = (&pair[0].line, &pair[1].line);
        if b.no <= a.no {
            let about = format!("line {} comes after line {}", b.no, a.no);
            notes.wrong("order", about);
        }
        if b.at < a.at {
            let about = format!(
                "line {} says {}, the line before it, {}, says {}: the maker's clock was set back between them",
                b.no, b.at, a.no, a.at
            );
            notes.told("clock", about);
        }
    }
    if scope == Scope::Book {
        let mut next = 0;
        for (no, _) in contents.lines.iter().filter_map(|it| it.beside) {
            if no > next {
                let about = match no - next {
                    1 => format!("line {next} is not here"),
                    many => format!("{many} lines from line {next} on are not here"),
                };
                notes.missing("lines", about);
            }
            next = no.saturating_add(1);
        }
    }
    notes.close("order", "The lines are in the order of their numbers.");
}

fn first(notes: &mut Notes, found: &[FoundLine]) {
    const CODE: &str = "first_line";
    let Some(first) = found.first().filter(|it| it.line.no == 0) else {
        return notes.missing(CODE, "line 0, with which the book begins, is not here");
    };
    match first.known() {
        Some(EntryKind::Begun(begun)) => {
            if begun.built_later {
                let about = "The book held entries before it had a ledger. What it held then was put into lines on the \
                             day of the first line, not on the day it was entered.";
                notes.told(CODE, about);
            }
        }
        _ => notes.wrong(CODE, "line 0 does not begin a book"),
    }
    notes.close(CODE, "Line 0 begins the book.");
}

fn pieces(scope: Scope, notes: &mut Notes, found: &[FoundLine]) {
    let piece = found.iter().map(|it| it.line.piece.as_str());
    let pieces: BTreeSet<&str> = piece.filter(|it| !it.is_empty()).collect();
    if scope == Scope::Book {
        let about = match pieces.len() {
            1 => "The lines are about one piece.".to_owned(),
            n => format!("The lines are about {n} pieces."),
        };
        return notes.close("piece", about);
    }
    if pieces.len() > 1 {
        let all: Vec<&str> = pieces.iter().copied().collect();
        let about = format!(
            "the lines are about more than one piece: {}",
            all.join(", ")
        );
        notes.wrong("piece", about);
    }
    let which = pieces.first().unwrap_or(&"none");
    notes.close("piece", format!("All lines are about one piece, {which}."));
}

/// The private parts that are there; in a dossier they may be kept back.
pub(super) fn private(
    scope: Scope,
    parts: &[(String, PrivatePart)],
    lines: &[FoundLine],
    notes: &mut Notes,
) {
    const CODE: &str = "private";
    let mut shown = BTreeSet::new();
    for (place, part) in parts {
        if let Err(why) = part_of(part, lines) {
            notes.wrong(CODE, format!("{place}, line {}: {why}", part.no));
        } else if !shown.insert(part.no) {
            notes.wrong(CODE, format!("{place}, line {}: twice", part.no));
        }
    }
    let named: BTreeSet<u64> = parts.iter().map(|it| it.1.no).collect();
    let with = lines.iter().filter(|it| it.line.private.is_some());
    let all = with.clone().count();
    let absent: Vec<u64> = with
        .map(|it| it.line.no)
        .filter(|no| !named.contains(no))
        .collect();
    match scope {
        Scope::Book => {
            for no in &absent {
                notes.missing(CODE, format!("the private part of line {no} is gone"));
            }
        }
        Scope::Piece if !absent.is_empty() => {
            let about = format!(
                "{} of {all} private parts are kept back; of these there are only digests, which tell nothing",
                absent.len()
            );
            notes.told(CODE, about);
        }
        Scope::Piece => {}
    }
    let n = shown.len();
    notes.close(
        CODE,
        format!("{n} private parts are here and fit their lines."),
    );
}

fn part_of(part: &PrivatePart, lines: &[FoundLine]) -> Result<(), &'static str> {
    // Lines are in order, or else that was told; a line that is out of its place is looked for all the same.
    let line = lines
        .binary_search_by_key(&part.no, |it| it.line.no)
        .ok()
        .map(|at| &lines[at])
        .or_else(|| lines.iter().find(|it| it.line.no == part.no))
        .ok_or("there is no such line")?;
    let want = line.line.private.ok_or("that line has no private part")?;
    match Digest::of(part.text.as_bytes()) == want {
        true => Ok(()),
        false => Err("it is not the private part that was sealed with that line"),
    }
}
