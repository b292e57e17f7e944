//! What came after the newest seal, by piece and file.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::verify::lines::FoundLine;

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
