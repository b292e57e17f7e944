//! Which parts have a wooden surface that is finished and seen (common practice, no source).

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::trade::TradeBook;

/// Kinds with such a surface in the open.
const SHOWN: [&str; 28] = [
    "top",
    "lid",
    "splashback",
    "case_side",
    "face_frame",
    "moulding",
    "ornament",
    "apron",
    "drawer",
    "door",
    "fall_or_roll",
    "writing_surface",
    "leg",
    "foot",
    "base_plinth",
    "pedestal",
    "stretcher",
    "mirror_frame",
    "mirror_support",
    "table_leaf",
    "seat",
    "seat_rail",
    "back_post",
    "back_filling",
    "arm",
    "headboard",
    "footboard",
    "bed_rail",
];

/// Kinds that show in one piece and are hidden behind a door in another.
const PERHAPS_SHOWN: [&str; 2] = ["shelf", "pigeonholes"];

/// Kinds that carry fittings.
const WITH_FITTINGS: [&str; 4] = ["drawer", "door", "lid", "fall_or_roll"];

/// Whether a part of this kind gets advice on its surface.
pub(crate) fn is_finished(kind: &str) -> bool {
    SHOWN.contains(&kind) || PERHAPS_SHOWN.contains(&kind)
}

/// Where a part of this kind may be: `show`, `inside`.
pub(crate) fn places(kind: &str) -> &'static [&'static str] {
    if SHOWN.contains(&kind) {
        return &["show"];
    }
    match PERHAPS_SHOWN.contains(&kind) {
        true => &["inside", "show"],
        false => &["inside"],
    }
}

/// Whether a part of this kind carries fittings.
pub(crate) fn has_fittings(kind: &str) -> bool {
    WITH_FITTINGS.contains(&kind)
}

/// The kinds of the parts of a piece.
pub(crate) struct Kinds<'a> {
    listed: BTreeMap<PartId, String>,
    book: &'a TradeBook,
}

impl<'a> Kinds<'a> {
    /// Of this piece.
    pub(crate) fn of(it: &Assessment, book: &'a TradeBook) -> Self {
        let listed = book.parts_of(&it.piece.form, &it.piece.choice());
        Self {
            listed: listed.into_iter().map(|it| (it.id, it.kind)).collect(),
            book,
        }
    }

    /// The kind of a part; by the stem of its name when the form's list does not have it; empty when unknown.
    pub(crate) fn kind(&self, part: &PartId) -> &str {
        if let Some(kind) = self.listed.get(part) {
            return kind;
        }
        let named = |stem: &str| {
            let rest = part.as_str().strip_prefix(stem);
            rest.is_some_and(|it| it.is_empty() || it.starts_with('-'))
        };
        let outer = self.book.kinds.iter().filter(|_| !part.is_inner());
        let fitting = outer.filter(|it| named(&it.name));
        let longest = fitting.max_by_key(|it| it.name.len());
        longest.map_or("", |it| it.id.as_str())
    }
}

/// Whether `of` is the part or the face of it that is seen, such as the front of a drawer.
pub(crate) fn is_face(of: &PartId, part: &PartId) -> bool {
    of == part || of.as_str().strip_suffix("/front") == Some(part.as_str())
}

/// Whether `of` is the part or a part of it.
pub(crate) fn is_within(of: &PartId, part: &PartId) -> bool {
    of == part || (of.is_inner() && of.whole() == *part)
}
