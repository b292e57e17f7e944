//! The lines of the ledger: their spelling, their order, their private parts, and what is left out.

use std::collections::BTreeSet;
use std::io::BufRead as _;
use std::io::BufReader;
use std::io::Read as _;

use crate::evidence::check::Desk;
use crate::evidence::check::notes::Notes;
use crate::evidence::dossier::package::LEFT_OUT;
use crate::evidence::dossier::package::LINES;
use crate::evidence::dossier::package::PRIVATE;
use crate::evidence::dossier::package::PROOFS;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::evidence::ledger::line::LineError;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::proofs;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::PrivatePart;
use crate::evidence::seal::proofs::Proofs;
use crate::kit::digest::Digest;

/// The longest line that is read, bytes.
const LINE_MAX: u64 = 1 << 20;

/// A line as enclosed.
pub(super) struct Found {
    /// The line.
    pub(super) line: LedgerLine,
    /// What it says; `None` when this program cannot read it.
    pub(super) entry: Option<Entry>,
    /// The hash of its bytes.
    pub(super) leaf: Digest,
}

/// Reads the lines and checks their spelling and order.
pub(super) fn lines(desk: &mut Desk, notes: &mut Notes) -> Vec<Found> {
    let sealed = sealed_leaves(desk);
    let mut found: Vec<Found> = Vec::new();
    for (row, raw) in raw_lines(desk, notes).into_iter().enumerate() {
        let leaf = merkle::leaf(&raw);
        match read(&raw) {
            Ok((line, entry)) => {
                let entry = entry.unwrap_or_else(|why| {
                    unread(notes, row, &why, sealed.contains(&leaf));
                    None
                });
                found.push(Found { line, entry, leaf });
            }
            Err(why) => unread(notes, row, &why, sealed.contains(&leaf)),
        }
    }
    notes.close(
        "lines",
        format!("All {} lines are in their canonical spelling.", found.len()),
    );
    order(notes, &found);
    found
}

/// The leaf hashes that the proofs name, to tell a line that was changed from one that this program cannot read.
fn sealed_leaves(desk: &mut Desk) -> BTreeSet<Digest> {
    let text = desk.text(&mut Notes::default(), "", PROOFS);
    let proofs = text.and_then(|it| proofs::read::<Proofs>(&it).ok());
    proofs.map_or_else(BTreeSet::new, |it| {
        it.lines.iter().map(|line| line.leaf).collect()
    })
}

fn unread(notes: &mut Notes, row: usize, why: &str, sealed: bool) {
    let row = row + 1;
    if sealed {
        let about =
            format!("`{LINES}`, row {row}: it is as it was sealed, but cannot be read: {why}");
        notes.missing("lines", about);
    } else {
        notes.wrong("lines", format!("`{LINES}`, row {row}: {why}"));
    }
}

type ReadLine = (LedgerLine, Result<Option<Entry>, String>);

fn read(raw: &[u8]) -> Result<ReadLine, String> {
    let text = std::str::from_utf8(raw).map_err(|_| "it is not UTF-8 text".to_owned())?;
    let line = LedgerLine::read(text).map_err(|why| why.to_string())?;
    // A moment with a fraction, a digest in capitals: read as the same, but not the same line.
    if line.text() != text {
        return Err(LineError::Spelling.to_string());
    }
    let entry = Entry::read(&line);
    Ok((line, entry.map(Some).map_err(|why| why.to_string())))
}

