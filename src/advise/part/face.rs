//! How thick the face wood of a part still is.

use crate::advise::part::context::PartContext;
use crate::advise::part::span::Span;
use crate::assess::material::clue::Observation;
use crate::kit::clock::Day;
use crate::kit::measure::Length;

/// Observations whose size is the thickness of the face wood.
const MEASURES: [&str; 8] = [
    "layer_line",
    OUTER_LAYER,
    "veneer_thick",
    "veneer_thin",
    "veneer_unmeasured",
    "core_other_wood",
    "refin_thin_veneer",
    "marks_veneer_saw",
];

/// The layers of plywood, of which the outer one is measured ...
const OUTER_LAYER: &str = "ply_layers";

/// ... and is thinner than this, mm: a larger size is that of the board (common practice, no source).
const OUTER_LAYER_BELOW: f64 = 1.5;

/// What an observation without a number says of the lowest thickness, mm (common practice, no source). Below half a
/// millimetre is told to a thousandth.
const WITHOUT_NUMBER: [(&str, f64, f64); 4] = [
    ("veneer_thick", 1.2, THICKEST),
    ("veneer_thin", 0.0, 0.9),
    ("refin_thin_veneer", 0.0, 0.499),
    ("marks_veneer_saw", 0.0, 0.499),
];

/// No face wood is thicker than this, mm; a larger size is that of something else, such as the length of a line. Hand-sawn
/// veneer is up to about 3 mm (common practice, no source).
pub(crate) const THICKEST: f64 = 6.0;

/// The lowest thickness of the face wood, mm, as far as it was measured.
pub(crate) fn face(about: PartContext<'_>) -> Span {
    let anything = Span {
        from: 0.0,
        to: THICKEST,
    };
    let laid = laid(about);
    let sanded = last(about, &["sand"]);
    let told = about
        .on_face()
        .filter(|it| laid.is_none_or(|day| it.day > day));
    let spans = told.filter_map(|it| {
        let span = told_by(it)?;
        // What was measured before it was sanded is thinner now.
        let thinner = sanded.is_some_and(|day| it.day <= day);
        Some(if thinner {
            Span { from: 0.0, ..span }
        } else {
            span
        })
    });
    spans.reduce(Span::lower).unwrap_or(anything)
}

/// The day on which it got a new face.
pub(crate) fn laid(about: PartContext<'_>) -> Option<Day> {
    last(about, &["veneer_replace"])
}

/// Whether it was sanded before, for what is left of it is less than any sheet was laid with.
pub(crate) fn is_sanded_thin(about: PartContext<'_>) -> bool {
    let span = face(about);
    span.from >= span.to && span.to < LAID_WITH
}

/// No sheet was laid thinner than this, mm (common practice, no source).
const LAID_WITH: f64 = 0.5;

/// Whether anything was seen of the thickness of this part's own face, or work changed it.
pub(crate) fn is_told(about: PartContext<'_>) -> bool {
    let worked = last(about, &["veneer_replace", "sand"]).is_some();
    worked || about.on_face().any(|it| told_by(it).is_some())
}

fn last(about: PartContext<'_>, methods: &[&str]) -> Option<Day> {
    let done = about.repairs();
    let done = done.filter(|it| methods.contains(&it.method.as_str()));
    done.map(|it| it.day).max()
}

fn told_by(seen: &Observation) -> Option<Span> {
    let number = seen.size.as_deref().and_then(lowest);
    let number = number.filter(|mm| {
        let of_face = seen.cue != OUTER_LAYER || *mm < OUTER_LAYER_BELOW;
        of_face && MEASURES.contains(&seen.cue.as_str())
    });
    if let Some(mm) = number {
        return Some(Span::exactly(mm));
    }
    let without = WITHOUT_NUMBER.iter().find(|it| it.0 == seen.cue);
    without.map(|(_, from, to)| Span {
        from: *from,
        to: *to,
    })
}

/// The lowest thickness in a text such as `0.6 mm`, `about 0.6 mm` or `0.5-0.7 mm`.
fn lowest(text: &str) -> Option<f64> {
    let plain = text
        .trim()
        .trim_start_matches("about")
        .trim_start_matches('~');
    let unit_at = plain.rfind(|it: char| !it.is_alphabetic())? + 1;
    let (numbers, unit) = plain.split_at_checked(unit_at)?;
    let numbers = numbers
        .replace(" to ", ";")
        .replace(" and ", ";")
        .replace(", ", ";");
    let each = numbers.split(['-', '–', ';']).map(str::trim);
    let lengths = each.map(|it| {
        format!("{it} {unit}")
            .parse::<Length>()
            .ok()
            .map(|it| it.mm)
    });
    // A text of which a piece does not read is no measure.
    let lengths: Option<Vec<f64>> = lengths.collect();
    let lengths = lengths?
        .into_iter()
        .filter(|it| *it > 0.0 && *it <= THICKEST);
    lengths.reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use super::lowest;

    #[test]
    fn the_lowest_number_counts_and_a_length_is_no_thickness() {
        for (text, mm) in [
            ("0.6 mm", Some(0.6)),
            ("0,6mm", Some(0.6)),
            ("about 0.6 mm", Some(0.6)),
            ("0.5-0.7 mm", Some(0.5)),
            ("0.8, 0.6 and 0.7 mm", Some(0.6)),
            ("1/42 in", Some(25.4 / 42.0)),
            ("300 mm", None),
            ("thin", None),
            ("0.6", None),
            ("0 mm", None),
        ] {
            let got = lowest(text);
            let near = got.zip(mm).is_none_or(|(a, b)| (a - b).abs() < 1e-9);
            assert!(got.is_some() == mm.is_some() && near, "{text}: {got:?}");
        }
    }
}
