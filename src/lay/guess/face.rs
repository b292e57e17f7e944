//! Guesses from the spots of the faces.

use crate::algebra::Map;
use crate::algebra::apart;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::face::Frame;
use crate::guess::Found;
use crate::guess::Guess;
use crate::guess::Source;
use crate::guess::likeness;
use crate::guess::place;
use crate::photo::Photo;
use crate::spots::Pair;
use crate::spots::Spot;
use crate::spots::pairs;

/// Largest ratio of a pair.
const RATIO: f32 = 0.9;
/// Pairs from which a guess is grown, the best first.
const SEEDS: usize = 250;
/// Guesses that are followed.
const GUESSES: usize = 5;
/// px within which a grown guess is held by its ties, from wide to narrow.
const REACHES: [f64; 6] = [80.0, 40.0, 20.0, 12.0, 8.0, 5.0];
/// Mean px of the corners within which two guesses are the same.
const SAME: f64 = 6.0;

/// A face as it looks in some picture of it.
pub(crate) struct View<'a> {
    /// The face, by its place in the list.
    pub(crate) face: usize,
    pub(crate) frame: &'a Frame,
    /// mm from the middle of the face to px of that picture.
    pub(crate) map: Map,
    /// Its spots.
    pub(crate) spots: Vec<Spot>,
    /// What they look like in the second picture.
    pub(crate) pairs: Vec<Pair>,
}

impl<'a> View<'a> {
    pub(crate) fn new(
        face: usize,
        frame: &'a Frame,
        map: Map,
        spots: Vec<Spot>,
        b: &Photo,
    ) -> Self {
        let pairs = pairs(&spots, b.among(), RATIO);
        Self {
            face,
            frame,
            map,
            spots,
            pairs,
        }
    }
}

/// Guesses from the spots of the faces alone, and the ties.
pub(crate) fn from_face(views: &[View<'_>], b: &Photo, source: Source) -> Found {
    let (mut ties, mut seeds) = (Vec::new(), Vec::new());
    for view in views {
        let back = view.map.inverse();
        for pair in &view.pairs {
            let (from, to) = (&view.spots[pair.a], &b.spots[pair.b]);
            let on_face = back.apply(place(from));
            let tie = Tie {
                face: view.face,
                on_face,
                point: view.frame.point(on_face),
                at: place(to),
                weight: 1.2 - f64::from(pair.ratio),
            };
            ties.push(tie);
            seeds.push((pair.ratio, view, tie, likeness(from, to).after(&view.map)));
        }
    }
    seeds.sort_by(|a, b| a.0.total_cmp(&b.0));
    let ties = without_repeats(ties);
    let grown = |(_, view, tie, map): &(f32, &View<'_>, Tie, Map)| {
        let camera = Camera::of_face(map, view.frame, &b.lens, tie.on_face)?;
        let camera = camera.fitted(&ties, &REACHES, &b.lens)?;
        let good = camera.plausible(view.frame, &b.lens);
        good.then(|| (support(&ties, &camera), camera))
    };
    let mut tried: Vec<(f64, Camera)> = seeds.iter().take(SEEDS).filter_map(grown).collect();
    tried.sort_by(|a, b| b.0.total_cmp(&a.0));
    Found {
        guesses: different(tried.into_iter().map(|it| it.1), views, source),
        ties,
    }
}

/// How much ties speak for a camera.
fn support(ties: &[Tie], camera: &Camera) -> f64 {
    let near = |tie: &Tie| {
        let off = apart(camera.see(&tie.point)?, tie.at) / 25.0;
        Some((1.0 - off).max(0.0))
    };
    ties.iter().filter_map(near).sum()
}

/// The first guesses that lay a face differently.
fn different(
    cameras: impl Iterator<Item = Camera>,
    views: &[View<'_>],
    source: Source,
) -> Vec<Guess> {
    let mut kept: Vec<Guess> = Vec::new();
    for camera in cameras {
        let is_same = |other: &Guess| {
            views.iter().all(|view| {
                let map = |camera: &Camera| {
                    let map = camera.map(view.frame);
                    view.frame.corners().map(|it| map.apply(it))
                };
                let both = map(&camera).into_iter().zip(map(&other.camera));
                both.map(|(p, q)| plane::distance(p, q)).sum::<f64>() <= 4.0 * SAME
            })
        };
        if !kept.iter().any(is_same) {
            kept.push(Guess { camera, source });
        }
        if kept.len() == GUESSES {
            break;
        }
    }
    kept
}

/// A spot that has two turns, or is seen in two views, ties but once.
fn without_repeats(ties: Vec<Tie>) -> Vec<Tie> {
    let mut kept: Vec<Tie> = Vec::with_capacity(ties.len());
    for tie in ties {
        let same = |it: &Tie| {
            it.face == tie.face
                && apart(it.at, tie.at) < 1.0
                && apart(it.on_face, tie.on_face) < 25.0
        };
        if !kept.iter().any(same) {
            kept.push(tie);
        }
    }
    kept
}
