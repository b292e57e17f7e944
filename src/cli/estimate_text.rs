//! The estimate in words.

use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::cli::say::wrapped;
use crate::work::estimate::Estimated;
use crate::work::estimate::OptionLine;

/// Minutes in an hour, and in a day.
const HOUR: i64 = 60;
const DAY: i64 = 24 * HOUR;

/// Most parts of a task that are named.
const MOST_PARTS: usize = 3;

/// How much to print.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Much {
    /// What fits on a screen.
    Screen,
    /// All of it.
    All,
}

/// Prints an estimate: the work, the money, what stops it, what to say, the other ways.
pub(super) fn print(it: &Estimated, much: Much) {
    for line in &it.kept {
        talk(&format!("kept with {}: {line}", it.stock_no));
    }
    print_head(it);
    print_work(it, much);
    print_money(it, much);
    print_stops(it);
    print_questions(it);
    print_refused(it);
    print_words(it);
    print_options(it, much);
    if much == Much::All {
        print_left(it);
    }
    print_order(it);
    for line in &it.notes {
        talk(&format!("{} {line}", mark("mind:")));
    }
    if it.complaints > 0 {
        let lines = count(it.complaints, "complaint");
        talk(&format!(
            "{} {lines} about sidecars: their last good text counts here; `asfound survey {}` shows the places",
            mark("look:"),
            it.stock_no
        ));
    }
}

fn shown(it: &Estimated) -> Option<&OptionLine> {
    it.options.iter().find(|it| it.shown)
}

fn print_head(it: &Estimated) {
    data(&heading(&format!("{}  {}", it.stock_no, it.title)));
    let label = shown(it).map_or("", |it| it.label.as_str());
    data(&format!("  {label} ({})", it.option_because));
    let minutes = it.hours.minutes;
    data(&format!(
        "  hands      {} likely, {} to {}; {} expected, give or take {}",
        hours(minutes.likely),
        hours(minutes.low),
        hours(minutes.high),
        hours(it.hours.expected_minutes),
        hours(it.hours.sigma_minutes)
    ));
    let cost = &it.cost;
    let amount = money(cost.minor.likely, &cost.currency).unwrap_or_default();
    let mut line = format!("  materials  {amount}");
    if !cost.not_priced.is_empty() {
        line = format!("{line}, not priced: {}", cost.not_priced.join(", "));
    }
    data(&line);
    for name in &cost.bill_not_known {
        data(&format!("  {name}: cost not known"));
    }
    let days = &it.days;
    data(&format!(
        "  days       {} of {} from {}: done {}, may be wrapped from {}",
        count(days.likely.work_days, "working day"),
        hours(days.minutes_a_day),
        days.from,
        days.likely.done,
        days.likely.wrap
    ));
    data(&format!(
        "             if all takes long: {}, done {}, wrapped from {}",
        count(days.high.work_days, "working day"),
        days.high.done,
        days.high.wrap
    ));
}

fn print_work(it: &Estimated, much: Much) {
    data(&heading("Order of work"));
    for line in &it.days.tasks {
        let Some(task) = it.tasks.iter().find(|it| it.id == line.task) else {
            continue;
        };
        let on: Vec<&str> = task.parts.iter().map(|it| it.as_str()).collect();
        let on = match on.len() {
            0 => String::new(),
            n if n > MOST_PARTS => format!(": {n} parts"),
            _ => format!(": {}", on.join(", ")),
        };
        let time = if task.is_own() {
            clock(task.minutes.likely)
        } else {
            "-".to_owned()
        };
        data(&format!("  {}  {time:>5}  {}{on}", line.start, task.name));
        if much == Much::All {
            print_task(it, task.id.as_str());
        }
    }
    let outside = it.tasks.iter().filter(|it| it.phase.is_none());
    let outside =
        outside.map(|it| format!("{} {}", it.name.to_lowercase(), clock(it.minutes.likely)));
    let outside: Vec<String> = outside.collect();
    data(&format!("  besides: {}", outside.join(", ")));
    let waits = it.days.chain.iter().filter(|it| it.then_waits_minutes > 0);
    let waits: Vec<String> = waits
        .map(|it| {
            format!(
                "{} after {}",
                wait(it.then_waits_minutes),
                it.name.to_lowercase()
            )
        })
        .collect();
    if !waits.is_empty() {
        data("  what it waits for:");
        data(&wrapped("    ", &waits, ", "));
    }
}

