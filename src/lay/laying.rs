//! Faces known in one picture, laid into another: guesses, each tightened, the best one judged.

use plane::Homography;
use plane::Xy;
use serde::Deserialize;
use serde::Serialize;

use crate::algebra::Map;
use crate::algebra::along;
use crate::camera::Camera;
use crate::camera::Tie;
use crate::camera::UNKNOWNS;
use crate::face::Face;
use crate::face::Placed;
use crate::fit::loosened;
use crate::fit::spread;
use crate::fit::tightened;
use crate::guess::Guess;
use crate::guess::Source;
use crate::guess::View;
use crate::guess::from_face;
use crate::guess::from_same_view;
use crate::guess::from_surroundings;
use crate::guess::from_views;
use crate::judge::Evidence;
use crate::judge::judged;
use crate::lens::Lens;
use crate::lens::continuous;
use crate::photo::Photo;
use crate::spots::Spot;
use crate::task::Task;
use crate::task::agreeing_with;
use crate::verdict::Grade;
use crate::verdict::Reason;
use crate::verdict::STEEP;
use crate::verdict::Standing;
use crate::verdict::grades;

/// A face whose corners are known in the first picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Known {
    /// The face.
    pub face: Face,
    /// Top left, top right, bottom right, bottom left as one looks straight at it, px; outside the picture is allowed.
    pub corners: [Xy; 4],
    /// Standard deviation of a corner either way, px.
    pub unsure: f64,
}

/// How a face is looked for in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Ways {
    /// Only where spots speak for it at once: about a third of the time. A face that was painted over is mostly missed.
    AtFirstSight,
    /// By the slow ways too: as it would look from other sides, and as if the view had been taken again.
    All,
}

/// Where a face lies in the second picture.
#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
pub struct Laid {
    map: Map,
    half: [f64; 2],
    lens: Lens,
    /// Standard deviation of a point of the face in the picture, px.
    pub error: f64,
    /// What speaks for it.
    pub evidence: Evidence,
    /// What the first guess rested on.
    pub source: Source,
    /// Angles of view at the middle of what is seen, degrees: in the first picture and in the second.
    pub angles: [f64; 2],
    /// What may be done with it.
    pub grade: Grade,
}

impl Laid {
    /// Where its four corners lie, px, in the order of [`Known::corners`]; `None` when one lies behind the camera.
    #[must_use]
    pub fn corners(&self) -> Option<[Xy; 4]> {
        let [w, h] = self.half.map(|it| 2.0 * it);
        let corners = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(|it| self.at(it));
        match corners {
            [Some(a), Some(b), Some(c), Some(d)] => Some([a, b, c, d]),
            _ => None,
        }
    }

    /// Where a point of the face lies, mm from its top left corner to px; `None` behind the camera.
    #[must_use]
    pub fn at(&self, [x, y]: Xy) -> Option<Xy> {
        let from_middle = [x - self.half[0], y - self.half[1]];
        let straight = self.map.see(from_middle).map(continuous);
        straight.map(|it| self.lens.bent(it))
    }

    /// The map of the face, mm from its top left corner, to px of the picture without the bend of its lens.
    ///
    /// # Errors
    /// When the face is seen edge-on.
    pub fn homography(&self) -> Result<Homography, plane::Degenerate> {
        let [x, y] = self.half;
        let to_middle = Map([[1.0, 0.0, -x], [0.0, 1.0, -y], [0.0, 0.0, 1.0]]);
        let from_index = Map([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]]);
        Homography::from_rows(from_index.after(&self.map).after(&to_middle).0)
    }
}

/// Spots that agree with a guess from which it is worth a closer look: of pairs that were laid none had fewer than 7, of those
/// that could not be laid nine in ten had fewer (`cargo bench --bench place`, both sets; counted when every spot was compared with
/// every other, trees find a tenth to a fifth fewer).
const AT_FIRST_SIGHT: usize = 7;

/// No hand is surer than this, px.
const LEAST_UNSURE: f64 = 0.2;

/// Lays faces that are known in `a` into `b`, in the order in which they are given; `None` for one whose corners are none, or
/// of which nothing can be said. All faces must lie on the piece as they say: they hold each other.
#[must_use]
pub fn lay(a: &Photo, b: &Photo, known: &[Known], ways: Ways) -> Vec<Option<Laid>> {
    let origin = known.first().map_or([0.0; 3], |it| it.face.frame().middle);
    let placed = known.iter().map(|it| {
        let frame = it.face.frame().moved(&origin.map(|at| -at));
        let corners = it.corners.map(|it| a.lens.straight(it));
        Placed::new(frame, &corners, it.unsure.max(LEAST_UNSURE))
    });
    let placed: Vec<Option<Placed>> = placed.collect();
    let faces: Vec<Placed> = placed.iter().flatten().copied().collect();
    let task = Task {
        a,
        b,
        faces: &faces,
    };
    let mut laid = found(&task, ways).into_iter();
    let mut next = |it: Option<Placed>| it.and_then(|_| laid.next().flatten());
    placed.into_iter().map(&mut next).collect()
}

