//! A report that is made after its piece left: the sale, the edition that stood then, and what was told only afterwards.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::kit::clock::Day;
use crate::model::piece::told::BuyerFact;
use crate::model::piece::told::FactTold;
use crate::model::piece::told::Lack;
use crate::model::piece::told::LackTold;
use crate::report::dossier::lines::line_told::CameIn;
use crate::tongue::Saying;
use crate::tongue::say;

/// That a report is made after the piece was sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AfterSale {
    /// The day of the sale, as told.
    pub day: Day,
    /// The newest edition up to that day, with its own day; `None` where there is none.
    pub edition: Option<(u32, Day)>,
}

impl AfterSale {
    /// In a sentence.
    pub(in crate::report) fn said(self) -> Saying {
        match self.edition {
            Some((no, made)) => say::after_sale_edition(self.day, no.to_string(), made),
            None => say::after_sale_alone(self.day),
        }
    }
}

/// The line from which on the piece had left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SinceLeft {
    /// That it was sold.
    Sold {
        /// The line that first tells the sale.
        line: u64,
        /// The day of the sale, as told.
        day: Day,
    },
    /// That the first pictures from after the sale came in.
    CameIn(CameIn),
}

impl SinceLeft {
    /// Its line.
    #[must_use]
    pub fn line(&self) -> u64 {
        match self {
            Self::Sold { line, .. } => *line,
            Self::CameIn(it) => it.line,
        }
    }
}

/// What was told only after the piece had left, and so may have been written for a complaint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateWords {
    /// Since when it counts as left.
    pub since: SinceLeft,
    /// Marks of pictures from before the sale, or their notes, with the day of the later words.
    pub marks: BTreeMap<MarkAt, Day>,
    /// Pictures from before the sale with words that are later, by number.
    pub pictures: Vec<u32>,
    /// Repairs that were told later, each with its day.
    pub repairs: BTreeMap<u32, Day>,
    /// What was told otherwise of the piece.
    pub facts: Vec<FactTold>,
    /// What was told of parts that it lacks.
    pub lacks: Vec<LackTold>,
}

impl LateWords {
    /// Nothing yet.
    #[must_use]
    pub fn none(since: SinceLeft) -> Self {
        Self {
            since,
            marks: BTreeMap::new(),
            pictures: Vec::new(),
            repairs: BTreeMap::new(),
            facts: Vec::new(),
            lacks: Vec::new(),
        }
    }

    /// Whether nothing was.
    #[must_use]
    pub fn is_none(&self) -> bool {
        let is_none = self.pictures.is_empty() && self.repairs.is_empty();
        is_none && self.facts.is_empty() && self.lacks.is_empty()
    }

    /// In a sentence.
    pub(in crate::report) fn said(&self) -> Saying {
        let beside = (!self.pictures.is_empty())
            .then(|| say::late_beside(self.pictures.len(), Saying::numbers(&self.pictures)));
        let repairs: Vec<u32> = self.repairs.keys().copied().collect();
        let repairs = (!repairs.is_empty())
            .then(|| say::late_repairs(repairs.len(), Saying::numbers(&repairs)));
        let facts: BTreeSet<BuyerFact> = self.facts.iter().map(|it| it.fact).collect();
        let facts = facts.into_iter().map(named);
        let lacks = (!self.lacks.is_empty()).then(say::late_lacks);
        let what = [beside, repairs].into_iter().flatten();
        let what = Saying::Parted(what.chain(facts).chain(lacks).collect());
        match self.since {
            SinceLeft::Sold { day, .. } => say::late_sold(day, what),
            SinceLeft::CameIn(it) => say::late_words(it.stage.saying(), it.day, what),
        }
    }

    /// Of what a shoot says of a finding the words that are later: a sentence for each day.
    pub(in crate::report) fn of_sighting(&self, it: &Sighting) -> Vec<Saying> {
        let mut days: BTreeMap<Day, BTreeSet<u32>> = BTreeMap::new();
        for at in &it.marks {
            if let Some(day) = self.marks.get(at) {
                days.entry(*day).or_default().insert(at.photo);
            }
        }
        let sentence = |(day, pictures): (Day, BTreeSet<u32>)| {
            let pictures: Vec<u32> = pictures.into_iter().collect();
            say::late_entered(pictures.len(), Saying::numbers(&pictures), day)
        };
        days.into_iter().map(sentence).collect()
    }

    /// Since when all that a shoot says of a finding is told; `None` where some of it was before.
    pub(in crate::report) fn all_of(&self, it: &Sighting) -> Option<Day> {
        let days: Option<Vec<Day>> = it
            .marks
            .iter()
            .map(|at| self.marks.get(at).copied())
            .collect();
        days?.into_iter().min()
    }

    /// When it was told what the piece is said never to have had; `None` where that was before.
    pub(in crate::report) fn never_had(&self) -> Option<Day> {
        let mut told = self.lacks.iter().filter(|it| it.lack == Lack::NeverHad);
        told.next_back().map(|it| it.at.local_day())
    }
}

/// What it is called in the sentence.
fn named(it: BuyerFact) -> Saying {
    match it {
        BuyerFact::Title => say::fact_title(),
        BuyerFact::About => say::fact_about(),
        BuyerFact::ExaminedBy => say::fact_examined_by(),
        BuyerFact::Size => say::fact_size(),
        BuyerFact::SizeTaken => say::fact_size_taken(),
        BuyerFact::Weight => say::fact_weight(),
        BuyerFact::Form => say::fact_form(),
        BuyerFact::FormBefore => say::fact_form_before(),
        BuyerFact::Set => say::fact_set(),
        BuyerFact::Drawers => say::fact_drawers(),
        BuyerFact::With => say::fact_with(),
    }
}
