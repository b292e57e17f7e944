//! Lines about papers and messages of the other side that go with a seal: whether it is that seal, and what shows it.

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::sealed::seals::FoundSeal;

const CODE: &str = "countersigned";

/// Compares each with the seal that it names and with the line of the paper or message that shows it.
pub(in crate::evidence::verify) fn check(
    lines: &[FoundLine],
    seals: &[FoundSeal],
    left_out: &LeftOut,
    notes: &mut Notes,
) {
    let mut count = 0;
    for line in lines {
        let Some(EntryKind::Countersigned(it)) = line.known() else {
            continue;
        };
        count += 1;
        let no = line.line.no;
        match seals.iter().find(|seal| seal.no == it.seal) {
            None => {
                let about = format!("line {no} confirms seal {}, which is not here", it.seal);
                notes.missing(CODE, about);
            }
            Some(seal) if (seal.statement.size, seal.statement.root) != (it.size, it.root) => {
                let about = format!(
                    "line {no} confirms another seal {} than the one here",
                    it.seal
                );
                notes.wrong(CODE, about);
            }
            Some(_) if no < it.size => {
                let about = format!(
                    "line {no} confirms seal {}, which covers that line: it came before the seal",
                    it.seal
                );
                notes.wrong(CODE, about);
            }
            Some(_) => {}
        }
        let shows = |other: &FoundLine| {
            let kept =
                matches!(other.known(), Some(EntryKind::Kept(kept)) if kept.sha256 == it.sha256);
            kept && other.line.piece == line.line.piece
        };
        let held_back = left_out.lines.iter().any(|it| it.what == "kept");
        if !held_back && !lines.iter().any(shows) {
            let about = format!("line {no} rests on a paper or message that no line names");
            notes.missing(CODE, about);
        }
    }
    if count > 0 {
        let about = format!(
            "As the owner entered it, {count} papers or messages of the other side go with a seal that is here, and a line names each. What \
             they say stands in them; whose hand or mailbox that was, nothing in here can show."
        );
        notes.close(CODE, about);
    }
}