/// The camera that is best of all guesses, and the faces as it lays them.
fn found(task: &Task<'_>, ways: Ways) -> Vec<Option<Laid>> {
    let (on_faces, around) = sorted(task);
    let views = task.faces.iter().zip(on_faces).enumerate();
    let views = views
        .map(|(face, (placed, spots))| View::new(face, &placed.frame, placed.map, spots, task.b));
    let views: Vec<View<'_>> = views.collect();
    let mut from = from_face(&views, task.b, Source::Face);
    let more = from_surroundings(around, &views, task.b, task.faces);
    let held = |it: &Guess| agreeing_with(&from.ties, &it.camera) >= AT_FIRST_SIGHT;
    let speaks = !more.is_empty() || from.guesses.iter().any(held);
    if ways == Ways::AtFirstSight && !speaks {
        return Vec::new();
    }
    from.guesses.extend(more);
    let best = best(task, &from.guesses, &from.ties);
    let laid = best.map_or(Vec::new(), |it| faces_of(task, &it, &from.ties));
    let taken = |it: &Option<Laid>| it.is_some_and(|it| !matches!(it.grade, Grade::Refused(_)));
    if ways == Ways::AtFirstSight || laid.iter().any(taken) {
        return laid;
    }
    let mut views = from_views(task.a, task.faces, task.b);
    from.ties.extend(views.ties);
    views.guesses.extend(from_same_view(task));
    let other = self::best(task, &views.guesses, &from.ties);
    let other = other.map_or(Vec::new(), |it| faces_of(task, &it, &from.ties));
    let merit =
        |all: &[Option<Laid>]| -> f64 { all.iter().flatten().map(|it| it.evidence.merit()).sum() };
    if merit(&other) > merit(&laid) {
        other
    } else {
        laid
    }
}

/// The spots of each face, and those beside all faces.
fn sorted(task: &Task<'_>) -> (Vec<Vec<Spot>>, Vec<Spot>) {
    let mut on_faces = vec![Vec::new(); task.faces.len()];
    let mut around = Vec::new();
    for spot in &task.a.spots {
        let at = [f64::from(spot.x), f64::from(spot.y)];
        match task.faces.iter().position(|it| it.under(at).is_some()) {
            Some(face) => on_faces[face].push(spot.clone()),
            None => around.push(spot.clone()),
        }
    }
    (on_faces, around)
}

fn of_face(ties: &[Tie], face: usize) -> Vec<Tie> {
    ties.iter().filter(|it| it.face == face).copied().collect()
}

/// Tightens every guess and takes the one for which most speaks.
fn best(task: &Task<'_>, guesses: &[Guess], ties: &[Tie]) -> Option<Guess> {
    // Once through the coarse pictures, which forgives a bad guess, and once the fine one only, which trusts a good guess.
    let ways: [&[usize]; 2] = [&[3, 2, 1], &[1]];
    let own: Vec<Vec<Tie>> = (0..task.faces.len()).map(|n| of_face(ties, n)).collect();
    let merit = |camera: &Camera| -> f64 {
        let each = task.faces.iter().zip(&own).enumerate();
        let each =
            each.filter_map(|(n, (face, ties))| judged(task, n, &camera.map(&face.frame), ties));
        each.map(|it| it.merit()).sum()
    };
    let mut best: Option<(f64, Guess)> = None;
    for guess in guesses {
        for way in ways {
            let mut steps = way.iter();
            let end = steps.try_fold(guess.camera, |camera, depth| {
                tightened(task, &camera, ties, *depth, 1500)
            });
            let Some(camera) = end else {
                continue;
            };
            let merit = merit(&camera);
            if best.is_none_or(|it| merit > it.0) {
                best = Some((merit, Guess { camera, ..*guess }));
            }
        }
    }
    let guess = best?.1;
    let camera = tightened(task, &guess.camera, ties, 0, 8000).unwrap_or(guess.camera);
    Some(Guess { camera, ..guess })
}

