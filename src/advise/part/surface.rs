//! Which parts have a wooden surface that is finished and seen.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::part_list::is_face;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::kind::Shown;
use crate::trade::entry::tag::Tag;

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
    listed: &'a BTreeMap<PartId, String>,
    book: &'a TradeBook,
}

impl<'a> Kinds<'a> {
    /// Of this piece.
    pub(crate) fn of(it: &'a Assessment, book: &'a TradeBook) -> Self {
        Self {
            listed: &it.kinds,
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

    /// Whether the part is set in that other one, such as glass in a frame.
    pub(crate) fn is_set_in(&self, part: &PartId, other: &PartId) -> bool {
        let kind = self.book.kind(self.kind(part));
        kind.is_some_and(|it| it.set_in.iter().any(|of| of == self.kind(other)))
    }
}

/// Whether a part of this kind is there with a wooden face of its own: not one that is missing, that cloth, leather or cane
/// covers, or that is of metal.
pub(crate) fn has_wood(it: &Assessment, part: &PartId, kind: &str, book: &TradeBook) -> bool {
    let gone = |it: &&Finding| {
        let tag = book.tag(&it.tag);
        it.part == *part && it.state.is_open() && tag.is_some_and(|it| it.absence)
    };
    let metal = |it: &Tag| it.no_wood_on.iter().any(|it| it == kind);
    let mut findings = it.findings.iter();
    let gone = it.is_absent(part) || findings.any(|it| gone(&it));
    !gone && !is_covered(it, part, book) && !told_on(it, part, book).any(metal)
}

/// Whether cloth, leather, cane or a pad lies over a part.
pub(crate) fn is_covered(it: &Assessment, part: &PartId, book: &TradeBook) -> bool {
    let seen = it.observations.iter().filter(|it| is_face(&it.part, part));
    let mut cues = seen.filter_map(|it| book.cue(&it.cue));
    cues.any(|it| it.covers) || told_on(it, part, book).any(|it| it.covers)
}

/// The faults told of the face of a part, whatever became of them.
fn told_on<'a>(
    it: &'a Assessment,
    part: &'a PartId,
    book: &'a TradeBook,
) -> impl Iterator<Item = &'a Tag> {
    let told = it
        .findings
        .iter()
        .filter(|it| it.state != FindingState::Withdrawn && is_face(&it.part, part));
    told.filter_map(|it| book.tag(&it.tag))
}
