//! Sizes and levels as they are written, against what is drawn on a laid face.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::gaps::lacks::Gap;
use crate::assess::places::place::Place;
use crate::assess::statements::looking::Looking;
use crate::kit::measure::Length;
use crate::kit::measure::LengthPair;

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
    let gaps = marks.flat_map(|(finding, at)| {
        let size = differs(looking, finding, at);
        let level = beyond_level(looking, finding, at);
        size.into_iter()
            .chain(level)
            .chain(unlike_its_level(looking, finding, at))
    });
    gaps.collect()
}

/// A level whose criterion speaks of a length, and what is drawn is none such. A length that is written says it better than what is
/// drawn, and no more is asked then.
fn beyond_level(looking: &Looking<'_>, finding: &Finding, at: MarkAt) -> Option<Gap> {
    let mark = looking.time.mark(at)?;
    let level = mark
        .level
        .filter(|_| mark.state.is_there() && mark.size.is_none())?;
    let criterion = looking.book.tag(&finding.tag)?.criterion(level)?;
    let [least, most] = band(criterion, " mm long")?;
    let place = looking.carrier.of_mark(at, mark, &finding.part)?;
    let across = longest(&place)?;
    // A fault fills its box from side to side one way at least; at most it is as long as the diagonal.
    let drawn = match place.is_line() {
        true => across,
        false => {
            let [_, _, width, height] = place.bounds();
            width.max(height)
        }
    };
    let off = place.uncertainty_mm.hypot(place.uncertainty_mm);
    let is_less = across + off < least && !place.is_cut_off();
    (drawn - off > most || is_less).then(|| {
        let (no, term, part, photo) = (finding.no, &finding.term, &finding.part_label, at.photo);
        Gap::new(
            "level_unlike_its_place",
            format!(
                "{no} ({term}, {part}): beside picture {photo} it is of level {level} ({criterion}), and what is drawn there is {drawn:.0} mm long on \
                 the {}",
                place.face
            ),
            "measure it and write its `size`, and write the `level` that goes with it".to_owned(),
        )
    })
}

/// A level whose criterion speaks of a length or a width, and the size that is written is none such.
fn unlike_its_level(looking: &Looking<'_>, finding: &Finding, at: MarkAt) -> Option<Gap> {
    let mark = looking.time.mark(at)?;
    let level = mark.level.filter(|_| mark.state.is_there())?;
    let size = mark.size.as_ref()?;
    let criterion = looking.book.tag(&finding.tag)?.criterion(level)?;
    // What may be met by something else as well is not contradicted by its size; nor is one that has no level above it but for more
    // of them, such as scratches of so many millimetres each.
    let alone = !criterion.contains(" or ");
    let is_beyond = alone && Written::of(size)?.meets(criterion, &LENGTHS) == Some(false);
    is_beyond.then(|| {
        let (no, term, part, photo) = (finding.no, &finding.term, &finding.part_label, at.photo);
        Gap::new(
            "level_unlike_its_size",
            format!(
                "{no} ({term}, {part}): beside picture {photo} it is of level {level} ({criterion}), and its size is written as `{size}`"
            ),
            "write the `level` that goes with the size, or the `size` anew".to_owned(),
        )
    })
}

/// How a clause of a criterion begins and ends, and what of a size it is about.
type Clause = (&'static str, &'static str, About);

/// What of a size a clause is about.
#[derive(Clone, Copy)]
enum About {
    Length,
    Width,
    Gap,
}

/// Clauses that a level is held against.
const LENGTHS: [Clause; 2] = [
    ("", " mm long", About::Length),
    ("", " mm wide", About::Width),
];

/// Clauses of which it is told that a size lies outside.
const CLAUSES: [Clause; 4] = [
    LENGTHS[0],
    LENGTHS[1],
    ("each ", " mm", About::Length),
    ("gap ", " mm", About::Gap),
];

/// What a written size gives, mm.
struct Written {
    length: Option<f64>,
    width: Option<f64>,
}

impl Written {
    /// `40 mm` is a length, of `30 x 20 mm` the smaller one is the width; `3 mm wide` and `40 mm long` say which. `None` of anything
    /// else, such as a depth.
    fn of(size: &str) -> Option<Self> {
        let size = size.trim();
        let mm = |text: &str| text.trim().parse::<Length>().ok().map(|it| it.mm);
        if let Some(wide) = size.strip_suffix(" wide") {
            let width = Some(mm(wide)?);
            return Some(Self {
                length: None,
                width,
            });
        }
        if let Some(length) = mm(size.strip_suffix(" long").unwrap_or(size)) {
            return Some(Self {
                length: Some(length),
                width: None,
            });
        }
        let [a, b] = size.parse::<LengthPair>().ok()?.mm();
        Some(Self {
            length: Some(a.max(b)),
            width: Some(a.min(b)),
        })
    }