/// The faces as a camera lays them, each let go a little where it then looks more alike.
fn faces_of(task: &Task<'_>, guess: &Guess, ties: &[Tie]) -> Vec<Option<Laid>> {
    let covariance = spread(task, &guess.camera, ties);
    let each = (0..task.faces.len()).map(|face| {
        let ties = of_face(ties, face);
        placed(task, face, guess, &ties, covariance.as_ref())
    });
    let mut laid: Vec<Option<Laid>> = each.collect();
    let standing = |it: &Laid| Standing {
        evidence: it.evidence,
        error: it.error,
        angles: it.angles,
    };
    let standings: Vec<Option<Standing>> =
        laid.iter().map(|it| it.as_ref().map(standing)).collect();
    let grades = grades(&standings);
    for (it, grade) in laid.iter_mut().zip(grades) {
        if let Some(it) = it {
            it.grade = grade;
        }
    }
    laid
}

fn placed(
    task: &Task<'_>,
    face: usize,
    guess: &Guess,
    ties: &[Tie],
    covariance: Option<&[[f64; UNKNOWNS]; UNKNOWNS]>,
) -> Option<Laid> {
    let placed = &task.faces[face];
    let stiff = guess.camera.map(&placed.frame);
    let by_camera = judged(task, face, &stiff, ties)?;
    let free = loosened(task, face, &guess.camera, ties);
    let by_itself = free
        .as_ref()
        .and_then(|it| judged(task, face, &it.map, ties));
    let near = task.near(face, &stiff);
    let own = Camera::of_face(&placed.map, &placed.frame, &task.a.lens, near)?;
    let facing = [&own, &guess.camera].map(|it| it.facing(&placed.frame, near));
    let angles = facing.map(|it| it.clamp(-1.0, 1.0).acos().to_degrees());
    let (map, evidence, error) = match (free, by_itself) {
        // What looks alike holds its own place, nearly whatever the corners were off.
        (Some(free), Some(it)) if it.alike > 0.5 => {
            let better = it.alike > by_camera.alike + 0.002;
            let (map, evidence) = if better {
                (free.map, it)
            } else {
                (stiff, by_camera)
            };
            let hand = placed.unsure * map.zoom(near) / placed.map.zoom(near);
            (
                map,
                evidence,
                true_error(free.unsure, it.alike, hand, angles),
            )
        }
        _ => {
            let error = covariance.map(|it| stiff_error(task, face, &guess.camera, it));
            (stiff, by_camera, error.unwrap_or(f64::INFINITY))
        }
    };
    Some(Laid {
        map,
        half: placed.frame.half,
        lens: task.b.lens,
        error,
        evidence,
        source: guess.source,
        angles,
        grade: Grade::Refused(Reason::NotAlike),
    })
}

/// How far a face may be off that follows from the camera alone, px: what the camera may be off, and what the corners were.
fn stiff_error(
    task: &Task<'_>,
    face: usize,
    camera: &Camera,
    covariance: &[[f64; UNKNOWNS]; UNKNOWNS],
) -> f64 {
    let placed = &task.faces[face];
    let map = camera.map(&placed.frame);
    let hand = placed.unsure * map.zoom([0.0, 0.0]) / placed.map.zoom([0.0, 0.0]);
    let variance = |on_face: Xy| {
        let (_, slopes) = camera.see_moving(&placed.frame.point(on_face))?;
        Some(slopes.iter().map(|it| along(covariance, it)).sum::<f64>())
    };
    let all: Vec<f64> = task.both(face, &map).filter_map(variance).collect();
    let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
    (TRUE_ERROR * TRUE_ERROR * mean + (HAND * hand).powi(2)).sqrt()
}

/// The standard deviation of a face that looks alike, px. Its equations take two pictures to differ by noise alone, and its
/// corners to be off only as much as pixels do not tell; how much more it is was measured on half of the pairs of two sets of
/// rendered photos (`cargo bench --bench place`): more where it looks less alike, and more where it is nearly edge-on. `hand`
/// is how far the corners may be off, px of the second picture.
fn true_error(told: f64, alike: f64, hand: f64, angles: [f64; 2]) -> f64 {
    let (times, of_hand) = if angles[0].max(angles[1]) > STEEP {
        (7.5, 1.5)
    } else {
        (TRUE_ERROR, 0.4)
    };
    (times * told / (alike * alike)).hypot(of_hand * hand)
}

/// How much larger errors are than their equations tell.
const TRUE_ERROR: f64 = 2.5;

/// Root mean square of what four corners that are off by 1 do to the points between them: 2/3 each way, in two directions.
const HAND: f64 = 0.94;
