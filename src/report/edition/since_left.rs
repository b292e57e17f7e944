//! A report that is made after its piece left: the sale, the edition that stood then, and what was told only afterwards.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::photo::Photo;
use crate::model::piece::told::BuyerFact;
use crate::model::piece::told::FactTold;
use crate::model::piece::told::Lack;
use crate::model::piece::told::LackTold;
use crate::report::dossier::lines::left::SinceLeft;
use crate::tongue::Saying;
use crate::tongue::say;

/// That a report is made after the piece was sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AfterSale {
    /// The day of the sale, as told.
    pub day: Day,
    /// The day that was told of it first, where that is another.
    pub first: Option<Day>,
    /// The newest edition up to the day on which it had left, with its own day; `None` where there is none.
    pub edition: Option<(u32, Day)>,
}

impl AfterSale {
    /// In one sentence or two.
    pub(in crate::report) fn said(self) -> Vec<Saying> {
        let made = match self.edition {
            Some((no, made)) => say::after_sale_edition(self.day, no.to_string(), made),
            None => say::after_sale_alone(self.day),
        };
        let first = self.first.map(say::sale_day_before);
        std::iter::once(made).chain(first).collect()
    }
}

/// When a mark from before the sale was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LateMark {
    /// Only then.
    Told(Day),
    /// Before; it, or its note, was changed then.
    Changed(Day),
}

/// A repair that was told, or told otherwise, after the piece had left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateRepair {
    /// The day.
    pub on: Day,
    /// As it was told until then: its method, its day and its note; `None` where it was not.
    pub was: Option<(String, Day, Option<String>)>,
}

