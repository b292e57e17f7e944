//! The whole estimate: ways, their plans and offers, what stops them, and what can be said at the door.

use serde::Serialize;

use crate::advise::labour::area::Surfaces;
use crate::advise::labour::exact::share;
use crate::advise::labour::may_come::may_come;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan::plan;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::tasks::AsFound;
use crate::advise::part::facts::Facts;
use crate::advise::price::basis::Basis;
use crate::advise::price::basis::Spent;
use crate::advise::price::doubts::put_aside::hold_to;
use crate::advise::price::doubts::put_aside::lead_is_planned;
use crate::advise::price::doubts::put_aside::test_is_planned;
use crate::advise::price::doubts::questions::AllFacts;
use crate::advise::price::doubts::questions::bad_answers;
use crate::advise::price::doubts::questions::questions;
use crate::advise::price::doubts::stops::asks_too_much;
use crate::advise::price::doubts::stops::stops;
use crate::advise::price::doubts::stops::unsafe_left;
use crate::advise::price::notes::of_absent;
use crate::advise::price::notes::of_days;
use crate::advise::price::notes::of_set;
use crate::advise::price::offer::Verdict;
use crate::advise::price::offer::offer;
use crate::advise::price::options::CHOSEN;
use crate::advise::price::options::Way;
use crate::advise::price::options::ways;
use crate::advise::price::path_label::label;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::price::reckon::net_sale;
use crate::advise::price::refused::Refused;
use crate::advise::price::terms::Terms;
use crate::advise::price::thumb::thumb;
use crate::advise::price::unpriced::told_paths;
use crate::advise::price::unpriced::unpriced;
use crate::advise::price::wish::LEAVE;
use crate::advise::price::wish::MEND;
use crate::advise::price::words::words;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::permit::has_step;
use crate::assess::assessment::Assessment;
use crate::kit::clock::Day;
use crate::kit::money::Money;
use crate::model::settings::Settings;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::offer::Stop;

/// An estimate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Estimate {
    /// Every way, the user's own first, then from the gentlest on; never empty.
    pub options: Vec<PricedOption>,
    /// The place of the way that is worked out in full: the user's own, else the best one.
    pub shown: usize,
    /// Why that one.
    pub shown_because: String,
    /// The place of the way for which most can be paid among those that nothing stops; of equals, the best hour.
    pub best: Option<usize>,
    /// What of the user's choice was refused.
    pub refused: Vec<Refused>,
    /// Of each path of which a price was told and that has no offer: why.
    pub unpriced: Vec<String>,
    /// What others take for their part of the work, if that was told.
    #[serde(skip)]
    pub bill: Option<Money>,
    /// Whether it is bought, so that nothing can be bid any more.
    pub is_bought: bool,
    /// What can be said at the door; empty once it is bought.
    pub words: Vec<String>,
    /// Whether somebody has to look at something before it can be relied on.
    pub needs_a_hand: bool,
    /// What the whole estimate lacks, in words.
    pub notes: Vec<String>,
}

/// What a way does that leaves the piece as it is, where it has dangers.
const BUT_DANGERS: &str = ", but deal with the dangers";

/// Works out every way; `from` is the first day of work.
#[must_use]
pub fn estimate(
    it: &Assessment,
    advice: &[PartAdvice],
    settings: &Settings,
    book: &TradeBook,
    from: Day,
) -> Estimate {
    let surfaces = Surfaces::of(it, advice, book);
    let facts: AllFacts = Facts::of_all(it, book);
    let need = PlanInput::of(it, advice, &surfaces, settings, book, &facts);
    let terms = Terms::of(settings, &it.piece.market, book).map(|terms| terms.of_one(it.of_set));
    let found = ways(&need);
    let mut options: Vec<PricedOption> = found
        .ways
        .into_iter()
        .map(|way| work_out(&need, way, &facts, &terms, from))
        .collect();
    one_name_for_one_plan(&mut options);
    too_dear(&need, &mut options);
    let is_bought = it.piece.is_bought();
    let best = best(&options, is_bought);
    let told = told_paths(it);
    let (shown, shown_because) = shown(&options, (best, is_bought), advice, told.len());
    let unpriced = told
        .iter()
        .filter_map(|path| unpriced(&need, &options, path));
    let unpriced = unpriced.collect();
    let words = if is_bought {
        Vec::new()
    } else {
        words(&options[shown], it, book)
    };
    let can_pay = options[shown].offer.verdict == Verdict::Offer;
    Estimate {
        needs_a_hand: is_open_to_doubt(&options[shown], &found.refused) || !(is_bought || can_pay),
        shown,
        shown_because,
        best,
        refused: found.refused,
        unpriced,
        bill: it.piece.market.bill,
        is_bought,
        words,
        notes: notes(&need, &options[shown]),
        options,
    }
}

