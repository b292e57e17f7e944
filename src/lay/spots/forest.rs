//! The nearest of many descriptions without looking at all of them: nearly always the nearest, and the more surely the nearer it is.
//!
//! C. Silpa-Anan and R. Hartley, Optimised KD-trees for fast image descriptor matching (2008): several trees, each split at
//! one of the numbers that differ most, looked through together, the nearest branches first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::spots::DESCRIPTION;
use crate::spots::Spot;

/// Trees.
const TREES: u32 = 4;
/// A split is at one of so many numbers that differ most.
const CHOICE: usize = 5;
/// Spots of a branch by which it is told which numbers differ most.
const LOOKED_AT: usize = 48;
/// Most spots of a leaf.
const LEAF: usize = 12;
/// Spots that are looked at in one search.
const CHECKS: usize = 256;

/// Trees over some spots.
#[derive(Clone, Debug)]
pub(crate) struct Forest {
    nodes: Vec<Node>,
    /// The places of the spots in their list, tree by tree, so that those of a leaf lie beside each other.
    order: Vec<u32>,
    roots: Vec<u32>,
    /// The product of each description with itself.
    lengths: Vec<i32>,
}

#[derive(Clone, Copy, Debug)]
enum Node {
    /// Spots whose number `by` is less than `at` lie below `low`, the others below `high`.
    Split { by: u8, at: u8, low: u32, high: u32 },
    /// A part of the order.
    Leaf { from: u32, to: u32 },
}

/// What one search needs and the next can use again.
#[derive(Default)]
pub(crate) struct Search {
    open: BinaryHeap<Reverse<(i32, u32)>>,
    /// For each spot the last search that looked at it.
    seen: Vec<u32>,
    search: u32,
    /// Distances and places of the spots that were looked at.
    pub(crate) found: Vec<(i32, u32)>,
}

impl Forest {
    pub(crate) fn of(spots: &[Spot]) -> Self {
        let mut forest = Self {
            nodes: Vec::new(),
            order: Vec::new(),
            roots: Vec::new(),
            lengths: spots.iter().map(|it| product(it, it)).collect(),
        };
        let mut chance = 1;
        for tree in 0..TREES {
            let from = forest.order.len();
            forest.order.extend(0..spots.len() as u32);
            let root = forest.grown(spots, from, forest.order.len(), &mut chance);
            forest.roots.push(root);
            chance += tree;
        }
        forest
    }

    /// The branch over a part of the order.
    fn grown(&mut self, spots: &[Spot], from: usize, to: usize, chance: &mut u32) -> u32 {
        let here = self.nodes.len() as u32;
        self.nodes.push(Node::Leaf {
            from: from as u32,
            to: to as u32,
        });
        if to - from <= LEAF {
            return here;
        }
        let (by, at) = split(spots, &self.order[from..to], chance);
        let part = &mut self.order[from..to];
        part.sort_unstable_by_key(|n| spots[*n as usize].looks[by] >= at);
        let low = part.partition_point(|n| spots[*n as usize].looks[by] < at);
        if low == 0 || low == to - from {
            return here;
        }
        let low_branch = self.grown(spots, from, from + low, chance);
        let high = self.grown(spots, from + low, to, chance);
        self.nodes[here as usize] = Node::Split {
            by: by as u8,
            at,
            low: low_branch,
            high,
        };
        here
    }

    /// Looks for the spots nearest to one; what was looked at stands in `search.found`.
    pub(crate) fn search(&self, spots: &[Spot], near: &Spot, search: &mut Search) {
        search.begin(self.lengths.len());
        for root in &self.roots {
            search.open.push(Reverse((0, *root)));
        }
        let own = product(near, near);
        while search.found.len() < CHECKS
            && let Some(Reverse((far, mut node))) = search.open.pop()
        {
            while let Node::Split { by, at, low, high } = self.nodes[node as usize] {
                let off = i32::from(near.looks[usize::from(by)]) - i32::from(at);
                let (here, there) = if off < 0 { (low, high) } else { (high, low) };
                search.open.push(Reverse((far + off * off, there)));
                node = here;
            }
            let Node::Leaf { from, to } = self.nodes[node as usize] else {
                continue;
            };
            for n in &self.order[from as usize..to as usize] {
                let seen = &mut search.seen[*n as usize];
                if *seen != search.search {
                    *seen = search.search;
                    let other = &spots[*n as usize];
                    let distance = own + self.lengths[*n as usize] - 2 * product(near, other);
                    search.found.push((distance, *n));
                }
            }
        }
    }
}

