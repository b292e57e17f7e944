//! What speaks for the places of the faces of one piece -> what may be done with each.

use serde::Deserialize;
use serde::Serialize;

use crate::judge::Evidence;

/// What may be done with a laid face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum Grade {
    /// Beyond doubt.
    TakenOver,
    /// To be shown to a person, who says yes or no.
    ToConfirm(Reason),
    /// Not to be used.
    Refused(Reason),
}

/// What is against a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum Reason {
    /// Few spots agree.
    FewSpots,
    /// One of the pictures shows it at more than 80 degrees: a px is centimetres of wood, and a thin strip fits many places.
    Steep,
    /// It does not look alike there; its place follows from other faces of the piece.
    Follows,
    /// It does not look alike there.
    NotAlike,
    /// It looks alike there, but its edges do not lie on each other.
    Edges,
    /// Its place is not held well enough.
    NotHeld,
    /// The second picture sees it from behind.
    NotShown,
}

/// What is known of the place of a face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Standing {
    pub(crate) evidence: Evidence,
    /// Standard deviation of a point of it, px.
    pub(crate) error: f64,
    /// Angles of view in the two pictures, degrees.
    pub(crate) angles: [f64; 2],
}

/// Spots that agree by chance are fewer.
const SPOTS: usize = 8;
/// Degrees from which a view is steep.
pub(crate) const STEEP: f64 = 80.0;
/// Largest standard deviation of what is taken over, px.
const HELD: f64 = 1.2;
/// Largest standard deviation of what is shown, px.
const SHOWN: f64 = 4.0;
/// Correlation of edges that confirms a place.
const CONFIRMED: f64 = 0.3;

/// The grades of the faces of one piece under one camera.
pub(crate) fn grades(laid: &[Option<Standing>]) -> Vec<Grade> {
    let own: Vec<Grade> = laid
        .iter()
        .map(|it| it.as_ref().map_or(NOTHING, own))
        .collect();
    let sure = own.contains(&Grade::TakenOver);
    let likely = sure || piece_is_alike(laid);
    let graded = |(it, own): (&Option<Standing>, &Grade)| match it {
        Some(it) if *own == Grade::Refused(Reason::NotAlike) && likely => follows(it, sure),
        _ => *own,
    };
    laid.iter().zip(&own).map(graded).collect()
}

const NOTHING: Grade = Grade::Refused(Reason::NotAlike);

/// What a face says of itself.
fn own(it: &Standing) -> Grade {
    let e = &it.evidence;
    if it.angles[1] >= 89.0 {
        Grade::Refused(Reason::NotShown)
    } else if !is_alike(e) {
        NOTHING
    } else if it.error > SHOWN {
        Grade::Refused(Reason::NotHeld)
    } else if it.error > HELD {
        Grade::ToConfirm(Reason::NotHeld)
    } else if it.angles[0].max(it.angles[1]) > STEEP {
        Grade::ToConfirm(Reason::Steep)
    } else if e.spots < SPOTS {
        Grade::ToConfirm(Reason::FewSpots)
    } else if e.edges < CONFIRMED {
        Grade::ToConfirm(Reason::Edges)
    } else {
        Grade::TakenOver
    }
}

/// What follows for a face that does not look alike from faces that do.
fn follows(it: &Standing, sure: bool) -> Grade {
    let steep = it.angles[0].max(it.angles[1]) > STEEP;
    if it.error > SHOWN {
        Grade::Refused(Reason::NotAlike)
    } else if steep {
        Grade::Refused(Reason::Steep)
    } else if sure && it.error <= HELD && it.evidence.edges >= CONFIRMED {
        Grade::TakenOver
    } else {
        Grade::ToConfirm(Reason::Follows)
    }
}

fn is_alike(it: &Evidence) -> bool {
    let with_spots = it.seen >= 0.3 && it.spots >= SPOTS && it.alike >= 0.5 && it.cells >= 0.55;
    with_spots || it.alike >= 0.6 && it.cells >= 0.8
}

/// Whether the faces are alike when they are looked at as one.
fn piece_is_alike(laid: &[Option<Standing>]) -> bool {
    let all = || laid.iter().flatten().map(|it| &it.evidence);
    let pixels: f64 = all().map(|it| it.pixels).sum();
    let mean = |of: fn(&Evidence) -> f64| {
        all().map(|it| of(it) * it.pixels).sum::<f64>() / pixels.max(1.0)
    };
    let spots: usize = all().map(|it| it.spots).sum();
    all().count() > 1 && spots >= SPOTS && mean(|it| it.alike) >= 0.5 && mean(|it| it.cells) >= 0.6
}
