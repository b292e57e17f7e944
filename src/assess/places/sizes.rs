//! Sizes as they are written, against what is drawn on a laid face.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::gaps::lacks::Gap;
use crate::assess::places::place::Place;
use crate::assess::statements::looking::Looking;
use crate::kit::measure::Length;

/// How many times the one may be the other and still be meant for it (common practice, no source): a line is drawn by hand, and
/// nobody measures to its last hair.
const MEANT: f64 = 1.5;

/// One gap for each mark whose written length is not that of its line, or is longer than the area that is drawn for it. A box is
/// often larger than its fault, and of two lengths nobody knows which is which.
pub(crate) fn gaps(looking: &Looking<'_>, findings: &[Finding]) -> Vec<Gap> {
    let marks = findings.iter().flat_map(|finding| {
        let marks = finding.history.iter().flat_map(|it| &it.marks);
        marks.map(move |at| (finding, *at))
    });
    let gaps = marks.filter_map(|(finding, at)| differs(looking, finding, at));
    gaps.collect()
}

fn differs(looking: &Looking<'_>, finding: &Finding, at: MarkAt) -> Option<Gap> {
    let mark = looking.time.mark(at)?;
    let size = mark.size.as_ref()?;
    let told = size.parse::<Length>().ok()?.mm;
    let place = looking.carrier.of_mark(at, mark, &finding.part)?;
    let drawn = longest(&place)?;
    let (word, is_line) = match place.is_line() {
        true => ("line", true),
        false => ("area", false),
    };
    let off = place.uncertainty_mm;
    let longer = told > drawn * MEANT + off && !place.is_cut_off();
    let shorter = is_line && drawn > told * MEANT + off;
    (longer || shorter).then(|| {
        let (no, term, part, photo) = (finding.no, &finding.term, &finding.part_label, at.photo);
        Gap::new(
            "size_unlike_its_place",
            format!(
                "{no} ({term}, {part}): beside picture {photo} its size is written as `{size}`, and the {word} drawn there is {drawn:.0} mm long on the {}",
                place.face
            ),
            format!(
                "write the `size` anew or draw the {word} anew; what is no length needs its word, such as `size = \"{size} wide\"`"
            ),
        )
    })
}

/// The length of a line, or the longest way across an area, mm; `None` of a spot.
fn longest(place: &Place) -> Option<f64> {
    let apart = |a: &[f64; 2], b: &[f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let points = &place.outline_mm;
    if place.is_line() {
        return Some(points.windows(2).map(|it| apart(&it[0], &it[1])).sum());
    }
    let across = points
        .iter()
        .flat_map(|a| points.iter().map(move |b| apart(a, b)));
    place.is_area().then(|| across.fold(0.0, f64::max))
}
