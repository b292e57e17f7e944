//! The money of an estimate in words: the reckoning, what stops it, what is asked, the other ways.

use crate::cli::commands::advice::estimate::amounts::Much;
use crate::cli::commands::advice::estimate::amounts::clock;
use crate::cli::commands::advice::estimate::amounts::few;
use crate::cli::commands::advice::estimate::amounts::hours;
use crate::cli::commands::advice::estimate::amounts::money;
use crate::cli::output::data;
use crate::cli::output::text::count;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::cli::output::text::word;
use crate::cli::output::text::wrapped;
use crate::kit::money::Money;
use crate::kit::text::listed;
use crate::work::advice::estimate::Door;
use crate::work::advice::estimate::Estimated;
use crate::work::advice::estimate::PriceIs;
use crate::work::advice::estimate::PricedOption;
use crate::work::advice::estimate::Sums;

pub(super) fn print_money(it: &Estimated) {
    data(&heading("Money"));
    let offer = &it.shown().offer;
    for line in &offer.tell {
        data(&format!("  no offer yet; tell {line}"));
    }
    // With a price told it stands among those that are not used.
    if let Some(partly) = offer.partly.as_ref().filter(|_| offer.sold.is_empty()) {
        data(&format!("  no offer: {partly}"));
    }
    print_sale(it);
    print_highest(it);
    for line in &it.found.unpriced {
        data(&hung("  told, but not used: ", line));
    }
    for line in &offer.not_in_it {
        data(&hung(
            "  not in it: ",
            &format!("{line}, as nobody told what it costs; tell it with `--bill AMOUNT`"),
        ));
    }
    for line in &offer.notes {
        data(&format!("  {line}"));
    }
    for line in it.shown().thumb.iter().flat_map(|it| it.lines()) {
        data(&format!("  {line}"));
    }
}

/// What comes in, what it costs, and what is left by two reckonings.
fn print_sale(it: &Estimated) {
    let offer = &it.shown().offer;
    let Some(sums) = &offer.sums else { return };
    data(&format!(
        "  sale       {}: the lowest of {} sold, {}, less {} channel, {} bargaining, {} delivery",
        sums.net_sale,
        offer.sold.len(),
        bare(&sums.lowest_sold),
        bare(&sums.fee),
        bare(&sums.discount),
        bare(&sums.delivery)
    ));
    let others = match sums.others.minor {
        0 => String::new(),
        _ => format!(", others {}", bare(&sums.others)),
    };
    let bad = match sums.bad_answers.minor {
        0 => String::new(),
        _ => format!(", bad answers {}", bare(&sums.bad_answers)),
    };
    data(&format!(
        "  cash       {}: materials {}{others}, fetching {}, storage {}, open questions {}{bad}",
        sums.cash_costs,
        bare(&sums.materials),
        bare(&sums.pickup),
        bare(&sums.storage),
        bare(&sums.aside)
    ));
    data(&format!(
        "  by margin  {}, leaving {}",
        sums.by_margin,
        bare(&sums.margin)
    ));
    data(&format!(
        "  by hours   {}, paying {} for {} at {} an hour, the least you work for",
        sums.by_hours,
        bare(&sums.hours_worth),
        clock(sums.minutes),
        bare(&sums.wage)
    ));
}

/// What can be paid at most, and what an hour brings.
fn print_highest(it: &Estimated) {
    let Some(sums) = &it.shown().offer.sums else {
        return;
    };
    if it.found.is_bought {
        match sums.hourly.price_is {
            PriceIs::Paid => print_left(sums),
            _ => data(&format!(
                "  more work  cannot be told: `asfound amend {} --bought-for AMOUNT` tells what was paid",
                it.stock_no
            )),
        }
        return print_hour(sums);
    }
    match sums.first_bid.is_some() || sums.waits_for_bill {
        true => data(&format!("  highest    {}: {}", sums.highest, sums.because)),
        false => data(&format!("  highest    nothing: {}", sums.because)),
    }
    let bid = sums.first_bid.map(|[low, high]| match low == high {
        true => format!("; first bid {}", bare(&low)),
        false => format!("; first bid {}, then {}", bare(&low), bare(&high)),
    });
    if sums.highest.minor > 0 {
        let [from, to] = &sums.parts;
        data(&format!(
            "             for its parts {} to {}{}",
            bare(from),
            bare(to),
            bid.unwrap_or_default()
        ));
    }
    print_hour(sums);
}

