//! Every answer to a walk, as terms that add up: what the fine answers give, what each other answer adds alone, what two
//! together add to that, and so on as far as answers act together.
//!
//! Which taps act together is found out, not written down: random walks are held against the sum of the terms, and where one
//! differs, the smallest set of taps that does is tabulated whole. So the page that adds them knows no rule.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::door::answer::Answer;

/// An answer for each tap, by place; 0 is the fine one, the last that nobody looked.
pub type Cell = Vec<u8>;

/// Taps by place, in order.
type Set = Vec<usize>;

/// Terms that add up to the answer of any walk.
#[derive(Clone, Debug)]
pub struct Table {
    /// How many answers each tap has, that nobody looked included.
    pub sizes: Vec<u8>,
    /// Sets of taps that act together, each with what a choice of answers adds; the empty set is the fine walk.
    pub terms: BTreeMap<Set, BTreeMap<Vec<u8>, Answer>>,
    /// How many walks were judged for it.
    pub judged: usize,
}

/// Most walks that are judged for one table.
const MOST: usize = 20_000;

/// So many random walks in a row must come out right.
const TRIALS: usize = 400;

/// Makes the table of a function of a walk; `None` when too many taps act together.
pub fn tabulate(sizes: &[u8], judge: impl FnMut(&[u8]) -> Answer) -> Option<Table> {
    let mut maker = Maker {
        judge,
        known: BTreeMap::new(),
        table: Table {
            sizes: sizes.to_vec(),
            terms: BTreeMap::new(),
            judged: 0,
        },
    };
    maker.add(&Vec::new());
    for tap in 0..sizes.len() {
        maker.add(&vec![tap]);
    }
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let mut right = 0;
    while right < TRIALS {
        if maker.known.len() > MOST {
            return None;
        }
        let walk = dice.walk(sizes);
        if maker.ask(&walk) == maker.table.answer(&walk) {
            right += 1;
            continue;
        }
        right = 0;
        let set = maker.smallest(walk);
        if std::env::var_os("ASFOUND_DOOR_TALK").is_some() { eprintln!("{set:?} at {} after {right}", maker.known.len()); }
        maker.add(&set);
    }
    maker.table.judged = maker.known.len();
    Some(maker.table)
}

struct Maker<F> {
    judge: F,
    known: BTreeMap<Cell, Answer>,
    table: Table,
}

impl<F: FnMut(&[u8]) -> Answer> Maker<F> {
    fn ask(&mut self, walk: &[u8]) -> Answer {
        if let Some(known) = self.known.get(walk) {
            return known.clone();
        }
        let answer = (self.judge)(walk);
        self.known.insert(walk.to_vec(), answer.clone());
        answer
    }

    /// The smallest set of taps of a walk that is not the sum of its terms, all others being fine.
    fn smallest(&mut self, mut walk: Cell) -> Set {
        let mut at = 0;
        while at < walk.len() {
            let was = std::mem::take(&mut walk[at]);
            if was != 0 && self.ask(&walk) == self.table.answer(&walk) {
                walk[at] = was;
            }
            at += 1;
        }
        (0..walk.len()).filter(|at| walk[*at] != 0).collect()
    }

    /// Tabulates a set of taps whole, and every smaller set within it.
    fn add(&mut self, set: &Set) {
        if self.table.terms.contains_key(set) {
            return;
        }
        for left_out in 0..set.len() {
            let mut smaller = set.clone();
            smaller.remove(left_out);
            self.add(&smaller);
        }
        let mut cells = BTreeMap::new();
        self.table.terms.insert(set.clone(), BTreeMap::new());
        let mut choice = vec![1_u8; set.len()];
        loop {
            let mut walk = vec![0; self.table.sizes.len()];
            for (tap, answer) in set.iter().zip(&choice) {
                walk[*tap] = *answer;
            }
            let told = self.ask(&walk);
            let term = less(&told, &self.table.answer(&walk));
            if !term.is_empty() {
                cells.insert(choice.clone(), term);
            }
            let mut at = 0;
            while at < set.len() && choice[at] + 1 == self.table.sizes[set[at]] {
                choice[at] = 1;
                at += 1;
            }
            if at == set.len() {
                break;
            }
            choice[at] += 1;
        }
        self.table.terms.insert(set.clone(), cells);
    }
}

impl Table {
    /// The sum of all terms that a walk meets.
    #[must_use]
    pub fn answer(&self, walk: &[u8]) -> Answer {
        let mut sum = Answer::new();
        for (set, cells) in &self.terms {
            let choice: Vec<u8> = set.iter().map(|at| walk[*at]).collect();
            for (name, number) in cells.get(&choice).into_iter().flatten() {
                *sum.entry(name.clone()).or_default() += number;
            }
        }
        sum.retain(|_, number| *number != 0);
        sum
    }
}

/// What one answer has more than another.
fn less(from: &Answer, other: &Answer) -> Answer {
    let names: BTreeSet<&String> = from.keys().chain(other.keys()).collect();
    let of = |it: &Answer, name: &str| it.get(name).copied().unwrap_or(0);
    let pairs = names
        .into_iter()
        .map(|it| (it.clone(), of(from, it) - of(other, it)));
    pairs.filter(|it| it.1 != 0).collect()
}

/// Numbers that look random and are the same in every run (xorshift64*, Vigna 2016).
#[derive(Clone, Copy, Debug)]
pub struct Dice(pub u64);

impl Dice {
    /// A number below `of`.
    pub fn below(&mut self, of: u8) -> u8 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let high = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        u8::try_from(high % u64::from(of.max(1))).unwrap_or(0)
    }

    /// An answer for each tap, every one as likely.
    pub fn walk(&mut self, sizes: &[u8]) -> Cell {
        sizes.iter().map(|of| self.below(*of)).collect()
    }
}