impl Search {
    fn begin(&mut self, count: usize) {
        if self.seen.len() != count {
            self.seen = vec![0; count];
            self.search = 0;
        }
        self.search += 1;
        self.open.clear();
        self.found.clear();
    }
}

/// A number by which spots differ much, and its mean.
fn split(spots: &[Spot], of: &[u32], chance: &mut u32) -> (usize, u8) {
    let every = (of.len() / LOOKED_AT).max(1);
    let (mut sums, mut squares, mut count) = ([0_i32; DESCRIPTION], [0_i32; DESCRIPTION], 0);
    for n in of.iter().step_by(every).take(LOOKED_AT) {
        count += 1;
        let looks = &spots[*n as usize].looks;
        for (n, value) in looks.iter().enumerate() {
            let value = i32::from(*value);
            sums[n] = sums[n].wrapping_add(value);
            squares[n] = squares[n].wrapping_add(value.wrapping_mul(value));
        }
    }
    let mut best = [(i32::MIN, 0_usize); CHOICE];
    for n in 0..DESCRIPTION {
        let spread = squares[n] * count - sums[n] * sums[n];
        if spread > best[CHOICE - 1].0 {
            best[CHOICE - 1] = (spread, n);
            best.sort_unstable_by_key(|it| Reverse(it.0));
        }
    }
    // Knuth's linear congruence: the same trees each time.
    *chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
    let by = best[(*chance >> 16) as usize % CHOICE].1;
    (by, (sums[by] / count + 1).min(255) as u8)
}

pub(crate) fn product(a: &Spot, b: &Spot) -> i32 {
    let [a, b]: [&[u8; DESCRIPTION]; 2] = [&a.looks, &b.looks];
    // No number is above 255, so nothing wraps; a debug build checks every sum otherwise, which took most of the time of laying.
    let products = a
        .iter()
        .zip(b)
        .map(|(a, b)| i32::from(*a).wrapping_mul(i32::from(*b)));
    products.fold(0, i32::wrapping_add)
}

#[cfg(test)]
mod tests {
    use super::CHECKS;
    use super::Forest;
    use super::Search;
    use super::product;
    use crate::spots::DESCRIPTION;
    use crate::spots::Spot;

    /// Descriptions as by chance: about as many small numbers and as few large ones as those of pictures.
    fn some(count: usize, seed: u32) -> Vec<Spot> {
        let mut chance = seed;
        let mut next = || {
            chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (chance >> 24) as u8
        };
        let one = |_| Spot {
            x: f32::from(next()),
            y: f32::from(next()),
            size: 2.0,
            turn: 0.0,
            looks: [0; DESCRIPTION].map(|_: u8| (u16::from(next() / 4).pow(2) / 16) as u8),
        };
        (0..count).map(one).collect()
    }

    fn distance(a: &Spot, b: &Spot) -> i32 {
        product(a, a) + product(b, b) - 2 * product(a, b)
    }

    #[test]
    fn of_few_spots_every_one_is_looked_at() {
        let (all, asked) = (some(CHECKS / 2, 1), some(40, 2));
        let (forest, mut search) = (Forest::of(&all), Search::default());
        for it in &asked {
            forest.search(&all, it, &mut search);
            let mut told = search.found.clone();
            told.sort_by_key(|it| it.1);
            let all = all.iter().zip(0..);
            let want: Vec<(i32, u32)> = all.map(|(other, n)| (distance(it, other), n)).collect();
            assert_eq!(told, want);
        }
    }

    #[test]
    fn of_many_spots_the_one_that_is_near_is_found() {
        let all = some(4000, 3);
        let (forest, mut search) = (Forest::of(&all), Search::default());
        let mut found = 0;
        let asked = all.iter().step_by(40).zip(some(100, 4)).enumerate();
        for (n, (near, noise)) in asked {
            let mut it = near.clone();
            let noisy = it.looks.iter_mut().zip(noise.looks);
            noisy.for_each(|(at, noise)| *at = ((u16::from(*at) * 5 + u16::from(noise)) / 6) as u8);
            forest.search(&all, &it, &mut search);
            let best = search.found.iter().min_by_key(|it| it.0).unwrap();
            found += usize::from(best.1 as usize == 40 * n);
            assert!(search.found.len() < 2 * CHECKS);
        }
        assert!(found >= 97, "{found} of 100");
    }

    #[test]
    fn spots_that_are_all_the_same_are_no_endless_tree() {
        let all = vec![some(1, 5).remove(0); 600];
        let (forest, mut search) = (Forest::of(&all), Search::default());
        forest.search(&all, &all[0], &mut search);
        assert!(search.found.len() == 600 && search.found.iter().all(|it| it.0 == 0));
        assert!(Forest::of(&[]).order.is_empty());
    }
}
