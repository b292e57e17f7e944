//! Marks of one finding that cannot be the same place.

use serde::Serialize;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::places::place::Place;
use crate::assess::places::place::best;
use crate::compare::apart::apart;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;

/// Two marks of one finding whose places lie apart by more than both may be off.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceConflict {
    /// The finding.
    pub finding: FindingNo,
    /// The face on which both lie.
    pub face: PartId,
    /// The place of the finding.
    pub place: PlaceOfMark,
    /// The other one.
    pub other: PlaceOfMark,
    /// How far they lie apart, mm.
    pub apart_mm: f64,
    /// In words.
    pub text: String,
    /// What to do about it.
    pub advice: String,
}

/// The middle of a mark's place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceOfMark {
    /// The mark.
    #[serde(flatten)]
    pub at: MarkAt,
    /// Its middle on the face, mm.
    pub middle_mm: [f64; 2],
    /// By how much it may be off, mm, k = 2.
    pub uncertainty_mm: f64,
}

impl PlaceOfMark {
    fn of(place: &Place) -> Self {
        Self {
            at: place.from,
            middle_mm: place.middle_mm().map(f64::round),
            uncertainty_mm: (place.uncertainty_mm * 10.0).round() / 10.0,
        }
    }
}

/// The places of the marks of a finding that lie apart from its own.
pub(crate) fn of_finding(no: FindingNo, places: &[(MarkState, Place)]) -> Vec<PlaceConflict> {
    let Some(own) = best(places) else {
        return Vec::new();
    };
    let others = places.iter().map(|it| &it.1);
    let others = others.filter(|it| it.face == own.face && it.from != own.from);
    let conflicts = others.filter_map(|other| {
        let gap = apart(&own.round(), &other.round());
        let may_be = own.uncertainty_mm.hypot(other.uncertainty_mm);
        (gap > may_be).then(|| conflict(no, own, other, gap))
    });
    conflicts.collect()
}

fn conflict(no: FindingNo, own: &Place, other: &Place, gap: f64) -> PlaceConflict {
    let spoken = |it: &Place| {
        let [x, y] = it.middle_mm().map(f64::round);
        format!("picture {} ({x}, {y} mm)", it.from.photo)
    };
    let (why, advice) = match own.from.photo == other.from.photo {
        true => (
            "two marks in one picture are two findings: tell them apart with `which`",
            "give each of the two marks its own `which`".to_owned(),
        ),
        false => (
            "they are two findings, or a face is laid wrong",
            format!(
                "look at the corners of the {} in pictures {} and {} (the first is the top left one as one looks straight at it), or give each of the two marks \
                 its own `which`",
                own.face, own.from.photo, other.from.photo
            ),
        ),
    };
    let text = format!(
        "{no} lies at two places of the {}, with {gap:.0} mm between them: their middles are {} and {}; {why}",
        own.face,
        spoken(own),
        spoken(other)
    );
    PlaceConflict {
        finding: no,
        face: own.face.clone(),
        place: PlaceOfMark::of(own),
        other: PlaceOfMark::of(other),
        apart_mm: (gap * 10.0).round() / 10.0,
        text,
        advice,
    }
}
