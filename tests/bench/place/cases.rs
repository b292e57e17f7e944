//! The rows of the table: which faces are laid from where into what.

use std::sync::Mutex;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;

use lay::Grade;
use lay::Known;
use lay::Laid;
use plane::Xy;

use crate::change::Change;
use crate::change::changed;
use crate::change::told;
use crate::set::Picture;
use crate::set::Set;
use crate::set::Shown;

/// Which pairs of pictures a row is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Cases {
    /// The pairs of the truth.
    Listed,
    /// From the overview of a face into every near picture of it.
    Near,
    /// Faces that the second picture does not show.
    Impossible,
    /// From an overview into a picture with an open drawer.
    Open,
}

/// What is done to the pictures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Changes {
    Nothing,
    Lens,
    Noise,
    Sent,
    Painted,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Row {
    pub(crate) name: &'static str,
    cases: Cases,
    changes: Changes,
    /// Whether all faces are known that the first picture shows.
    boxed: bool,
    /// Standard deviation of a corner, px.
    hand: f64,
}

const fn row(name: &'static str, cases: Cases, changes: Changes, boxed: bool, hand: f64) -> Row {
    Row {
        name,
        cases,
        changes,
        boxed,
        hand,
    }
}

const ROWS: [Row; 14] = [
    row("pairs", Cases::Listed, Changes::Nothing, false, 0.0),
    row("box", Cases::Listed, Changes::Nothing, true, 0.0),
    row("clicked", Cases::Listed, Changes::Nothing, false, 2.0),
    row("clicked-box", Cases::Listed, Changes::Nothing, true, 2.0),
    row("near", Cases::Near, Changes::Nothing, false, 0.0),
    row("near-box", Cases::Near, Changes::Nothing, true, 0.0),
    row("lens", Cases::Listed, Changes::Lens, false, 0.0),
    row("lens-box", Cases::Listed, Changes::Lens, true, 0.0),
    row("noise", Cases::Listed, Changes::Noise, true, 0.0),
    row("sent", Cases::Listed, Changes::Sent, true, 0.0),
    row("painted", Cases::Listed, Changes::Painted, true, 0.0),
    row("open", Cases::Open, Changes::Nothing, true, 0.0),
    row(
        "impossible",
        Cases::Impossible,
        Changes::Nothing,
        false,
        0.0,
    ),
    row(
        "impossible-box",
        Cases::Impossible,
        Changes::Nothing,
        true,
        0.0,
    ),
];

impl Row {
    pub(crate) fn all() -> Vec<Self> {
        ROWS.to_vec()
    }

    pub(crate) fn named(list: &str) -> Vec<Self> {
        let is = |it: &Self| list.split(',').any(|name| name == it.name);
        Self::all().into_iter().filter(is).collect()
    }

    /// What is done to the first picture of a case, and to the second.
    fn changes(self, n: usize, case: &Case) -> [Change; 2] {
        match self.changes {
            Changes::Nothing => [Change::Nothing, Change::Nothing],
            Changes::Lens => {
                let bend = [0.06, -0.06, 0.03, -0.03][n / 2 % 4];
                [Change::Lens(bend), Change::Lens(bend)]
            }
            Changes::Noise => [Change::Nothing, Change::Noise(8.0)],
            Changes::Sent => [Change::Nothing, Change::Sent],
            Changes::Painted => [Change::Nothing, Change::Painted(case.face.clone())],
        }
    }
}

/// What became of one case.
pub(crate) struct Outcome {
    pub(crate) name: String,
    /// px; `None` where nothing was laid, or nothing is true.
    pub(crate) error: Option<f64>,
    pub(crate) laid: Option<Laid>,
    pub(crate) possible: bool,
    pub(crate) tuned: bool,
    /// s of CPU.
    pub(crate) cpu: f64,
}

struct Case {
    a: usize,
    b: usize,
    face: String,
}

/// The outcomes of a row, of every so-manieth case.
pub(crate) fn run(set: &Set, row: Row, every: usize) -> Vec<Outcome> {
    let cases = cases(set, row);
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Outcome)>> = Mutex::default();
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some((n, case)) = {
                    let n = every * next.fetch_add(1, Ordering::Relaxed);
                    cases.get(n).map(|it| (n, it))
                } {
                    let it = outcome(set, row, case, n);
                    done.lock().unwrap().push((n, it));
                }
            });
        }
    });
    set.forget();
    let mut done = done.into_inner().unwrap();
    done.sort_by_key(|it| it.0);
    done.into_iter().map(|it| it.1).collect()
}

