//! What came after the newest seal, by piece and file.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::verify::lines::FoundLine;
use crate::evidence::verify::notes::Notes;
use crate::kit::digest::Digest;

/// Most lines that are named one by one; the rest is counted.
const MOST: usize = 20;

/// Names what the lines from `covered` on tell of, piece by piece, and whether an older line told of it too.
pub(super) fn named(lines: &[FoundLine], covered: u64) -> String {
    let photos = photos(lines);
    let told = |it: &FoundLine| (it.line.piece.clone(), what(it, &photos));
    let (old, new): (Vec<_>, Vec<_>) = lines.iter().partition(|it| it.line.no < covered);
    let mut before: BTreeSet<(String, String)> = old.into_iter().map(told).collect();
    let mut by_piece: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let new: Vec<&FoundLine> = new.into_iter().filter(|it| !it.is_stamp()).collect();
    for it in new.iter().take(MOST) {
        let key = told(it);
        let changed = match before.contains(&key) {
            true => " changed",
            false => "",
        };
        let row = format!("{}{changed} (line {})", key.1, it.line.no);
        let piece = match key.0.as_str() {
            "" => "the book".to_owned(),
            no => no.to_owned(),
        };
        by_piece.entry(piece).or_default().push(row);
        before.insert(key);
    }
    let pieces = by_piece.iter();
    let mut all: Vec<String> = pieces
        .map(|(piece, rows)| format!("{piece}: {}", rows.join(", ")))
        .collect();
    if new.len() > MOST {
        all.push(format!("and {} more", new.len() - MOST));
    }
    all.join("; ")
}

/// The newest texts beside two pictures of which each is, word for word, what was written beside the other before and never beside
/// its own; a sentence for each two, also among the notes.
pub(super) fn swapped(lines: &[FoundLine], notes: &mut Notes) -> Vec<String> {
    let mut texts: BTreeMap<(&str, u32), Vec<(u64, Digest)>> = BTreeMap::new();
    for it in lines {
        if let Some(EntryKind::Sidecar(text)) = it.known() {
            let of = texts
                .entry((it.line.piece.as_str(), text.photo))
                .or_default();
            of.push((it.line.no, text.sha256));
        }
    }
    let moved: Vec<_> = texts
        .iter()
        .filter_map(|(of, texts)| {
            let ((line, newest), before) = texts.split_last()?;
            let is_new = before.iter().all(|it| it.1 != *newest);
            is_new.then_some((of, *line, *newest, before))
        })
        .collect();
    let had = |before: &[(u64, Digest)], text: Digest| before.iter().any(|it| it.1 == text);
    let mut told = Vec::new();
    for (at, (a, line, newest, before)) in moved.iter().enumerate() {
        for (b, other_line, other, other_before) in &moved[at + 1..] {
            if a.0 == b.0 && had(before, *other) && had(other_before, *newest) {
                let about = format!(
                    "{}: the texts beside pictures {} and {} are each other's, word for word (lines {line} and {other_line})",
                    a.0, a.1, b.1
                );
                told.push(format!("{about}."));
                notes.told("sidecars", about);
            }
        }
    }
    told
}

fn photos(lines: &[FoundLine]) -> BTreeMap<(&str, u32), &PhotoTaken> {
    let all = lines.iter().filter_map(|it| match it.known() {
        Some(EntryKind::Photo(photo)) => Some(((it.line.piece.as_str(), photo.photo), photo)),
        _ => None,
    });
    all.collect()
}

/// What a line tells of, without what it says of it.
fn what(found: &FoundLine, photos: &BTreeMap<(&str, u32), &PhotoTaken>) -> String {
    let name = |no: u32| {
        let photo = photos.get(&(found.line.piece.as_str(), no));
        photo.map_or("", |it| it.name.as_str())
    };
    match found.known() {
        Some(EntryKind::Photo(it)) => format!("picture {}, `{}`", it.photo, it.name),
        Some(EntryKind::Sidecar(it)) => {
            format!("`{}.toml` beside picture {}", name(it.photo), it.photo)
        }
        Some(EntryKind::Piece(_)) => "what was told of the piece".to_owned(),
        Some(EntryKind::Repair(it)) => format!("repair {}", it.no),
        Some(EntryKind::Edition(it)) => format!("edition {} for the {}", it.no, it.reader),
        Some(EntryKind::Removed(it)) => format!("the removal of picture {}", it.photo),
        Some(EntryKind::Returned(it)) => format!("the return of picture {}", it.photo),
        Some(EntryKind::Moved(it)) => format!("the shoot of picture {}", it.photo),
        Some(EntryKind::Kept(it)) => format!("`{}`", it.name),
        Some(EntryKind::Sale(_)) => "the sale".to_owned(),
        Some(EntryKind::Unsold(it)) => format!("that the sale of {} did not come about", it.day),
        Some(EntryKind::Withdrawn(_)) => "that the piece was withdrawn".to_owned(),
        Some(EntryKind::Reinstated(_)) => "that the piece was brought back".to_owned(),
        Some(EntryKind::Finding(it)) => it.finding.to_string(),
        Some(EntryKind::Shoot(it)) => format!("shoot {}", it.shoot),
        Some(EntryKind::Countersigned(it)) => format!("the confirmation of seal {}", it.seal),
        Some(
            EntryKind::Begun(_) | EntryKind::Clock(_) | EntryKind::Stamp(_) | EntryKind::Key(_),
        )
        | None => format!("`{}`", found.line.what),
    }
}