/// All of one task.
fn print_task(it: &Estimated, id: &str) {
    let Some(task) = it.tasks.iter().find(|it| it.id == id) else {
        return;
    };
    let mut facts = vec![format!("{} x {}", task.quantity, task.unit)];
    facts.push(format!(
        "{} to {}",
        clock(task.minutes.low),
        clock(task.minutes.high)
    ));
    if task.wait_minutes.likely > 0 {
        facts.push(format!("then {} untouched", wait(task.wait_minutes.likely)));
    }
    match task.cost {
        Some(cost) if cost.likely > 0 => {
            facts.extend(money(cost.likely, &it.cost.currency));
        }
        Some(_) => {}
        None => facts.push("not priced".to_owned()),
    }
    if !task.findings.is_empty() {
        let findings: Vec<String> = task.findings.iter().map(ToString::to_string).collect();
        facts.push(findings.join(" "));
    }
    data(&wrapped("        ", &facts, "; "));
    for step in &task.steps {
        data(&format!("        - {step}"));
    }
    for caution in &task.cautions {
        data(&format!("        ! {caution}"));
    }
}

fn print_money(it: &Estimated, much: Much) {
    data(&heading("Money"));
    let Some(offer) = it.offers.iter().find(|offer| offer.option == it.option) else {
        return;
    };
    for line in &offer.tell {
        data(&format!("  no offer yet; tell {line}"));
    }
    if let Some(sums) = &offer.sums {
        data(&format!(
            "  sale       {} is the lowest of {} sold; less {} for the channel, {} beaten down, {} delivery: {}",
            sums.lowest_sold,
            offer.sold.len(),
            sums.fee,
            sums.discount,
            sums.delivery,
            sums.net_sale
        ));
        data(&format!(
            "  cash       {}: materials {}, fetching {}, storage {}, open questions {}",
            sums.cash_costs, sums.materials, sums.pickup, sums.storage, sums.aside
        ));
        data(&format!(
            "  by margin  {}, leaving {}",
            sums.by_margin, sums.margin
        ));
        data(&format!(
            "  by hours   {}, paying {} for likely hours, {} for what they may run over, {} for risk",
            sums.by_hours, sums.hours_worth, sums.hours_over, sums.risk
        ));
        let [from, to] = sums.donor;
        match sums.first_bid {
            Some([low, high]) => data(&format!(
                "  highest    {}: {}; first bid {low} to {high}; for its parts {from} to {to}",
                sums.highest, sums.because
            )),
            None => data(&format!(
                "  highest    nothing to pay with: {}; for its parts {from} to {to}",
                sums.because
            )),
        }
        let hour = &sums.hourly;
        let least = match hour.below_least {
            Some(true) => ", below the least you work for",
            _ => "",
        };
        data(&format!(
            "  an hour    {} at {} ({}){least}",
            hour.per_hour,
            hour.at_price,
            word(&hour.price_is)
        ));
    }
    for line in &offer.not_in_it {
        data(&format!(
            "  not in it: {line}, as nobody knows what it costs"
        ));
    }
    for line in &offer.notes {
        data(&format!("  {line}"));
    }
    let thumb = shown(it).and_then(|it| it.thumb.as_ref());
    if let (Some(thumb), Much::All) = (thumb, much) {
        data(&format!("  {thumb}"));
    }
}

fn print_stops(it: &Estimated) {
    if it.stops.is_empty() {
        return;
    }
    data(&heading("Reasons to stop, or to ask"));
    for stop in &it.stops {
        let parts = if stop.parts.is_empty() {
            String::new()
        } else {
            format!(" ({})", stop.parts.join(", "))
        };
        data(&format!(
            "  {:<6} {}{parts} {}",
            word(&stop.stop),
            stop.what,
            stop.why
        ));
        data(&format!("         None when: {}", stop.unless));
    }
}

