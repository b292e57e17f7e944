//! That the lines are in the trees that the seals cover, and each seal's tree goes on in the next one's.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::dossier::package::CONSISTENCY;
use crate::evidence::dossier::package::PROOFS;
use crate::evidence::ledger::merkle;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::LineProof;
use crate::evidence::seal::proofs::Proofs;
use crate::evidence::seal::proofs::Step;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::sealed::seals::FoundSeal;
use crate::evidence::verify::source::Contents;
use crate::evidence::verify::source::Tree;
use crate::evidence::verify::unsealed;
use crate::kit::digest::Digest;

/// Checks both.
pub(super) fn check(
    contents: &Contents,
    lines: &[FoundLine],
    seals: &[FoundSeal],
    notes: &mut Notes,
) {
    match &contents.tree {
        Tree::Whole => whole(contents, lines, seals, notes),
        Tree::Parts { proofs, steps } => {
            if let Some(proofs) = proofs {
                inclusion(proofs, lines, &contents.left_out, seals, notes);
            }
            if let Some(steps) = steps {
                consistency(steps, seals, notes);
            }
        }
    }
}

/// All lines are there: the root of each seal is computed anew.
fn whole(contents: &Contents, lines: &[FoundLine], seals: &[FoundSeal], notes: &mut Notes) {
    const CODE: &str = "inclusion";
    let rows = contents.lines.iter().zip(0_u64..);
    // A line that is gone leaves a hole; no root over it can be computed.
    let rows = rows.take_while(|(it, n)| it.beside.is_none_or(|(no, _)| no == *n));
    let leaves: Vec<Digest> = rows.map(|(it, _)| merkle::leaf(&it.bytes)).collect();
    let mut covered = 0;
    for it in seals {
        let size = it.statement.size;
        covered = covered.max(size);
        let these = usize::try_from(size).ok().and_then(|it| leaves.get(..it));
        match these.map(merkle::root) {
            None => {
                let about = format!(
                    "seal {} covers {size} lines, of which only the first {} are here",
                    it.no,
                    leaves.len()
                );
                notes.missing(CODE, about);
            }
            Some(root) if root == it.statement.root => {}
            Some(_) => {
                let about = format!("the first {size} lines are not those of seal {}", it.no);
                notes.wrong(CODE, about);
            }
        }
    }
    if seals.is_empty() {
        return;
    }
    notes.close(
        CODE,
        "The lines that each seal covers are those that it sealed.",
    );
    let stamps = lines
        .iter()
        .filter(|it| it.is_stamp() && it.line.no >= covered);
    let known = covered.saturating_add(stamps.count() as u64);
    let newer = (contents.lines.len() as u64).saturating_sub(known);
    if newer > 0 {
        let about = format!(
            "lines after the newest seal: {newer}; nothing shows yet that they were not changed: `asfound seal`. They tell of {}",
            unsealed::named(lines, covered)
        );
        notes.told("unsealed", about);
    }
}

/// Checks that every line, those left out too, is in the tree that a seal covers.
fn inclusion(
    proofs: &Proofs,
    lines: &[FoundLine],
    left_out: &LeftOut,
    seals: &[FoundSeal],
    notes: &mut Notes,
) {
    const CODE: &str = "inclusion";
    named_seal(notes, proofs, seals);
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
        let no = it.line.no;
        leaf(notes, proofs, by_no.remove(&no), no, &it.leaf);
    }
    let here: BTreeSet<u64> = lines.iter().map(|it| it.line.no).collect();
    for it in &left_out.lines {
        if here.contains(&it.no) {
            let about = format!("line {} is said to be left out, but is here", it.no);
            notes.wrong("left_out", about);
            continue;
        }
        leaf(notes, proofs, by_no.remove(&it.no), it.no, &it.leaf);
        let about = format!(
            "line {} is left out ({}); its hash shows that it was sealed, not what it says, which is said to be `{}`",
            it.no,
            it.why.word(),
            it.what
        );
        notes.missing("left_out", about);
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

fn named_seal(notes: &mut Notes, proofs: &Proofs, seals: &[FoundSeal]) {
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
fn consistency(steps: &[Step], seals: &[FoundSeal], notes: &mut Notes) {
    const CODE: &str = "consistency";
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
    for it in steps {
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