    /// Whether it is within the lengths and widths that a criterion, or one side of an `or` in it, asks for; `None` where it asks for
    /// none that can be read.
    fn meets(&self, criterion: &str, clauses: &[Clause]) -> Option<bool> {
        let Self { length, width } = *self;
        // Of a lone number nobody knows that it is the width: that is no more than it.
        let lone = width.or(length);
        let met = clauses.iter().filter_map(|(before, unit, about)| {
            let [least, most] = clause(criterion, unit, before)?;
            let [shortest, longest] = match about {
                About::Length => [length, length],
                About::Width => [width, lone],
                About::Gap => [lone, lone],
            };
            let less = longest? < least;
            Some(!less && shortest.is_none_or(|it| it <= most))
        });
        met.reduce(|all, it| all && it)
    }
}

/// Whether a written size lies outside the lengths and widths that a criterion asks for: it then meets the criterion by something else,
/// or not at all.
#[must_use]
pub fn is_outside(size: &str, criterion: &str) -> bool {
    let Some(written) = Written::of(size) else {
        return false;
    };
    let sides = { criterion.split(", or ") }.filter_map(|it| written.meets(it, &CLAUSES));
    let sides: Vec<bool> = sides.collect();
    !sides.is_empty() && sides.iter().all(|it| !it)
}

/// The least and the most length, mm, of a criterion that asks for one in this `unit`: `20 to 100 mm long`, `under 25 mm long, under 0.5 mm deep`.
/// `None` of one that may be met by something else.
fn band(criterion: &str, unit: &str) -> Option<[f64; 2]> {
    match criterion.contains(" or ") {
        true => None,
        false => clause(criterion, unit, ""),
    }
}

/// The least and the most of the clause that begins with `before` and ends with `unit`.
fn clause(criterion: &str, unit: &str, before: &str) -> Option<[f64; 2]> {
    let mut clauses = criterion.split(", ");
    let length = clauses.find_map(|it| it.strip_suffix(unit)?.strip_prefix(before))?;
    let mm = |it: &str| it.parse::<f64>().ok();
    if let Some(most) = length.strip_prefix("under ") {
        return Some([0.0, mm(most)?]);
    }
    if let Some(least) = length.strip_prefix("over ") {
        return Some([mm(least)?, f64::INFINITY]);
    }
    let (least, most) = length.split_once(" to ")?;
    Some([mm(least)?, mm(most)?])
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

#[cfg(test)]
mod tests {
    use super::band;
    use super::is_outside;

    /// The criteria are those of the trade book for a split, a scratch, a dent and an open mitre.
    #[test]
    fn a_size_outside_its_criterion_is_found() {
        let split = "50 to 200 mm long, or less than 1 mm open";
        let cases = [
            (split, "300 mm", true),
            (split, "180 mm x 0.9 mm", false),
            ("a few, each under 100 mm", "120 mm", true),
            ("a few, each under 100 mm", "about 100 mm", false),
            ("under 5 mm wide", "10 mm", false),
            ("under 5 mm wide", "10 mm wide", true),
            ("gap 1.5 to 4 mm", "3 mm", false),
            ("gap 1.5 to 4 mm", "8 mm", true),
            ("sways over 10 mm", "2 mm", false),
            ("over 100 mm long, or more than 5 of them", "110 mm", false),
        ];
        for (criterion, size, outside) in cases {
            assert_eq!(is_outside(size, criterion), outside, "{criterion}: {size}");
        }
    }

    #[test]
    fn a_band_is_read_of_a_criterion_that_asks_for_a_length_alone() {
        let cases = [
            ("20 to 100 mm long", Some([20.0, 100.0])),
            ("under 25 mm long, under 0.5 mm deep", Some([0.0, 25.0])),
            ("0.5 to 1 mm thicker, under 100 mm long", Some([0.0, 100.0])),
            ("over 100 mm long", Some([100.0, f64::INFINITY])),
            ("over 100 mm long, or more than 5 of them", None),
            ("one flat hairline under 50 mm", None),
            ("faint", None),
        ];
        for (criterion, wanted) in cases {
            assert_eq!(band(criterion, " mm long"), wanted, "{criterion}");
        }
    }
}
