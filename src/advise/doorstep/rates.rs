//! What turns the counts of a set of answers into an estimate: hours and costs of the methods, the user's terms, the words of the
//! rules. It is data, taken from where `estimate` takes it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::advise::labour::draft::is_whole;
use crate::advise::labour::exact::milli;
use crate::advise::part::moving;
use crate::advise::price::doubts::put_aside::is_held;
use crate::advise::price::doubts::questions::aside;
use crate::advise::price::doubts::stops::ASKS_INTO_MARGIN;
use crate::advise::price::doubts::stops::ASKS_TOO_MUCH;
use crate::advise::price::doubts::stops::NOT_SHOWN;
use crate::advise::price::doubts::stops::UNSAFE_LEFT;
use crate::advise::price::options::is_ours;
use crate::advise::price::terms::Terms;
use crate::advise::price::wish::LEAVE;
use crate::advise::price::wish::MEND;
use crate::advise::price::words;
use crate::advise::refinish::advice::Lead;
use crate::model::market::Market;
use crate::model::settings::Settings;
use crate::trade::TradeBook;
use crate::trade::entry::offer::Question;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;

/// All of it.
#[derive(Clone, Debug, Serialize)]
pub struct Rates {
    /// The book's currency.
    pub currency: String,
    /// Minor units in a whole one.
    pub unit: i64,
    /// The user's terms; `None` where something of them is missing.
    pub terms: Option<Terms>,
    /// The ways, from the gentlest on.
    pub ways: Vec<WayRate>,
    /// Tasks by id.
    pub tasks: BTreeMap<String, TaskRate>,
    /// The work that every piece costs.
    pub base: Vec<BaseRate>,
    /// Drawers.
    pub drawers: usize,
    /// Open questions, in the order in which they are asked.
    pub questions: Vec<QuestionRate>,
    /// Reasons to stop, in the order of the book.
    pub stops: Vec<StopRate>,
    /// How much is said to a seller.
    pub say: SayRate,
    /// What is said of what can fall or break, of what can give way, and of loose paint by what is known of it.
    pub moving: MovingRate,
    /// The ids of what the page knows by name.
    pub names: NameRate,
}

/// A way.
#[derive(Clone, Debug, Serialize)]
pub struct WayRate {
    /// The path.
    pub id: String,
    /// Its name.
    pub label: String,
    /// Whether it keeps the old coat.
    pub keeps: bool,
}

/// A task; numbers are likely ones.
#[derive(Clone, Debug, Serialize)]
pub struct TaskRate {
    /// Its name.
    pub name: String,
    /// Its method.
    pub method: String,
    /// Thousandths of an hour for one.
    pub hours: i64,
    /// Thousandths of an hour before it.
    pub set_up: i64,
    /// Thousandths of a minor unit for one; `None` where nobody told.
    pub cost: Option<i64>,
    /// Whether own hands do it.
    pub own: bool,
    /// Whether it is done once for the whole piece.
    pub whole: bool,
    /// Its phase.
    pub phase: Phase,
}

/// Work that every piece costs.
#[derive(Clone, Debug, Serialize)]
pub struct BaseRate {
    /// Thousandths of an hour for one.
    pub hours: i64,
    /// Whether it is counted by the drawer.
    pub drawers: bool,
    /// The phases that call for it; empty for always.
    pub only_for: Vec<Phase>,
}

/// An open question.
#[derive(Clone, Debug, Serialize)]
pub struct QuestionRate {
    /// Its id.
    pub id: String,
    /// The question.
    pub question: String,
    /// How to answer it.
    pub look: String,
    /// Whether the piece is moved for it.
    pub moves: bool,
    /// What a bad answer would likely cost, minor units.
    pub aside: Option<i64>,
    /// Whether that is held to a share of the net sale.
    pub held: bool,
    /// What nobody saw, where it is about that.
    pub unseen: Option<&'static str>,
    /// What is said of it to a seller; `None` for nothing.
    pub said: Option<&'static str>,
}

/// A reason to stop.
#[derive(Clone, Debug, Serialize)]
pub struct StopRate {
    /// Its id.
    pub id: String,
    /// What it says.
    pub stop: String,
    /// What is so.
    pub what: String,
    /// Why that is a reason.
    pub why: String,
    /// When it is none.
    pub unless: String,
    /// The faults of which it speaks.
    pub faults: Vec<String>,
}

/// How much is said to a seller.
#[derive(Clone, Debug, Serialize)]
pub struct SayRate {
    /// Most open questions in one sentence.
    pub unseen: usize,
    /// So many kinds of fault are told.
    pub faults: usize,
    /// A fault without work is told from this level on.
    pub from: u8,
    /// Most kinds that are named without more words.
    pub named: usize,
    /// Most places that are named one by one.
    pub places: usize,
}

/// Words on moving it.
#[derive(Clone, Debug, Serialize)]
pub struct MovingRate {
    /// Where something falls or breaks.
    pub off: &'static str,
    /// Where something gives way.
    pub gives: &'static str,
    /// On loose paint.
    pub paint: BTreeMap<String, &'static str>,
}

