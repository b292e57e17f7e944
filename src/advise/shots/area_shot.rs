//! Areas of the laid faces that no laid picture shows large enough, to be photographed.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::faces::flat_faces;
use crate::assess::places::coverage::Coverage;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;

/// Pixels per mm that are enough: a scratch of 1.5 mm is three pixels wide there (common practice, no source).
const ENOUGH: f64 = 2.0;

/// An area of so many squares or fewer is the edge of another, and is not asked for.
const FEW: usize = 3;

/// Spans of a face that have a name, as shares: the smaller before the larger.
const SPANS: [(f64, f64, [&str; 3]); 7] = [
    (0.0, 1.0 / 3.0, ["left third", "upper third", "back third"]),
    (
        1.0 / 3.0,
        2.0 / 3.0,
        ["middle third", "middle third", "middle third"],
    ),
    (
        2.0 / 3.0,
        1.0,
        ["right third", "lower third", "front third"],
    ),
    (0.0, 0.5, ["left half", "upper half", "back half"]),
    (0.5, 1.0, ["right half", "lower half", "front half"]),
    (
        0.0,
        2.0 / 3.0,
        ["left two thirds", "upper two thirds", "back two thirds"],
    ),
    (
        1.0 / 3.0,
        1.0,
        ["right two thirds", "lower two thirds", "front two thirds"],
    ),
];

/// By how much of the face an area may reach beyond the span that gives it its name.
const BEYOND: f64 = 0.05;

/// An area of a face to be photographed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AreaShot {
    /// The face.
    pub face: PartId,
    /// What is asked for, such as `top, left third: no laid picture with 2 px/mm (best 1.3)`.
    pub text: Saying,
    /// How to take it.
    pub how: Saying,
    /// The top left corner of the area on its side, mm to the right and down as one looks straight at it.
    pub at_mm: [f64; 2],
    /// Its width and height, mm.
    pub size_mm: [f64; 2],
    /// The most pixels per mm that a laid picture has there; `None` where none shows it.
    pub best_px_per_mm: Option<f64>,
    /// How many are asked for.
    pub wanted_px_per_mm: f64,
    /// The drawing of where.
    #[serde(skip)]
    pub drawing: AreaDrawing,
}

/// An area drawn on its face, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct AreaDrawing {
    /// Width and height of what was laid of the face.
    pub face: [f64; 2],
    /// The squares of the area in rows, each as left, top, width and height.
    pub rows: Vec<[f64; 4]>,
}

/// What to photograph of the laid faces, the largest area of each face first.
pub(super) fn areas(it: &Assessment) -> Vec<AreaShot> {
    let longest = |it: &Photo| it.facts.width.max(it.facts.height);
    let across = it.photos.last().map(|it| f64::from(longest(it)) / ENOUGH);
    let faces = it.places.coverage.iter();
    let faces = faces.filter(|of| !it.is_absent(&of.face));
    faces.flat_map(|of| of_face(of, across)).collect()
}

fn of_face(of: &Coverage, across: Option<f64>) -> Vec<AreaShot> {
    let mut open: Vec<bool> = of.cells.iter().map(|it| lacks(*it)).collect();
    let mut found = Vec::new();
    for n in 0..open.len() {
        let area = taken_out(&mut open, of.columns, n);
        if area.len() > FEW.min(open.len() / 2) {
            found.push(area);
        }
    }
    found.sort_by_key(|it| std::cmp::Reverse(it.len()));
    found.iter().map(|it| shot(of, it, across)).collect()
}

/// To one digit, as it is told.
fn lacks(cell: Option<f64>) -> bool {
    cell.is_none_or(|it| (it * 10.0).round() / 10.0 < ENOUGH)
}

/// The open squares that hang together with one, in the order of the face; they are not open any more.
fn taken_out(open: &mut [bool], columns: usize, start: usize) -> Vec<usize> {
    let (mut todo, mut area) = (vec![start], Vec::new());
    while let Some(n) = todo.pop() {
        if !std::mem::take(&mut open[n]) {
            continue;
        }
        area.push(n);
        let column = n % columns;
        todo.extend((column > 0).then(|| n - 1));
        todo.extend((column + 1 < columns).then_some(n + 1));
        todo.extend(n.checked_sub(columns));
        todo.extend(Some(n + columns).filter(|it| *it < open.len()));
    }
    area.sort_unstable();
    area
}