/// To mend what is broken is no way of its own where to leave the piece does the same, unless a price of it was told.
fn one_name_for_one_plan(options: &mut Vec<PricedOption>) {
    let leave = options.iter().find(|it| it.way.id == LEAVE);
    let left = leave.map(|it| it.plan.tasks.clone());
    let same =
        |it: &PricedOption| Some(&it.plan.tasks) == left.as_ref() && it.offer.sold.is_empty();
    options.retain(|it| it.way.id != MEND || !same(it));
}

fn work_out(
    need: &PlanInput<'_>,
    mut way: Way,
    facts: &AllFacts,
    terms: &Result<Terms, Vec<String>>,
    from: Day,
) -> PricedOption {
    let choice = way.choice();
    let plan = plan(need, &choice, from);
    let may_come = may_come(need, &plan, &choice, &way.main);
    let (mut asked, mut bad_answers) = (questions(need, &way, facts), bad_answers(need));
    if let (Ok(terms), Some(lowest)) = (terms, lowest_sold(need, &way)) {
        hold_to(&mut asked, &mut bad_answers, most_aside(lowest, terms));
    }
    test_is_planned(&mut asked, &plan);
    if need.it.piece.market.bill.is_some() {
        lead_is_planned(&mut asked, &mut bad_answers, &plan);
    }
    let mut stops = stops(need, &way, &asked, facts);
    stops.extend(unsafe_left(need, &plan));
    name_what_is_done(need, &mut way, &plan);
    let offer = offer(&Basis {
        way: &way,
        plan: &plan,
        may_come: &may_come,
        asked: &asked,
        bad_answers: &bad_answers,
        stops: &stops,
        piece: &need.it.piece,
        spent: Spent::on(need),
        terms,
        currency: need.settings.currency,
    });
    let thumb = thumb(need, &way, &offer);
    PricedOption {
        way,
        plan,
        may_come,
        asked,
        bad_answers,
        stops,
        offer,
        thumb,
    }
}

/// A way that leaves the piece, and yet deals with its dangers, says so.
fn name_what_is_done(need: &PlanInput<'_>, way: &mut Way, plan: &Plan) {
    let mends = plan.tasks.iter().any(|it| !it.findings.is_empty());
    let leaves = label(need.book, LEAVE);
    if mends && way.as_found != AsFound::Nothing {
        way.label = way
            .label
            .replace(&leaves, &format!("{leaves}{BUT_DANGERS}"));
    }
}

/// The lowest price that was told of a way.
fn lowest_sold(need: &PlanInput<'_>, way: &Way) -> Option<Money> {
    let sold = need.it.piece.market.sold.iter();
    let of_it = sold.filter(|it| way.is_priced_by(&it.path));
    of_it
        .map(|it| it.price)
        .filter(|it| it.currency == need.settings.currency)
        .min_by_key(|it| it.minor)
}

/// The most that one open question can cost where the piece brings this much, minor units.
fn most_aside(lowest: Money, terms: &Terms) -> i64 {
    share(net_sale(lowest.minor, terms).max(0), terms.aside_at_most)
}

/// Says it where more is asked than can be paid, unless it is paid already.
fn too_dear(need: &PlanInput<'_>, options: &mut [PricedOption]) {
    let piece = &need.it.piece;
    let asks = piece.market.seller_asks.filter(|_| !piece.is_bought());
    let Some(asks) = asks else {
        return;
    };
    for it in options {
        let sums = it.offer.sums.as_ref();
        let sums = sums.filter(|sums| asks.minor > sums.highest.minor);
        let too_much =
            sums.and_then(|sums| asks_too_much(need, asks, sums.by_margin, sums.by_hours));
        it.stops.extend(too_much);
    }
}

/// Among the ways that nothing stops: one of which every bill is told before one that waits for a bill, then the one for
/// which most can be paid, and of those the one that brings most for an hour; once it is bought, what could have been paid
/// is past. So a higher price of one way never makes less of the piece.
fn best(options: &[PricedOption], is_bought: bool) -> Option<usize> {
    let free = |it: &(usize, &PricedOption)| {
        let says = |stop: Stop| it.1.stops.iter().any(|it| it.stop == stop);
        !says(Stop::Walk) && !says(Stop::Donor)
    };
    let all = options.iter().enumerate();
    let known = all
        .filter(free)
        .filter_map(|(at, it)| Some((at, worth(it, is_bought)?)));
    // Of two alike the gentler one, which stands first.
    known
        .max_by_key(|it| (it.1, std::cmp::Reverse(it.0)))
        .map(|it| it.0)
}

/// What the ways are held against each other by.
fn worth(it: &PricedOption, is_bought: bool) -> Option<(bool, i64, i64)> {
    let sums = it.offer.sums.as_ref()?;
    let highest = if is_bought { 0 } else { sums.highest.minor };
    // Whether a bill is open hangs on no price, so that no price turns the order round.
    let all_told = it.offer.not_in_it.is_empty();
    Some((all_told, highest, sums.hourly.per_hour.minor))
}

