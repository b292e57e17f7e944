//! Pictures of a place that were taken out of the record: that there was one is told, and nothing of what it showed.

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::from_marks::numbers::Numbers;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::laid_faces;
use crate::assess::places::place::Place;
use crate::assess::statements::looking::Looking;
use crate::compare::seen;
use crate::compare::seen::Share;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::photo::Photo;

/// A picture of a place that was taken out of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PlaceTakenOut {
    /// The photo.
    pub photo: u32,
    /// The day of its shoot.
    pub day: Day,
    /// The day on which it was taken out.
    pub out: Day,
    /// Whether the finding was marked in it.
    pub marked: bool,
}

impl PlaceTakenOut {
    /// `picture 24 of 2 May 2026, a picture of this place, was taken out of the record on 12 June 2026`.
    #[must_use]
    pub fn text(&self) -> String {
        let (day, out) = (self.day.spoken(), self.out.spoken());
        let what = match self.marked {
            true => "with a mark of it",
            false => "a picture of this place",
        };
        format!(
            "picture {} of {day}, {what}, was taken out of the record on {out}",
            self.photo
        )
    }
}

/// The pictures that were taken out and had a finding marked, or all of its place in their frame; by number.
pub(in crate::assess) fn taken_out(
    case: &PieceRecord,
    looking: &Looking<'_>,
    finding: &Finding,
) -> Vec<PlaceTakenOut> {
    let numbers = Numbers::of(&case.findings);
    let told = case.removed.iter().filter_map(|it| {
        let marked = marks(&numbers, looking, &it.photo, finding.no);
        let place = finding.place.as_ref();
        let mut shoots = case.shoots.iter();
        let told = PlaceTakenOut {
            photo: it.photo.no,
            day: shoots.find(|shoot| shoot.no == it.photo.shoot)?.day,
            out: it.removed.local_day(),
            marked,
        };
        let of_it = marked || place.is_some_and(|place| has(looking, &it.photo, place));
        of_it.then_some(told)
    });
    let mut told: Vec<PlaceTakenOut> = told.collect();
    told.sort_by_key(|it| it.photo);
    told
}

fn marks(numbers: &Numbers<'_>, looking: &Looking<'_>, photo: &Photo, no: FindingNo) -> bool {
    let mut marks = photo.sidecar.marks.iter();
    marks.any(|it| numbers.of_mark(it, looking.book) == Some(no))
}

/// Whether all of a place lay in its frame.
fn has(looking: &Looking<'_>, photo: &Photo, place: &Place) -> bool {
    let mut laid = photo.sidecar.faces.iter();
    let Some(laid) = laid.find(|it| it.face == place.face) else {
        return false;
    };
    let view = laid_faces::view(looking.carrier.shape, photo, laid);
    view.is_ok_and(|it| {
        let (outline, off) = (&place.outline_mm, place.uncertainty_mm);
        seen::seen(&it.lying, &it.camera, place.kind, outline, off).share == Share::All
    })
}
