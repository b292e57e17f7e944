//! The pixels of a face that both pictures show.

use plane::Xy;

use crate::algebra::Map;
use crate::algebra::Xyz;
use crate::task::Task;

/// A pixel of the first picture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sample {
    /// mm from the middle of the face.
    pub(crate) on_face: Xy,
    /// As a point of the piece, mm.
    pub(crate) point: Xyz,
    /// Light, and edges.
    pub(crate) looks: [f32; 2],
    /// Whether it lies on the face, not in the margin around it.
    pub(crate) inside: bool,
}

/// Pixels of `a` at a level.
pub(crate) struct Samples {
    pub(crate) all: Vec<Sample>,
    /// px of the level from one to the next.
    pub(crate) step: f64,
}

/// The pixels of a face, and of a margin of that many px of the level around it, where `into_b` sees them in the second
/// picture; about so many of them.
pub(crate) fn samples(
    task: &Task<'_>,
    face: usize,
    into_b: &Map,
    level: usize,
    margin: f64,
    most: usize,
) -> Samples {
    let (placed, shown) = (&task.faces[face], &task.a.levels()[level]);
    let whole = (1_usize << level) as f64;
    let nothing = Samples {
        all: Vec::new(),
        step: 1.0,
    };
    let Some(shared) = bounds::shared(task, face, into_b) else {
        return nothing;
    };
    let corners = placed.frame.corners();
    let corners = corners.map(|it| placed.map.apply(it).map(|at| at / whole));
    let bounds::Bounds { from, to } = shared.shrunk(whole, margin, shown.size());
    let area = (to[0] - from[0]) * (to[1] - from[1]);
    if to[0] <= from[0] || to[1] <= from[1] {
        return nothing;
    }
    let step = (area / most as f64).sqrt().max(1.0);
    let count = [0, 1].map(|n| ((to[n] - from[n]) / step).floor() as usize + 1);
    let mut all = Vec::new();
    for n in 0..count[0] * count[1] {
        let x = from[0] + step * (n % count[0]) as f64;
        let y = from[1] + step * (n / count[0]) as f64;
        let (x, y) = if step > 1.0 {
            (x, y)
        } else {
            (x.ceil(), y.ceil())
        };
        let depth = inside_by(&corners, [x, y]);
        if depth <= -margin {
            continue;
        }
        let on_face = placed.back.apply([x * whole, y * whole]);
        let looks = [0, 1].map(|n: usize| shown.looks[n].at(x, y));
        if let [Some(light), Some(edges)] = looks {
            all.push(Sample {
                on_face,
                point: placed.frame.point(on_face),
                looks: [light, edges],
                inside: depth >= 0.0,
            });
        }
    }
    Samples { all, step }
}

/// How far inside of its nearest side a point lies; less than 0 outside.
fn inside_by(corners: &[Xy; 4], p: Xy) -> f64 {
    let side = |n: usize| {
        let (from, to) = (corners[n], corners[(n + 1) % 4]);
        let along = [to[0] - from[0], to[1] - from[1]];
        (along[0] * (p[1] - from[1]) - along[1] * (p[0] - from[0])) / along[0].hypot(along[1])
    };
    (0..4).map(side).fold(f64::MAX, f64::min)
}

mod bounds {
    //! The part of the first picture that may show what the second does.

    use plane::Xy;

    use crate::algebra::Map;
    use crate::task::Task;

    pub(super) struct Bounds {
        pub(super) from: Xy,
        pub(super) to: Xy,
    }

    /// Places a side at which the face is tried.
    const TRIES: usize = 24;

    /// The px of `a` around all tried places of the face that lie in both pictures.
    pub(super) fn shared(task: &Task<'_>, face: usize, into_b: &Map) -> Option<Bounds> {
        let placed = &task.faces[face];
        let [w, h] = placed.frame.half;
        let mut bounds: Option<Bounds> = None;
        let part = |n: usize| 2.0 * n as f64 / TRIES as f64 - 1.0;
        for n in 0..(TRIES + 1) * (TRIES + 1) {
            let on_face = [part(n % (TRIES + 1)) * w, part(n / (TRIES + 1)) * h];
            let Some(at) = placed.map.see(on_face) else {
                continue;
            };
            let in_b = into_b.see(on_face).is_some_and(|it| task.b.holds(it));
            if !in_b {
                continue;
            }
            // A place speaks for what lies around it, half a step each way.
            for (x, y) in [(-0.6, -0.6), (-0.6, 0.6), (0.6, -0.6), (0.6, 0.6)] {
                let step = 2.0 / TRIES as f64;
                let clamp = |it: f64, half: f64| it.clamp(-half, half);
                let near = [
                    clamp(on_face[0] + x * step * w, w),
                    clamp(on_face[1] + y * step * h, h),
                ];
                let at = placed.map.see(near).unwrap_or(at);
                let is = bounds.get_or_insert(Bounds { from: at, to: at });
                is.from = [is.from[0].min(at[0]), is.from[1].min(at[1])];
                is.to = [is.to[0].max(at[0]), is.to[1].max(at[1])];
            }
        }
        bounds
    }

    impl Bounds {
        /// In px of a level, with a margin, within the picture.
        pub(super) fn shrunk(&self, whole: f64, margin: f64, size: [usize; 2]) -> Self {
            let from = self.from.map(|it| (it / whole - margin).max(2.0).ceil());
            let to = [0, 1].map(|n| (self.to[n] / whole + margin).min(size[n] as f64 - 3.0));
            Self { from, to }
        }
    }
}
