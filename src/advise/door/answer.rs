//! What the program says of a walk, as numbers by name: what a page looks up and adds, and what it is held against.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::advise::door::record::Walk;
use crate::advise::labour::area::Surfaces;
use crate::advise::labour::plan::may_come;
use crate::advise::labour::plan::plan;
use crate::advise::labour::tasks::PlanInput;
use crate::advise::part::facts::Facts;
use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::estimate;
use crate::advise::price::options::way_of;
use crate::advise::price::questions::AllFacts;
use crate::advise::price::questions::questions;
use crate::advise::price::stops::stops;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::paths::judge;
use crate::advise::refinish::paths::paths;
use crate::advise::refinish::paths::paths_by;
use crate::advise::refinish::permit::Trust;
use crate::assess::assess;
use crate::assess::assessment::Assessment;
use crate::assess::new_keys;
use crate::kit::clock::Moment;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::market::Market;
use crate::model::settings::Settings;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::offer::Stop;
use crate::trade::entry::path::Rule;

/// The ways of which a page speaks.
pub const WAYS: [&str; 2] = ["leave", "clean_wax"];

/// What is needed to judge walks.
#[derive(Debug)]
pub struct Judge<'a> {
    /// The user's settings.
    pub settings: &'a Settings,
    /// The trade book.
    pub book: &'a TradeBook,
    /// The moment of the walk.
    pub now: Moment,
    /// What was said of a part, by all that is known of it: walks differ in few parts.
    memo: RefCell<BTreeMap<String, PartAdvice>>,
}

/// Numbers by name; a name that is missing is 0.
pub type Answer = BTreeMap<String, i64>;

impl<'a> Judge<'a> {
    /// A judge with these settings and this book, at this moment.
    #[must_use]
    pub fn new(settings: &'a Settings, book: &'a TradeBook, now: Moment) -> Self {
        Self {
            settings,
            book,
            now,
            memo: RefCell::default(),
        }
    }

    /// The advice on every part, as `paths` gives it.
    fn advice(&self, it: &Assessment) -> Vec<PartAdvice> {
        let rules: Vec<&Rule> = self.book.rules.iter().collect();
        paths_by(it, self.book, |facts| {
            let of_part = it.findings.iter();
            let of_part = of_part.filter(|it| it.part.whole() == facts.part.whole());
            let of_part: Vec<String> = of_part
                .map(|it| {
                    format!(
                        "{} {} {} {:?} {:?}",
                        it.no, it.tag, it.part, it.state, it.level
                    )
                })
                .collect();
            let known = format!("{facts:?} {of_part:?}");
            let mut memo = self.memo.borrow_mut();
            let said = memo.entry(known);
            let said = said.or_insert_with(|| judge(facts, &it.findings, self.book, &rules));
            said.clone()
        })
    }

    /// The record of a walk judged like any other.
    #[must_use]
    pub fn assess(&self, walk: &Walk, market: Market) -> Assessment {
        let mut record = walk.record(market, self.settings, self.now, self.book);
        let keys = new_keys(&record, self.book);
        let numbered = (1..).zip(keys).map(|(no, key)| NumberedFinding {
            no: FindingNo(no),
            key,
        });
        record.findings = numbered.collect();
        assess(&record, self.book)
    }

    /// The estimate of a walk, with what was told of the market.
    #[must_use]
    pub fn estimate(&self, walk: &Walk, market: Market) -> Estimate {
        let it = self.assess(walk, market);
        let advice = paths(&it, self.book);
        estimate(&it, &advice, self.settings, self.book, self.now.local_day())
    }

    /// What the program says of a walk: for each way its minutes and cash by task, its questions, its reasons to stop, the
    /// parts on which it can be taken; and what the face may be made of.
    #[must_use]
    pub fn answer(&self, walk: &Walk) -> Answer {
        let it = self.assess(walk, Market::default());
        let advice = self.advice(&it);
        let surfaces = Surfaces::of(&it, &advice, self.book);
        let need = PlanInput {
            it: &it,
            advice: &advice,
            surfaces: &surfaces,
            settings: self.settings,
            book: self.book,
            trust: Trust::Open,
        };
        let facts: AllFacts = Facts::of_all(&it, self.book);
        let mut told = Answer::new();
        self.face(walk, &facts, &mut told);
        for path in WAYS {
            self.way(&need, &facts, path, &mut told);
        }
        told.retain(|_, number| *number != 0);
        told
    }

    fn way(&self, need: &PlanInput<'_>, facts: &AllFacts, path: &str, told: &mut Answer) {
        let (way, taken) = way_of(need, path);
        let choice = way.choice();
        let plan = plan(need, &choice, self.now.local_day());
        let may_come = may_come(need, &plan, &choice, &way.main);
        let asked = questions(need, &way, facts);
        let stops = stops(need, &way, &asked, facts);
        let mut say = |name: String, number: i64| {
            *told.entry(format!("{path} {name}")).or_default() += number;
        };
        for part in taken {
            say(format!("on {part}"), 1);
        }
        for task in &plan.tasks {
            say(format!("minutes {}", task.id), task.own_minutes().likely);
        }
        say("minutes may come".to_owned(), may_come.minutes.likely);
        say("cash plan".to_owned(), plan.cost.minor.likely);
        say("cash may come".to_owned(), may_come.minor.likely);
        let unpriced = plan.cost.not_priced.len();
        say("untold".to_owned(), i64::try_from(unpriced).unwrap_or(0));
        for it in &asked {
            say(
                format!("asks {}", it.id.word()),
                i64::try_from(it.parts.len().max(1)).unwrap_or(1),
            );
            say(
                format!("aside {}", it.id.word()),
                it.aside.map_or(0, |it| it.likely),
            );
        }
        for it in &stops {
            let rank = match it.stop {
                Stop::Ask => 1,
                Stop::Donor => 2,
                Stop::Walk => 3,
            };
            say(format!("stop {}", it.id), rank);
        }
    }

    /// What the face that the first tap looks at may be made of.
    fn face(&self, walk: &Walk, facts: &AllFacts, told: &mut Answer) {
        let Some(tap) = self.book.taps.first() else {
            return;
        };
        let parts = walk.parts(self.book);
        let mut kinds = tap.on.iter();
        let part = kinds.find_map(|kind| parts.iter().find(|it| it.kind == *kind));
        let Some(facts) = part.and_then(|it| facts.get(&it.id)) else {
            return;
        };
        for material in facts.possible(Fact::Material) {
            told.insert(format!("material {material}"), 1);
        }
    }
}
