//! A table of what an estimate rests on, for every set of answers, from few of them.
//!
//! Each count of the estimate is written as a sum of terms; a term stands where its answers were all given. An answer alone has a
//! term, and so have answers that mean more, or less, together than each by itself; answers that do not bear on each other
//! need none. This is the expansion of a function of indicators over its lattice of subsets, by Moebius inversion, kept sparse.

use std::collections::BTreeMap;
use std::collections::HashMap;

use serde::Serialize;

use crate::advise::doorstep::rows::Answers;

/// What an estimate rests on, by name.
pub type Counts = BTreeMap<String, i64>;

/// One answer: its row and its choice.
pub type Given = (u16, u16);

/// A table.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Table {
    /// The names of the counts.
    pub names: Vec<String>,
    /// The terms.
    pub terms: Vec<Term>,
}

/// What answers add when all of them were given: the answers, by row; the place of a name, and what is added to its count.
#[derive(Clone, Debug, Serialize)]
pub struct Term(pub Vec<Given>, pub Vec<(u32, i64)>);

/// The answers cannot be tabulated: they bear on each other in more ways than a page can hold.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("the answers bear on each other in more than {0} ways, which is too much for a page")]
pub struct TooTangled(usize);

/// More terms make a page that no phone likes.
const MOST_TERMS: usize = 8_000;

/// Counts by the place of their names.
type Numbered = BTreeMap<u32, i64>;

/// A table in the making.
pub struct Making<F> {
    ask: F,
    rows: usize,
    names: Vec<String>,
    places: HashMap<String, u32>,
    known: HashMap<Vec<Given>, Numbered>,
    terms: BTreeMap<Vec<Given>, Numbered>,
}

impl<F: FnMut(&Answers) -> Counts> Making<F> {
    /// Begins; `ask` works out the counts of a set of answers.
    pub fn new(rows: usize, ask: F) -> Self {
        Self {
            ask,
            rows,
            names: Vec::new(),
            places: HashMap::new(),
            known: HashMap::new(),
            terms: BTreeMap::new(),
        }
    }

    /// Makes the table right for a set of answers, sorted by row, and for what it is made of.
    ///
    /// # Errors
    /// When it gets too large.
    pub fn learn(&mut self, given: &[Given]) -> Result<(), TooTangled> {
        while !self.off(given).is_empty() {
            let mut least = given.to_vec();
            while let Some(less) = self.less(&least) {
                least = less;
            }
            let off = self.off(&least);
            self.terms.insert(least, off);
            if self.terms.len() > MOST_TERMS {
                return Err(TooTangled(MOST_TERMS));
            }
        }
        Ok(())
    }

    /// How many terms there are.
    #[must_use]
    pub fn terms(&self) -> usize {
        self.terms.len()
    }

    /// How often the estimate was asked.
    #[must_use]
    pub fn asked(&self) -> usize {
        self.known.len()
    }

    /// The same answers but for some, where the table is wrong too: half of them where that is enough, else one.
    fn less(&mut self, given: &[Given]) -> Option<Vec<Given>> {
        let mut much = given.len() / 2;
        while much > 0 {
            for from in (0..given.len()).step_by(much) {
                let mut less = given.to_vec();
                less.drain(from..given.len().min(from + much));
                if !self.off(&less).is_empty() {
                    return Some(less);
                }
            }
            much /= 2;
        }
        None
    }

    /// By how much the table is off.
    fn off(&mut self, given: &[Given]) -> Numbered {
        let mut off = self.truth(given);
        for (_, adds) in self.terms.iter().filter(|it| within(it.0, given)) {
            for (name, add) in adds {
                *off.entry(*name).or_default() -= add;
            }
        }
        off.retain(|_, it| *it != 0);
        off
    }

    /// What the rules say.
    fn truth(&mut self, given: &[Given]) -> Numbered {
        if let Some(known) = self.known.get(given) {
            return known.clone();
        }
        let mut answers: Answers = vec![None; self.rows];
        for (row, choice) in given {
            answers[usize::from(*row)] = Some(usize::from(*choice));
        }
        let counts = (self.ask)(&answers);
        let mut numbered = Numbered::new();
        for (name, count) in counts {
            numbered.insert(self.place(name), count);
        }
        self.known.insert(given.to_vec(), numbered.clone());
        numbered
    }

    fn place(&mut self, name: String) -> u32 {
        if let Some(place) = self.places.get(&name) {
            return *place;
        }
        let place = u32::try_from(self.names.len()).unwrap_or(u32::MAX);
        self.names.push(name.clone());
        self.places.insert(name, place);
        place
    }

    /// The table.
    #[must_use]
    pub fn done(self) -> Table {
        let terms = self.terms.into_iter();
        let terms = terms.map(|(given, adds)| Term(given, adds.into_iter().collect()));
        Table {
            terms: terms.collect(),
            names: self.names,
        }
    }
}

/// Whether all answers of a term were given; both are sorted.
fn within(term: &[Given], given: &[Given]) -> bool {
    let mut given = given.iter();
    term.iter().all(|it| given.any(|other| other == it))
}

impl Table {
    /// The counts of a set of answers.
    #[must_use]
    pub fn counts(&self, answers: &[Option<usize>]) -> Counts {
        let mut counts = Counts::new();
        let is = |it: &Given| answers[usize::from(it.0)] == Some(usize::from(it.1));
        for term in self.terms.iter().filter(|it| it.0.iter().all(is)) {
            for (name, add) in &term.1 {
                *counts
                    .entry(self.names[*name as usize].clone())
                    .or_default() += add;
            }
        }
        counts.retain(|_, it| *it != 0);
        counts
    }
}