fn print_questions(it: &Estimated) {
    if it.questions.is_empty() {
        return;
    }
    data(&heading("Open questions, and what is put aside for them"));
    for line in &it.questions {
        let aside = line
            .aside
            .and_then(|aside| money(aside.likely, &it.cost.currency));
        let aside = aside.unwrap_or_else(|| "not priced".to_owned());
        let parts = match line.parts.len() {
            0 => String::new(),
            n if n > MOST_PARTS => format!(" ({n} parts)"),
            _ => format!(" ({})", line.parts.join(", ")),
        };
        data(&format!(
            "  {aside:>10}  {}{parts} {}",
            line.question, line.look
        ));
    }
}

fn print_refused(it: &Estimated) {
    if it.refused.is_empty() {
        return;
    }
    data(&heading("Chosen, but not planned"));
    for line in &it.refused {
        let why: Vec<&str> = line.reasons.iter().map(|it| it.why.as_str()).collect();
        data(&format!(
            "  {} on {}: {}",
            line.path,
            line.label.to_lowercase(),
            why.join(" ")
        ));
        for look in &line.look {
            data(&format!("      {look}"));
        }
    }
}

fn print_words(it: &Estimated) {
    data(&heading("At the door"));
    for line in &it.words {
        data(&format!("  {line}"));
    }
}

fn print_options(it: &Estimated, much: Much) {
    let others: Vec<&OptionLine> = it.options.iter().filter(|it| !it.shown).collect();
    if others.is_empty() {
        return;
    }
    data(&heading("Other ways"));
    for line in others {
        let offer = it.offers.iter().find(|it| it.option == line.id);
        let hour = offer.and_then(|it| it.sums.as_ref()).map_or_else(
            || "no price told".to_owned(),
            |it| format!("highest {}, an hour {}", it.highest, it.hourly.per_hour),
        );
        let best = if line.best { "; the best hour" } else { "" };
        data(&format!(
            "  {:<14} {:>5}  until {}  {hour}{best}",
            line.id,
            clock(line.hours.minutes.likely),
            line.likely.wrap
        ));
        if much == Much::All {
            data(&format!("      {}", line.label));
            data(&wrapped("      open: ", &line.questions, ", "));
        }
    }
}

fn print_left(it: &Estimated) {
    if !it.left.is_empty() {
        data(&heading("Left alone"));
        for line in &it.left {
            data(&format!(
                "  {:<4} {}: {}",
                line.finding.to_string(),
                line.what,
                line.why
            ));
        }
    }
    if !it.assumed.is_empty() {
        data(&heading("Assumed"));
        for line in &it.assumed {
            data(&format!("  {line}"));
        }
    }
}

/// How the user's own order holds against the rules.
fn print_order(it: &Estimated) {
    let Some(order) = &it.order else { return };
    data(&heading("Your order of work"));
    if order.broken.is_empty() {
        data("  breaks no rule");
    }
    for line in &order.broken {
        data(&format!(
            "  {} must come before {}. {}",
            line.first, line.then, line.rule
        ));
        data(&format!("      {}", line.why));
        if let Some(but) = &line.but {
            data(&format!("      But: {but}"));
        }
    }
    if !order.left_out.is_empty() {
        data("  of the plan it leaves out:");
        data(&wrapped("    ", &order.left_out, ", "));
    }
    if !order.not_in_plan.is_empty() {
        data("  not in the plan:");
        data(&wrapped("    ", &order.not_in_plan, ", "));
    }
}

/// An amount from minor units.
fn money(minor: i64, currency: &str) -> Option<String> {
    let currency = currency.parse().ok()?;
    Some(crate::kit::money::Money { minor, currency }.to_string())
}

/// The word of an enum as `--json` gives it, with spaces.
fn word(value: &impl serde::Serialize) -> String {
    let text = serde_json::to_value(value).unwrap_or_default();
    text.as_str().unwrap_or("").replace('_', " ")
}

/// `15 h 33 min`, `3 h`, `42 min`.
fn hours(minutes: i64) -> String {
    match (minutes / HOUR, minutes % HOUR) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest:02} min"),
    }
}

/// `1:24`.
fn clock(minutes: i64) -> String {
    format!("{}:{:02}", minutes / HOUR, minutes % HOUR)
}

/// `24 h`, `7 days`.
fn wait(minutes: i64) -> String {
    if minutes % DAY == 0 && minutes >= 3 * DAY {
        return format!("{} days", minutes / DAY);
    }
    hours(minutes)
}
