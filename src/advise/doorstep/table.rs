//! A table of what an estimate rests on, for every set of answers, from few of them.
//!
//! Each count of the estimate is written as a sum of terms; a term stands where its answers were all given. An answer alone has a
//! term, and so have answers that mean more, or less, together than each by itself; answers that do not bear on each other
//! need none. This is the expansion of a function of indicators over its lattice of subsets, by Moebius inversion, kept sparse.

use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::collections::HashMap;
use std::num::NonZero;
use std::thread;

use serde::Serialize;

use crate::advise::doorstep::rows::Answers;

/// What an estimate rests on, by name.
pub type Counts = BTreeMap<String, i64>;

/// How a name ends of which only that there is some counts, not how much: any number above nothing says so.
pub(in crate::advise) const SOME: &str = "|some";

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
    /// Of which names only that there is some counts.
    some: Vec<bool>,
    places: HashMap<String, u32>,
    known: HashMap<Vec<Given>, Numbered>,
    terms: BTreeMap<Vec<Given>, Numbered>,
}

impl<F: Fn(&Answers) -> Counts + Sync> Making<F> {
    /// Begins; `ask` works out the counts of a set of answers.
    pub fn new(rows: usize, ask: F) -> Self {
        Self {
            ask,
            rows,
            names: Vec::new(),
            some: Vec::new(),
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
            let least = self.least(given);
            let off = self.off(&least);
            let term = self.terms.entry(least).or_default();
            for (name, add) in off {
                *term.entry(name).or_default() += add;
            }
            if self.terms.len() > MOST_TERMS {
                return Err(TooTangled(MOST_TERMS));
            }
        }
        Ok(())
    }

    /// Asks the rules for all of these sets of answers at once, on all cores, so that learning them need not wait for each.
    pub fn ask_for(&mut self, sets: &[Vec<Given>]) {
        let new: Vec<&Vec<Given>> = { sets.iter() }
            .filter(|it| !self.known.contains_key(*it))
            .collect();
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        let share = new.len().div_ceil(cores).max(1);
        let it = &*self;
        let of = |sets: &[&Vec<Given>]| -> Vec<(Vec<Given>, Counts)> {
            let counts = sets
                .iter()
                .map(|set| ((*set).clone(), it.by_the_rules(set)));
            counts.collect()
        };
        let found: Vec<(Vec<Given>, Counts)> = thread::scope(|scope| {
            let started: Vec<_> = new
                .chunks(share)
                .map(|sets| scope.spawn(move || of(sets)))
                .collect();
            let ended = started.into_iter().map(|it| it.join());
            // What a thread could not tell is asked again where it is needed.
            ended.flat_map(Result::unwrap_or_default).collect()
        });
        for (given, counts) in found {
            self.remember(given, counts);
        }
    }

    /// Three answers each of which two pairs mean more, or less, together than by themselves.
    #[must_use]
    pub fn linked(&self) -> Vec<Vec<Given>> {
        let pairs = self.terms.keys().filter(|it| it.len() == 2);
        let mut with: BTreeMap<Given, BTreeSet<Given>> = BTreeMap::new();
        for pair in pairs {
            with.entry(pair[0]).or_default().insert(pair[1]);
            with.entry(pair[1]).or_default().insert(pair[0]);
        }
        let mut found: BTreeSet<Vec<Given>> = BTreeSet::new();
        for (middle, others) in &with {
            for (n, one) in others.iter().enumerate() {
                let rest = others.iter().skip(n + 1).filter(|it| it.0 != one.0);
                found.extend(rest.map(|other| both(&[*middle], &[*one, *other])));
            }
        }
        found.into_iter().collect()
    }

    /// How many terms there are.
    #[must_use]
    pub fn terms(&self) -> usize {
        self.terms.len()
    }

    /// Few of these answers with which the table is wrong already: one after the other those are kept with which it turns wrong.
    fn least(&mut self, given: &[Given]) -> Vec<Given> {
        let (mut kept, mut rest): (Vec<Given>, Vec<Given>) = (Vec::new(), given.to_vec());
        while self.off(&kept).is_empty() {
            // Right with so many of the rest, wrong with so many.
            let (mut right, mut wrong) = (0, rest.len());
            while wrong - right > 1 {
                let many = usize::midpoint(right, wrong);
                let is_right = self.off(&both(&kept, &rest[..many])).is_empty();
                (right, wrong) = if is_right {
                    (many, wrong)
                } else {
                    (right, many)
                };
            }
            let Some(turns) = rest.get(right).copied() else {
                break;
            };
            kept = both(&kept, &[turns]);
            rest.truncate(right);
        }
        kept
    }

    /// By how much the table is off.
    fn off(&mut self, given: &[Given]) -> Numbered {
        let truth = self.truth(given);
        let mut off = truth.clone();
        for (_, adds) in self.terms.iter().filter(|it| within(it.0, given)) {
            for (name, add) in adds {
                *off.entry(*name).or_default() -= add;
            }
        }
        off.retain(|name, off| {
            let is = truth.get(name).copied().unwrap_or(0);
            let told = is - *off;
            *off != 0 && !(self.some[*name as usize] && (is > 0) == (told > 0))
        });
        off
    }

    /// What the rules say.
    fn truth(&mut self, given: &[Given]) -> Numbered {
        if let Some(known) = self.known.get(given) {
            return known.clone();
        }
        let counts = self.by_the_rules(given);
        self.remember(given.to_vec(), counts)
    }

    fn by_the_rules(&self, given: &[Given]) -> Counts {
        let mut answers: Answers = vec![None; self.rows];
        for (row, choice) in given {
            answers[usize::from(*row)] = Some(usize::from(*choice));
        }
        (self.ask)(&answers)
    }

    fn remember(&mut self, given: Vec<Given>, counts: Counts) -> Numbered {
        let mut numbered = Numbered::new();
        for (name, count) in counts {
            numbered.insert(self.place(name), count);
        }
        self.known.insert(given, numbered.clone());
        numbered
    }

    fn place(&mut self, name: String) -> u32 {
        if let Some(place) = self.places.get(&name) {
            return *place;
        }
        let place = u32::try_from(self.names.len()).unwrap_or(u32::MAX);
        self.some.push(name.ends_with(SOME));
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

/// The answers of two sets, by row.
fn both(one: &[Given], other: &[Given]) -> Vec<Given> {
    let mut all: Vec<Given> = one.iter().chain(other).copied().collect();
    all.sort_unstable();
    all
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
        plain(counts)
    }
}

/// Counts as they are told: without what there is none of, and nothing of how much where only that there is some counts.
#[must_use]
pub fn plain(counts: Counts) -> Counts {
    let told = { counts.into_iter() }.filter_map(|(name, it)| match name.strip_suffix(SOME) {
        Some(name) => (it > 0).then(|| (name.to_owned(), 1)),
        None => (it != 0).then_some((name, it)),
    });
    told.collect()
}
