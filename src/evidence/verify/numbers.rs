//! Gaps in the running numbers of a piece's lines, and in the numbers that its photos, shoots, findings, repairs and editions have.
//!
//! The hash tree shows that a line was not changed; that one was not simply held back only such gaps can show.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry_rows::ShootBegun;
use crate::evidence::ledger::entry_rows::TakenIn;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Scope;
use crate::kit::clock::Day;

/// Tells lines that are neither here nor said to be left out, by the running numbers of those that are.
pub(super) fn running(scope: Scope, lines: &[FoundLine], left_out: &LeftOut, notes: &mut Notes) {
    const CODE: &str = "running";
    let mut by_piece: BTreeMap<&str, Vec<&FoundLine>> = BTreeMap::new();
    for it in lines {
        by_piece.entry(&it.line.piece).or_default().push(it);
    }
    // Of the lines about the book itself a dossier has the first alone.
    by_piece.retain(|piece, _| scope == Scope::Book || !piece.is_empty());
    let counted: usize = by_piece
        .iter()
        .map(|(piece, these)| of_piece(piece, these, left_out, notes))
        .sum();
    if counted == 0 {
        let about = "The lines have no running numbers, as an older program wrote them: that one was held back could not be seen.";
        notes.told(CODE, about);
    }
    let good = match scope {
        Scope::Book => "No line about a piece is skipped.",
        Scope::Piece => {
            "No line about this piece is skipped without a word, up to the last that is here; what came after it, nothing in here can show."
        }
    };
    notes.close(CODE, good);
}

/// Gives how many of the lines have a running number.
fn of_piece(piece: &str, lines: &[&FoundLine], left_out: &LeftOut, notes: &mut Notes) -> usize {
    const CODE: &str = "running";
    let about_what = match piece {
        "" => "the book".to_owned(),
        piece => format!("piece {piece}"),
    };
    let mut counted = 0;
    let (mut here, mut held_back) = (0_u64, 0_u64);
    let mut before = None;
    for line in lines.iter().map(|it| &it.line) {
        let out = left_out.lines.iter().filter(|it| it.no < line.no).count() as u64;
        let known = here + out + held_back;
        here += 1;
        let Some(number) = line.in_piece else {
            before = Some(line.no);
            continue;
        };
        counted += 1;
        let place = match before {
            Some(before) => format!("between line {before} and line {}", line.no),
            None => format!("before line {}", line.no),
        };
        if number > known {
            let missing = number - known;
            held_back += missing;
            let about = format!(
                "{place}: {missing} of the lines about {about_what} are neither here nor said to be left out, as the running numbers show"
            );
            notes.missing(CODE, about);
        } else if number < known {
            let about = format!(
                "{place}: there are more lines about {about_what} than its running number {number} allows"
            );
            notes.wrong(CODE, about);
        }
        before = Some(line.no);
    }
    counted
}

/// What is numbered: the piece, the kind, and its name for people.
type Numbered<'a> = (&'a str, &'static str, String);

