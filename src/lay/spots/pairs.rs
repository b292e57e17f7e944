//! Which spots of two pictures look alike.

use crate::spots::DESCRIPTION;
use crate::spots::Spot;

/// Two spots that look alike, by their places in the two lists.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pair {
    pub(crate) a: usize,
    pub(crate) b: usize,
    /// How much nearer they are than the next: the ratio of the distances of their descriptions (Lowe 2004, 7.1).
    pub(crate) ratio: f32,
}

/// Spots nearer to each other than this, px, are the same place.
const SAME_PLACE: f32 = 4.0;

/// For every spot of each list its nearest in the other, where the next that lies elsewhere is so much farther.
pub(crate) fn pairs(a: &[Spot], b: &[Spot], ratio: f32) -> Vec<Pair> {
    let lengths: Vec<i32> = b.iter().map(|it| product(it, it)).collect();
    let mut back = vec![Nearest::NONE; b.len()];
    let mut distances = vec![0_i32; b.len()];
    let mut found = Vec::new();
    for (n, spot) in a.iter().enumerate() {
        let own = product(spot, spot);
        let mut best = (i32::MAX, 0);
        for (m, other) in b.iter().enumerate() {
            let distance = own + lengths[m] - 2 * product(spot, other);
            distances[m] = distance;
            if distance < best.0 {
                best = (distance, m);
            }
            back[m].offer(distance, n, a);
        }
        if b.is_empty() {
            break;
        }
        let elsewhere = b
            .iter()
            .zip(&distances)
            .filter(|it| apart(it.0, &b[best.1]));
        let next = elsewhere.map(|it| *it.1).min();
        found.extend(pair(n, best.1, best.0, next, ratio));
    }
    for (m, it) in back.iter().enumerate() {
        let other = pair(it.at, m, it.distance, it.next, ratio);
        let new = |pair: &Pair| found.binary_search_by_key(&pair.a, |it| it.a);
        match other.map(|pair| (pair, new(&pair))) {
            Some((pair, Ok(at))) if found[at].b != pair.b => found.insert(at, pair),
            Some((pair, Err(at))) => found.insert(at, pair),
            _ => {}
        }
    }
    found
}

fn pair(a: usize, b: usize, distance: i32, next: Option<i32>, ratio: f32) -> Option<Pair> {
    let is = (distance as f32 / next?.max(1) as f32).sqrt();
    (is < ratio).then_some(Pair { a, b, ratio: is })
}

fn product(a: &Spot, b: &Spot) -> i32 {
    let [a, b]: [&[i16; DESCRIPTION]; 2] = [&a.looks, &b.looks];
    // No number is above 255, so nothing wraps; a debug build checks every sum otherwise, which took most of the time of laying.
    let products = a
        .iter()
        .zip(b)
        .map(|(a, b)| i32::from(*a).wrapping_mul(i32::from(*b)));
    products.fold(0, i32::wrapping_add)
}

fn apart(a: &Spot, b: &Spot) -> bool {
    (a.x - b.x).abs() + (a.y - b.y).abs() > SAME_PLACE
}

/// The nearest so far, and the next that lies elsewhere.
#[derive(Clone, Copy)]
struct Nearest {
    at: usize,
    distance: i32,
    next: Option<i32>,
}

impl Nearest {
    const NONE: Self = Self {
        at: 0,
        distance: i32::MAX,
        next: None,
    };

    fn offer(&mut self, distance: i32, at: usize, among: &[Spot]) {
        if distance < self.distance {
            if self.distance < i32::MAX && apart(&among[at], &among[self.at]) {
                self.next = Some(self.distance);
            }
            self.distance = distance;
            self.at = at;
        } else if self.next.is_none_or(|it| distance < it) && apart(&among[at], &among[self.at]) {
            self.next = Some(distance);
        }
    }
}
