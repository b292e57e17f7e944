//! The seals: their signatures, the lines in them, how one goes on in the next, and their time stamps.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::check::Desk;
use crate::evidence::check::Stamp;
use crate::evidence::check::Stamped;
use crate::evidence::check::ledger::Found;
use crate::evidence::check::notes::Notes;
use crate::evidence::dossier::package::CONSISTENCY;
use crate::evidence::dossier::package::PROOFS;
use crate::evidence::dossier::package::seal_number;
use crate::evidence::dossier::package::seal_path;
use crate::evidence::key::pair::PublicKey;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::proofs;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::LineProof;
use crate::evidence::seal::proofs::Proofs;
use crate::evidence::seal::proofs::Step;
use crate::evidence::seal::statement::Statement;
use crate::evidence::seal::statement::StatementError;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;

/// A seal as enclosed.
pub(super) struct Seal {
    no: u32,
    text: String,
    statement: Statement,
}

/// Reads the seals and checks their signatures.
pub(super) fn seals(
    desk: &mut Desk,
    notes: &mut Notes,
    key: Option<&PublicKey>,
    lines: &[Found],
) -> Vec<Seal> {
    let numbers: BTreeSet<u32> = desk
        .bag
        .files
        .keys()
        .filter_map(|it| seal_number(it))
        .collect();
    if numbers.is_empty() {
        notes.missing("seals", "there is no seal");
    }
    let mut found = Vec::new();
    let mut before = 0;
    for no in numbers {
        if no > before + 1 {
            let about = format!("seal {} is not here, but seal {no} is", before + 1);
            notes.missing("seals", about);
        }
        before = no;
        found.extend(seal(desk, notes, key, no));
    }
    let begun = lines.iter().find(|it| it.line.no == 0).map(|it| it.leaf);
    for it in &found {
        belongs(notes, it, key, begun.as_ref());
    }
    for pair in found.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        if b.statement.at < a.statement.at {
            let about = format!(
                "seal {} says {}, seal {} before it says {}: the maker's clock was set back between them",
                b.no, b.statement.at, a.no, a.statement.at
            );
            notes.told("clock", about);
        }
    }
    let n = found.len();
    notes.close(
        "seals",
        format!("All {n} seals are of this book and this key."),
    );
    notes.close(
        "signatures",
        format!("All {n} seals are signed with the enclosed key."),
    );
    found
}

fn seal(desk: &mut Desk, notes: &mut Notes, key: Option<&PublicKey>, no: u32) -> Option<Seal> {
    let path = seal_path(no, "json");
    let text = desk.text(notes, "seals", &path)?;
    let signed = signature(desk, notes, key, no, &text);
    match Statement::read(&text) {
        // The same moment or digest in another spelling would be another statement.
        Ok(statement) if statement.text() == text => Some(Seal {
            no,
            text,
            statement,
        }),
        Err(StatementError::Version(version)) if signed => {
            let about =
                format!("`{path}` is of version {version}, which this program does not know");
            notes.missing("seals", about);
            None
        }
        Err(why) => {
            notes.wrong("seals", format!("`{path}`: {why}"));
            None
        }
        Ok(_) => {
            notes.wrong(
                "seals",
                format!("`{path}` is not in its canonical spelling"),
            );
            None
        }
    }
}

fn signature(
    desk: &mut Desk,
    notes: &mut Notes,
    key: Option<&PublicKey>,
    no: u32,
    text: &str,
) -> bool {
    const CODE: &str = "signatures";
    let path = seal_path(no, "sig");
    let Some(bytes) = desk.bytes(notes, CODE, &path) else {
        return false;
    };
    let Some(key) = key else {
        notes.missing(CODE, "without a key no signature can be checked");
        return false;
    };
    let good = key.verify(text.as_bytes(), &bytes);
    if let Err(why) = &good {
        notes.wrong(CODE, format!("`{path}` for seal {no}: {why}"));
    }
    good.is_ok()
}

