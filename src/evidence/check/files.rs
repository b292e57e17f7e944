//! The enclosed files against the lines that name them.

use std::collections::BTreeMap;

use crate::evidence::check::Desk;
use crate::evidence::check::ledger::Found;
use crate::evidence::check::notes::Notes;
use crate::evidence::check::set::is_litter;
use crate::evidence::dossier::package::CHECK_PAGE;
use crate::evidence::dossier::package::KEY;
use crate::evidence::dossier::package::is_of_ledger;
use crate::evidence::dossier::package::seal_number;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::LeftOutFile;
use crate::evidence::seal::proofs::Why;
use crate::kit::digest::Digest;

/// The folders whose every file a line must name: folder, code, what a file in it is.
const FOLDERS: [(&str, &str, &str); 4] = [
    ("data/originals/", "originals", "originals"),
    ("data/sidecars/", "sidecars", "sidecars"),
    ("data/reports/", "reports", "reports"),
    ("data/kept/", "kept", "kept papers and messages"),
];

/// A file that a line names.
struct Named<'a> {
    no: u64,
    code: &'static str,
    sha256: Digest,
    /// Where it may lie.
    places: Vec<String>,
    /// For people.
    label: String,
    /// The photo, when it is an original.
    photo: Option<&'a PhotoTaken>,
}

/// Compares files and lines, both ways.
pub(super) fn compare(desk: &Desk, notes: &mut Notes, lines: &[Found], left_out: &LeftOut) {
    let named = named(lines);
    let mut by_place: BTreeMap<&str, Vec<&Named>> = BTreeMap::new();
    for it in &named {
        for place in &it.places {
            by_place.entry(place).or_default().push(it);
        }
    }
    for (path, sums) in &desk.bag.files {
        let Some((_, code, _)) = FOLDERS.iter().find(|(folder, ..)| path.starts_with(folder))
        else {
            continue;
        };
        if is_litter(desk, path) {
            continue;
        }
        match by_place.get(path.as_str()).map(Vec::as_slice) {
            None => notes.wrong(code, format!("`{path}`: no line names it")),
            Some(all) if all.iter().any(|it| it.sha256 == sums.sha256) => {}
            Some([.., it]) => {
                let about = format!("`{path}` is not the file that line {} names", it.no);
                notes.wrong(code, about);
            }
            Some([]) => {}
        }
    }
    let mut unused: Vec<&LeftOutFile> = left_out.files.iter().collect();
    for it in &named {
        let here = it
            .places
            .iter()
            .filter_map(|place| desk.bag.files.get(place))
            .any(|sums| sums.sha256 == it.sha256);
        let entry = unused
            .iter()
            .position(|left| (left.no, left.sha256) == (it.no, it.sha256))
            .map(|at| unused.remove(at));
        account(notes, it, here, entry, lines, &named);
    }
    for it in unused {
        let about = format!(
            "line {} names no file {} that could be left out",
            it.no, it.sha256
        );
        notes.wrong("left_out", about);
    }
    removed(notes, lines);
    for (folder, code, what) in FOLDERS {
        let n = desk
            .bag
            .files
            .keys()
            .filter(|it| it.starts_with(folder))
            .count();
        notes.close(
            code,
            format!("All {n} {what} are the files that the lines name."),
        );
    }
    notes.close(
        "photos",
        "Every photo that a line names is here or accounted for.",
    );
    notes.close("left_out", "What is left out is told.");
}

fn photo_of(lines: &[Found], no: u32) -> Option<&PhotoTaken> {
    lines.iter().find_map(|it| match &it.entry {
        Some(Entry::Known(EntryKind::Photo(photo))) if photo.photo == no => Some(photo),
        _ => None,
    })
}

fn named(lines: &[Found]) -> Vec<Named<'_>> {
    let mut all = Vec::new();
    for found in lines {
        let no = found.line.no;
        let (code, sha256, places, label, photo) = match &found.entry {
            Some(Entry::Known(EntryKind::Photo(it))) => {
                let label = format!("photo {}, `{}`", it.photo, it.name);
                let places = [it.place(), it.numbered_place()];
                (
                    "photos",
                    it.sha256,
                    places.map(|it| format!("data/originals/{it}")).to_vec(),
                    label,
                    Some(it),
                )
            }
            Some(Entry::Known(EntryKind::Sidecar(it))) => {
                let photo = photo_of(lines, it.photo);
                let places =
                    photo.map_or_else(Vec::new, |it| vec![it.place(), it.numbered_place()]);
                let places = places.iter().map(|it| format!("data/sidecars/{it}.toml"));
                let label = format!("the sidecar of photo {}", it.photo);
                ("sidecars", it.sha256, places.collect(), label, None)
            }
            Some(Entry::Known(EntryKind::Edition(it))) => {
                let label = format!("edition {} for the {}", it.no, it.reader);
                (
                    "reports",
                    it.sha256,
                    vec![format!("data/reports/{}", it.place())],
                    label,
                    None,
                )
            }
            Some(Entry::Known(EntryKind::Kept(it))) => {
                let label = format!("`{}`", it.name);
                (
                    "kept",
                    it.sha256,
                    vec![format!("data/kept/{}", it.name)],
                    label,
                    None,
                )
            }
            _ => continue,
        };
        all.push(Named {
            no,
            code,
            sha256,
            places,
            label,
            photo,
        });
    }
    all
}