/// The two pictures of a case as the program is given them.
fn pictures(set: &Set, row: Row, case: &Case, n: usize) -> [(Picture, String); 2] {
    let changes = row.changes(n, case);
    let mut pictures = [(case.a, &changes[0]), (case.b, &changes[1])].map(|(at, change)| {
        let key = match change {
            Change::Nothing => String::new(),
            it => format!("{it:?} {n}"),
        };
        (changed(&set.pictures[at], change, at as u64 + 1), key)
    });
    for ((picture, _), change) in pictures.iter_mut().zip(&changes) {
        if let Change::Lens(bend) = change {
            let mut known = set.bends.lock().unwrap();
            let it = known
                .entry((bend * 1e4) as i32)
                .or_insert_with(|| told(set, *bend));
            picture.lens.bend = it.map_or(0.0, |it| it.bend);
        }
    }
    pictures
}

fn outcome(set: &Set, row: Row, case: &Case, n: usize) -> Outcome {
    let [(from, from_key), (into, into_key)] = pictures(set, row, case, n);
    let a = set.photo(case.a, &from, &from_key);
    let b = set.photo(case.b, &into, &into_key);
    let shown = from.shown(&case.face).unwrap();
    let mut faces = vec![shown];
    if row.boxed {
        let other =
            |it: &&Shown| it.face != case.face && it.visible >= 0.3 && !it.face.contains('@');
        faces.extend(from.faces.iter().filter(other));
    }
    let mut chance = Chance(n as u64 + 1);
    let known: Vec<Known> = faces
        .iter()
        .filter_map(|it| {
            let corners = from.corners(it)?.map(|it| from.truth.bent(it));
            Some(Known {
                face: set.face(it),
                corners: corners.map(|p| p.map(|at| at + row.hand * chance.normal())),
                unsure: row.hand.max(0.2),
            })
        })
        .collect();
    let start = cpu();
    let laid = lay::lay(&a, &b, &known, lay::Ways::All)[0];
    let cpu = cpu() - start;
    let truth = into.shown(&case.face);
    let error = truth.and_then(|it| error(&from, shown, &into, it, &known[0], laid.as_ref()?));
    let spot = |it: &Picture| format!("{} {}", &it.file[..it.file.len() - 4], it.view);
    let angle = truth.map_or(0.0, |it| it.angle);
    let angles = format!("{:.0}>{angle:.0}", shown.angle);
    let bend = format!("{:.3} ({:.3})", into.lens.bend, into.truth.bend);
    Outcome {
        name: format!(
            "{} {angles} | {} > {} {bend}",
            case.face,
            spot(&from),
            spot(&into)
        ),
        error,
        laid,
        possible: truth.is_some(),
        tuned: n.is_multiple_of(2),
        cpu,
    }
}

/// Points of the face that the first picture shows and the second too: their places in both.
pub(crate) fn points(
    from: &Picture,
    shown: &Shown,
    into: &Picture,
    truth: &Shown,
) -> Vec<(Xy, Xy)> {
    let (in_a, in_b) = (from.map(shown), into.map(truth));
    let Some(corners) = from.corners(shown) else {
        return Vec::new();
    };
    let shift = [0, 1].map(|n| shown.flat[n] - truth.flat[n]);
    let bound = |n: usize, side: usize| {
        let all = corners.map(|it| it[n]);
        let low = all.into_iter().fold(f64::MAX, f64::min).max(0.0);
        (
            low,
            all.into_iter().fold(f64::MIN, f64::max).min(side as f64),
        )
    };
    let ((left, right), (top, bottom)) = (bound(0, from.width), bound(1, from.height));
    let back = in_a.inverse();
    let [w, h] = [shown.flat[2] - shown.flat[0], shown.flat[3] - shown.flat[1]];
    let mut chance = Chance(7);
    let mut found = Vec::new();
    for _ in 0..40_000 {
        if found.len() == 400 || right <= left || bottom <= top {
            break;
        }
        let at = [
            left + (right - left) * chance.part(),
            top + (bottom - top) * chance.part(),
        ];
        let Some([x, y]) = back.apply(at) else {
            continue;
        };
        if x > 0.0 && y > 0.0 && x < w && y < h {
            found.push(([x, y], at));
        }
    }
    let seen = found.into_iter().filter_map(|([x, y], at)| {
        let mm = [x + shift[0], y + shift[1]];
        let size = [truth.flat[2] - truth.flat[0], truth.flat[3] - truth.flat[1]];
        let front = in_b.weight(size.map(|it| it / 2.0));
        let there = in_b.apply(mm)?;
        (in_b.weight(mm) * front > 0.0 && into.holds(there)).then_some((at, there))
    });
    seen.collect()
}

