//! The files of a dossier as such: whether the bag is whole, and what lies in it that is no part of it.

use crate::evidence::dossier::bag_read::Bag;
use crate::evidence::dossier::bag_read::Fault;
use crate::evidence::dossier::bag_read::FaultKind;
use crate::evidence::dossier::package::SET_SIGNATURE;
use crate::evidence::dossier::package::START_HERE;
use crate::evidence::verify::notes::Notes;

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

/// Where a reader may have put the letter and the root certificate that `CHECK.txt` has him save: no part of a dossier, and
/// never read, as whoever sent it could have put them there.
const OF_READER: [&str; 4] = ["letter.txt", "root.pem", "data/letter.txt", "data/root.pem"];

/// What systems, office programs and readers leave behind where somebody looked into a folder.
///
/// Only what no manifest names is taken for that.
pub(super) fn is_litter(bag: &Bag, path: &str) -> bool {
    let extra = |it: &Fault| it.kind == FaultKind::Extra && it.path == path;
    has_litter_name(path) && bag.faults.iter().any(extra)
}

fn has_litter_name(path: &str) -> bool {
    OF_READER.contains(&path) || has_system_name(path)
}

fn has_system_name(path: &str) -> bool {
    let mut steps = path.split('/');
    let name = steps.next_back().unwrap_or(path);
    [".DS_Store", "Thumbs.db", "desktop.ini", ".directory"].contains(&name)
        || ["._", "~$", ".~lock."]
            .iter()
            .any(|it| name.starts_with(it))
        || name.ends_with(":Zone.Identifier")
        || steps.any(|it| it == "__MACOSX")
}

/// What is there, and whether it is what was put in.
pub(super) fn check(bag: &Bag, notes: &mut Notes) {
    let shifted = bag.faults.iter().any(|it| {
        let moved = [FaultKind::Missing, FaultKind::Unreadable, FaultKind::Extra];
        moved.contains(&it.kind) && it.path.starts_with("data/")
    });
    for fault in &bag.faults {
        one(notes, fault, shifted);
    }
    for path in BESIDE {
        if !bag.files.contains_key(path) {
            notes.missing("bag_complete", format!("`{path}`: it is not there"));
        }
    }
    // Older dossiers have no file that says where to begin.
    let is_known = |path: &str| BESIDE.contains(&path) || path == START_HERE;
    let beside = |path: &&String| !path.starts_with("data/") && !is_known(path);
    for path in bag.files.keys().filter(beside) {
        if has_litter_name(path) {
            litter(notes, path);
        } else {
            let about = format!("`{path}`: it is no part of a dossier, and nothing names it");
            notes.wrong("bag_complete", about);
        }
    }
    let payload = |path: &&String| path.starts_with("data/");
    let files = bag.files.keys().filter(payload).count();
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
        // The lock file of an office program begins like somebody's home, but leads nowhere.
        FaultKind::Path if fault.path.starts_with("~$") && !fault.path.contains('/') => {
            litter(notes, &fault.path);
        }
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
    if OF_READER.contains(&path) {
        let about = format!(
            "`{path}`: it is no part of the dossier and was not read; keep it outside the folder"
        );
        notes.told("bag_complete", about);
        return;
    }
    let about = format!(
        "`{path}`: a system or an office program leaves such files behind when a folder is looked at; it is no part of \
         the dossier and was not read for anything"
    );
    notes.told("bag_complete", about);
}
