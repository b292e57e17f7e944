//! The estimate in words.

use crate::cli::offer_text;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::cli::say::wrapped;
use crate::work::advice::estimate::Estimated;

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
    offer_text::print_money(it);
    offer_text::print_stops(it);
    offer_text::print_questions(it);
    offer_text::print_refused(it);
    offer_text::print_words(it);
    offer_text::print_options(it, much);
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

fn print_head(it: &Estimated) {
    data(&heading(&format!("{}  {}", it.stock_no, it.title)));
    let label = it.shown().map_or("", |it| it.label.as_str());
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
    print_may_come(it);
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

/// What may come to it where its path waits for a look.
fn print_may_come(it: &Estimated) {
    let Some(line) = it.shown() else { return };
    if line.may_come.parts.is_empty() {
        return;
    }
    data(&format!(
        "             and {} more where it waits for a look: {}",
        hours(line.may_come.minutes.likely),
        few(&line.may_come.parts)
    ));
}

/// A few names, or how many.
pub(super) fn few(names: &[String]) -> String {
    if names.len() > MOST_PARTS {
        return count(names.len(), "part");
    }
    names.join(", ").to_lowercase()
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
pub(super) fn money(minor: i64, currency: &str) -> Option<String> {
    let currency = currency.parse().ok()?;
    Some(crate::kit::money::Money { minor, currency }.to_string())
}

/// The word of an enum as `--json` gives it, with spaces.
pub(super) fn word(value: &impl serde::Serialize) -> String {
    let text = serde_json::to_value(value).unwrap_or_default();
    text.as_str().unwrap_or("").replace('_', " ")
}

/// `15 h 33 min`, `3 h`, `42 min`.
pub(super) fn hours(minutes: i64) -> String {
    match (minutes / HOUR, minutes % HOUR) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest:02} min"),
    }
}

/// `1:24`.
pub(super) fn clock(minutes: i64) -> String {
    format!("{}:{:02}", minutes / HOUR, minutes % HOUR)
}

/// `24 h`, `7 days`.
pub(super) fn wait(minutes: i64) -> String {
    if minutes % DAY == 0 && minutes >= 3 * DAY {
        return format!("{} days", minutes / DAY);
    }
    hours(minutes)
}