/// The lines without their ends.
fn raw_lines(desk: &mut Desk, notes: &mut Notes) -> Vec<Vec<u8>> {
    let mut rows = Vec::new();
    if !desk.has(LINES) {
        notes.missing("lines", format!("`{LINES}` is not there"));
        return rows;
    }
    let Ok(from) = desk.source.open(LINES) else {
        notes.missing("lines", format!("`{LINES}` cannot be opened"));
        return rows;
    };
    let mut from = BufReader::new(from);
    loop {
        let mut raw = Vec::new();
        match from.by_ref().take(LINE_MAX).read_until(b'\n', &mut raw) {
            Ok(0) => break,
            Ok(_) if raw.pop_if(|it| *it == b'\n').is_some() => rows.push(raw),
            Ok(_) => {
                let about = format!("`{LINES}`, row {}: it has no end", rows.len() + 1);
                notes.wrong("lines", about);
                rows.push(raw);
                break;
            }
            Err(why) => {
                notes.missing("lines", format!("`{LINES}` cannot be read: {why}"));
                break;
            }
        }
    }
    if rows.is_empty() {
        notes.missing("lines", format!("`{LINES}` holds no line"));
    }
    rows
}

fn order(notes: &mut Notes, found: &[Found]) {
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
    notes.close("order", "The lines are in the order of their numbers.");
    notes.close(
        "clock",
        "The times in the lines are what the maker's own clock said.",
    );
    first(notes, found);
    let piece = found.iter().map(|it| it.line.piece.as_str());
    let pieces: BTreeSet<&str> = piece.filter(|it| !it.is_empty()).collect();
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

fn first(notes: &mut Notes, found: &[Found]) {
    const CODE: &str = "first_line";
    let Some(first) = found.first().filter(|it| it.line.no == 0) else {
        return notes.missing(CODE, "line 0, with which the book begins, is not here");
    };
    match &first.entry {
        Some(Entry::Known(EntryKind::Begun(begun))) => {
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

/// The private parts that are enclosed.
pub(super) fn private(desk: &mut Desk, notes: &mut Notes, lines: &[Found]) {
    const CODE: &str = "private";
    let mut shown = BTreeSet::new();
    if desk.has(PRIVATE) {
        let text = desk.text(notes, CODE, PRIVATE).unwrap_or_default();
        if !text.ends_with('\n') {
            notes.wrong(CODE, format!("`{PRIVATE}`: its last row has no end"));
        }
        for (row, raw) in text.split_terminator('\n').enumerate() {
            match proofs::read::<PrivatePart>(raw) {
                Ok(part) => {
                    if let Err(why) = part_of(&part, lines) {
                        notes.wrong(CODE, format!("`{PRIVATE}`, line {}: {why}", part.no));
                    } else if !shown.insert(part.no) {
                        notes.wrong(CODE, format!("`{PRIVATE}`, line {}: twice", part.no));
                    }
                }
                Err(why) => {
                    notes.wrong(CODE, format!("`{PRIVATE}`, row {}: {why}", row + 1));
                }
            }
        }
    }
    let all = lines.iter().filter(|it| it.line.private.is_some()).count();
    let kept = all - shown.len().min(all);
    if kept > 0 {
        let about = format!(
            "{kept} of {all} private parts are kept back; of these there are only digests, which tell nothing"
        );
        notes.told(CODE, about);
    }
    notes.close(
        CODE,
        format!(
            "{} private parts are enclosed and fit their lines.",
            shown.len()
        ),
    );
}

fn part_of(part: &PrivatePart, lines: &[Found]) -> Result<(), &'static str> {
    let line = lines
        .iter()
        .find(|it| it.line.no == part.no)
        .ok_or("there is no such line")?;
    let want = line.line.private.ok_or("that line has no private part")?;
    match Digest::of(part.text.as_bytes()) == want {
        true => Ok(()),
        false => Err("it is not the private part that was sealed with that line"),
    }
}

/// What is said to be left out.
pub(super) fn left_out(desk: &mut Desk, notes: &mut Notes) -> LeftOut {
    let text = desk.text(notes, "left_out", LEFT_OUT);
    match text.map(|it| proofs::read(&it)) {
        Some(Ok(it)) => it,
        Some(Err(why)) => {
            notes.wrong("left_out", format!("`{LEFT_OUT}`: {why}"));
            LeftOut::default()
        }
        None => LeftOut::default(),
    }
}
