//! Which parts have a wooden surface that is finished and seen.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::kind::Shown;

/// Where a part of a kind may be: `show`, `inside`.
pub(crate) fn places(shown: Shown) -> &'static [&'static str] {
    match shown {
        Shown::Always => &["show"],
        Shown::Perhaps => &["inside", "show"],
        Shown::No => &["inside"],
    }
}

/// Whether the surface of a part of this kind is finished and seen; not of a kind that is unknown.
pub(crate) fn shown(kind: &str, book: &TradeBook) -> Shown {
    book.kind(kind).map(|it| it.shown).unwrap_or_default()
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