/// Mean px between where points lie and where they were laid; the first picture tells which points they are, by the corners
/// that were told.
fn error(
    from: &Picture,
    shown: &Shown,
    into: &Picture,
    truth: &Shown,
    known: &Known,
    laid: &Laid,
) -> Option<f64> {
    let points = points(from, shown, into, truth);
    let [w, h] = known.face.size;
    let corners = known.corners.map(|it| from.truth.straight(it));
    let mm = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]];
    let told = plane::Homography::from_four(&corners, &mm).ok()?;
    let off = |(at, there): &(Xy, Xy)| {
        let laid = told.apply(*at).and_then(|it| laid.at(it));
        laid.map_or(9999.0, |it| plane::distance(it, into.truth.bent(*there)))
    };
    (points.len() >= 20).then(|| points.iter().map(off).sum::<f64>() / points.len() as f64)
}

fn cases(set: &Set, row: Row) -> Vec<Case> {
    let possible = |it: &Case| {
        let (a, b) = (&set.pictures[it.a], &set.pictures[it.b]);
        let (Some(x), Some(y)) = (a.shown(&it.face), b.shown(&it.face)) else {
            return false;
        };
        points(a, x, b, y).len() >= 20
    };
    match row.cases {
        Cases::Impossible => impossible(set),
        Cases::Near => near(set).into_iter().filter(possible).collect(),
        Cases::Open => open(set).into_iter().filter(possible).collect(),
        Cases::Listed => {
            let listed = set.pairs.iter().map(|it| Case {
                a: set.index(&it.a),
                b: set.index(&it.b),
                face: it.face.clone(),
            });
            listed.filter(possible).collect()
        }
    }
}

/// Every near picture, from the overview of its face in the same shoot, or else in the last one that has one.
fn near(set: &Set) -> Vec<Case> {
    let overviews = ["front", "back", "left", "right", "top"];
    let mut found = Vec::new();
    for (b, into) in set.pictures.iter().enumerate() {
        let whole = overviews.contains(&into.view.as_str()) || into.view.starts_with("corner");
        if whole || ["drawers", "drawer_open", "top_raking", "leg"].contains(&into.view.as_str()) {
            continue;
        }
        let best = into
            .faces
            .iter()
            .max_by(|a, b| b.angle.total_cmp(&a.angle))
            .unwrap();
        let same = |it: &Picture| it.view == best.face && it.shoot == into.shoot;
        let at = set.pictures.iter().position(same).or_else(|| {
            set.pictures[..b]
                .iter()
                .rposition(|it| it.view == best.face)
        });
        found.extend(at.map(|a| Case {
            a,
            b,
            face: best.face.clone(),
        }));
    }
    found
}

/// From the front, the corner and the side into pictures with an open drawer.
fn open(set: &Set) -> Vec<Case> {
    let is_open = |it: &&(usize, &Picture)| it.1.view == "drawer_open";
    let all: Vec<(usize, &Picture)> = set.pictures.iter().enumerate().collect();
    let mut found = Vec::new();
    for (b, into) in all.iter().filter(is_open) {
        for (a, from) in all.iter().filter(|it| it.0 != *b) {
            let whole =
                from.view == "front" || from.view.starts_with("corner") || from.view == "left";
            let shared = from
                .faces
                .iter()
                .filter(|it| into.shown(&it.face).is_some());
            let shared = shared.filter(|it| whole && !it.face.contains('@'));
            found.extend(shared.map(|it| Case {
                a: *a,
                b: *b,
                face: it.face.clone(),
            }));
        }
    }
    found
}

/// 150 faces that the second picture does not show.
fn impossible(set: &Set) -> Vec<Case> {
    let mut all = Vec::new();
    for (a, from) in set.pictures.iter().enumerate() {
        for (b, into) in set.pictures.iter().enumerate() {
            let shown = from.faces.iter().filter(|it| {
                let whole = it.visible >= 0.1 && !it.face.contains('@');
                a != b && whole && into.shown(&it.face).is_none() && from.corners(it).is_some()
            });
            all.extend(shown.map(|it| Case {
                a,
                b,
                face: it.face.clone(),
            }));
        }
    }
    let mut chance = Chance(11);
    let mut order: Vec<(u64, Case)> = all.into_iter().map(|it| (chance.next(), it)).collect();
    order.sort_by_key(|it| it.0);
    order.truncate(150);
    order.into_iter().map(|it| it.1).collect()
}

/// Numbers as by chance, the same each time (Knuth's linear congruence).
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) fn next(&mut self) -> u64 {
        let times = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = times.wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 11
    }

    /// 0 to 1.
    pub(crate) fn part(&mut self) -> f64 {
        self.next() as f64 / (1_u64 << 53) as f64
    }

    /// A standard normal number: the sum of twelve uniform ones.
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.part()).sum::<f64>() - 6.0
    }
}

/// s of CPU of this thread, where the system tells it.
pub(crate) fn cpu() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let ns = text.split(' ').next().and_then(|it| it.parse::<f64>().ok());
    ns.unwrap_or(f64::NAN) / 1e9
}

pub(crate) fn taken(laid: &Laid) -> bool {
    laid.grade == Grade::TakenOver
}
