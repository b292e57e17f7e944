//! What must be known to say what a picture shows of a part.

use std::collections::BTreeSet;

use crate::assess::part_list::PartList;
use crate::assess::places::place::Carrier;
use crate::assess::statements::reading::Statements;
use crate::assess::timeline::Timeline;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::trade::TradeBook;

/// The record and the trade book, to ask what pictures show.
pub(crate) struct Looking<'a> {
    /// The trade book.
    pub(crate) book: &'a TradeBook,
    /// The photos in order.
    pub(crate) time: &'a Timeline<'a>,
    /// The parts.
    pub(crate) list: &'a PartList,
    /// What carries marks onto the faces of the piece.
    pub(crate) carrier: Carrier<'a>,
    /// What was said of them.
    pub(crate) statements: &'a Statements<'a>,
    /// Photos too dark or blurred to show that something is not there.
    pub(crate) dim: &'a BTreeSet<u32>,
}

/// How much of a part a picture shows that carries no mark of the place in question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Shows {
    /// It is a whole view of the part.
    Whole,
    /// It names the part, or the whole with which the part is seen, and may not show the place.
    Some,
}

impl Looking<'_> {
    /// Whether the picture is a whole view of another side than the part's.
    pub(crate) fn is_of_another_side(&self, photo: &Photo, part: &PartId) -> bool {
        let view = photo.sidecar.view.as_deref();
        let view = view.and_then(|it| self.book.view(it)).filter(|it| it.fixed);
        let with_whole = self.list.shows_with_whole(part);
        let seen = |it: &PartId| it == part || (with_whole && *it == part.whole());
        let mut parts = self.list.parts.iter().filter(|it| seen(&it.id));
        view.is_some_and(|view| !parts.any(|it| view.shows_whole(it)))
    }

    /// How much of a part a picture shows; `None` when it does not, shows one place from near,
    /// or shows the piece wrapped.
    pub(crate) fn shows(&self, photo: &Photo, part: &PartId) -> Option<Shows> {
        let whole = part.whole();
        let with_whole = self.list.shows_with_whole(part);
        let seen = |it: &PartId| it == part || (with_whole && *it == whole);
        let named = photo.sidecar.parts.iter().any(seen);
        let view = photo.sidecar.view.as_deref();
        let view = view.and_then(|it| self.book.view(it));
        let parts = self.list.parts.iter().filter(|it| seen(&it.id));
        let is_whole = view.is_some_and(|view| parts.clone().any(|part| view.shows_whole(part)));
        match view {
            Some(view) if view.of_place || view.wrapped || (view.fixed && !is_whole) => None,
            _ if is_whole && (named || photo.sidecar.parts.is_empty()) => Some(Shows::Whole),
            _ => named.then_some(Shows::Some),
        }
    }
}
