//! A face laid somewhere -> how alike it looks there, all over.

use serde::Deserialize;
use serde::Serialize;

use crate::algebra::Map;
use crate::camera::Tie;
use crate::fit::Sums;
use crate::fit::samples;
use crate::photo::EDGES;
use crate::photo::LIGHT;
use crate::task::Task;
use crate::task::agreeing;

/// Cells a side.
const CELLS: usize = 6;
/// Correlation of a cell that looks alike by itself.
const CELL_ALIKE: f64 = 0.35;
/// Samples that a cell needs.
const CELL_SAMPLES: f64 = 12.0;
/// Samples that a face needs.
const ENOUGH: f64 = 60.0;
/// Margin around the face, px of the level.
const MARGIN: f64 = 3.0;
/// About so many pixels.
const SAMPLES: usize = 5000;

/// What speaks for a place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Deserialize, Serialize)]
pub struct Evidence {
    /// Spot pairs of this face that agree within 3 px.
    pub spots: usize,
    /// Correlation of the pixels, made equal in light.
    pub alike: f64,
    /// Correlation of the edges alone, which a coat of paint does not change.
    pub edges: f64,
    /// Share of 6 x 6 cells that look alike by themselves, 0 to 1.
    pub cells: f64,
    /// Share of what the first picture shows of the face that lies in the second, 0 to 1.
    pub seen: f64,
    /// Pixels of half size that were compared.
    pub pixels: f64,
}

impl Evidence {
    /// Likeness counts, and so do agreeing spots beyond the few that agree by chance.
    pub(crate) fn merit(&self) -> f64 {
        let spots = self.spots.clamp(5, 25) - 5;
        self.cells * self.alike.max(0.0) * self.seen.sqrt() + 0.02 * spots as f64
    }
}

/// Judges a face under a map; `ties` are those of this face. `None` where too little of it is seen.
pub(crate) fn judged(task: &Task<'_>, face: usize, into_b: &Map, ties: &[Tie]) -> Option<Evidence> {
    let near = task.near(face, into_b);
    let levels = task.levels(face, into_b, near, 1);
    let samples = samples(task, face, into_b, levels.a, MARGIN, SAMPLES);
    let (shown, whole) = (&task.b.levels()[levels.b], (1_usize << levels.b) as f64);
    let none = ([f64::MAX; 2], [f64::MIN; 2]);
    let (from, to) = samples.all.iter().fold(none, |(from, to), it| {
        let p = it.on_face;
        (
            [from[0].min(p[0]), from[1].min(p[1])],
            [to[0].max(p[0]), to[1].max(p[1])],
        )
    });
    let mut cells = [Sums::default(); CELLS * CELLS];
    let (mut all, mut edges) = (Sums::default(), Sums::default());
    for it in &samples.all {
        let Some(at) = into_b.see(it.on_face) else {
            continue;
        };
        let looks = [0, 1].map(|n: usize| shown.looks[n].at(at[0] / whole, at[1] / whole));
        let [Some(light), Some(edge)] = looks else {
            continue;
        };
        let [column, row] = [0, 1].map(|n| {
            let part = (it.on_face[n] - from[n]) / (to[n] - from[n] + 1e-9);
            ((part * CELLS as f64) as usize).min(CELLS - 1)
        });
        let (x, y) = (f64::from(it.looks[LIGHT]), f64::from(light));
        cells[row * CELLS + column].add(x, y);
        all.add(x, y);
        edges.add(f64::from(it.looks[EDGES]), f64::from(edge));
    }
    let counted = cells.iter().filter(|it| it.count >= CELL_SAMPLES);
    let alike: Vec<bool> = counted.map(|it| it.correlation() > CELL_ALIKE).collect();
    let good = alike.iter().filter(|it| **it).count();
    (all.count >= ENOUGH).then(|| Evidence {
        spots: agreeing(ties, |it| into_b.see(it.on_face)),
        alike: all.correlation(),
        edges: edges.correlation(),
        cells: good as f64 / alike.len().max(1) as f64,
        seen: task.seen(face, into_b),
        pixels: all.count * samples.step * samples.step,
    })
}
