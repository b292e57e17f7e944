//! The set of files as such: the bag, the key, and the key's signature over the set.

use crate::evidence::check::Desk;
use crate::evidence::check::notes::Notes;
use crate::evidence::dossier::bag_read::Fault;
use crate::evidence::dossier::bag_read::FaultKind;
use crate::evidence::dossier::package::KEY;
use crate::evidence::dossier::package::SET;
use crate::evidence::dossier::package::SET_SIGNATURE;
use crate::evidence::key::pair::PublicKey;

/// The files beside `data/`.
const BESIDE: [&str; 7] = [
    "bagit.txt",
    "bag-info.txt",
    "manifest-sha256.txt",
    "manifest-sha512.txt",
    "tagmanifest-sha256.txt",
    "tagmanifest-sha512.txt",
    SET_SIGNATURE,
];

/// What operating systems leave behind where somebody looked into a folder.
///
/// Only what no manifest names is taken for that.
pub(super) fn is_litter(desk: &Desk, path: &str) -> bool {
    let extra = |it: &Fault| it.kind == FaultKind::Extra && it.path == path;
    has_litter_name(path) && desk.bag.faults.iter().any(extra)
}

fn has_litter_name(path: &str) -> bool {
    let name = path.rsplit('/').next().unwrap_or(path);
    [".DS_Store", "Thumbs.db", "desktop.ini", ".directory"].contains(&name)
        || name.starts_with("._")
}

/// The bag: what is there, and whether it is what was put in.
pub(super) fn bag(desk: &Desk, notes: &mut Notes) {
    let shifted = desk.bag.faults.iter().any(|it| {
        let moved = [FaultKind::Missing, FaultKind::Unreadable, FaultKind::Extra];
        moved.contains(&it.kind) && it.path.starts_with("data/")
    });
    for fault in &desk.bag.faults {
        one(notes, fault, shifted);
    }
    for path in BESIDE {
        if !desk.has(path) {
            notes.missing("bag_complete", format!("`{path}`: it is not there"));
        }
    }
    let beside = |path: &&String| !path.starts_with("data/") && !BESIDE.contains(&path.as_str());
    for path in desk.bag.files.keys().filter(beside) {
        if has_litter_name(path) {
            litter(notes, path);
        } else {
            let about = format!("`{path}`: it is no part of a dossier, and nothing names it");
            notes.wrong("bag_complete", about);
        }
    }
    let payload = |path: &&String| path.starts_with("data/");
    let files = desk.bag.files.keys().filter(payload).count();
    notes.close("bag_declaration", "It is a bag of files, BagIt 1.0.");
    notes.close("bag_paths", "No path leaves the folder or is there twice.");
    notes.close(
        "bag_complete",
        format!("All {files} files that are listed are there, and no others."),
    );
    notes.close(
        "bag_digests",
        "Every file is the one that was listed, by SHA-256 and SHA-512.",
    );
    notes.close("bag_manifests", "The lists of files agree with each other.");
    notes.close("bag_info", "The count of files and bytes is right.");
}

/// `shifted`: payload files are missing or were added, so that the count must be wrong too.
fn one(notes: &mut Notes, fault: &Fault, shifted: bool) {
    let about = format!("`{}`: {}", fault.path, fault.about);
    match fault.kind {
        FaultKind::Declaration => notes.wrong("bag_declaration", about),
        FaultKind::Path => notes.wrong("bag_paths", about),
        FaultKind::Missing | FaultKind::Unreadable => notes.missing("bag_complete", about),
        FaultKind::Extra if has_litter_name(&fault.path) => litter(notes, &fault.path),
        FaultKind::Extra => notes.wrong("bag_complete", about),
        FaultKind::Digest => notes.wrong("bag_digests", about),
        FaultKind::Manifest | FaultKind::Spelling => notes.wrong("bag_manifests", about),
        FaultKind::Count if shifted => notes.told("bag_info", about),
        FaultKind::Info | FaultKind::Count => notes.wrong("bag_info", about),
    }
}

fn litter(notes: &mut Notes, path: &str) {
    let about = format!(
        "`{path}`: a system leaves such files behind when a folder is looked at; it is no part of the dossier and was \
         not read for anything"
    );
    notes.told("bag_complete", about);
}

/// The enclosed key.
pub(super) fn key(desk: &mut Desk, notes: &mut Notes) -> Option<PublicKey> {
    let pem = desk.text(notes, "key", KEY)?;
    let key = match PublicKey::read_pem(&pem) {
        // Another spelling of the same key is not the file that was made.
        Ok(key) if key.pem() == pem => key,
        Ok(_) => {
            notes.wrong("key", format!("`{KEY}` is not in its plain spelling"));
            return None;
        }
        Err(why) => {
            notes.wrong("key", format!("`{KEY}`: {why}"));
            return None;
        }
    };
    let about = format!(
        "The enclosed key has the fingerprint {}. Compare it with the invoice or another paper of the seller: nothing in \
         here can show whose key it is.",
        key.fingerprint()
    );
    notes.close("key", about);
    Some(key)
}

/// The key's signature over the list of lists, on which every byte of the set depends.
pub(super) fn signature(desk: &mut Desk, notes: &mut Notes, key: Option<&PublicKey>) {
    const CODE: &str = "set_signature";
    let signature = desk.bytes(notes, CODE, SET_SIGNATURE);
    let set = desk.bytes(notes, CODE, SET);
    match (signature, set, key) {
        (Some(signature), Some(set), Some(key)) => {
            if let Err(why) = key.verify(&set, &signature) {
                notes.wrong(CODE, format!("`{SET_SIGNATURE}` for `{SET}`: {why}"));
            }
        }
        (.., None) => notes.missing(CODE, "without a key no signature can be checked"),
        _ => {}
    }
    notes.close(
        CODE,
        "The set of files as a whole is signed with the enclosed key.",
    );
}
