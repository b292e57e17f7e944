//! All pictures of a folder as one piece of a book: every face is known in its first overview alone and carried into all others,
//! as `lay` does it.

use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;

use lay::Carried;
use lay::Corners;
use lay::Eyes;
use lay::Face;
use lay::Laid;
use lay::Pair;
use lay::Photo;
use lay::Step;
use lay::Ways;
use plane::Xy;

use crate::cases::Chance;
use crate::cases::Outcome;
use crate::cases::cpu;
use crate::set::Picture;
use crate::set::Set;
use crate::set::Shown;

/// The faces that are laid by hand.
const FACES: [&str; 5] = ["front", "back", "left", "right", "top"];
/// Angle from which nobody would write that a picture shows a face, degrees.
const SAID: f64 = 75.0;

/// What came of it.
pub(crate) struct Book {
    /// Faces that a picture shows.
    pub(crate) shown: Vec<Outcome>,
    /// Faces that a picture does not show.
    pub(crate) hidden: Vec<Outcome>,
    /// s of CPU a picture: to prepare it, to compare it with others, to lay faces in it.
    pub(crate) cpu: [f64; 3],
    /// Pairs that were compared, and steps that were laid.
    pub(crate) looks: [usize; 2],
}

/// A face in the picture in which it is known.
struct Known<'a> {
    name: &'static str,
    at: usize,
    shown: &'a Shown,
}

pub(crate) fn run(set: &Set) -> Book {
    let (all, preparing) = prepared(set);
    let known: Vec<Known<'_>> = FACES.iter().filter_map(|it| known(set, it)).collect();
    let faces: Vec<Face> = known.iter().map(|it| Face::alone(size(it.shown))).collect();
    let row = |n: usize| {
        let each = known.iter().map(|it| {
            let corners = set.pictures[n].corners(it.shown)?;
            (it.at == n).then_some(Corners {
                corners,
                unsure: 0.2,
            })
        });
        each.collect::<Vec<_>>()
    };
    let rows: Vec<Vec<_>> = (0..all.len()).map(row).collect();
    let wish = |n: usize| {
        let each = known.iter().map(|it| {
            let shown = set.pictures[n].shown(it.name);
            let said = shown.is_some_and(|it| it.angle < SAID);
            (it.at != n).then_some(if said { Ways::All } else { Ways::AtFirstSight })
        });
        each.collect::<Vec<_>>()
    };
    let wished: Vec<Vec<_>> = (0..all.len()).map(wish).collect();
    let mut eyes = OnTwo {
        all: &all,
        cpu: [0.0; 2],
        looks: [0; 2],
    };
    let carried = lay::carry(&faces, &rows, &wished, &mut eyes);
    let (mut shown, mut hidden) = (Vec::new(), Vec::new());
    for (n, into) in set.pictures.iter().enumerate() {
        for (face, it) in known.iter().enumerate().filter(|(_, it)| it.at != n) {
            let laid = carried.iter().find(|it| (it.photo, it.face) == (n, face));
            let outcome = outcome(set, it, into, n, laid);
            let of = if outcome.possible {
                &mut shown
            } else {
                &mut hidden
            };
            of.push(outcome);
        }
    }
    let a_picture = |it: f64| it / all.len() as f64;
    Book {
        shown,
        hidden,
        cpu: [preparing, eyes.cpu[0], eyes.cpu[1]].map(a_picture),
        looks: eyes.looks,
    }
}

fn size(shown: &Shown) -> [f64; 2] {
    let [left, top, right, bottom] = shown.flat;
    [right - left, bottom - top]
}

/// The first picture that was taken of the face alone.
fn known<'a>(set: &'a Set, name: &'static str) -> Option<Known<'a>> {
    let at = set.pictures.iter().position(|it| it.view == name)?;
    let shown = set.pictures[at].shown(name)?;
    Some(Known { name, at, shown })
}

