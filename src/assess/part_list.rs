//! The parts of a piece: those of its form, then any others that the record names.

use std::collections::BTreeSet;

use crate::assess::piece_record::PieceRecord;
use crate::kit::text::capital;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::piece::PartChoice;
use crate::trade::TradeBook;
use crate::trade::entry::form::Form;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Face;

/// The parts of a piece: those of its form, then any others that the record names.
#[derive(Debug)]
pub(crate) struct PartList {
    /// In the form's order; others after them, by name.
    pub(crate) parts: Vec<FormPart>,
    /// Whether the piece hangs on a wall: by its parts, or because a mark names what it hangs by.
    pub(crate) hangs: bool,
    /// Whether it may fall forward on somebody: by its form, or with a part that pulls it over.
    pub(crate) may_tip: bool,
}

impl PartList {
    /// The list of the piece of `case`.
    pub(crate) fn of(case: &PieceRecord, book: &TradeBook) -> Self {
        let mut parts = book.parts_of(&case.piece.form, &case.piece.choice());
        let listed: BTreeSet<PartId> = parts.iter().map(|it| it.id.clone()).collect();
        let others = named(case).into_iter();
        let others = others.filter(|it| !listed.contains(*it) && !is_said_gone(it, case));
        let others: Vec<FormPart> = others.map(|it| unlisted(it, &parts)).collect();
        parts.extend(others);
        let form = book.form(&case.piece.form);
        let hangs = form.is_some_and(|it| it.is_hung(&parts) || is_named_hung(it, case, book));
        let pulls = book.hazard("tip_over").map(|it| &it.applies.kinds);
        let pulled = |it: &FormPart| pulls.is_some_and(|kinds| kinds.contains(&it.kind));
        let tips = form.is_some_and(|it| it.tip_over) || parts.iter().any(pulled);
        Self {
            parts,
            hangs,
            may_tip: tips && !hangs,
        }
    }

    /// The part of this name.
    pub(crate) fn get(&self, id: &PartId) -> Option<&FormPart> {
        self.parts.iter().find(|it| it.id == *id)
    }

    /// The label of a part; its name where it has none.
    pub(crate) fn label(&self, id: &PartId) -> String {
        let found = self.get(id).map(|it| it.label.clone());
        found.unwrap_or_else(|| id.to_string())
    }

    /// Whether a picture of the whole shows this part of it, such as a drawer's front but not its bottom, and not the keyhole plate
    /// that sits on another side than the lid it belongs to.
    pub(crate) fn shows_with_whole(&self, id: &PartId) -> bool {
        let face = |it: &PartId| self.get(it).map(|it| it.face);
        let same_side = || face(id) == face(&id.whole());
        !id.is_inner() || self.get(id).is_some_and(|it| it.seen_with_whole) && same_side()
    }
}

/// Whether a mark names a part with which such a form hangs, such as `hanging plate` on the back.
fn is_named_hung(form: &Form, case: &PieceRecord, book: &TradeBook) -> bool {
    let marks = case.photos.iter().flat_map(|it| &it.sidecar.marks);
    let mut kinds = marks.filter_map(|it| book.kind_called(it.which.as_deref()?));
    kinds.any(|it| form.hangs_with.contains(&it.id))
}

/// Whether the piece never had a part, and no mark says more of it than that it is absent.
fn is_said_gone(part: &PartId, case: &PieceRecord) -> bool {
    let never = |it: &PartId| case.piece.never_had.contains(it);
    let marks = case.photos.iter().flat_map(|it| &it.sidecar.marks);
    let mut told = marks.filter(|it| it.part.as_ref() == Some(part) && !is(it, "absent"));
    let found = case.findings.iter().any(|it| it.key.part == *part);
    (never(part) || never(&part.whole())) && told.next().is_none() && !found
}

/// What such a piece usually has and this one never had, by label.
pub(crate) fn never_had(case: &PieceRecord, book: &TradeBook) -> Vec<String> {
    let choice = PartChoice {
        never_had: Vec::new(),
        ..case.piece.choice()
    };
    let all = book.parts_of(&case.piece.form, &choice);
    let never = all
        .iter()
        .filter(|it| case.piece.never_had.contains(&it.id));
    never.map(|it| it.label.clone()).collect()
}

/// Every part that the record names anywhere.
pub(crate) fn named(case: &PieceRecord) -> BTreeSet<&PartId> {
    let sidecars = case.photos.iter().map(|it| &it.sidecar);
    let marked = sidecars
        .clone()
        .flat_map(|it| it.marks.iter().filter_map(|it| it.part.as_ref()));
    sidecars
        .flat_map(|it| &it.parts)
        .chain(marked)
        .chain(case.findings.iter().map(|it| &it.key.part))
        .chain(&case.piece.absent)
        .chain(case.repairs.iter().flat_map(|it| &it.parts))
        .collect()
}

/// An entry for a part that is not on the form's list.
fn unlisted(id: &PartId, listed: &[FormPart]) -> FormPart {
    let plain = id.as_str().replace('-', " ");
    let (whole, inner) = plain.split_once('/').unwrap_or((&plain, ""));
    let known = listed.iter().find(|it| it.id == id.whole());
    let mut label = known.map_or_else(|| capital(whole), |it| it.label.clone());
    if !inner.is_empty() {
        label = format!("{label}, {inner}");
    }
    FormPart {
        id: id.clone(),
        label,
        kind: String::new(),
        required: false,
        inner: id.is_inner(),
        face: Face::Inside,
        seen_with_whole: false,
    }
}

/// Whether `part` is `whole` or a part of it.
pub(crate) fn belongs(part: &PartId, whole: &PartId) -> bool {
    part == whole || (part.is_inner() && part.whole() == *whole)
}

/// Whether `of` is the part or the face of it that is seen, such as the front of a drawer.
pub(crate) fn is_face(of: &PartId, part: &PartId) -> bool {
    of == part || of.as_str().strip_suffix("/front") == Some(part.as_str())
}

/// Whether a mark has this tag.
pub(crate) fn is(mark: &Mark, tag: &str) -> bool {
    mark.tag.as_deref() == Some(tag)
}