/// Whether a file is here, or why not.
fn account(
    notes: &mut Notes,
    it: &Named,
    here: bool,
    left_out: Option<&LeftOutFile>,
    lines: &[Found],
    named: &[Named],
) {
    let (no, label) = (it.no, &it.label);
    match (here, left_out) {
        (true, None) => {}
        (true, Some(_)) => {
            let about = format!("line {no}: {label} is said to be left out, but is here");
            notes.wrong("left_out", about);
        }
        (false, Some(left)) if left.why == Why::Replaced => {
            let later =
                |other: &Named| other.no > no && other.code == it.code && other.places == it.places;
            if it.code == "sidecars" && named.iter().any(later) {
                let about = format!("line {no}: {label} is left out; a later one took its place");
                notes.told("left_out", about);
            } else {
                let about = format!(
                    "line {no}: {label} is said to be replaced, but no later line replaces it"
                );
                notes.missing(it.code, about);
            }
        }
        (false, Some(left)) => {
            let about = format!("line {no}: {label} is left out ({})", left.why.word());
            notes.told("left_out", about);
        }
        (false, None) if it.photo.is_some_and(|photo| is_removed(lines, photo)) => {
            let about = format!("line {no}: {label} was taken out of the book later");
            notes.told("left_out", about);
        }
        (false, None) => {
            let about = format!("line {no}: {label} is neither here nor said to be left out");
            notes.missing(it.code, about);
        }
    }
}

fn is_removed(lines: &[Found], photo: &PhotoTaken) -> bool {
    lines.iter().any(|it| match &it.entry {
        Some(Entry::Known(EntryKind::Removed(removed))) => {
            (removed.photo, removed.sha256) == (photo.photo, photo.sha256)
        }
        _ => false,
    })
}

fn removed(notes: &mut Notes, lines: &[Found]) {
    for found in lines {
        let Some(Entry::Known(EntryKind::Removed(it))) = &found.entry else {
            continue;
        };
        let no = found.line.no;
        match photo_of(lines, it.photo) {
            Some(photo) if photo.sha256 == it.sha256 => {
                let about = format!(
                    "line {no}: photo {} was taken out of the book: {}",
                    it.photo, it.why
                );
                notes.told("photos", about);
            }
            Some(_) => {
                let about = format!(
                    "line {no} takes out another photo {} than was taken in",
                    it.photo
                );
                notes.wrong("photos", about);
            }
            None => {
                let about = format!(
                    "line {no} takes out photo {}, whose line is not here",
                    it.photo
                );
                notes.told("photos", about);
            }
        }
    }
}

/// Tells which files no line vouches for.
pub(super) fn presented(desk: &Desk, notes: &mut Notes) -> Vec<String> {
    const CODE: &str = "presented";
    let known = |path: &str| {
        FOLDERS.iter().any(|(folder, ..)| path.starts_with(folder))
            || is_of_ledger(path)
            || path == KEY
            || seal_number(path).is_some()
    };
    let paths = desk.bag.files.keys();
    let found: Vec<String> = paths
        .filter(|it| it.starts_with("data/") && !known(it) && !is_litter(desk, it))
        .cloned()
        .collect();
    if found.is_empty() {
        notes.told(CODE, "There is nothing but what lines vouch for.");
    } else {
        let about = format!(
            "No line vouches for these {} files; they are the presenter's own words, or were made from the rest: {}.",
            found.len(),
            found.join(", ")
        );
        notes.told(CODE, about);
    }
    if let (Some(want), Some(have)) = (desk.tools.page(), desk.bag.files.get(CHECK_PAGE)) {
        notes.told(
            CODE,
            match have.sha256 == want {
                true => format!("`{CHECK_PAGE}` is the page that this program encloses."),
                false => format!(
                    "`{CHECK_PAGE}` is not the page that this program encloses: it is of another version, or \
                     somebody else's. Do not rely on what it shows."
                ),
            },
        );
    }
    found
}
