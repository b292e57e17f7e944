//! Observations that are no faults, as they stand in the sidecars.

use crate::assess::material::clue::Observation;
use crate::assess::timeline::Timeline;
use crate::trade::TradeBook;

/// Every observation that was made, in the order of the photos.
pub(crate) fn observations(book: &TradeBook, time: &Timeline<'_>) -> Vec<Observation> {
    let seen = time.marks().filter(|it| it.mark.state.is_there());
    seen.filter_map(|it| {
        let cue = book.cue(it.mark.tag.as_deref()?)?;
        Some(Observation {
            part: it.mark.part.clone()?,
            cue: cue.id.clone(),
            which: it.mark.which.clone().unwrap_or_default(),
            size: it.mark.size.clone(),
            note: it.mark.note.clone(),
            at: it.at(),
            day: it.day(),
        })
    })
    .collect()
}