/// Tells numbers that no line has.
pub(super) fn gaps(lines: &[FoundLine], left_out: &LeftOut, notes: &mut Notes) {
    const CODE: &str = "numbers";
    let mut have: BTreeMap<Numbered, BTreeSet<u32>> = BTreeMap::new();
    for it in lines {
        let (kind, label, no) = match it.known() {
            Some(EntryKind::Photo(it)) => ("photo", "photo".to_owned(), it.photo),
            Some(EntryKind::Repair(it)) => ("repair", "repair".to_owned(), it.no),
            Some(EntryKind::Finding(it)) => ("finding", "finding".to_owned(), it.finding.0),
            Some(EntryKind::Shoot(it)) => ("shoot", "shoot".to_owned(), it.shoot),
            Some(EntryKind::Edition(it)) => {
                ("edition", format!("edition for the {}", it.reader), it.no)
            }
            _ => continue,
        };
        let key = (it.line.piece.as_str(), kind, label.clone());
        // What a shoot was told as before is named with it.
        if !have.entry(key).or_default().insert(no) && kind != "shoot" {
            let about = format!("line {} tells {label} {no} anew", it.line.no);
            notes.told(CODE, about);
        }
    }
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    for it in &left_out.lines {
        *told.entry(&it.what).or_default() += 1;
    }
    for ((piece, kind, label), numbers) in &have {
        let last = numbers.last().copied().unwrap_or(0);
        // Numbers are counted, not walked: a line may claim any.
        let missing = last as usize - numbers.iter().filter(|it| **it > 0).count();
        if missing == 0 {
            continue;
        }
        let first = (1..=last).find(|it| !numbers.contains(it)).unwrap_or(1);
        let about = format!(
            "{missing} of the numbers up to {label} {last} of {piece} have no line here, {first} is the first"
        );
        let left = told.entry(*kind).or_default();
        match missing <= *left {
            true => {
                *left -= missing;
                notes.told(
                    CODE,
                    format!("{about}; as many lines of that kind are said to be left out"),
                );
            }
            false => notes.missing(CODE, about),
        }
    }
    told_anew(lines, notes);
    notes.close(
        CODE,
        "No number of a photo, shoot, finding, repair or edition is skipped without a word. Whether something came after the last, or \
         was never entered, nothing in here can show.",
    );
}

/// Tells what a line says otherwise than the one before it that says it: a shoot's occasion and day, what a piece is called, the parts that it
/// lacks; and every clock that was put right.
fn told_anew(lines: &[FoundLine], notes: &mut Notes) {
    const CODE: &str = "numbers";
    let mut shoots: BTreeMap<(&str, u32), (u64, &ShootBegun)> = BTreeMap::new();
    let mut pieces: BTreeMap<&str, (u64, &TakenIn)> = BTreeMap::new();
    let mut sales: BTreeMap<&str, (u64, Day)> = BTreeMap::new();
    for found in lines {
        let (no, piece) = (found.line.no, found.line.piece.as_str());
        match found.known() {
            Some(EntryKind::Shoot(it)) => {
                if let Some((before, was)) = shoots.insert((piece, it.shoot), (no, it)) {
                    notes.told(
                        CODE,
                        format!(
                            "line {no} tells shoot {} anew: {}, {}; line {before} told {}, {}",
                            it.shoot, it.stage, it.day, was.stage, was.day
                        ),
                    );
                }
            }
            Some(EntryKind::Piece(it)) => {
                let Some((before, was)) = pieces.insert(piece, (no, it)) else {
                    continue;
                };
                if it.title != was.title {
                    let (is, was) = (&it.title, &was.title);
                    let about = format!(
                        "line {no} calls the piece “{is}”; line {before} called it “{was}”"
                    );
                    notes.told(CODE, about);
                }
                if it.form != was.form {
                    let (is, was) = (&it.form, &was.form);
                    let about =
                        format!("line {no} tells the form as “{is}”; line {before} told “{was}”");
                    notes.told(CODE, about);
                }
                let told = was.absent.is_some();
                if told && (&it.absent, &it.never_had) != (&was.absent, &was.never_had) {
                    let about =
                        format!("line {no} tells other parts to be lacking than line {before}");
                    notes.told(CODE, about);
                }
            }
            Some(EntryKind::Sale(it)) => {
                if let Some((before, was)) = sales.insert(piece, (no, it.day))
                    && was != it.day
                {
                    let day = it.day;
                    let about =
                        format!("line {no} tells the sale anew: {day}; line {before} told {was}");
                    notes.told(CODE, about);
                }
            }
            Some(EntryKind::Clock(it)) => {
                let photos: Vec<String> = it.photos.iter().map(u32::to_string).collect();
                let (photos, by) = (photos.join(", "), it.clock_off.seconds);
                let about =
                    format!("line {no} puts the clock of these photos right by {by} s: {photos}");
                notes.told(CODE, about);
            }
            _ => {}
        }
    }
}
