//! Pictures in a sentence on when a fault came.

use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::timeline::Timeline;
use crate::kit::clock::Day;
use crate::kit::text::joined;
use crate::model::photo::Stage;

/// Day and occasion of a picture, and its number.
pub(super) type Pictured = (Day, Stage, u32);

/// The first photo of a sighting that says what the sighting says, with its day.
pub(super) fn picture(sighting: &Sighting, time: &Timeline<'_>) -> String {
    let says = |at: &&MarkAt| time.mark(**at).is_some_and(|it| it.state == sighting.state);
    let at = sighting.marks.iter().find(says);
    let number = at.map_or(0, |it| it.photo);
    format!("picture {number} of {}", sighting.day.spoken())
}

/// `pictures 21 and 22 of 2 May 2026 (sale) and 29 of 20 May 2026 (handover)`; at most the first four of a day.
pub(super) fn listed(pictures: &[Pictured]) -> String {
    let days = pictures.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1));
    let day = |photos: &[Pictured]| {
        let numbers: Vec<String> = photos.iter().take(4).map(|it| it.2.to_string()).collect();
        let more = if photos.len() > 4 { " and others" } else { "" };
        let (day, stage, _) = photos[0];
        format!("{}{more} of {} ({stage})", joined(&numbers), day.spoken())
    };
    let word = match pictures {
        [_] => "picture",
        _ => "pictures",
    };
    format!("{word} {}", joined(&days.map(day).collect::<Vec<String>>()))
}
