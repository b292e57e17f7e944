//! Which areas of the laid faces the pictures show, and at how many px per mm.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::places::laid_faces::LaidFaces;
use crate::assess::places::laid_faces::LaidView;
use crate::assess::places::sight::STEEPEST;
use crate::assess::timeline::Timeline;
use crate::compare::ruler::face_rect::FaceRect;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Stage;

/// A face is looked at in squares, so many along its longer side.
const ALONG: f64 = 24.0;

/// What the pictures in which a face is laid show of it. What lies before the face in a picture (a hand, an open drawer) is not
/// known here.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Coverage {
    /// The face.
    pub face: PartId,
    /// The area that was laid, on its side, mm.
    #[serde(flatten)]
    pub rect: FaceRect,
    /// Squares side by side.
    pub columns: usize,
    /// Rows of squares.
    pub rows: usize,
    /// Pixels per mm in the best picture of each square, row by row; `None` where no laid picture shows it.
    pub cells: Vec<Option<f64>>,
    /// What share of it some laid picture shows, 0 to 1.
    pub pictured: f64,
    /// The same shoot by shoot, in the order of time; shoots with none are left out.
    pub shoots: Vec<ShootCoverage>,
}

/// What the pictures of one shoot show of a face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShootCoverage {
    /// The shoot.
    pub shoot: u32,
    /// The occasion.
    pub stage: Stage,
    /// Its day.
    pub day: Day,
    /// What share of the face they show, 0 to 1.
    pub pictured: f64,
    /// Pixels per mm: half of what is shown has at least as many.
    pub px_per_mm: f64,
}

/// What is shown of every face that is laid in some picture, by name.
pub(crate) fn coverage(time: &Timeline<'_>, laid: &LaidFaces) -> Vec<Coverage> {
    let mut faces: BTreeMap<&PartId, Vec<(&Photo, &LaidView)>> = BTreeMap::new();
    for photo in time.photos.iter().copied() {
        for view in laid.in_photo(photo.no) {
            faces.entry(&view.face).or_default().push((photo, view));
        }
    }
    let all = faces.into_iter();
    all.map(|(face, views)| of_face(time, face, &views))
        .collect()
}

fn of_face(time: &Timeline<'_>, face: &PartId, views: &[(&Photo, &LaidView)]) -> Coverage {
    let rect = around(views);
    let step = rect.size[0].max(rect.size[1]) / ALONG;
    let [columns, rows] = rect.size.map(|it| (it / step).round().max(1.0) as usize);
    let mut cells = vec![None; columns * rows];
    let mut shoots = Vec::new();
    for of_shoot in views.chunk_by(|a, b| a.0.shoot == b.0.shoot) {
        let mut shown = vec![None; columns * rows];
        for (n, cell) in shown.iter_mut().enumerate() {
            let square = square(&rect, [columns, rows], [n % columns, n / columns]);
            let best = of_shoot.iter().filter_map(|it| scale(it.1, &square));
            *cell = best.max_by(f64::total_cmp);
        }
        for (all, here) in cells.iter_mut().zip(&shown) {
            *all = more(*all, *here);
        }
        let Some(px_per_mm) = median(&shown) else {
            continue;
        };
        let shoot = time.shoot_of(of_shoot[0].0);
        shoots.push(ShootCoverage {
            shoot: shoot.no,
            stage: shoot.stage,
            day: shoot.day,
            pictured: share(&shown),
            px_per_mm,
        });
    }
    Coverage {
        face: face.clone(),
        rect,
        columns,
        rows,
        pictured: share(&cells),
        cells,
        shoots,
    }
}

/// The smallest rectangle that holds all that was laid.
fn around(views: &[(&Photo, &LaidView)]) -> FaceRect {
    let rects = || views.iter().map(|it| it.1.lying.rect());
    let at = [0, 1].map(|n| rects().map(|it| it.at[n]).fold(f64::INFINITY, f64::min));
    let end = |n: usize| rects().map(|it| it.at[n] + it.size[n]).fold(0.0, f64::max);
    FaceRect {
        at,
        size: [end(0) - at[0], end(1) - at[1]],
    }
}

/// The corners of a square, mm.
fn square(rect: &FaceRect, count: [usize; 2], [column, row]: [usize; 2]) -> [[f64; 2]; 4] {
    let step = [0, 1].map(|n| rect.size[n] / count[n] as f64);
    let at = [column, row];
    FaceRect {
        at: [0, 1].map(|n| rect.at[n] + at[n] as f64 * step[n]),
        size: step,
    }
    .corners()
}

/// Pixels per mm of a square, where all of it lies in the frame and is seen squarely enough.
fn scale(view: &LaidView, square: &[[f64; 2]; 4]) -> Option<f64> {
    let px = view.lying.px();
    for corner in square {
        let at = view.lying.to_px(*corner)?;
        if (0..2).any(|n| at[n] < 0.0 || at[n] > px[n]) {
            return None;
        }
    }
    let middle = [0, 1].map(|n| f64::midpoint(square[0][n], square[2][n]));
    let flat = view.camera.angle_deg(middle) >= STEEPEST;
    let scale = view.lying.px_per_mm(middle).filter(|_| !flat)?;
    Some((scale * 100.0).round() / 100.0)
}

fn more(one: Option<f64>, other: Option<f64>) -> Option<f64> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.max(other)),
        (one, other) => one.or(other),
    }
}

fn share(cells: &[Option<f64>]) -> f64 {
    let shown = cells.iter().flatten().count();
    (shown as f64 / cells.len().max(1) as f64 * 1000.0).round() / 1000.0
}

fn median(cells: &[Option<f64>]) -> Option<f64> {
    let mut shown: Vec<f64> = cells.iter().flatten().copied().collect();
    shown.sort_by(f64::total_cmp);
    shown.get(shown.len() / 2).copied()
}
