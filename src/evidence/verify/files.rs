//! The files against the lines that name them, and how many of them are here.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::seal::proofs::LeftOut;
use crate::evidence::seal::proofs::LeftOutFile;
use crate::evidence::seal::proofs::Why;
use crate::evidence::verify::enclosed::Enclosed;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::FileKind;
use crate::evidence::verify::source::FileState;
use crate::evidence::verify::source::NamedFile;
use crate::evidence::verify::source::Scope;
use crate::evidence::verify::source::Source;
use crate::kit::digest::Digest;

/// Lines by what is looked up in them.
struct Index<'a> {
    photos: BTreeMap<(&'a str, u32), &'a PhotoTaken>,
    removed: BTreeSet<(&'a str, u32, Digest)>,
    /// Line of the newest text beside each photo.
    newest: BTreeMap<(&'a str, u32), u64>,
    named: Vec<NamedFile>,
    /// By kind and place, the line and digest of each file that may lie there.
    by_place: BTreeMap<String, Vec<(u64, Digest)>>,
}

/// Compares files and lines, both ways. Gives the counts of the kinds of which lines name some.
pub(super) fn compare(
    source: &mut dyn Source,
    lines: &[FoundLine],
    left_out: &LeftOut,
    notes: &mut Notes,
) -> Vec<Enclosed> {
    let scope = source.scope();
    let index = index(lines);
    let bound = source.bound();
    for (place, digest) in &bound {
        strays(notes, &index, place, digest);
    }
    let mut unused: Vec<&LeftOutFile> = left_out.files.iter().collect();
    let mut counts = FileKind::ALL.map(|kind| Enclosed {
        kind,
        named: 0,
        here: 0,
        older: 0,
        private: 0,
        lost: 0,
        removed: 0,
    });
    for it in &index.named {
        let state = match source.find(it) {
            FileState::Gone(None) if is_overlaid(it, &index, &bound) => {
                FileState::Other(String::new())
            }
            state => state,
        };
        let entry = unused
            .iter()
            .position(|left| (left.no, left.sha256) == (it.line, it.sha256))
            .map(|at| unused.remove(at));
        if let FileState::Other(place) = &state
            && scope == Scope::Book
        {
            let about = format!("`{place}` has other bytes than line {} names", it.line);
            notes.wrong(it.kind.code(), about);
        }
        account(notes, it, &state, entry, &index);
        count(&mut counts, it, (&state, entry), &index, scope);
    }
    for it in unused {
        let about = format!(
            "line {} names no file {} that could be left out",
            it.no, it.sha256
        );
        notes.wrong("left_out", about);
    }
    for it in &mut counts {
        let folder = format!("data/{}/", it.kind.folder());
        // Another picture's text in its place is no older one: no line names it there.
        let is_named = |(place, digest): &&(String, Digest)| {
            let named = index.by_place.get(place).into_iter().flatten();
            { named }.any(|it| it.1 == *digest)
        };
        let files = bound.iter().filter(|file| file.0.starts_with(&folder));
        let files = files.filter(is_named);
        it.older = match it.kind {
            FileKind::Sidecar => files.count().saturating_sub(it.here),
            _ => 0,
        };
    }
    later(notes, lines, &index);
    close(notes, &bound);
    counts.into_iter().filter(|it| it.named > 0).collect()
}

fn close(notes: &mut Notes, bound: &[(String, Digest)]) {
    for kind in FileKind::ALL {
        let folder = format!("data/{}/", kind.folder());
        let n = bound.iter().filter(|it| it.0.starts_with(&folder)).count();
        let what = kind.words();
        let about = match bound.is_empty() {
            true => format!("All {what} that are here are those that the lines name."),
            false => format!("Every file of the {what} is one that a line names ({n})."),
        };
        notes.close(kind.code(), about);
    }
    notes.close(
        "photos",
        "Every photo that a line names is here or accounted for.",
    );
    notes.close("left_out", "What is left out is told.");
}

/// A file in a place where a line must name it.
fn strays(notes: &mut Notes, index: &Index, place: &str, digest: &Digest) {
    let kind = FileKind::ALL
        .into_iter()
        .find(|it| place.starts_with(&format!("data/{}/", it.folder())));
    let code = kind.map_or("originals", FileKind::code);
    match index.by_place.get(place).map(Vec::as_slice) {
        Some(all) if all.iter().any(|it| it.1 == *digest) => {}
        Some([.., (no, _)]) => {
            let about = format!("`{place}` has other bytes than line {no} names");
            notes.wrong(code, about);
        }
        Some([]) | None => notes.wrong(code, format!("`{place}`: no line names it")),
    }
}

/// Whether in a place of a file lies one that no line names there, which is told of that one.
fn is_overlaid(it: &NamedFile, index: &Index, bound: &[(String, Digest)]) -> bool {
    let mut places = it.places.iter().map(|place| format!("data/{place}"));
    places.any(|place| {
        let named = index.by_place.get(&place);
        let is_named =
            |digest: &Digest| named.is_some_and(|all| all.iter().any(|it| it.1 == *digest));
        bound
            .iter()
            .any(|(path, digest)| *path == place && !is_named(digest))
    })
}

fn index(lines: &[FoundLine]) -> Index<'_> {
    let mut index = Index {
        photos: BTreeMap::new(),
        removed: BTreeSet::new(),
        newest: BTreeMap::new(),
        named: Vec::new(),
        by_place: BTreeMap::new(),
    };
    for it in lines {
        let piece = it.line.piece.as_str();
        match it.known() {
            Some(EntryKind::Photo(photo)) => {
                index.photos.entry((piece, photo.photo)).or_insert(photo);
            }
            Some(EntryKind::Removed(gone)) => {
                index.removed.insert((piece, gone.photo, gone.sha256));
            }
            Some(EntryKind::Returned(back)) => {
                index.removed.remove(&(piece, back.photo, back.sha256));
            }
            Some(EntryKind::Sidecar(text)) => {
                index.newest.insert((piece, text.photo), it.line.no);
            }
            _ => {}
        }
    }
    let mut turns: BTreeMap<(&str, u32), usize> = BTreeMap::new();
    for it in lines {
        let Some(mut named) = it.known().and_then(|known| file_of(it, known, &index)) else {
            continue;
        };
        if named.kind == FileKind::Sidecar {
            let turn = turns.entry((&it.line.piece, named.no)).or_default();
            named.turn = *turn;
            *turn += 1;
        }
        for place in &named.places {
            let at = index.by_place.entry(format!("data/{place}")).or_default();
            at.push((named.line, named.sha256));
        }
        index.named.push(named);
    }
    index
}

/// The file that a line names.
fn file_of(found: &FoundLine, known: &EntryKind, index: &Index) -> Option<NamedFile> {
    let piece = &found.line.piece;
    let (kind, no, name, sha256) = match known {
        EntryKind::Photo(it) => (FileKind::Original, it.photo, String::new(), it.sha256),
        EntryKind::Sidecar(it) => (FileKind::Sidecar, it.photo, String::new(), it.sha256),
        EntryKind::Edition(it) => (FileKind::Report, it.no, it.reader.clone(), it.sha256),
        EntryKind::Kept(it) => (FileKind::Kept, 0, it.name.clone(), it.sha256),
        _ => return None,
    };
    let both = |it: &PhotoTaken| [it.place(), it.numbered_place()];
    let (places, label) = match known {
        EntryKind::Photo(it) => (both(it).to_vec(), format!("photo {no}, `{}`", it.name)),
        EntryKind::Sidecar(_) => {
            let photo = index.photos.get(&(piece.as_str(), no));
            let places = photo.map_or_else(Vec::new, |it| both(it).to_vec());
            let places = places.iter().map(|it| format!("{it}.toml")).collect();
            (places, format!("the sidecar of photo {no}"))
        }
        EntryKind::Edition(it) => (vec![it.place()], format!("edition {no} for the {name}")),
        _ => (vec![name.clone()], format!("`{name}`")),
    };
    let places = places.iter().map(|it| format!("{}/{it}", kind.folder()));
    Some(NamedFile {
        line: found.line.no,
        piece: piece.clone(),
        kind,
        no,
        name,
        turn: 0,
        sha256,
        places: places.collect(),
        label,
    })
}

/// Whether a later line names another text beside the same photo.
fn is_replaced(it: &NamedFile, index: &Index) -> bool {
    let newest = index.newest.get(&(it.piece.as_str(), it.no));
    it.kind == FileKind::Sidecar && newest.is_some_and(|newest| *newest > it.line)
}

fn is_removed(it: &NamedFile, index: &Index) -> bool {
    let key = (it.piece.as_str(), it.no, it.sha256);
    it.kind == FileKind::Original && index.removed.contains(&key)
}

/// Whether a later line takes it, or the photo beside which it was written, out of the book.
fn is_gone(it: &NamedFile, index: &Index) -> bool {
    let (piece, no) = (it.piece.as_str(), it.no);
    let photo = index.photos.get(&(piece, no));
    let is_out = photo.is_some_and(|it| index.removed.contains(&(piece, no, it.sha256)));
    is_removed(it, index) || (it.kind == FileKind::Sidecar && is_out)
}

fn count(
    counts: &mut [Enclosed; 4],
    it: &NamedFile,
    (state, left_out): (&FileState, Option<&LeftOutFile>),
    index: &Index,
    scope: Scope,
) {
    let Some(count) = counts.iter_mut().find(|count| count.kind == it.kind) else {
        return;
    };
    if is_replaced(it, index) {
        return;
    }
    count.named += 1;
    // A book keeps the text of a picture that is out, and keeps it nowhere beside a picture.
    let set_aside = scope == Scope::Book && it.kind == FileKind::Sidecar && is_gone(it, index);
    match (state, left_out.map(|it| it.why)) {
        (FileState::Here, _) if !set_aside => count.here += 1,
        _ if is_gone(it, index) => count.removed += 1,
        (_, Some(Why::Private)) => count.private += 1,
        (_, Some(Why::Lost)) => count.lost += 1,
        _ => {}
    }
}

/// Whether a file is here, or why not.
fn account(
    notes: &mut Notes,
    it: &NamedFile,
    state: &FileState,
    left_out: Option<&LeftOutFile>,
    index: &Index,
) {
    let (no, label) = (it.line, &it.label);
    let code = it.kind.code_of_absence();
    match (state, left_out) {
        (FileState::Here, None) => {}
        (FileState::Here, Some(_)) => {
            let about = format!("line {no}: {label} is said to be left out, but is here");
            notes.wrong("left_out", about);
        }
        (_, Some(left)) => said_to_be_left_out(notes, it, left.why, index),
        (_, None) if is_removed(it, index) => {
            let about = format!("line {no}: {label} was taken out of the book later");
            notes.told("left_out", about);
        }
        // Told already: other bytes lie in its place.
        (FileState::Other(_), None) => {}
        (FileState::Gone(Some(place)), None) => {
            let about = format!("line {no}: {label}: `{place}` is not there");
            notes.missing(code, about);
        }
        (FileState::Gone(None), None) => {
            let about = format!("line {no}: {label} is neither here nor said to be left out");
            notes.missing(code, about);
        }
    }
}

fn said_to_be_left_out(notes: &mut Notes, it: &NamedFile, why: Why, index: &Index) {
    let (no, label) = (it.line, &it.label);
    let code = it.kind.code_of_absence();
    match why {
        Why::Replaced if is_replaced(it, index) => {
            let about = format!("line {no}: {label} is left out; a later one took its place");
            notes.told("left_out", about);
        }
        Why::Replaced => {
            let about =
                format!("line {no}: {label} is said to be replaced, but no later line replaces it");
            notes.missing(code, about);
        }
        Why::Removed if !is_gone(it, index) => {
            let about = format!(
                "line {no}: {label} is said to be taken out of the book, but no line takes it out"
            );
            notes.missing(code, about);
        }
        Why::Lost => {
            let about = format!("line {no}: {label} is left out (lost)");
            notes.missing("left_out", about);
        }
        why => {
            let about = format!("line {no}: {label} is left out ({})", why.word());
            notes.told("left_out", about);
        }
    }
}

/// What later lines say of photos: each must be of the one that was taken in.
fn later(notes: &mut Notes, lines: &[FoundLine], index: &Index) {
    for found in lines {
        let (photo, sha256, verb, done) = match found.known() {
            Some(EntryKind::Removed(it)) => {
                let done = format!("was taken out of the book: {}", it.why);
                (it.photo, it.sha256, "takes out", done)
            }
            Some(EntryKind::Returned(it)) => {
                let done = "was put back into the book".to_owned();
                (it.photo, it.sha256, "puts back", done)
            }
            Some(EntryKind::Moved(it)) => {
                let done = format!("was put into shoot {}", it.shoot);
                (it.photo, it.sha256, "puts elsewhere", done)
            }
            _ => continue,
        };
        let no = found.line.no;
        match index.photos.get(&(found.line.piece.as_str(), photo)) {
            Some(it) if it.sha256 == sha256 => {
                notes.told("photos", format!("line {no}: photo {photo} {done}"));
            }
            Some(_) => {
                let about = format!("line {no} {verb} another photo {photo} than was taken in");
                notes.wrong("photos", about);
            }
            None => {
                let about = format!("line {no} {verb} photo {photo}, whose line is not here");
                notes.told("photos", about);
            }
        }
    }
}