/// All pictures prepared anew, and the s of CPU that it took.
fn prepared(set: &Set) -> (Vec<Arc<Photo>>, f64) {
    let jobs: Vec<usize> = (0..set.pictures.len()).collect();
    let (all, spent) = on_two(&jobs, |n| set.photo(*n, &set.pictures[*n], "book"));
    set.forget();
    (all, spent)
}

fn outcome(
    set: &Set,
    known: &Known<'_>,
    into: &Picture,
    n: usize,
    carried: Option<&Carried>,
) -> Outcome {
    let truth = into.shown(known.name);
    let points = truth.map_or(Vec::new(), |it| places(known.shown, into, it));
    let possible = points.len() >= 20;
    let laid = carried.map(|it| it.laid);
    let off = |laid: &Laid| {
        let each = points.iter().map(|(mm, there)| {
            let laid = laid.at(*mm);
            laid.map_or(9999.0, |it| plane::distance(it, *there))
        });
        each.sum::<f64>() / points.len() as f64
    };
    let from = carried.map_or(String::new(), |it| set.pictures[it.from].file.clone());
    let angle = truth.map_or(0.0, |it| it.angle);
    Outcome {
        name: format!(
            "{} {angle:.0} | {from} > {} {}",
            known.name, into.file, into.view
        ),
        error: laid.as_ref().filter(|_| possible).map(off),
        laid,
        possible,
        tuned: n.is_multiple_of(2),
        cpu: 0.0,
    }
}

/// Places of the face that the picture shows: mm from the top left corner of its known part, and px.
fn places(known: &Shown, into: &Picture, truth: &Shown) -> Vec<(Xy, Xy)> {
    let map = into.map(truth);
    let [w, h] = size(known);
    let shift = [0, 1].map(|n| known.flat[n] - truth.flat[n]);
    let front = map.weight(size(truth).map(|it| it / 2.0));
    let mut chance = Chance(7);
    let tried = (0..20_000).map(|_| [w * chance.part(), h * chance.part()]);
    let seen = tried.filter_map(|mm| {
        let there = [0, 1].map(|n| mm[n] + shift[n]);
        let at = map.apply(there)?;
        (map.weight(there) * front > 0.0 && into.holds(at)).then_some((mm, at))
    });
    seen.take(400).collect()
}

/// Two threads that look at pictures.
struct OnTwo<'a> {
    all: &'a [Arc<Photo>],
    /// s of CPU: to compare, and to lay.
    cpu: [f64; 2],
    looks: [usize; 2],
}

impl Eyes for OnTwo<'_> {
    fn alike(&mut self, pairs: &[Pair]) -> Vec<usize> {
        let one = |it: &Pair| lay::likeness(&self.all[it.from], &self.all[it.into]);
        let (found, spent) = on_two(pairs, one);
        self.cpu[0] += spent;
        self.looks[0] += pairs.len();
        found
    }

    fn lay(&mut self, steps: &[Step]) -> Vec<Option<Laid>> {
        let one = |it: &Step| it.lay(&self.all[it.pair.from], &self.all[it.pair.into]);
        let (found, spent) = on_two(steps, one);
        self.cpu[1] += spent;
        self.looks[1] += steps.len();
        found
    }
}

/// The answers in the order of what was asked, and the s of CPU of both threads.
fn on_two<T: Sync, R: Send>(asked: &[T], answer: impl Fn(&T) -> R + Sync) -> (Vec<R>, f64) {
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, R)>> = Mutex::default();
    let spent = Mutex::new(0.0);
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                let start = cpu();
                loop {
                    let n = next.fetch_add(1, Ordering::Relaxed);
                    let Some(it) = asked.get(n) else { break };
                    let it = answer(it);
                    done.lock().unwrap().push((n, it));
                }
                *spent.lock().unwrap() += cpu() - start;
            });
        }
    });
    let mut done = done.into_inner().unwrap();
    done.sort_by_key(|it| it.0);
    let all = done.into_iter().map(|it| it.1).collect();
    (all, spent.into_inner().unwrap())
}