/// The way that is worked out in full, and why.
fn shown(
    options: &[PricedOption],
    (best, is_bought): (Option<usize>, bool),
    advice: &[PartAdvice],
    told: usize,
) -> (usize, String) {
    if let Some(at) = options.iter().position(|it| it.way.id == CHOSEN) {
        let priced = options[at].offer.sums.is_some();
        let why = match best {
            Some(best) if best != at && !priced => format!(
                "you chose it; it has no price yet, {} has one",
                options[best].way.label.to_lowercase()
            ),
            Some(best) if best != at => format!(
                "you chose it; {} would bring more",
                options[best].way.label.to_lowercase()
            ),
            _ => "you chose it".to_owned(),
        };
        return (at, why);
    }
    if let Some(at) = best {
        let others = options.iter().filter(|it| it.offer.sums.is_some()).count();
        let own = worth(&options[at], is_bought);
        let as_good = options
            .iter()
            .filter(|it| worth(it, is_bought) == own)
            .count();
        let why = match (others, told) {
            (2.., _) if as_good > 1 => "no other way with a price brings more",
            (2.., _) => "of the ways with a price it brings most",
            (_, 2..) => {
                "of the ways of which you told a price, the only one that can be priced now"
            }
            _ => "it is the only way of which you told what it sells for",
        };
        return (at, why.to_owned());
    }
    let known = options.iter().position(|it| it.offer.sums.is_some());
    if let Some(at) = known {
        return (at, "the only ways with a price are stopped".to_owned());
    }
    let preferred = advice.iter().find_map(|it| {
        let mut open = it.paths.iter().filter(|it| it.can_be_taken());
        open.find(|it| it.path != LEAVE).map(|it| it.path.as_str())
    });
    let at = options
        .iter()
        .position(|it| Some(it.way.main.as_str()) == preferred);
    let why = match told {
        0 => "no price was told, so the way that the record speaks for is shown",
        _ => {
            "no price that was told can be used yet, so the way that the record speaks for is shown"
        }
    };
    let mend = options.iter().position(|it| it.way.id == MEND);
    (at.or(mend).unwrap_or(0), why.to_owned())
}

fn notes(need: &PlanInput<'_>, shown: &PricedOption) -> Vec<String> {
    let mut notes = Vec::new();
    if need.it.photos.is_empty() {
        notes.push(
            "no photo is recorded: this rests only on what was told, and counts no fault"
                .to_owned(),
        );
    }
    if need.advice.is_empty() {
        notes.push("no part is on record whose surface could be refinished".to_owned());
    }
    notes.extend(of_absent(need.it));
    notes.extend(of_set(need.it));
    notes.extend(of_days(&shown.plan, need.book));
    notes.extend(wished(need, shown));
    notes.extend(as_it_stands(need, shown));
    notes
}

/// What comes of the owner's wish on this way.
fn wished(need: &PlanInput<'_>, shown: &PricedOption) -> Option<String> {
    let wish = need.it.piece.market.wish?.word();
    let asks = |it: &Condition| match it {
        Condition::Is { fact, value, .. } => *fact == Fact::Wish && value == wish,
        _ => false,
    };
    let mut rules = need.book.rules.iter();
    let rule = rules.find(|it| it.when.iter().flatten().any(asks))?;
    let paths = shown.way.parts.iter().filter_map(|it| it.path.as_deref());
    let mut paths = paths.filter_map(|it| need.book.path(it));
    let comes = match paths.any(|it| has_step(it, "strip")) {
        true => "this way comes as near to it as the wood allows",
        false => "this way leaves the colour that it has",
    };
    Some(format!("you wish it {wish}: {comes}. {}", rule.why))
}

/// Where the work would not be paid, a sale without it may be worth more, and nobody told what that brings.
fn as_it_stands(need: &PlanInput<'_>, shown: &PricedOption) -> Option<String> {
    let told = need.it.piece.market.sold.iter().any(|it| it.path == LEAVE);
    let sums = shown.offer.sums.as_ref()?;
    let is_stopped = shown.stops.iter().any(|it| it.stop != Stop::Ask);
    (!told && !sums.pays && !is_stopped).then(|| {
        format!(
            "the work would not be paid, and nobody told what it brings as it stands: `asfound estimate {} --sold {LEAVE}=AMOUNT` reckons a sale without it",
            need.it.piece.stock_no
        )
    })
}

/// Whether a way rests on something that somebody has to look at, or decide.
fn is_open_to_doubt(it: &PricedOption, refused: &[Refused]) -> bool {
    let asked = !it.asked.is_empty() || !it.stops.is_empty();
    let unlooked = it.way.undecided > 0 || !it.may_come.parts.is_empty();
    asked || unlooked || !refused.is_empty()
}
