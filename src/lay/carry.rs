//! Faces known in some pictures of a piece, carried into all others: from each to those that look most like it, then on from
//! those that are beyond doubt. So an overview is clicked once, and a near picture is reached by the ones in between.

use std::collections::BTreeSet;

use plane::Xy;

use crate::face::Face;
use crate::laying::Known;
use crate::laying::Laid;
use crate::laying::Ways;
use crate::laying::lay;
use crate::photo::Photo;
use crate::spots::Spot;
use crate::spots::pairs;
use crate::verdict::Grade;

/// Pictures from which it is tried to lay into one, the likest first.
const SOURCES: usize = 3;
/// Steps from a hand to the last picture.
const STEPS: usize = 3;
/// Spots of a picture by which it is told whether it is like another.
const LOOKED_AT: usize = 150;
/// Largest ratio of a pair that tells.
const RATIO: f32 = 0.8;

/// Where a face lies in a picture, px, and the standard deviation of a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners {
    /// In the order of [`Known::corners`].
    pub corners: [Xy; 4],
    /// px.
    pub unsure: f64,
}

/// A face that was carried into a picture.
#[derive(Clone, Copy, Debug)]
pub struct Carried {
    /// The picture, by its place in the list.
    pub photo: usize,
    /// The face, by its place in the list.
    pub face: usize,
    /// From which picture it came.
    pub from: usize,
    /// Steps from the hand that set the corners: 1 from a picture in which they are known.
    pub steps: usize,
    /// Where it lies.
    pub laid: Laid,
}

/// Carries faces of a piece into the pictures where they are not known, each by itself. `known` has a row for each picture, and
/// in it a place for each face; `wished` has the same rows, and tells how a face is looked for, or that it is not. All ways are tried
/// from the likest picture alone. What is beyond doubt is carried on; of what is not, the best is given, which may be a refusal; a picture
/// that looks like none of those is left out. `eyes` look at the pictures; [`InTurn`] is the plain way.
#[must_use]
pub fn carry(
    faces: &[Face],
    known: &[Vec<Option<Corners>>],
    wished: &[Vec<Option<Ways>>],
    eyes: &mut impl Eyes,
) -> Vec<Carried> {
    let mut places: Vec<Vec<Option<Corners>>> = known.to_vec();
    let mut steps = vec![vec![0; faces.len()]; known.len()];
    let mut best: Vec<Vec<Option<Carried>>> = vec![vec![None; faces.len()]; known.len()];
    let mut tried: BTreeSet<(Pair, usize)> = BTreeSet::new();
    for _ in 0..STEPS {
        let plan = planned(&places, wished, &tried, eyes);
        let sources = places.clone();
        for rank in 0..SOURCES {
            let open = plan
                .iter()
                .filter(|it| places[it.into][it.face].is_none())
                .filter_map(|it| Some((it, *it.from.get(rank)?)));
            let step = |(it, from): (&Wanted, usize)| {
                let place = sources[from][it.face]?;
                let known = Known {
                    face: faces[it.face],
                    corners: place.corners,
                    unsure: place.unsure,
                };
                let pair = Pair {
                    from,
                    into: it.into,
                };
                let first = best[it.into][it.face].is_none() && rank == 0;
                let wish = wished[it.into][it.face]?;
                Some(Step {
                    pair,
                    face: it.face,
                    known,
                    ways: if first { wish } else { Ways::AtFirstSight },
                })
            };
            let todo: Vec<Step> = open.filter_map(step).collect();
            let done = eyes.lay(&todo);
            for (step, laid) in todo.iter().zip(done) {
                let Pair { from, into } = step.pair;
                tried.insert((step.pair, step.face));
                let Some(laid) = laid else { continue };
                let old = &mut best[into][step.face];
                if !better(&laid, old.as_ref()) {
                    continue;
                }
                let it = Carried {
                    photo: into,
                    face: step.face,
                    from,
                    steps: steps[from][step.face] + 1,
                    laid,
                };
                *old = Some(it);
                if let Some(place) = beyond_doubt(&it) {
                    places[into][step.face] = Some(place);
                    steps[into][step.face] = it.steps;
                }
            }
        }
    }
    best.into_iter().flatten().flatten().collect()
}

