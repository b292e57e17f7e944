//! Pictures in a sentence on when a fault came.

use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::timeline::Timeline;
use crate::kit::clock::Day;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;

/// Day and occasion of a picture, and its number.
pub(super) type Pictured = (Day, Stage, u32);

/// The first photo of a sighting that says what the sighting says, with its day and occasion.
pub(super) fn picture(sighting: &Sighting, time: &Timeline<'_>) -> Saying {
    let says = |at: &&MarkAt| time.mark(**at).is_some_and(|it| it.state == sighting.state);
    let at = sighting.marks.iter().find(says);
    let number = at.map_or(0, |it| it.photo);
    say::picture_of_stage(
        say::picture_of(number, sighting.day),
        sighting.stage.saying(),
    )
}

/// `pictures 21 and 22 of 2 May 2026 (sale) and 29 of 20 May 2026 (handover)`; at most the first four of a day.
pub(super) fn listed(pictures: &[Pictured]) -> Saying {
    let days = pictures.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1));
    let day = |photos: &[Pictured]| {
        let numbers: Vec<u32> = photos.iter().take(4).map(|it| it.2).collect();
        let (day, stage, _) = photos[0];
        let (numbers, stage) = (Saying::numbers(&numbers), stage.saying());
        match photos.len() > 4 {
            true => say::pictures_more(numbers, day, stage),
            false => say::pictures_some(numbers, day, stage),
        }
    };
    say::pictures_listed(pictures.len(), days.map(day).collect::<Vec<Saying>>())
}
