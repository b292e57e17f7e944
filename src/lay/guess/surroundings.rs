//! Guesses from what lies around the faces: it moves nearly with them.

use plane::Xy;

use crate::algebra::Map;
use crate::algebra::Normal;
use crate::algebra::apart;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::face::Placed;
use crate::guess::Guess;
use crate::guess::Source;
use crate::guess::View;
use crate::guess::likeness;
use crate::guess::place;
use crate::photo::Photo;
use crate::spots::Pair;
use crate::spots::Spot;
use crate::spots::pairs;

/// Most spots beside the faces that are looked at, the largest first.
const MOST: usize = 1500;
/// Largest ratio of a pair.
const RATIO: f32 = 0.85;
/// Planes that are looked for, one after the other.
const PLANES: usize = 4;
/// Pairs from which a plane is grown.
const SEEDS: usize = 150;
/// px within which a grown plane is held by its pairs, from wide to narrow.
const REACHES: [f64; 6] = [60.0, 30.0, 16.0, 10.0, 8.0, 6.0];
/// Pairs that a plane needs.
const ENOUGH: usize = 8;

/// The planes found in the whole picture carry the faces along.
pub(crate) fn from_surroundings(
    around: Vec<Spot>,
    on_faces: &[View<'_>],
    b: &Photo,
    faces: &[Placed],
) -> Vec<Guess> {
    let mut spots = around;
    spots.sort_by(|x, y| y.size.total_cmp(&x.size));
    spots.truncate(MOST);
    let found = pairs(&spots, b.among(), RATIO);
    let beside = found.iter().map(|it| (&spots, it));
    let on_faces = on_faces
        .iter()
        .flat_map(|view| view.pairs.iter().map(|it| (&view.spots, it)));
    let mut found: Vec<(&Vec<Spot>, &Pair)> = beside.chain(on_faces).collect();
    found.retain(|it| it.1.ratio < RATIO);
    found.sort_by(|x, y| x.1.ratio.total_cmp(&y.1.ratio));
    let mut rest: Vec<(Map, Xy, Xy)> = found
        .iter()
        .map(|(spots, it)| {
            let (from, to) = (&spots[it.a], &b.spots[it.b]);
            (likeness(from, to), place(from), place(to))
        })
        .collect();
    let mut guesses = Vec::new();
    for _ in 0..PLANES {
        let off = |map: &Map, it: &(Map, Xy, Xy)| apart(map.apply(it.1), it.2);
        let grown = |seed: &(Map, Xy, Xy)| {
            let map = grown(&seed.0, &rest)?;
            Some((rest.iter().filter(|it| off(&map, it) < 16.0).count(), map))
        };
        let best = rest.iter().take(SEEDS).filter_map(grown);
        let Some((count, map)) = best.max_by_key(|it| it.0) else {
            break;
        };
        if count < ENOUGH {
            break;
        }
        for face in faces {
            guesses.extend(carried(&map, face, b).map(|camera| Guess {
                camera,
                source: Source::Surroundings,
            }));
        }
        rest.retain(|it| off(&map, it) >= 36.0);
    }
    guesses
}

/// An affine map, then a full one, grown from a start by reweighted least squares.
fn grown(start: &Map, pairs: &[(Map, Xy, Xy)]) -> Option<Map> {
    // Numbers near 1, whatever the size of the picture.
    let unit = Map([[1e-3, 0.0, -0.8], [0.0, 1e-3, -0.6], [0.0, 0.0, 1.0]]);
    let mut map = *start;
    for (n, reach) in REACHES.into_iter().enumerate() {
        let bends = if n < 2 { 0.0 } else { 1.0 };
        let (mut system, mut used) = (Normal::<8>::NOTHING, 0);
        for (_, from, to) in pairs {
            let off = apart(map.apply(*from), *to) / (reach * reach);
            if off < 1.0 {
                used += 1;
                let weight = (1.0 - off).powi(2);
                let [x, y] = unit.apply(*from);
                let [u, v] = *to;
                let (bx, by) = (bends * x, bends * y);
                let across = [x, y, 1.0, 0.0, 0.0, 0.0, -u * bx, -u * by];
                let down = [0.0, 0.0, 0.0, x, y, 1.0, -v * bx, -v * by];
                system.add(&across, u, weight);
                system.add(&down, v, weight);
            }
        }
        if used < 6 {
            return None;
        }
        for (n, row) in system.matrix.iter_mut().enumerate() {
            row[n] += if n < 6 { 1e-6 } else { 1.0 };
        }
        let [a, b, c, d, e, f, g, h] = system.solved()?;
        map = Map([[a, b, c], [d, e, f], [g, h, 1.0]]).after(&unit);
    }
    Some(map)
}

/// The camera that sees the face where a map from picture to picture carries it.
fn carried(map: &Map, face: &Placed, b: &Photo) -> Option<Camera> {
    let into_b = map.after(&face.map);
    let camera = Camera::of_face(&into_b, &face.frame, &b.lens, [0.0, 0.0])?;
    let steps = [-1.0, -0.5, 0.0, 0.5, 1.0];
    let grid = steps
        .iter()
        .flat_map(|y| steps.iter().map(move |x| [*x, *y]));
    let ties: Vec<Tie> = grid
        .map(|[x, y]| {
            let on_face = [x * face.frame.half[0], y * face.frame.half[1]];
            Tie {
                face: 0,
                on_face,
                point: face.frame.point(on_face),
                at: into_b.apply(on_face),
                weight: 1.0,
            }
        })
        .collect();
    let camera = camera.fitted(&ties, &[1e4, 1e4, 1e3, 300.0, 100.0], &b.lens)?;
    camera.plausible(&face.frame, &b.lens).then_some(camera)
}
