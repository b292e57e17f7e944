//! What is not moved or opened for a picture before it is mended or off.

use crate::advise::part::off_first;
use crate::advise::shots::to_take::FaultShot;
use crate::advise::shots::to_take::ShotLine;
use crate::advise::shots::to_take::ShotList;
use crate::assess::assessment::Assessment;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;

/// What falls, breaks or gives way is named before all else, and no view asks for the piece to be moved, or opened there, before.
pub(in crate::advise::shots) fn hold_back(
    it: &Assessment,
    stage: Stage,
    list: &mut ShotList,
    book: &TradeBook,
) {
    let told = |all: Vec<Saying>| (!all.is_empty()).then_some(Saying::Commas(all));
    let gives = told(off_first::giving_way(it, book));
    if let Some(drops) = told(off_first::dropping(it, book)) {
        list.mind.insert(0, say::mind_drops(drops));
    }
    if let Some(weak) = told(off_first::weak(it, book)) {
        list.mind.insert(0, say::mind_weak(weak));
    }
    let off = told(off_first::named(it, book));
    // Of a mirror, which is one glass in its frame, nothing comes off before it is moved.
    let whole = it.hangs && book.form(&it.piece.form).is_some_and(|it| it.hangs);
    if let Some(off) = off.clone() {
        let first = match (whole, stage) {
            (true, _) => say::mind_upright(off),
            (false, _) if !is_ours(stage) => say::mind_unmoved(off),
            (false, _) => say::mind_off_first(off),
        };
        list.mind.insert(0, first);
    }
    let before = match (off.filter(|_| !whole), gives) {
        (None, None) => return,
        (off, gives) if !is_ours(stage) => {
            let both = Saying::Parted(off.into_iter().chain(gives).collect());
            return instead(it, both, list, book);
        }
        (None, Some(gives)) => say::once_mended(gives),
        (Some(off), None) => say::once_off(off),
        (Some(off), Some(gives)) => say::once_off_mended(off, gives),
    };
    minded(it, &before, list, book);
}

/// Whether the piece is taken apart and mended before its pictures: nobody does so at a seller's, nor once it is handed over.
fn is_ours(stage: Stage) -> bool {
    stage > Stage::Doorstep && stage < Stage::Handover
}

/// Where nothing is mended first: what would move or open the piece is not asked for, and its faults are shown as they are.
fn instead(it: &Assessment, what: Saying, list: &mut ShotList, book: &TradeBook) {
    let lamp = say::lamp_only(what);
    let (views, faults) = moved(it, list, book);
    views.for_each(|it| it.how = lamp.clone().sentence());
    faults.for_each(|it| it.first = before(&lamp, &it.first));
}

/// Said before each view, and each fault, for which the piece would be moved or opened.
fn minded(it: &Assessment, first: &Saying, list: &mut ShotList, book: &TradeBook) {
    let (views, faults) = moved(it, list, book);
    views.for_each(|it| it.how = before(first, &it.how));
    faults.for_each(|it| it.first = before(first, &it.first));
}

/// The one, then the other where it says something.
fn before(first: &Saying, then: &Saying) -> Saying {
    match then.is_nothing() {
        true => first.clone(),
        false => say::shot_before(first.clone(), then.clone()),
    }
}

/// The views and the faults for which the piece would be moved or opened: by what shows the part, or by the picture to take again.
fn moved<'l>(
    it: &Assessment,
    list: &'l mut ShotList,
    book: &TradeBook,
) -> (
    impl Iterator<Item = &'l mut ShotLine>,
    impl Iterator<Item = &'l mut FaultShot>,
) {
    let moves = |view: &str| book.view(view).is_some_and(|it| it.moves);
    let parts = book.parts_of(&it.piece.form, &it.piece.choice());
    let views: Vec<_> = list.views.iter_mut().filter(|it| moves(&it.view)).collect();
    let of_part = |of: &FaultShot| {
        let mut parts = parts.iter();
        parts.any(|part| part.id == of.part && is_moved_for(part, book))
    };
    let again = |of: &FaultShot| {
        let earlier = of.earlier.as_ref();
        earlier.is_some_and(|it| it.view.as_deref().is_some_and(moves))
    };
    let faults = list.faults.iter_mut();
    let faults: Vec<_> = faults.filter(|it| of_part(it) || again(it)).collect();
    (views.into_iter(), faults.into_iter())
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