/// Of a piece that is bought: what may still go into it, as nothing more can be bid.
fn print_left(sums: &Sums) {
    let paid = sums.hourly.at_price;
    let by_hours = sums.by_hours.minor - sums.spent_worth.minor;
    let left = sums.by_margin.minor.min(by_hours) - sums.spent.minor - paid.minor;
    let minor = left.abs();
    let most = Money { minor, ..paid };
    let went_in = format!("what was paid, {}{}", bare(&paid), put_in(sums));
    data(&match left < 0 {
        true => {
            let over = bare(&most);
            format!("  more work  nothing: {went_in}, is {over} more than this way bears")
        }
        false if sums.waits_for_bill => format!(
            "  more work  may cost {most} besides this plan, after {went_in}; the bill of others, which nobody told, comes out of it"
        ),
        false => format!("  more work  may cost {most} besides this plan, after {went_in}"),
    });
}

/// What went into it by work on record, after a comma; empty where that is nothing.
fn put_in(sums: &Sums) -> String {
    let mut told = Vec::new();
    if sums.spent.minor > 0 {
        told.push(bare(&sums.spent));
    }
    if sums.spent_minutes > 0 {
        told.push(hours(sums.spent_minutes));
    }
    let mut line = match told.is_empty() {
        true => String::new(),
        false => format!(", with {} of work on record", told.join(" and ")),
    };
    if sums.spent_untold > 0 {
        line = format!(
            "{line}, hours of {} not told",
            count(sums.spent_untold, "repair")
        );
    }
    line
}

/// What an hour brings.
fn print_hour(sums: &Sums) {
    let before = match sums.waits_for_bill {
        true => ", before the bill of others",
        false => "",
    };
    let hour = &sums.hourly;
    let is_worked =
        hour.price_is == PriceIs::Paid && (sums.spent.minor > 0 || sums.spent_minutes > 0);
    let worked = if is_worked {
        ", the work on record counted"
    } else {
        ""
    };
    let least = match hour.below_least {
        Some(true) => ", below the least you work for",
        Some(false) if !sums.waits_for_bill => ", not below the least you work for",
        _ => "",
    };
    data(&format!(
        "  an hour    {} at {} ({}{worked}){before}{least}",
        hour.per_hour,
        hour.at_price,
        word(&hour.price_is)
    ));
}

pub(super) fn print_stops(it: &Estimated) {
    if it.shown().stops.is_empty() {
        return;
    }
    data(&heading("Reasons to stop, or to ask"));
    for stop in &it.shown().stops {
        let parts = if stop.parts.is_empty() {
            String::new()
        } else {
            format!(" ({})", few(&stop.parts))
        };
        data(&format!(
            "  {:<6} {}{parts} {}",
            word(&stop.stop),
            stop.what,
            stop.why
        ));
        data(&format!("         {}", unless(&stop.unless)));
    }
}

/// When a reason is none.
fn unless(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) if text != "Never." => {
            format!("Unless {}{}", first.to_lowercase(), letters.as_str())
        }
        _ => "There is no exception.".to_owned(),
    }
}

pub(super) fn print_questions(it: &Estimated) {
    if it.shown().asked.is_empty() {
        return;
    }
    data(&heading(match it.found.is_bought {
        true => "Still open; what a bad answer would likely cost",
        false => "Look or ask before you pay; what a bad answer would likely cost",
    }));
    for line in &it.shown().asked {
        let aside = line
            .aside
            .and_then(|aside| money(aside.likely, &it.shown().plan.cost.currency));
        let aside = aside.unwrap_or_else(|| "not priced".to_owned());
        let parts = if line.parts.is_empty() {
            String::new()
        } else {
            format!(" ({})", few(&line.parts))
        };
        data(&format!(
            "  {aside:>10}  {}{parts} {}{}",
            line.question,
            line.look,
            if line.counted {
                " Put aside in the offer."
            } else {
                ""
            }
        ));
    }
}