fn shot(of: &Coverage, area: &[usize], across: Option<f64>) -> AreaShot {
    let count = [of.columns, of.rows];
    let step = [0, 1].map(|n| of.rect.size[n] / count[n] as f64);
    let cell = |n: usize| [n % of.columns, n / of.columns];
    let from = [0, 1].map(|n| area.iter().map(|it| cell(*it)[n]).min().unwrap_or(0));
    let to = [0, 1].map(|n| area.iter().map(|it| cell(*it)[n] + 1).max().unwrap_or(0));
    let known = area.iter().filter_map(|it| of.cells[*it]);
    let best = known.reduce(f64::max);
    let whole = area.len() == of.cells.len();
    let upright = usize::from(of.face.as_str() == "top") + 1;
    let span = |n: usize, names: usize| {
        span(
            [from[n], to[n]].map(|it| it as f64 / count[n] as f64),
            names,
        )
    };
    let spans = [span(0, 0), span(1, upright)];
    let mut place = vec![flat_faces::said(&of.face)];
    place.extend(spans.iter().flatten().map(|it| Saying::shot(it)));
    if !whole && place.len() == 1 {
        place.push(Saying::shot("most of it"));
    }
    let best_told = best.map_or_else(say::area_none, |it| say::area_best(Arg::tenths(it)));
    let mm = |n: usize, at: usize| at as f64 * step[n];
    let row = |run: &[usize]| {
        let [column, row] = cell(run[0]);
        [
            mm(0, column),
            mm(1, row),
            run.len() as f64 * step[0],
            step[1],
        ]
    };
    let rows = area.chunk_by(|a, b| a + 1 == *b && a / of.columns == b / of.columns);
    AreaShot {
        face: of.face.clone(),
        text: say::area_open(Saying::Commas(place), ENOUGH.to_string(), best_told),
        how: across.map_or_else(Saying::nothing, |it| say::area_how(format!("{it:.0}"))),
        at_mm: [0, 1].map(|n| (of.rect.at[n] + mm(n, from[n])).round()),
        size_mm: [0, 1].map(|n| mm(n, to[n] - from[n]).round()),
        best_px_per_mm: best,
        wanted_px_per_mm: ENOUGH,
        drawing: AreaDrawing {
            face: of.rect.size,
            rows: rows.map(row).collect(),
        },
    }
}

/// What the smallest span with a name is called that holds this one; `None` for the whole.
fn span([from, to]: [f64; 2], names: usize) -> Option<&'static str> {
    let holds = |it: &&(f64, f64, _)| it.0 - BEYOND <= from && to <= it.1 + BEYOND;
    SPANS.iter().find(holds).map(|it| it.2[names])
}

#[cfg(test)]
mod tests {
    use super::AreaShot;
    use super::areas;
    use crate::assess::tests::build::Build;
    use crate::model::face::How;
    use crate::model::face::LaidFace;
    use crate::model::face::Lie;
    use crate::model::photo::Stage;
    use crate::model::piece::Size;

    /// The top of 1050 x 480 mm seen straight from above in pictures of 4032 x 3024 px, its corner at `from` (percent).
    fn asked(pictures: &[([f64; 2], f64)]) -> Vec<AreaShot> {
        let mut build = Build::chest().shoot(Stage::Purchase, "2026-03-14");
        build.case.piece.size = Some(Size {
            height_mm: 900.0,
            width_mm: 1050.0,
            depth_mm: 480.0,
        });
        for ([x, y], px_per_mm) in pictures {
            let (w, h) = (1050.0 * px_per_mm / 40.32, 480.0 * px_per_mm / 30.24);
            let laid = LaidFace {
                face: "top".parse().unwrap(),
                lie: Lie::Corners([[*x, *y], [x + w, *y], [x + w, y + h], [*x, y + h]]),
                how: How::ByHand,
                size: None,
                at: None,
            };
            build = build
                .photo("", &["top"], vec![])
                .but(|it| it.sidecar.faces.push(laid));
        }
        areas(&build.assess())
    }

    fn texts(pictures: &[([f64; 2], f64)]) -> Vec<String> {
        { asked(pictures).into_iter() }
            .map(|it| it.text.to_string())
            .collect()
    }

    #[test]
    fn exactly_what_lacks_a_picture_is_asked_for() {
        // 13 % of 4032 px at 2 px per mm are 262 mm of 1050: 6 of 24 columns lie outside.
        let left = asked(&[([-13.0, 10.0], 2.0)]);
        let [left] = left.as_slice() else {
            panic!("{left:?}");
        };
        assert_eq!(
            left.text,
            "top, left third: no laid picture with 2 px/mm (none shows it)"
        );
        assert_eq!(
            (left.at_mm, left.size_mm, left.best_px_per_mm),
            ([0.0, 0.0], [263.0, 480.0], None)
        );
        assert_eq!(left.drawing.face, [1050.0, 480.0]);
        let area: f64 = left.drawing.rows.iter().map(|it| it[2] * it[3]).sum();
        assert!((area - 262.5 * 480.0).abs() < 1.0, "{area}");
        assert_eq!(
            left.how,
            "Straight on, at most 2016 mm along the longer side of the picture."
        );
    }

    #[test]
    fn a_picture_that_is_too_small_does_not_count_and_is_told() {
        // The whole at 1 px per mm; the front half of it again at 3.
        let whole = ([10.0, 10.0], 1.0);
        assert_eq!(
            texts(&[whole]),
            ["top: no laid picture with 2 px/mm (best 1.0)"]
        );
        let near = ([11.0, -23.8], 3.0);
        assert_eq!(
            texts(&[whole, near]),
            ["top, back half: no laid picture with 2 px/mm (best 1.0)"]
        );
    }

    #[test]
    fn areas_that_do_not_touch_are_asked_for_apart() {
        // At 6 px per mm a picture of the middle leaves out 202 mm on the left and 177 mm on the right.
        let told = texts(&[([10.0, 10.0], 1.0), ([-30.0, 2.0], 6.0)]);
        assert_eq!(
            told,
            [
                "top, left third: no laid picture with 2 px/mm (best 1.0)",
                "top, right third: no laid picture with 2 px/mm (best 1.0)"
            ]
        );
    }

    #[test]
    fn what_is_shown_large_enough_is_not_asked_for_nor_what_is_not_laid() {
        assert_eq!(texts(&[([10.0, 10.0], 2.0)]), Vec::<String>::new());
        assert_eq!(texts(&[]), Vec::<String>::new());
    }
}
