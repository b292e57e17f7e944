//! Gaps in the running numbers of a piece's lines, and in the numbers that its photos, repairs and editions have.
//!
//! The hash tree shows that a line was not changed; that one was not simply held back only such gaps can show.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::check::ledger::Found;
use crate::evidence::check::notes::Notes;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::seal::proofs::LeftOut;

/// Tells lines about the piece that are neither here nor said to be left out, by the running numbers of those that are.
pub(super) fn running(notes: &mut Notes, lines: &[Found], left_out: &LeftOut) {
    const CODE: &str = "running";
    let mut counted = 0;
    let (mut here, mut held_back) = (0_u64, 0_u64);
    let mut before = None;
    for line in lines
        .iter()
        .map(|it| &it.line)
        .filter(|it| !it.piece.is_empty())
    {
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
                "{place}: {missing} of the lines about this piece are neither here nor said to be left out, as the running numbers show"
            );
            notes.missing(CODE, about);
        } else if number < known {
            let about = format!(
                "{place}: there are more lines about this piece than its running number {number} allows"
            );
            notes.wrong(CODE, about);
        }
        before = Some(line.no);
    }
    if counted == 0 {
        let about = "The lines have no running numbers, as an older program wrote them: that one was held back could not be seen.";
        notes.told(CODE, about);
    }
    notes.close(
        CODE,
        "No line about this piece is skipped without a word, up to the last that is here; what came after it, nothing in here can show.",
    );
}

/// Tells numbers that no line has.
pub(super) fn gaps(notes: &mut Notes, lines: &[Found], left_out: &LeftOut) {
    const CODE: &str = "numbers";
    let mut have: BTreeMap<(&str, String), BTreeSet<u32>> = BTreeMap::new();
    for it in lines {
        let Some(Entry::Known(known)) = &it.entry else {
            continue;
        };
        let (kind, label, no) = match known {
            EntryKind::Photo(it) => ("photo", "photo".to_owned(), it.photo),
            EntryKind::Repair(it) => ("repair", "repair".to_owned(), it.no),
            EntryKind::Edition(it) => ("edition", format!("edition for the {}", it.reader), it.no),
            _ => continue,
        };
        if !have.entry((kind, label.clone())).or_default().insert(no) {
            let about = format!("line {} tells {label} {no} anew", it.line.no);
            notes.told(CODE, about);
        }
    }
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    for it in &left_out.lines {
        *told.entry(&it.what).or_default() += 1;
    }
    for ((kind, label), numbers) in &have {
        let last = numbers.last().copied().unwrap_or(0);
        // Numbers are counted, not walked: a line may claim any.
        let missing = last as usize - numbers.iter().filter(|it| **it > 0).count();
        if missing == 0 {
            continue;
        }
        let first = (1..=last).find(|it| !numbers.contains(it)).unwrap_or(1);
        let about = format!(
            "{missing} of the numbers up to {label} {last} have no line here, {first} is the first"
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
    notes.close(
        CODE,
        "No number of a photo, repair or edition is skipped without a word. Whether something came after the last, or \
         was never entered, nothing in here can show.",
    );
}
