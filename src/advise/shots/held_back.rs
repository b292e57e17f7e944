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
    let gives = off_first::giving_way(it, book);
    if let Some(gives) = &gives {
        let first = format!(
            "It can give way: {gives}. The piece is not tipped, turned or dragged, nor opened there, until that is mended."
        );
        list.mind.insert(0, first);
    }
    let off = off_first::named(it, book);
    // Of a mirror, which is one glass in its frame, nothing comes off before it is moved.
    let whole = it.hangs && book.form(&it.piece.form).is_some_and(|it| it.hangs);
    if let Some(off) = &off {
        let first = match (whole, stage) {
            (true, _) => {
                format!(
                    "It can fall or break: {off}. Move it only upright, with gloves, by two people."
                )
            }
            // Nobody takes a seller's piece apart.
            (false, Stage::Doorstep) => {
                format!("It can fall or break: {off}. The piece is not moved, opened or emptied.")
            }
            (false, _) => format!(
                "Taken off first, by two people: {off}. Until then the piece is not moved, opened or emptied."
            ),
        };
        list.mind.insert(0, first);
    }
    let before = match (off.filter(|_| !whole), gives) {
        (None, None) => return,
        (None, Some(gives)) => {
            format!("Without tipping, dragging or opening it there ({gives}); use a lamp")
        }
        (Some(off), gives) if stage == Stage::Doorstep => {
            let both: Vec<String> = std::iter::once(off).chain(gives).collect();
            format!(
                "Only as far as a lamp reaches, as it is not moved ({})",
                both.join("; ")
            )
        }
        (Some(off), None) => format!("Once it is off ({off})"),
        (Some(off), Some(gives)) => format!("Once it is off ({off}) and mended ({gives})"),
    };
    minded(it, &before, list, book);
}

/// Said before each view, and each fault, for which the piece would be moved or opened.
fn minded(it: &Assessment, before: &str, list: &mut ShotList, book: &TradeBook) {
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
