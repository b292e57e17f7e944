//! What an estimate rests on, in counts that add up over the answers where the answers do not bear on each other.
//!
//! A task is counted by how much of it there is, a reason or a question by its parts: how many tasks of a kind become minutes, and
//! whether a reason stands, is then worked out from the sum.

use crate::advise::doorstep::table::Counts;
use crate::advise::doorstep::table::SOME;
use crate::advise::labour::area::Surfaces;
use crate::advise::labour::draft::is_whole;
use crate::advise::labour::may_come::with_waiting;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::Task;
use crate::advise::labour::tasks::tasks;
use crate::advise::part::facts::Facts;
use crate::advise::part::moving::Moving;
use crate::advise::part::surface::Kinds;
use crate::advise::price::doubts::questions::AllFacts;
use crate::advise::price::doubts::questions::questions;
use crate::advise::price::doubts::stops::NOT_SHOWN;
use crate::advise::price::doubts::stops::harmful;
use crate::advise::price::doubts::stops::stops;
use crate::advise::price::options::Way;
use crate::advise::price::options::mended;
use crate::advise::price::options::there;
use crate::advise::price::options::way_of;
use crate::advise::price::wish::LEAVE;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::paths::paths;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::is_failing;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::settings::Settings;
use crate::trade::TradeBook;

/// The tasks of a plan, and those if a path that waits is taken as well.
pub(in crate::advise) const PLAN: &str = "plan";
pub(in crate::advise) const MAY: &str = "may";

/// What is counted of one assessment.
struct Counting<'a> {
    need: PlanInput<'a>,
    counts: Counts,
}

/// The ways of which a price may be told at the door, from the gentlest on: no path comes before them in the trade book, so that no
/// other way takes their place. What is mended only is counted with the first.
pub(in crate::advise) const PRICED: [&str; 2] = [LEAVE, "clean_wax"];

/// The counts of an assessment.
pub(in crate::advise) fn counts(it: &Assessment, settings: &Settings, book: &TradeBook) -> Counts {
    let advice = paths(it, book);
    let surfaces = Surfaces::of(it, &advice, book);
    let facts: AllFacts = Facts::of_all(it, book);
    let mut counting = Counting {
        need: PlanInput::of(it, &advice, &surfaces, settings, book, &facts),
        counts: Counts::new(),
    };
    counting.all();
    let mut counts = counting.counts;
    counts.retain(|_, it| *it != 0);
    counts
}