fn belongs(notes: &mut Notes, seal: &Seal, key: Option<&PublicKey>, begun: Option<&Digest>) {
    if key.is_some_and(|it| it.digest() != seal.statement.key) {
        notes.wrong("seals", format!("seal {} names another key", seal.no));
    }
    if begun.is_some_and(|it| *it != seal.statement.book) {
        notes.wrong("seals", format!("seal {} is of another book", seal.no));
    }
}

/// Checks that every line, those left out too, is in the tree that a seal covers.
pub(super) fn inclusion(
    desk: &mut Desk,
    notes: &mut Notes,
    lines: &[Found],
    left_out: &LeftOut,
    seals: &[Seal],
) {
    const CODE: &str = "inclusion";
    let proofs = desk
        .text(notes, CODE, PROOFS)
        .map(|it| proofs::read::<Proofs>(&it));
    let proofs = match proofs {
        Some(Ok(it)) => it,
        Some(Err(why)) => return notes.wrong(CODE, format!("`{PROOFS}`: {why}")),
        None => return,
    };
    named_seal(notes, &proofs, seals);
    let mut by_no: BTreeMap<u64, &LineProof> = BTreeMap::new();
    let mut before = None;
    for it in &proofs.lines {
        if before.is_some_and(|before| before >= it.no) {
            let about = format!("`{PROOFS}`: line {} comes after its place", it.no);
            notes.wrong(CODE, about);
        }
        before = Some(it.no);
        by_no.insert(it.no, it);
        if !merkle::is_included(&it.leaf, it.no, proofs.size, &it.path, &proofs.root) {
            let about = format!("line {}: its proof does not lead to the sealed root", it.no);
            notes.wrong(CODE, about);
        }
    }
    for it in lines {
        leaf(
            notes,
            &proofs,
            by_no.remove(&it.line.no),
            it.line.no,
            &it.leaf,
        );
    }
    for it in &left_out.lines {
        if lines.iter().any(|line| line.line.no == it.no) {
            let about = format!("line {} is said to be left out, but is here", it.no);
            notes.wrong("left_out", about);
            continue;
        }
        leaf(notes, &proofs, by_no.remove(&it.no), it.no, &it.leaf);
        let about = format!(
            "line {} is left out ({}); its hash shows that it was sealed, not what it says, which is said to be `{}`",
            it.no,
            it.why.word(),
            it.what
        );
        notes.told("left_out", about);
    }
    for no in by_no.keys() {
        let about = format!("line {no} has a proof, but is neither here nor said to be left out");
        notes.missing(CODE, about);
    }
    let about = format!(
        "All lines are in the tree of {} lines of seal {}.",
        proofs.size, proofs.seal
    );
    notes.close(CODE, about);
}

fn named_seal(notes: &mut Notes, proofs: &Proofs, seals: &[Seal]) {
    const CODE: &str = "inclusion";
    let Some(seal) = seals.iter().find(|it| it.no == proofs.seal) else {
        let about = format!(
            "`{PROOFS}` leads to seal {}, which is not here",
            proofs.seal
        );
        return notes.missing(CODE, about);
    };
    if (proofs.size, proofs.root) != (seal.statement.size, seal.statement.root) {
        let about = format!(
            "`{PROOFS}` names another size or root than seal {}",
            seal.no
        );
        notes.wrong(CODE, about);
    }
}

fn leaf(notes: &mut Notes, proofs: &Proofs, proof: Option<&LineProof>, no: u64, leaf: &Digest) {
    const CODE: &str = "inclusion";
    match proof {
        Some(it) if it.leaf == *leaf => {}
        Some(_) => notes.wrong(CODE, format!("line {no} is not the line that was sealed")),
        None if no >= proofs.size => {
            let about = format!(
                "line {no} is newer than seal {}: no seal covers it",
                proofs.seal
            );
            notes.missing(CODE, about);
        }
        None => notes.missing(CODE, format!("line {no} has no proof")),
    }
}

