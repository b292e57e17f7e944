//! One task: faces known in one picture, to be laid into another.

use plane::Xy;

use crate::algebra::Map;
use crate::algebra::apart;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::face::Placed;
use crate::photo::LEVELS;
use crate::photo::Photo;

/// px within which a tie agrees.
const AGREES: f64 = 3.0;
/// Places a side at which it is tried whether a face is seen.
const TRIES: usize = 16;

pub(crate) struct Task<'a> {
    pub(crate) a: &'a Photo,
    pub(crate) b: &'a Photo,
    /// The faces as they lie in `a`.
    pub(crate) faces: &'a [Placed],
}

/// A level of each picture, so that a pixel of either shows about as much of the face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Levels {
    pub(crate) a: usize,
    pub(crate) b: usize,
}

impl Task<'_> {
    /// The finest levels at which both pictures show a face at about one scale, and from there `depth` coarser.
    pub(crate) fn levels(&self, face: usize, into_b: &Map, near: Xy, depth: usize) -> Levels {
        let finer = (into_b.zoom(near) / self.faces[face].map.zoom(near)).log2();
        let finer = finer.round().clamp(-4.0, 4.0);
        let level = |more: f64| (depth + more.max(0.0) as usize).min(LEVELS - 1);
        Levels {
            a: level(-finer),
            b: level(finer),
        }
    }

    /// Places of a face that the first picture shows, mm from its middle, and whether the second does.
    fn tried(&self, face: usize, into_b: &Map) -> impl Iterator<Item = (Xy, bool)> {
        let placed = &self.faces[face];
        let part = |n: usize| (2.0 * n as f64 + 1.0) / TRIES as f64 - 1.0;
        let [w, h] = placed.frame.half;
        let all = (0..TRIES * TRIES).map(move |n| [part(n % TRIES) * w, part(n / TRIES) * h]);
        let shown = all.filter(|it| placed.map.see(*it).is_some_and(|it| self.a.holds(it)));
        shown.map(|it| (it, into_b.see(it).is_some_and(|it| self.b.holds(it))))
    }

    /// Places of a face that both pictures show, mm from its middle.
    pub(crate) fn both(&self, face: usize, into_b: &Map) -> impl Iterator<Item = Xy> {
        let both = self.tried(face, into_b).filter(|it| it.1);
        both.map(|it| it.0)
    }

    /// The middle of what both pictures show of a face, or else of the face; mm from its middle.
    pub(crate) fn near(&self, face: usize, into_b: &Map) -> Xy {
        let both = self.both(face, into_b);
        let (sum, count) = both.fold(([0.0, 0.0], 0.0), |(sum, count), it| {
            ([sum[0] + it[0], sum[1] + it[1]], count + 1.0)
        });
        sum.map(|it| it / f64::max(count, 1.0))
    }

    /// Share of what the first picture shows of a face that lies in the second.
    pub(crate) fn seen(&self, face: usize, into_b: &Map) -> f64 {
        let (all, both) = self.tried(face, into_b).fold((0, 0), |(all, both), it| {
            (all + 1, both + usize::from(it.1))
        });
        both as f64 / all.max(1) as f64
    }
}

/// How many ties agree with a map.
pub(crate) fn agreeing(ties: &[Tie], see: impl Fn(&Tie) -> Option<Xy>) -> usize {
    let agrees = |tie: &&Tie| {
        let seen = see(tie);
        seen.is_some_and(|it| apart(it, tie.at) < AGREES * AGREES)
    };
    ties.iter().filter(agrees).count()
}

/// How many ties of all faces agree with a camera.
pub(crate) fn agreeing_with(ties: &[Tie], camera: &Camera) -> usize {
    agreeing(ties, |tie| camera.see(&tie.point))
}