/// What was told only after the piece had left, and so may have been written for a complaint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LateWords {
    /// Since when it counts as left.
    pub since: SinceLeft,
    /// Pictures of occasions before the sale that came into the book later, by number.
    pub photos: Vec<u32>,
    /// Marks of pictures from before the sale that were told or changed later.
    pub marks: BTreeMap<MarkAt, LateMark>,
    /// Pictures from before the sale with words that are later, by number.
    pub pictures: Vec<u32>,
    /// Shoots of which occasion or day was told otherwise later, by number.
    pub shoots: BTreeSet<u32>,
    /// Pictures whose clock was put right later, by number.
    pub clocks: BTreeSet<u32>,
    /// Repairs that were told, or told otherwise, later.
    pub repairs: BTreeMap<u32, LateRepair>,
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
            photos: Vec::new(),
            marks: BTreeMap::new(),
            pictures: Vec::new(),
            shoots: BTreeSet::new(),
            clocks: BTreeSet::new(),
            repairs: BTreeMap::new(),
            facts: Vec::new(),
            lacks: Vec::new(),
        }
    }

    /// Whether nothing was.
    #[must_use]
    pub fn is_none(&self) -> bool {
        let words = self.pictures.is_empty() && self.repairs.is_empty();
        let pictures = self.photos.is_empty() && self.shoots.is_empty() && self.clocks.is_empty();
        words && pictures && self.facts.is_empty() && self.lacks.is_empty()
    }

    /// In a sentence.
    pub(in crate::report) fn said(&self) -> Saying {
        let listed = |all: &[u32], say: fn(usize, Vec<Saying>) -> Saying| {
            (!all.is_empty()).then(|| say(all.len(), Saying::numbers(all)))
        };
        let repairs: Vec<u32> = self.repairs.keys().copied().collect();
        let shoots: Vec<u32> = self.shoots.iter().copied().collect();
        let clocks: Vec<u32> = self.clocks.iter().copied().collect();
        let numbered = [
            listed(&self.photos, say::late_photos),
            listed(&self.pictures, say::late_beside),
            listed(&repairs, say::late_repairs),
            listed(&shoots, say::late_shoots),
            listed(&clocks, say::late_clocks),
        ];
        let mut facts: BTreeMap<BuyerFact, Day> = BTreeMap::new();
        for it in &self.facts {
            facts.insert(it.fact, it.at.local_day());
        }
        let mut days: BTreeMap<Day, Vec<Saying>> = BTreeMap::new();
        for (it, day) in facts {
            days.entry(day).or_default().push(named(it));
        }
        let facts =
            { days.into_iter() }.map(|(day, it)| say::since_entered(Saying::Parted(it), day));
        let lacks = (!self.lacks.is_empty()).then(say::late_lacks);
        let what = numbered.into_iter().flatten();
        let what = Saying::Parted(what.chain(facts).chain(lacks).collect());
        match self.since {
            SinceLeft::Sold { day, .. } => say::late_sold(day, what),
            SinceLeft::CameIn(it) => say::late_words(it.stage.saying(), it.day, what),
        }
    }

    /// Of what a shoot says of a finding the words that are later: a sentence for each day.
    pub(in crate::report) fn of_sighting(&self, it: &Sighting) -> Vec<Saying> {
        self.of_marks(it.marks.iter().copied())
    }

    /// Of what was said of a part as a whole, that it was sound, absent or not examined.
    pub(in crate::report) fn of_part(&self, photos: &[Photo], part: &PartId) -> Vec<Saying> {
        let of_part = |it: &Mark| {
            let tag = it.tag.as_deref();
            let statement = tag.is_some_and(|it| STATEMENTS.contains(&it));
            let of = it.part.as_ref();
            statement && of.is_some_and(|it| it == part || *it == part.whole())
        };
        self.of_these(photos, of_part)
    }

    /// Of an observation beside these pictures.
    pub(in crate::report) fn of_remark(
        &self,
        photos: &[Photo],
        shown: &[u32],
        (tag, part): (&str, Option<&PartId>),
    ) -> Vec<Saying> {
        let of = |it: &Mark| it.tag.as_deref() == Some(tag) && it.part.as_ref() == part;
        let marks = self.marks.keys().filter(|at| shown.contains(&at.photo));
        let marks = marks.filter(|at| mark_of(photos, at).is_some_and(of));
        self.of_marks(marks.copied())
    }

    fn of_these(&self, photos: &[Photo], of: impl Fn(&Mark) -> bool) -> Vec<Saying> {
        let marks = self.marks.keys();
        let marks = marks.filter(|at| mark_of(photos, at).is_some_and(&of));
        self.of_marks(marks.copied())
    }

    /// A sentence for each day on which some of these marks were told, and for each on which some were changed.
    fn of_marks(&self, marks: impl Iterator<Item = MarkAt>) -> Vec<Saying> {
        let mut days: BTreeMap<(bool, Day), BTreeSet<u32>> = BTreeMap::new();
        for at in marks {
            let key = match self.marks.get(&at) {
                Some(LateMark::Told(day)) => (false, *day),
                Some(LateMark::Changed(day)) => (true, *day),
                None => continue,
            };
            days.entry(key).or_default().insert(at.photo);
        }
        let sentence = |((changed, day), pictures): ((bool, Day), BTreeSet<u32>)| {
            let pictures: Vec<u32> = pictures.into_iter().collect();
            let (number, list) = (pictures.len(), Saying::numbers(&pictures));
            match changed {
                false => say::late_entered(number, list, day),
                true => say::late_changed(number, list, day),
            }
        };
        days.into_iter().map(sentence).collect()
    }

    /// Since when all that a shoot says of a finding is told; `None` where some of it was before.
    pub(in crate::report) fn all_of(&self, it: &Sighting) -> Option<Day> {
        let told = |at: &MarkAt| match self.marks.get(at) {
            Some(LateMark::Told(day)) => Some(*day),
            _ => None,
        };
        let days: Option<Vec<Day>> = it.marks.iter().map(told).collect();
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

/// What is said of a part as a whole.
const STATEMENTS: [&str; 3] = ["sound", "absent", "not_examined"];

fn mark_of<'a>(photos: &'a [Photo], at: &MarkAt) -> Option<&'a Mark> {
    let photo = photos.iter().find(|it| it.no == at.photo)?;
    photo.sidecar.marks.get(at.mark)
}