/// Checks that each seal's tree goes on in the next one's.
pub(super) fn consistency(desk: &mut Desk, notes: &mut Notes, seals: &[Seal]) {
    const CODE: &str = "consistency";
    let steps = desk
        .text(notes, CODE, CONSISTENCY)
        .map(|it| proofs::read::<Vec<Step>>(&it));
    let steps = match steps {
        Some(Ok(it)) => it,
        Some(Err(why)) => return notes.wrong(CODE, format!("`{CONSISTENCY}`: {why}")),
        None => return,
    };
    for pair in seals.windows(2) {
        let (old, new) = (&pair[0], &pair[1]);
        let step = steps
            .iter()
            .filter(|it| (it.from, it.to) == (old.no, new.no));
        let step: Vec<&Step> = step.collect();
        match step.as_slice() {
            [it] => {
                if !merkle::is_consistent(&old.statement.tree(), &new.statement.tree(), &it.path) {
                    let about = format!(
                        "seal {} does not go on in seal {}: a line was changed or taken out between them",
                        old.no, new.no
                    );
                    notes.wrong(CODE, about);
                }
            }
            [] => {
                let about = format!("there is no proof from seal {} to seal {}", old.no, new.no);
                notes.missing(CODE, about);
            }
            _ => {
                let about = format!("two proofs from seal {} to seal {}", old.no, new.no);
                notes.wrong(CODE, about);
            }
        }
    }
    for it in &steps {
        let known = |no: u32| seals.iter().any(|seal| seal.no == no);
        if it.to != it.from.saturating_add(1) || !known(it.from) || !known(it.to) {
            let about = format!(
                "a proof from seal {} to seal {} leads nowhere",
                it.from, it.to
            );
            match known(it.from) && known(it.to) {
                true => notes.wrong(CODE, about),
                false => notes.missing(CODE, about),
            }
        }
    }
    if !steps.is_sorted_by_key(|it| it.from) {
        notes.wrong(
            CODE,
            format!("`{CONSISTENCY}` is not in the order of the seals"),
        );
    }
    notes.close(
        CODE,
        "Each seal's lines are the beginning of the next one's.",
    );
}

/// Checks the time stamps that are there.
pub(super) fn stamps(
    desk: &mut Desk,
    notes: &mut Notes,
    seals: &[Seal],
    lines: &[Found],
) -> Vec<Stamped> {
    const CODE: &str = "stamps";
    let mut found = Vec::new();
    let mut any = false;
    for seal in seals {
        let path = seal_path(seal.no, "tsr");
        if !desk.has(&path) {
            continue;
        }
        any = true;
        let Some(reply) = desk.bytes(notes, CODE, &path) else {
            continue;
        };
        let query = seal_path(seal.no, "tsq");
        let query = match desk.has(&query) {
            true => desk.bytes(notes, CODE, &query),
            false => None,
        };
        match desk
            .tools
            .stamp(seal.text.as_bytes(), query.as_deref(), &reply)
        {
            Stamp::At(at) => {
                let about = format!(
                    "Seal {} with its {} lines was there not later than {at}, says the authority whose root you gave.",
                    seal.no, seal.statement.size
                );
                notes.told(CODE, about);
                ahead(notes, seal, lines, at);
                found.push(Stamped {
                    seal: seal.no,
                    size: seal.statement.size,
                    at,
                });
            }
            Stamp::Unknown(why) => {
                let about =
                    format!("`{path}` is a time stamp by an authority that was not checked: {why}");
                notes.told(CODE, about);
            }
            Stamp::Wrong(why) => notes.wrong(CODE, format!("`{path}`: {why}")),
        }
    }
    if !any {
        notes.told(CODE, "No seal is time-stamped.");
    }
    found
}

/// Tells lines that claim to be younger than the stamp that covers them.
fn ahead(notes: &mut Notes, seal: &Seal, lines: &[Found], at: Moment) {
    let size = seal.statement.size;
    let ahead = lines
        .iter()
        .filter(|it| it.line.no < size && it.line.at > at);
    if let Some(it) = ahead.map(|it| &it.line).max_by_key(|it| it.at) {
        let about = format!(
            "line {} says {}, but was time-stamped by {at}: the maker's clock was ahead",
            it.no, it.at
        );
        notes.told("clock", about);
    }
}
