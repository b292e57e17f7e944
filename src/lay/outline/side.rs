//! A side as it should lie -> the edge that is seen near it.

use plane::Xy;

use crate::field::Field;

/// Grey values over two pixels from which an edge is seen.
const SEEN: f32 = 5.0;
/// An edge is seen where it lies within this of its line, px.
const ON: f64 = 1.25;
/// How far beside an edge each of its two sides is still as light as at it, as a share of the side, and px at least: across a groove, a
/// joint or a line of the grain it is not.
const BESIDE: (f64, f64) = (0.04, 4.0);
/// Places at which a side is looked at, at most; and px between them, at least.
const PLACES: usize = 60;
const APART: f64 = 2.0;
/// Share of a side at each end that is left out: what is cut round there lies off the line.
pub(super) const ENDS: f64 = 0.08;

/// The edge found near a side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    pub(super) ends: [Xy; 2],
    /// Share of the side at which the edge is seen.
    pub(super) share: f64,
}

/// The straight edge that is seen at most places within `band` px of a side, px from the centre of the first pixel; `brighter`: the
/// direction in which it is to become brighter.
pub(super) fn side(field: &Field, ends: [Xy; 2], brighter: Xy, band: f64) -> Option<Side> {
    let long = plane::distance(ends[0], ends[1]);
    if !long.is_finite() || long < 8.0 {
        return None;
    }
    let along = [0, 1].map(|n| (ends[1][n] - ends[0][n]) / long);
    let across = [-along[1], along[0]];
    let sign = (brighter[0] * across[0] + brighter[1] * across[1]).signum();
    let many = ((long / APART) as usize).clamp(8, PLACES);
    let part = |n: usize| ENDS + (1.0 - 2.0 * ENDS) * n as f64 / (many - 1) as f64;
    let peaks: Vec<(f64, f64)> = (0..many)
        .flat_map(|n| {
            let at = [0, 1].map(|k| ends[0][k] + part(n) * long * along[k]);
            peaks(field, at, across, sign, band).map(move |off| (part(n), off))
        })
        .collect();
    // Each pair of offsets at the two ends is a line; the one that most places lie on.
    let steps = band.ceil() as i32;
    let each = || (-steps..=steps).map(f64::from);
    let lines = each().flat_map(|a| each().map(move |b| [a, b]));
    let on = |[a, b]: [f64; 2], reach: f64| {
        let near = move |(t, off): &&(f64, f64)| (off - (a + (b - a) * t)).abs() < reach;
        peaks.iter().filter(near)
    };
    let best = lines.max_by_key(|it| on(*it, ON).count())?;
    let line = straightened(on(best, 1.6 * ON).copied())?;
    let line = straightened(on(line, ON).copied()).unwrap_or(line);
    let beside = BESIDE.1.max(BESIDE.0 * long);
    let steps_up = |(t, off): &&(f64, f64)| {
        let value = |by: f64| {
            let far = off + sign * by;
            let at = [0, 1].map(|k| ends[0][k] + t * long * along[k] + far * across[k]);
            field.at(at[0], at[1])
        };
        let rise = value(beside).zip(value(-beside));
        rise.is_some_and(|(bright, dark)| bright - dark >= SEEN)
    };
    let mut places: Vec<f64> = on(line, ON).filter(steps_up).map(|it| it.0).collect();
    places.dedup();
    let end = |n: usize| [0, 1].map(|k| ends[n][k] + line[n] * across[k]);
    Some(Side {
        ends: [end(0), end(1)],
        share: places.len() as f64 / many as f64,
    })
}

/// Offsets across a side at which the picture is steepest.
fn peaks(field: &Field, at: Xy, across: Xy, sign: f64, band: f64) -> impl Iterator<Item = f64> {
    let steps = (2.0 * band).ceil() as i32 + 1;
    let value = |n: i32| {
        let off = f64::from(n) / 2.0;
        field.at(at[0] + off * across[0], at[1] + off * across[1])
    };
    // Over two pixels: four half steps.
    let steep = |n: i32| {
        let by = value(n + 2).zip(value(n - 2)).map_or(0.0, |(b, a)| b - a);
        by * sign as f32
    };
    let all: Vec<f32> = (-steps - 1..=steps + 1).map(steep).collect();
    let found: Vec<f64> = (1..all.len() - 1)
        .filter(|n| all[*n] >= SEEN && all[*n] >= all[n - 1] && all[*n] > all[n + 1])
        .map(|n| {
            let bend = all[n - 1] + all[n + 1] - 2.0 * all[n];
            let off = 0.5 * (all[n - 1] - all[n + 1]) / bend.min(-1e-6);
            (n as f64 + f64::from(off.clamp(-0.5, 0.5)) - f64::from(steps + 1)) / 2.0
        })
        .filter(|it| it.abs() <= band + 0.5)
        .collect();
    found.into_iter()
}

/// The line through offsets: its own at the two ends.
fn straightened(all: impl Iterator<Item = (f64, f64)>) -> Option<[f64; 2]> {
    let (mut n, mut t, mut o, mut tt, mut to) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (at, off) in all {
        n += 1.0;
        t += at;
        o += off;
        tt += at * at;
        to += at * off;
    }
    let by = n * tt - t * t;
    if n < 4.0 || by < 1e-3 {
        return None;
    }
    let slope = (n * to - t * o) / by;
    let first = (o - slope * t) / n;
    Some([first, first + slope])
}

/// Where two lines meet.
pub(super) fn meeting(a: [Xy; 2], b: [Xy; 2]) -> Option<Xy> {
    let [p, q] = [a, b].map(|it| [it[1][0] - it[0][0], it[1][1] - it[0][1]]);
    let turn = p[0] * q[1] - p[1] * q[0];
    let off = [b[0][0] - a[0][0], b[0][1] - a[0][1]];
    let far = (off[0] * q[1] - off[1] * q[0]) / turn;
    far.is_finite()
        .then(|| [a[0][0] + far * p[0], a[0][1] + far * p[1]])
}
