//! The work of an estimate in words: hours, materials, days, the tasks, the user's own order.

use crate::cli::commands::advice::estimate::amounts::MOST_PARTS;
use crate::cli::commands::advice::estimate::amounts::Much;
use crate::cli::commands::advice::estimate::amounts::clock;
use crate::cli::commands::advice::estimate::amounts::few;
use crate::cli::commands::advice::estimate::amounts::hours;
use crate::cli::commands::advice::estimate::amounts::money;
use crate::cli::commands::advice::estimate::amounts::wait;
use crate::cli::output::data;
use crate::cli::output::text::count;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::cli::output::text::wrapped;
use crate::cli::output::text::wrapped_text;
use crate::kit::money::Money;
use crate::work::advice::estimate::Danger;
use crate::work::advice::estimate::Estimated;
use crate::work::advice::estimate::LeftAlone;
use crate::work::advice::estimate::Task;

pub(super) fn head(it: &Estimated) {
    data(&heading(&format!("{}  {}", it.stock_no, it.title)));
    let plan = &it.shown().plan;
    let label = &it.shown().way.label;
    data(&format!("  {label} ({})", it.found.shown_because));
    let minutes = plan.hours.minutes;
    data(&format!(
        "  hands      {} likely, {} to {}; {} expected, give or take {}",
        hours(minutes.likely),
        hours(minutes.low),
        hours(minutes.high),
        hours(plan.hours.expected_minutes),
        hours(plan.hours.sigma_minutes)
    ));
    data(&format!(
        "             at the bench {}; the rest is fetching, pictures, report and handing over",
        hours(plan.hours.bench_minutes.likely)
    ));
    print_may_come(it);
    let cost = &plan.cost;
    let amount = money(cost.minor.likely, &cost.currency).unwrap_or_default();
    let mut line = format!("  materials  {amount}");
    if !cost.not_priced.is_empty() {
        line = format!("{line}, not priced: {}", cost.not_priced.join(", "));
    }
    data(&line);
    for name in &cost.bill_not_known {
        data(&match it.found.bill {
            Some(bill) => format!("  {name}: in the {bill} that others take"),
            None => format!("  {name}: cost not known"),
        });
    }
    let days = &plan.days;
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
    let away = plan
        .tasks
        .iter()
        .filter(|it| it.phase.is_some() && !it.is_own());
    let away: Vec<String> = away.map(|it| it.name.clone()).collect();
    if !away.is_empty() {
        let away = format!(
            "{}: ask when it comes back; the days count only the work on it",
            away.join(", ")
        );
        data(&wrapped_text("             ", &away));
    }
}

/// What may come to it where its path waits for a look.
fn print_may_come(it: &Estimated) {
    let line = it.shown();
    if line.may_come.parts.is_empty() || line.may_come.minutes.likely == 0 {
        return;
    }
    let parts = few(&line.may_come.parts);
    data(&match line.may_come.minutes.likely {
        0 => format!("             after a look it can be taken on more: {parts}; no hours more"),
        more => format!(
            "             after a look it can be taken on more: {parts}; then {} more",
            hours(more)
        ),
    });
}

pub(super) fn work(it: &Estimated, much: Much) {
    data(&heading("Order of work"));
    let plan = &it.shown().plan;
    let first = &it.shown().may_come.look_first;
    if !first.is_empty() {
        let text = format!(
            "{}: this way waits for a look there. Until then do nothing to the surface; what is planned there is for the case that the old coat stays",
            few(first)
        );
        data(&hung("  look first  ", &text));
    }
    let (mut told, bill) = (Vec::new(), it.found.bill);
    for line in &plan.days.tasks {
        let Some(task) = plan.tasks.iter().find(|it| it.id == line.task) else {
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
            print_task(task, &plan.cost.currency, bill);
        }
        for danger in &task.dangers {
            print_danger(danger, &mut told);
        }
    }
    let outside = plan.tasks.iter().filter(|it| it.phase.is_none());
    let outside =
        outside.map(|it| format!("{} {}", it.name.to_lowercase(), clock(it.minutes.likely)));
    let outside: Vec<String> = outside.collect();
    data(&format!("  besides: {}", outside.join(", ")));
    let waits = plan
        .days
        .chain
        .iter()
        .filter(|it| it.then_waits_minutes > 0);
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

/// The lines of a danger, at the first task that needs them.
fn print_danger<'a>(danger: &'a Danger, told: &mut Vec<&'a str>) {
    if told.contains(&danger.hazard.as_str()) {
        return;
    }
    told.push(&danger.hazard);
    data(&format!("        ! {}", danger.title));
    for line in &danger.lines {
        data(&hung("          ", line));
    }
}

/// All of one task.
fn print_task(task: &Task, currency: &str, bill: Option<Money>) {
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
            facts.extend(money(cost.likely, currency));
        }
        Some(_) => {}
        None => facts.push(match bill.filter(|_| !task.is_own()) {
            Some(bill) => format!("in the {bill} that others take"),
            None => "not priced".to_owned(),
        }),
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

/// A level from which a fault is heavy: seen across the room, in the way of use, or getting worse.
const HEAVY: u8 = 3;

/// So many are all named on a screen.
const FEW: usize = 5;

/// What is left alone; of many, on a screen only what is heavy or failing, and how much else.
pub(super) fn left(it: &Estimated, much: Much) {
    let left = &it.shown().plan.left;
    let told: Vec<&LeftAlone> = left
        .iter()
        .filter(|it| {
            let heavy = it.level.is_none_or(|it| it >= HEAVY);
            much == Much::All || left.len() <= FEW || heavy
        })
        .collect();
    if left.is_empty() {
        return;
    }
    data(&heading("Left alone"));
    for line in &told {
        let level = line.level.map(|it| format!(", level {it}"));
        let level = level.unwrap_or_default();
        let text = format!("{}{level}: {}", line.what, line.why);
        data(&hung(&format!("  {:<4} ", line.finding.to_string()), &text));
    }
    let rest = left.len() - told.len();
    if rest > 0 {
        data(&format!("  and {rest} lighter; `--all` names them"));
    }
}

/// What the plan assumes.
pub(super) fn assumed(it: &Estimated) {
    let plan = &it.shown().plan;
    if !plan.assumed.is_empty() {
        data(&heading("Assumed"));
        for line in &plan.assumed {
            data(&format!("  {line}"));
        }
    }
}

/// How the user's own order holds against the rules.
pub(super) fn order(it: &Estimated) {
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