/// What was asked and answered badly, and what it costs.
pub(super) fn print_bad_answers(it: &Estimated) {
    let shown = it.shown();
    if shown.bad_answers.is_empty() {
        return;
    }
    data(&heading("Answered badly, and counted in the offer"));
    for line in &shown.bad_answers {
        let cost = line.cost;
        let cost = cost.and_then(|cost| money(cost.likely, &shown.plan.cost.currency));
        let cost = cost.unwrap_or_else(|| "not priced".to_owned());
        data(&format!(
            "  {cost:>10}  {} ({})",
            line.what,
            few(&line.parts)
        ));
    }
}

pub(super) fn print_refused(it: &Estimated) {
    if it.found.refused.is_empty() {
        return;
    }
    data(&heading("Chosen, but not planned there"));
    let mut lines: Vec<(&str, &str, &str, Vec<String>)> = Vec::new();
    for it in &it.found.refused {
        let why = it.reasons.first().map_or("", |it| it.why.as_str());
        let look = it.look.first().map_or("", String::as_str);
        let same = |line: &&mut (&str, &str, &str, Vec<String>)| {
            (line.0, line.1) == (it.path.as_str(), why)
        };
        match lines.iter_mut().find(same) {
            Some(line) => line.3.push(it.label.clone()),
            None => lines.push((&it.path, why, look, vec![it.label.clone()])),
        }
    }
    for (path, why, look, parts) in lines {
        // Which parts: the same way may be planned on others.
        let parts = listed(&parts).to_lowercase();
        data(&hung(
            "  ",
            format!("{path} on {parts}: {why} {look}").trim_end(),
        ));
    }
    data(&format!(
        "  `asfound survey {}` says all of it",
        it.stock_no
    ));
}

/// Where the words for the door are: never beside what we would pay or sell it for.
pub(super) fn print_where_the_words_are(it: &Estimated) {
    if !it.found.words.is_empty() {
        data(&heading("At the door"));
        data(&format!(
            "  `asfound estimate {} --door` shows what can be said and shown there, and nothing of the above",
            it.stock_no
        ));
    }
}

/// What the seller may see: what to say, and what to look at or ask.
pub(super) fn print_door(it: &Door<'_>) {
    data(&heading(&format!("{}  {}", it.stock_no, it.title)));
    if it.words.is_empty() {
        data("  it is bought: nothing is to be said at the door any more");
    }
    for line in it.words {
        data(&format!("  {line}"));
    }
    if !it.questions.is_empty() {
        data(&heading("To look at, or to ask"));
    }
    for line in &it.questions {
        data(&format!("  {} {}", line.question, line.look));
    }
}

pub(super) fn print_options(it: &Estimated, much: Much) {
    let all = it.found.options.iter().enumerate();
    let mut others = all.filter(|(at, _)| *at != it.found.shown).peekable();
    if others.peek().is_none() {
        return;
    }
    data(&heading("Other ways"));
    let bought = it.found.is_bought;
    for (at, line) in others {
        let hour = line.offer.sums.as_ref().map_or_else(
            || no_offer(line).to_owned(),
            |it| {
                let before = match it.waits_for_bill {
                    true => " before the bill of others",
                    false => "",
                };
                let hour = it.hourly.per_hour;
                if bought {
                    return format!("an hour {hour}{before}");
                }
                format!("highest {}{before}, an hour {hour}", it.highest)
            },
        );
        let best = if Some(at) == it.found.best {
            "; the best hour"
        } else {
            ""
        };
        data(&format!(
            "  {:<14} {:>5}  until {}  {hour}{best}",
            line.way.id,
            clock(line.plan.hours.minutes.likely),
            line.plan.days.likely.wrap
        ));
        if much == Much::All {
            data(&format!("      {}", line.way.label));
            let asked = line.asked.iter().map(|it| it.question.clone());
            let asked: Vec<String> = asked.collect();
            if !asked.is_empty() {
                data(&wrapped("      open: ", &asked, " "));
            }
        }
    }
}

/// Why a way has no offer, in few words.
fn no_offer(it: &PricedOption) -> &'static str {
    if it.offer.partly.is_some() {
        "only part of it: no price of a whole"
    } else if it.offer.sold.is_empty() {
        "no price told"
    } else {
        "no offer yet"
    }
}

/// An amount without its currency, which stands before it in the same line.
fn bare(amount: &impl ToString) -> String {
    let text = amount.to_string();
    text.split_once(' ')
        .map_or_else(|| text.clone(), |it| it.1.to_owned())
}
