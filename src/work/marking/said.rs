//! Whether two things said are the same, though their numbers went through a browser.

use crate::model::mark::Mark;
use crate::model::mark::Scale;
use crate::model::region::Point;
use crate::model::region::Region;

/// Below this two percentages are the same.
const SAME: f64 = 1e-9;

/// Whether two marks say the same.
pub(super) fn same_mark(a: &Mark, b: &Mark) -> bool {
    let regions = match (&a.region, &b.region) {
        (Some(a), Some(b)) => same_region(a, b),
        (None, None) => true,
        _ => false,
    };
    let bare = |it: &Mark| Mark {
        region: None,
        ..it.clone()
    };
    regions && bare(a) == bare(b)
}

/// Whether two marks are about the same thing: the same finding, or the same word of the same part.
pub(super) fn same_subject(a: &Mark, b: &Mark) -> bool {
    match (a.finding, b.finding) {
        (Some(a), Some(b)) => a == b,
        _ => a.tag.is_some() && (&a.tag, &a.part, &a.which) == (&b.tag, &b.part, &b.which),
    }
}

/// Whether two regions are the same.
pub(super) fn same_region(a: &Region, b: &Region) -> bool {
    let close = |a: &[f64], b: &[f64]| {
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < SAME)
    };
    match (a, b) {
        (Region::Box(a), Region::Box(b)) => close(a, b),
        (Region::Spot(a), Region::Spot(b)) => close(a, b),
        (Region::Line(a), Region::Line(b)) | (Region::Outline(a), Region::Outline(b)) => {
            same_points(a, b)
        }
        _ => false,
    }
}

/// Whether two scales are the same.
pub(super) fn same_scale(a: Option<&Scale>, b: Option<&Scale>) -> bool {
    match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => {
            (a.width_mm, a.height_mm) == (b.width_mm, b.height_mm)
                && same_points(&a.corners, &b.corners)
        }
        _ => false,
    }
}

fn same_points(a: &[Point], b: &[Point]) -> bool {
    let flat = |it: &[Point]| it.iter().flatten().copied().collect::<Vec<f64>>();
    let (a, b) = (flat(a), flat(b));
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| (a - b).abs() < SAME)
}