/// What looks at the pictures for [`carry`], several pairs at once: the caller may use its threads, and what it kept of an
/// earlier time.
pub trait Eyes {
    /// How much the pictures of each pair look alike, as [`likeness`] says it.
    fn alike(&mut self, pairs: &[Pair]) -> Vec<usize>;
    /// The face of each step, as [`Step::lay`] lays it; `None` also where a picture cannot be looked at.
    fn lay(&mut self, steps: &[Step]) -> Vec<Option<Laid>>;
}

/// Looks at one pair of pictures after the other.
pub struct InTurn<'a>(pub &'a [&'a Photo]);

impl Eyes for InTurn<'_> {
    fn alike(&mut self, pairs: &[Pair]) -> Vec<usize> {
        let one = |it: &Pair| likeness(self.0[it.from], self.0[it.into]);
        pairs.iter().map(one).collect()
    }

    fn lay(&mut self, steps: &[Step]) -> Vec<Option<Laid>> {
        let one = |it: &Step| it.lay(self.0[it.pair.from], self.0[it.pair.into]);
        steps.iter().map(one).collect()
    }
}

/// Two pictures, by their places in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pair {
    /// In which the faces are known.
    pub from: usize,
    /// Into which they are to be laid.
    pub into: usize,
}

/// A face to be laid from one picture into another.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// The pictures.
    pub pair: Pair,
    face: usize,
    /// The face as it lies in the first picture.
    pub known: Known,
    /// How it is looked for.
    pub ways: Ways,
}

impl Step {
    /// The face as it lies in the second picture.
    #[must_use]
    pub fn lay(&self, from: &Photo, into: &Photo) -> Option<Laid> {
        let known = [self.known];
        lay(from, into, &known, self.ways)
            .into_iter()
            .next()
            .flatten()
    }
}

/// A face that a picture may show, and the pictures from which to lay it, the likest first.
struct Wanted {
    into: usize,
    face: usize,
    from: Vec<usize>,
}

/// Which faces to lay next, and from where; no face twice from one picture into another.
fn planned(
    places: &[Vec<Option<Corners>>],
    wished: &[Vec<Option<Ways>>],
    tried: &BTreeSet<(Pair, usize)>,
    eyes: &mut impl Eyes,
) -> Vec<Wanted> {
    let brings = |pair: Pair, face: usize| {
        let both = [pair.from, pair.into].map(|it| places[it][face].is_some());
        both == [true, false] && wished[pair.into][face].is_some() && !tried.contains(&(pair, face))
    };
    let faces = 0..places.first().map_or(0, Vec::len);
    let photos = 0..places.len();
    let pairs = photos.clone().flat_map(|into| {
        let all = photos.clone().map(move |from| Pair { from, into });
        all.filter(|it| faces.clone().any(|face| brings(*it, face)))
    });
    let pairs: Vec<Pair> = pairs.collect();
    let mut alike: Vec<(usize, Pair)> = eyes.alike(&pairs).into_iter().zip(pairs).collect();
    alike.sort_by_key(|(alike, it)| (it.into, std::cmp::Reverse(*alike), it.from));
    let wanted = alike
        .chunk_by(|a, b| a.1.into == b.1.into)
        .flat_map(|near| {
            let into = near[0].1.into;
            faces.clone().map(move |face| {
                let from = near.iter().filter(|it| brings(it.1, face));
                let from = from.take(SOURCES).map(|it| it.1.from).collect();
                Wanted { into, face, from }
            })
        });
    wanted.filter(|it| !it.from.is_empty()).collect()
}

/// How many of some spots of a picture are found in another.
#[must_use]
pub fn likeness(a: &Photo, b: &Photo) -> usize {
    let every = (a.spots.len() / LOOKED_AT).max(1);
    let some: Vec<Spot> = a
        .spots
        .iter()
        .step_by(every)
        .take(LOOKED_AT)
        .cloned()
        .collect();
    pairs(&some, b.among(), RATIO).len()
}

fn better(new: &Laid, old: Option<&Carried>) -> bool {
    let rank = |it: &Laid| match it.grade {
        Grade::TakenOver => 2,
        Grade::ToConfirm(_) => 1,
        Grade::Refused(_) => 0,
    };
    let worth = |it: &Laid| (rank(it), it.evidence.spots);
    old.is_none_or(|old| worth(new) > worth(&old.laid))
}

/// Where a face lies from which it may be carried on.
fn beyond_doubt(it: &Carried) -> Option<Corners> {
    let corners = it.laid.corners()?;
    (it.laid.grade == Grade::TakenOver).then_some(Corners {
        corners,
        unsure: it.laid.error,
    })
}
