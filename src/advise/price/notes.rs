//! What weakens an offer, in words, each with its arithmetic; none of it is in the highest offer.

use std::ops::RangeInclusive;

use crate::advise::labour::exact::Spread;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::task::Task;
use crate::advise::price::basis::Basis;
use crate::advise::price::basis::Sums;
use crate::advise::price::basis::all_minutes;
use crate::advise::price::doubts::stops::MARRIAGE;
use crate::advise::price::doubts::stops::Stopped;
use crate::advise::price::wish::LEAVE;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::HEAVY;
use crate::kit::money::Money;
use crate::trade::TradeBook;
use crate::trade::entry::offer::Stop;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Who;

/// So many comparables make a lowest one that can be trusted.
const ENOUGH_COMPARABLES: usize = 3;

/// The notes of an offer.
pub(in crate::advise) fn notes(it: &Basis<'_>, sold: &[Money], sums: Option<&Sums>) -> Vec<String> {
    let mut notes = Vec::new();
    if (1..ENOUGH_COMPARABLES).contains(&sold.len()) {
        let told = sold.len();
        notes.push(format!(
            "{told} of at least {ENOUGH_COMPARABLES} sold comparables told: the lowest may still be too high"
        ));
    }
    let waits = it.may_come.parts.len();
    if waits > 0 {
        let of = it.way.parts.len();
        notes.push(match it.way.main.as_str() {
            LEAVE => format!("on {waits} of {of} parts nobody looked for faults, or not enough"),
            _ => format!(
            "on {waits} of {of} parts this way can be taken only after a look; the hours there are in the money, not in the order of work"
            ),
        });
    }
    if let Some(two_tone) = &it.way.two_tone {
        notes.push(two_tone.clone());
    }
    if let Some(bill) = it
        .piece
        .market
        .bill
        .filter(|_| !it.spent.by_others && sums.is_some_and(|it| it.others.minor == 0))
    {
        notes.push(format!(
            "{bill} was told for the work of others: none of this way is theirs"
        ));
    }
    notes.extend(left(it));
    if !sold.is_empty() && it.stops.iter().any(|it| it.id == MARRIAGE) {
        notes.push(
            "the prices told must be those of pieces put together of two: what a whole one brought does not hold for it"
                .to_owned(),
        );
    }
    if let (Some(sums), Ok(terms)) = (sums, it.terms) {
        let stops = |it: &Stopped| it.stop != Stop::Ask;
        let held = it.stops.iter().any(stops);
        let most = held.then_some(sums.highest.minor);
        notes.extend(may_be_less(sums, all_minutes(it), terms.risk, most));
    }
    notes
}

/// The heavy faults that stay: who buys it sees them, and so did who paid the prices that were told.
fn left(it: &Basis<'_>) -> Option<String> {
    let heavy = it.plan.left.iter();
    let heavy = heavy.filter(|it| it.level.is_some_and(|it| it >= HEAVY));
    let named = heavy.map(|it| it.finding.to_string());
    let named: Vec<String> = named.collect();
    (!named.is_empty()).then(|| {
        format!(
            "it stays with {}: the prices told must be those of pieces with as much",
            named.join(", ")
        )
    })
}

/// What is not in the highest offer and may make it less, each with its arithmetic.
fn may_be_less(sums: &Sums, minutes: Spread, risk: i64, most: Option<i64>) -> Vec<String> {
    let mut notes = Vec::new();
    let lesser = sums.by_margin.minor.min(sums.by_hours.minor);
    let over = minutes.high - minutes.likely;
    // Where nothing is paid, nothing makes it less.
    if sums.highest.minor <= 0 {
        return notes;
    }
    // Never less than its parts, and never more than a reason to stop lets it be.
    let most = most.unwrap_or(i64::MAX);
    let parts = sums.parts[0].minor;
    let left = |minor: i64| match minor.min(most) > parts.max(0) {
        true if minor >= most => format!("{} all the same", sums.highest),
        true => Money { minor, ..sums.wage }.to_string(),
        false if parts > 0 => format!("what its parts may bring, less fetching, {}", sums.parts[0]),
        false => "nothing".to_owned(),
    };
    if sums.looks.minor > 0 {
        notes.push(format!(
            "looks: {} if every open question is answered badly, which would leave {}",
            sums.looks,
            left(lesser - sums.looks.minor)
        ));
    }
    if over > 0 {
        notes.push(format!(
            "overrun: it may take {} more; half of that at {} an hour is {}, which by hours would leave {}",
            clock(over),
            sums.wage,
            sums.hours_over,
            left(sums.by_hours.minor - sums.hours_over.minor)
        ));
    }
    if sums.risk.minor > 0 {
        notes.push(format!(
            "risk: {} of {} is {}; kept back, it would leave {}",
            percent(risk),
            sums.net_sale,
            sums.risk,
            left(lesser - sums.risk.minor)
        ));
    }
    notes
}

/// Minutes in words, such as `7 h 35 min`.
fn clock(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, rest) => format!("{hours} h {rest:02} min"),
    }
}

/// Hundredths of a percent in words, such as `12 %` or `12.5 %`.
fn percent(hundredths: i64) -> String {
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text} %")
}

/// The parts that are not there: no price of a whole piece holds without them, and only a task of the plan makes or buys one.
pub(in crate::advise) fn of_absent(it: &Assessment) -> Option<String> {
    let absent = it.absent_parts();
    (!absent.is_empty()).then(|| {
        format!(
            "not there: {}; what no task makes or buys anew is in no hour and no cost here, and the prices told must be those of pieces that lack as much",
            absent.join("; ")
        )
    })
}

/// Of a piece of a set: among how many what is done once for all of them is shared.
pub(in crate::advise) fn of_set(it: &Assessment) -> Option<String> {
    it.piece.set.as_ref()?;
    Some(match it.of_set {
        ..=1 => "no other piece of its set is on record: fetching and storage are counted for this one alone; take the others in, and each bears its share".to_owned(),
        many => format!(
            "1 of {many} pieces of its set on record: each bears its share of fetching and storage; its own pictures, report and handing over are counted"
        ),
    })
}

/// The months in which a live beetle shows.
const WARM: RangeInclusive<i8> = 4..=9;

/// What the days of a plan do not say: that a clean watch in the cold proves little, and how long others take.
pub(in crate::advise) fn of_days(plan: &Plan, book: &TradeBook) -> Vec<String> {
    let watches = |it: &&Task| {
        let method = book.method(&it.method);
        method.is_some_and(|it| it.cures == Cures::Watches)
    };
    let ids: Vec<&str> = plan
        .tasks
        .iter()
        .filter(watches)
        .map(|it| it.id.as_str())
        .collect();
    let days = plan.days.tasks.iter();
    let mut starts = days.filter(|it| ids.contains(&it.task.as_str()));
    let mut notes = Vec::new();
    if starts.any(|it| !WARM.contains(&it.start.month())) {
        notes.push(
            "the watch for beetle falls into the cold months, when little shows: keep it in a heated room, or count no clean watch before April"
                .to_owned(),
        );
    }
    if plan.tasks.iter().any(|it| it.by == Who::Specialist) {
        notes.push(
            "how long others keep the piece is not in these days: ask them before you promise one"
                .to_owned(),
        );
    }
    notes
}
