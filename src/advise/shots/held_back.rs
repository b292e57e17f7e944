//! What is not moved or opened for a picture before it is mended or off.

use crate::advise::part::off_first;
use crate::advise::shots::to_take::FaultShot;
use crate::advise::shots::to_take::ShotLine;
use crate::advise::shots::to_take::ShotList;
use crate::assess::assessment::Assessment;
use crate::model::photo::Stage;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;

/// What falls, breaks or gives way is named before all else, and no view asks for the piece to be moved, or opened there, before.
pub(in crate::advise::shots) fn hold_back(
    it: &Assessment,
    stage: Stage,
    list: &mut ShotList,
    book: &TradeBook,
) {
    if let Some(gives) = off_first::giving_way(it, book) {
        let first = format!(
            "It can give way: {gives}. The piece is not tipped, turned or dragged, nor opened there, until that is mended."
        );
        let before = format!("Without tipping, dragging or opening it there ({gives}); use a lamp");
        minded(it, first, &before, list, book);
    }
    if let Some(off) = off_first::named(it, book) {
        // A mirror is one glass in its frame.
        match it.hangs && book.form(&it.piece.form).is_some_and(|it| it.hangs) {
            true => list.mind.insert(0, carried_with_care(&off)),
            false => not_before(it, &off, stage, list, book),
        }
    }
}

/// Of a piece that is one glass in its frame nothing comes off before it is moved.
fn carried_with_care(off: &str) -> String {
    format!("It can fall or break: {off}. Move it only upright, with gloves, by two people.")
}

/// What can fall or break is named before all else, and no view asks for the piece to be moved before it is off.
fn not_before(it: &Assessment, off: &str, stage: Stage, list: &mut ShotList, book: &TradeBook) {
    // Nobody takes a seller's piece apart.
    let (first, before) = match stage {
        Stage::Doorstep => (
            format!("It can fall or break: {off}. The piece is not moved, opened or emptied."),
            format!("Only as far as a lamp reaches, as it is not moved ({off})"),
        ),
        _ => (
            format!(
                "Taken off first, by two people: {off}. Until then the piece is not moved, opened or emptied."
            ),
            format!("Once it is off ({off})"),
        ),
    };
    minded(it, first, &before, list, book);
}

/// Said before all else, and before each view, and each fault, for which the piece would be moved or opened.
fn minded(it: &Assessment, first: String, before: &str, list: &mut ShotList, book: &TradeBook) {
    list.mind.insert(0, first);
    let moved = |it: &&mut ShotLine| book.view(&it.view).is_some_and(|it| it.moves);
    for line in list.views.iter_mut().filter(moved) {
        line.how = format!("{before}: {}", line.how);
    }
    let parts = book.parts_of(&it.piece.form, &it.piece.choice());
    let moved = |it: &&mut FaultShot| {
        parts
            .iter()
            .any(|part| part.id == it.part && is_moved_for(part, book))
    };
    for fault in list.faults.iter_mut().filter(moved) {
        fault.how = format!("{before}: {}", fault.how);
    }
}

/// Whether every look at the whole of a part moves or opens the piece.
fn is_moved_for(part: &FormPart, book: &TradeBook) -> bool {
    let mut views = book
        .views
        .iter()
        .filter(|it| it.shows_part(part))
        .peekable();
    views.peek().is_some() && views.all(|it| it.moves)
}
