//! The maker's own clock: whether what lines and seals say of their time can be so.

use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::sealed::seals::FoundSeal;

const CODE: &str = "clock";

/// Tells times that contradict each other. A clock may have been wrong; so each is told, and none is called a fault.
pub(super) fn check(lines: &[FoundLine], seals: &[FoundSeal], notes: &mut Notes) {
    for pair in seals.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        if b.statement.at < a.statement.at {
            let about = format!(
                "seal {} says {}, seal {} before it says {}: the maker's clock was set back between them",
                b.no, b.statement.at, a.no, a.statement.at
            );
            notes.told(CODE, about);
        }
    }
    for seal in seals {
        younger_than_seal(seal, lines, notes);
        older_than_seal(seal, lines, notes);
    }
    notes.close(
        CODE,
        "The times in the lines are what the maker's own clock said.",
    );
}

/// A seal that says it is older than lines that it covers.
fn younger_than_seal(seal: &FoundSeal, lines: &[FoundLine], notes: &mut Notes) {
    let it = &seal.statement;
    let covered = lines.iter().map(|it| &it.line);
    let covered = covered.filter(|line| line.no < it.size && line.at > it.at);
    if let Some(line) = covered.max_by_key(|line| line.at) {
        let about = format!(
            "seal {} says {}, but covers line {}, which says {}: the seal is dated before its lines",
            seal.no, it.at, line.no, line.at
        );
        notes.told(CODE, about);
    }
}

/// Lines that say they are older than a seal that does not cover them: had they been there, it would.
fn older_than_seal(seal: &FoundSeal, lines: &[FoundLine], notes: &mut Notes) {
    let it = &seal.statement;
    let late = lines.iter().map(|it| &it.line);
    let late: Vec<_> = late
        .filter(|line| line.no >= it.size && line.at < it.at)
        .collect();
    if let Some(first) = late.first() {
        let more = match late.len() {
            1 => String::new(),
            n => format!(" (and {} more)", n - 1),
        };
        let about = format!(
            "line {}{more} says {}, but seal {} of {} does not cover it: it came after that seal and is dated before it",
            first.no, first.at, seal.no, it.at
        );
        notes.told(CODE, about);
    }
}
