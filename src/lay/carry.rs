//! Faces known in some pictures of a piece, carried into all others: from each to those that look most like it, then on from
//! those that are beyond doubt. So an overview is clicked once, and a near picture is reached by the ones in between.

use plane::Xy;

use crate::face::Face;
use crate::laying::Known;
use crate::laying::Laid;
use crate::laying::lay;
use crate::photo::Photo;
use crate::spots::Spot;
use crate::spots::pairs;
use crate::verdict::Grade;

/// Pictures from which it is tried to lay into one, the likest first.
const SOURCES: usize = 3;
/// Steps from a hand to the last picture.
const STEPS: usize = 3;
/// Spots of the one picture and of the other by which it is told whether they are alike.
const LOOKED_AT: [usize; 2] = [300, 1200];
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

/// Carries faces of a piece into the pictures where they are not known. `known` has a row for each picture, and in it a place
/// for each face. What is beyond doubt is carried on; of what is not, the best is given, which may be a refusal; a picture that
/// looks like none of those is left out. `eyes` look at the pictures; [`InTurn`] is the plain way.
#[must_use]
pub fn carry(faces: &[Face], known: &[Vec<Option<Corners>>], eyes: &mut impl Eyes) -> Vec<Carried> {
    let photos = known.len();
    let mut places: Vec<Vec<Option<Corners>>> = known.to_vec();
    let mut steps = vec![0; photos];
    let mut best: Vec<Vec<Option<Carried>>> = vec![vec![None; faces.len()]; photos];
    let mut sources: Vec<usize> = (0..photos).filter(|n| has_any(&places[*n])).collect();
    let mut tried = vec![vec![false; photos]; photos];
    for _ in 0..STEPS {
        let plan = planned(&places, &sources, &mut tried, eyes);
        let todo: Vec<Step> = plan
            .iter()
            .map(|pair| Step::new(faces, &places, *pair))
            .collect();
        let done = eyes.lay(&todo);
        let mut reached = Vec::new();
        for (step, laid) in todo.iter().zip(done) {
            let Pair { from, into } = step.pair;
            let steps = steps[from] + 1;
            for (face, laid) in step.faces.iter().zip(laid) {
                let Some(laid) = laid else { continue };
                let old = &mut best[into][*face];
                if known[into][*face].is_none() && better(&laid, old.as_ref()) {
                    *old = Some(Carried {
                        photo: into,
                        face: *face,
                        from,
                        steps,
                        laid,
                    });
                    reached.push(into);
                }
            }
        }
        reached.sort_unstable();
        reached.dedup();
        reached.retain(|photo| taken_on(&best[*photo], &mut places[*photo]));
        for photo in &reached {
            let of = best[*photo].iter().flatten().map(|it| it.steps).min();
            steps[*photo] = of.unwrap_or(0);
        }
        sources = reached;
    }
    best.into_iter().flatten().flatten().collect()
}

/// What looks at the pictures for [`carry`], several pairs at once: the caller may use its threads, and what it kept of an
/// earlier time.
pub trait Eyes {
    /// How much the pictures of each pair look alike, as [`likeness`] says it.
    fn alike(&mut self, pairs: &[Pair]) -> Vec<usize>;
    /// The faces of each step, as [`Step::lay`] lays them; an empty list where a picture cannot be looked at.
    fn lay(&mut self, steps: &[Step]) -> Vec<Vec<Option<Laid>>>;
}

/// Looks at one pair of pictures after the other.
pub struct InTurn<'a>(pub &'a [&'a Photo]);

impl Eyes for InTurn<'_> {
    fn alike(&mut self, pairs: &[Pair]) -> Vec<usize> {
        let one = |it: &Pair| likeness(self.0[it.from], self.0[it.into]);
        pairs.iter().map(one).collect()
    }

    fn lay(&mut self, steps: &[Step]) -> Vec<Vec<Option<Laid>>> {
        let one = |it: &Step| it.lay(self.0[it.pair.from], self.0[it.pair.into]);
        steps.iter().map(one).collect()
    }
}

/// Two pictures, by their places in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    /// In which the faces are known.
    pub from: usize,
    /// Into which they are to be laid.
    pub into: usize,
}

/// Faces to be laid from one picture into another.
#[derive(Clone, Debug)]
pub struct Step {
    /// The pictures.
    pub pair: Pair,
    faces: Vec<usize>,
    /// The faces as they lie in the first picture.
    pub known: Vec<Known>,
}

impl Step {
    fn new(faces: &[Face], places: &[Vec<Option<Corners>>], pair: Pair) -> Self {
        let each = places[pair.from].iter().enumerate();
        let known = each.filter_map(|(n, it)| Some((n, (*it)?)));
        let (numbers, known) = known
            .map(|(n, it)| {
                let known = Known {
                    face: faces[n],
                    corners: it.corners,
                    unsure: it.unsure,
                };
                (n, known)
            })
            .unzip();
        Self {
            pair,
            faces: numbers,
            known,
        }
    }

    /// The faces as they lie in the second picture.
    #[must_use]
    pub fn lay(&self, from: &Photo, into: &Photo) -> Vec<Option<Laid>> {
        lay(from, into, &self.known)
    }
}

fn has_any(places: &[Option<Corners>]) -> bool {
    places.iter().any(Option::is_some)
}

/// Which pictures to lay from and into next; each pair once.
fn planned(
    places: &[Vec<Option<Corners>>],
    sources: &[usize],
    tried: &mut [Vec<bool>],
    eyes: &mut impl Eyes,
) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for into in 0..places.len() {
        let brings = |from: &usize| {
            let both = places[*from].iter().zip(&places[into]);
            *from != into && both.into_iter().any(|(a, b)| a.is_some() && b.is_none())
        };
        let near = sources
            .iter()
            .copied()
            .filter(|it| brings(it) && !tried[*it][into]);
        pairs.extend(near.map(|from| Pair { from, into }));
    }
    let mut near: Vec<(usize, Pair)> = eyes.alike(&pairs).into_iter().zip(pairs).collect();
    near.sort_by_key(|(alike, it)| (it.into, std::cmp::Reverse(*alike), it.from));
    near.chunk_by(|a, b| a.1.into == b.1.into)
        .flat_map(|it| it.iter().take(SOURCES).map(|it| it.1))
        .inspect(|it| tried[it.from][it.into] = true)
        .collect()
}

/// How many of some spots of two pictures look alike.
#[must_use]
pub fn likeness(a: &Photo, b: &Photo) -> usize {
    let some = |it: &[Spot], most: usize| -> Vec<Spot> {
        let every = (it.len() / most).max(1);
        it.iter().step_by(every).take(most).cloned().collect()
    };
    let (a, b) = (some(&a.spots, LOOKED_AT[0]), some(&b.spots, LOOKED_AT[1]));
    pairs(&a, &b, RATIO).len()
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

/// Takes over what is beyond doubt; whether there is any.
fn taken_on(best: &[Option<Carried>], places: &mut [Option<Corners>]) -> bool {
    let mut any = false;
    for (it, place) in best.iter().zip(places) {
        let taken = it.filter(|it| it.laid.grade == Grade::TakenOver);
        let corners = taken.and_then(|it| Some((it, it.laid.corners()?)));
        if let (Some((it, corners)), None) = (corners, &place) {
            *place = Some(Corners {
                corners,
                unsure: it.laid.error,
            });
            any = true;
        }
    }
    any
}