impl Counting<'_> {
    fn add(&mut self, name: String, number: usize) {
        let number = i64::try_from(number).unwrap_or(i64::MAX);
        *self.counts.entry(name).or_default() += number;
    }

    fn all(&mut self) {
        let need = self.need;
        let there = there(&need);
        self.add("parts".to_owned(), there.len());
        let to_do = need.it.findings.iter().filter(|it| it.is_to_do());
        self.add("to do".to_owned(), to_do.count());
        self.materials();
        self.faults();
        let moving = Moving::of(need.it, need.facts, need.book);
        for it in &moving.off {
            self.add(format!("off|{it}"), 1);
        }
        for it in &moving.gives {
            self.add(format!("gives|{it}"), 1);
        }
        self.add(format!("paint|{:?}", moving.loose_paint), 1);
        let ways = PRICED.iter().filter_map(|id| need.book.path(id));
        let mut before: Vec<Way> = Vec::new();
        for path in ways {
            let way = way_of(&need, &there, path);
            self.verdicts(&there, &path.id);
            for other in &before {
                let pairs = way.parts.iter().zip(&other.parts);
                for (it, _) in pairs.filter(|(a, b)| a.path != b.path) {
                    self.on(&format!("differ|{}|{}", other.id, way.id), &it.part);
                }
            }
            if path.id == LEAVE {
                self.way(&mended(&way));
            }
            self.way(&way);
            before.push(way);
        }
    }

    /// There is some of it on this part; `before` is all of the name but the part.
    fn on(&mut self, before: &str, part: &PartId) {
        self.add(format!("{before}|{part}{SOME}"), 1);
    }

    /// On which parts a path can be taken, and on which it does not wait for a look.
    fn verdicts(&mut self, there: &[&PartAdvice], path: &str) {
        for it in there {
            let mut own = it.paths.iter().filter(|it| it.path == path);
            if own.clone().any(PathAdvice::can_be_taken) {
                self.on(&format!("{path}|can"), &it.part);
            }
            if !own.any(|it| it.verdict == Verdict::Waiting) {
                self.on(&format!("{path}|firm"), &it.part);
            }
        }
    }

    /// The open faults, with what makes one a danger.
    fn faults(&mut self) {
        let need = self.need;
        let kinds = Kinds::of(need.it, need.book);
        for it in need.it.findings.iter().filter(|it| it.is_to_do()) {
            let level = it.level.unwrap_or(0);
            let place = small(&it.placed().to_string());
            self.add(format!("fault|{}|{place}|{level}|{}", it.tag, it.term), 1);
            let tag = need.book.tag(&it.tag);
            let danger = tag.is_some_and(|tag| tag.is_danger(it.level));
            if danger || is_failing(it, kinds.kind(&it.part), need.book) {
                self.add(format!("danger|{}", it.tag), 1);
            }
        }
    }

    /// What the parts are made of, where an answer may tell it.
    fn materials(&mut self) {
        let need = self.need;
        for it in &need.it.parts {
            let told = match (&it.material.settled, &it.material.core) {
                (Some(class), Some(core)) if class != core => format!("{class} over {core}"),
                (Some(class), _) => class.clone(),
                (None, Some(core)) => format!("open over {core}"),
                (None, None) if it.material.evidence.is_empty() => continue,
                (None, None) => format!("perhaps {}", it.material.possible.join(" ")),
            };
            self.add(format!("material|{}|{told}", it.part), 1);
        }
    }

    fn way(&mut self, way: &Way) {
        let need = self.need;
        let id = &way.id;
        for (path, parts) in way.by_path() {
            let Some(path) = need.book.path(path) else {
                continue;
            };
            for it in parts {
                self.on(&format!("{id}|look|{}", path.seen_as()), &it.part);
            }
        }
        let asked = questions(&need, way, need.facts);
        for it in &asked {
            // What rests on a find rests on one answer, what nobody looked at on as many as there are parts.
            let many = match it.id.rests_on_a_find() {
                true => 1,
                false => it.parts.len().max(1),
            };
            self.add(format!("{id}|ask|{}", it.name), many);
        }
        for it in asked.iter().filter(|it| it.counted) {
            self.add(format!("{id}|counted|{}", it.name), 1);
        }
        for it in stops(&need, way, &asked, need.facts) {
            if it.id == NOT_SHOWN {
                continue;
            }
            let name = format!("{id}|stop|{}|{:?}|{}", it.id, it.stop, it.what);
            if it.found_on.is_empty() {
                self.add(name, 1);
                continue;
            }
            for part in &it.found_on {
                self.add(format!("{name}|{part}{SOME}"), 1);
            }
        }
        let choice = way.choice();
        let work = tasks(&need, &choice);
        let harms = harmful(&need, &work.left);
        self.add(format!("{id}|harm"), harms.len());
        self.tasks(id, PLAN, &work.tasks);
        let (_, all) = with_waiting(&need, &choice, &way.main);
        self.tasks(id, MAY, &all);
    }

    /// The faults that a task answers, by kind, and the parts of it that are at no fault.
    fn answered(&mut self, way: &str, task: &Task) {
        let need = self.need;
        let of = need.it.findings.iter();
        let found: Vec<_> = of.filter(|it| task.findings.contains(&it.no)).collect();
        for it in &found {
            self.add(format!("{way}|of|{}|{}", task.id, it.tag), 1);
        }
        let sound = task.parts.iter().filter(|part| {
            let mut found = found.iter();
            !found.any(|it| it.part.whole() == part.whole())
        });
        let sound = sound.count();
        self.add(format!("{way}|sound|{}{SOME}", task.id), sound);
    }

    /// How much of a task there is on each of its parts, in thousandths, where it is done once to a part or to its face.
    fn by_part(&self, it: &Task) -> Vec<(PartId, i64)> {
        let of = |part: &PartId| match it.unit.starts_with("m2") {
            true => self.need.surfaces.get(part).map_or(0, |it| it.milli),
            false => 1000,
        };
        it.reach.iter().map(|it| (it.clone(), of(it))).collect()
    }

    fn tasks(&mut self, way: &str, which: &str, tasks: &[Task]) {
        let base = &self.need.book.offer.base_work;
        let made = tasks
            .iter()
            .filter(|it| !base.iter().any(|base| base.id == it.id));
        let mut much: Vec<(String, i64)> = Vec::new();
        for it in made {
            let name = format!("{way}|{which}|{}", it.id);
            if is_whole(&it.unit) {
                // Of the whole piece there is one: it is counted by what it answers, else by the parts that ask for it.
                let found = it.findings.len().max(usize::from(it.reach.is_empty()));
                match found {
                    0 => much.extend(
                        it.reach
                            .iter()
                            .map(|part| (format!("{name}|{part}|1000{SOME}"), 1)),
                    ),
                    found => much.push((name, i64::try_from(found).unwrap_or(i64::MAX))),
                }
                continue;
            }
            let parts = self.by_part(it);
            if parts.iter().map(|it| it.1).sum::<i64>() == it.quantity.milli {
                // What is done once to a part is done once however many answers ask for it.
                let each = parts.iter();
                much.extend(each.map(|it| (format!("{name}|{}|{}{SOME}", it.0, it.1), 1)));
            } else {
                much.push((name, it.quantity.milli));
            }
        }
        for (name, much) in much {
            *self.counts.entry(name).or_default() += much;
        }
        if which == MAY {
            return;
        }
        for task in tasks {
            self.answered(way, task);
        }
    }
}