/// Ids that the page knows by name.
#[derive(Clone, Debug, Serialize)]
pub struct NameRate {
    /// The way that leaves it.
    pub leave: &'static str,
    /// The way that mends it.
    pub mend: &'static str,
    /// The rule on what was not seen.
    pub not_shown: &'static str,
    /// The rule on what is left and may harm.
    pub unsafe_left: &'static str,
    /// The rules on what is asked.
    pub asks_too_much: &'static str,
    /// The same where only the margin is touched.
    pub asks_into_margin: &'static str,
    /// The question that a test answers.
    pub lead: String,
    /// That test.
    pub lead_test: &'static str,
}

/// The rates of a piece with so many drawers, hanging or not, for the tasks that its table names.
#[must_use]
pub fn rates(
    settings: &Settings,
    book: &TradeBook,
    market: &Market,
    drawers: usize,
    hangs: bool,
    tasks: &BTreeSet<&str>,
) -> Rates {
    let mut ours: Vec<WayRate> = book
        .paths
        .iter()
        .filter(|it| is_ours(it))
        .map(|it| WayRate {
            id: it.id.clone(),
            label: it.label.clone(),
            keeps: matches!(it.leaves, Leaves::OldCoat | Leaves::OldCoatMended),
        })
        .collect();
    ours.push(WayRate {
        id: MEND.to_owned(),
        label: crate::advise::price::options::MENDED.to_owned(),
        keeps: true,
    });
    let known = tasks
        .iter()
        .filter_map(|it| Some(((*it).to_owned(), task(it, settings, book)?)));
    Rates {
        currency: settings.currency.to_string(),
        unit: 10_i64.pow(settings.currency.decimals()),
        terms: Terms::of(settings, market, book).ok(),
        ways: ours,
        tasks: known.collect(),
        base: base(settings, book),
        drawers,
        questions: asked(settings, book, hangs),
        stops: stops(book),
        say: SayRate {
            unseen: words::MOST_UNSEEN,
            faults: words::FAULTS,
            from: words::WORTH_SAYING,
            named: words::MOST_NAMED,
            places: words::MOST_PARTS,
        },
        moving: MovingRate {
            off: moving::OFF,
            gives: moving::GIVES,
            paint: [Lead::Untested, Lead::Presumed, Lead::Found]
                .into_iter()
                .map(|it| (format!("{it:?}"), moving::paint(it)))
                .collect(),
        },
        names: NameRate {
            leave: LEAVE,
            mend: MEND,
            not_shown: NOT_SHOWN,
            unsafe_left: UNSAFE_LEFT,
            asks_too_much: ASKS_TOO_MUCH,
            asks_into_margin: ASKS_INTO_MARGIN,
            lead: "lead_not_tested".to_owned(),
            lead_test: crate::advise::refinish::permit::LEAD_TEST,
        },
    }
}

/// The rate of a task by its id: a method, its coat, or a specialist's.
fn task(id: &str, settings: &Settings, book: &TradeBook) -> Option<TaskRate> {
    let (stem, end) = id.rsplit_once('-').unwrap_or((id, ""));
    let method = book.method(id).or_else(|| book.method(stem))?;
    let own = end != "specialist";
    let hours = settings.hours.get(&method.id);
    Some(TaskRate {
        name: match own {
            true => method.name.clone(),
            false => format!("{}, by a specialist", method.name),
        },
        method: method.id.clone(),
        hours: milli(hours.map_or(method.hours[1], |it| it[1])),
        set_up: hours.map_or_else(|| milli(method.set_up[1]), |_| 0),
        cost: cost(method, own, settings, book),
        own,
        whole: is_whole(&method.unit),
        phase: method.phase,
    })
}

/// What is used up for one, in thousandths of a minor unit.
fn cost(method: &Method, own: bool, settings: &Settings, book: &TradeBook) -> Option<i64> {
    if let Some(price) = settings.prices.get(&method.id) {
        return Some(price.minor * 1000);
    }
    let free = method.cost.iter().all(|it| *it == 0.0);
    let holds = book.offer.figures_hold(settings.currency);
    (own && (holds || free))
        .then(|| milli(method.cost[1]) * 10_i64.pow(settings.currency.decimals()))
}

fn base(settings: &Settings, book: &TradeBook) -> Vec<BaseRate> {
    let lines = book.offer.base_work.iter();
    let of = lines.map(|it| {
        let own = settings.hours.get(&it.id);
        BaseRate {
            hours: milli(own.map_or(it.hours[1], |it| it[1])),
            drawers: it.each == "drawer",
            only_for: it.only_for.clone(),
        }
    });
    of.collect()
}

fn asked(settings: &Settings, book: &TradeBook, hangs: bool) -> Vec<QuestionRate> {
    let lines = book.offer.questions.iter();
    let of = lines.map(|it| {
        let id = Question::of(&it.id);
        QuestionRate {
            id: it.id.clone(),
            question: it.question.clone(),
            look: it.look_at(hangs).to_owned(),
            moves: it.moves,
            aside: aside(it, settings, book).map(|it| it.likely),
            held: is_held(id),
            unseen: id.unseen(),
            said: words::open(id),
        }
    });
    of.collect()
}

fn stops(book: &TradeBook) -> Vec<StopRate> {
    let lines = book.offer.stops.iter();
    let of = lines.map(|it| StopRate {
        id: it.id.clone(),
        stop: format!("{:?}", it.stop),
        what: it.what.clone(),
        why: it.why.clone(),
        unless: it.unless.clone(),
        faults: words::faults_in(it)
            .into_iter()
            .map(str::to_owned)
            .collect(),
    });
    of.collect()
}
