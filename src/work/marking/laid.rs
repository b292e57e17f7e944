//! When a photo counts as laid: which view it is and what it shows is said.

use crate::model::photo::Photo;
use crate::trade::TradeBook;
use crate::trade::entry::view::View;

/// Whether both which view a photo is and what it shows is said.
pub(super) fn is_laid(trade: &TradeBook, photo: &Photo) -> bool {
    let said = &photo.sidecar;
    let view = said.view.as_deref().and_then(|it| trade.view(it));
    let named = !said.parts.is_empty() || !said.marks.is_empty();
    view.is_some_and(|it| named || !needs_part(it))
}

/// Whether a view says nothing unless a part is named beside it: what is packed or handed over is shown as a whole.
pub(super) fn needs_part(view: &View) -> bool {
    !view.wrapped && (view.of_place || !view.shows.is_empty())
}
