//! Checks of the work: methods, paths and their rules, the order of work.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::trade::check::faults::Check;
use crate::trade::check::faults::Known;
use crate::trade::check::faults::at;
use crate::trade::check::faults::coats;
use crate::trade::check::faults::hazards;
use crate::trade::check::faults::kinds;
use crate::trade::check::faults::methods;
use crate::trade::check::faults::paths;
use crate::trade::check::faults::tags;
use crate::trade::entry::path::Path;
use crate::trade::entry::path::Role;
use crate::trade::entry::path::Rule;
use crate::trade::entry::repair::order::OrderRule;
use crate::trade::entry::repair::order::Work;
use crate::trade::trade_book::TradeBook;

/// Checks the work.
pub(in crate::trade) fn check(it: &mut Check<'_>) {
    ways_to_repair(it);
    for path in &it.book.paths {
        way_to_refinish(it, path);
    }
    for rule in &it.book.rules {
        one_rule(it, rule);
    }
    faces(it);
    order(it);
}

fn ways_to_repair(it: &mut Check<'_>) {
    let book = it.book;
    for method in &book.methods {
        let id = method.id.as_str();
        it.named(
            &at("method", id, "hazards"),
            &method.hazards,
            &hazards(book),
        );
        for line in &method.cautions_with {
            let place = at("method", id, "cautions_with");
            it.named(&place, &line.kinds, &kinds(book));
        }
        it.named(&at("method", id, "leaves"), &method.leaves, &coats());
        let on_bare = &method.leaves_on_bare;
        it.named(&at("method", id, "leaves_on_bare"), on_bare, &coats());
        it.ascending(&at("method", id, "hours"), method.hours);
        it.ascending(&at("method", id, "wait_hours"), method.wait_hours);
        it.ascending(&at("method", id, "cost"), method.cost);
        it.ascending(&at("method", id, "set_up"), method.set_up);
        it.named(&at("method", id, "ways"), &method.ways, &paths(book));
        it.named(&at("method", id, "needs"), &method.needs, &methods(book));
        it.named(&at("method", id, "then"), &method.then, &methods(book));
        it.named(
            &at("method", id, "includes"),
            &method.includes,
            &methods(book),
        );
        let out = &method.takes_out;
        it.named(&at("method", id, "takes_out"), out, &methods(book));
        it.named(&at("method", id, "brings"), &method.brings, &kinds(book));
        let takes_time = method.hours[0] > 0.0;
        if !takes_time {
            it.say(&at("method", id, "hours"), "work takes some time");
        }
        for (key, text) in [
            ("name", &method.name),
            ("plain", &method.plain),
            ("unit", &method.unit),
        ] {
            let says = format!("`{key}` is empty");
            if text.trim().is_empty() {
                it.say(&at("method", id, key), says);
            }
        }
    }
}

fn way_to_refinish(it: &mut Check<'_>, path: &Path) {
    let book = it.book;
    let id = path.id.as_str();
    it.named(&at("path", id, "removes"), &path.removes, &tags(book));
    it.named(&at("path", id, "hides"), &path.hides, &tags(book));
    let steps = path.steps.iter().map(|it| &it.method);
    it.named(&at("path", id, "steps"), steps, &methods(book));
    for step in &path.steps {
        it.questions(&at("path", id, "steps"), &step.when);
    }
    it.ascending(&at("path", id, "materials"), path.materials);
    it.ascending(&at("path", id, "hold_hours"), path.hold_hours);
    let opened = book.rules.iter().any(|it| it.opens.contains(&path.id));
    if !(path.always || opened) {
        let help = "name it in `opens` of a rule on a material, or say `always = true`";
        it.advise(
            &at("path", id, ""),
            "no rule opens this path, so nobody would be offered it",
            help,
        );
    }
    for tag in path.removes.iter().filter(|it| path.hides.contains(it)) {
        let says = format!("`{tag}` cannot be both gone and hidden");
        it.say(&at("path", id, "hides"), says);
    }
    let steps_at = &at("path", id, "steps");
    let often = path
        .steps
        .iter()
        .all(|it| it.times > 0.0 && it.times < 100.0);
    if !often {
        it.say(steps_at, "`times` must be above 0");
    }
    // A later step must not be one that has to come before an earlier one.
    for (n, later) in path.steps.iter().enumerate() {
        for earlier in &path.steps[..n] {
            if let Some(rule) = must_come_first(book, &later.method, &earlier.method) {
                let says = format!(
                    "`{}` stands after `{}`, against the order `{}`",
                    later.method, earlier.method, rule.id
                );
                it.say(steps_at, says);
            }
        }
    }
}

/// The rule by which one method comes before another.
fn must_come_first<'a>(book: &'a TradeBook, one: &str, other: &str) -> Option<&'a OrderRule> {
    let one = book.method(one)?;
    let other = book.method(other)?;
    let mut rules = book.orders.iter();
    rules.find(|it| it.first.holds(&one.id, one.phase) && it.then.holds(&other.id, other.phase))
}

fn one_rule(it: &mut Check<'_>, rule: &Rule) {
    let book = it.book;
    let id = rule.id.as_str();
    it.questions(&at("rule", id, "when"), &rule.when);
    let asks = !rule.when.is_empty();
    if !asks {
        it.say(&at("rule", id, "when"), "a rule must ask something");
    }
    it.named(&at("rule", id, "opens"), &rule.opens, &paths(book));
    it.named(&at("rule", id, "shuts"), &rule.shuts, &paths(book));
    it.named(&at("rule", id, "prefers"), &rule.prefers, &paths(book));
    let work = &rule.opening_work;
    it.named(&at("rule", id, "opening_work"), work, &methods(book));
    let hands_to: Vec<String> = rule.hands_to.iter().cloned().collect();
    it.named(&at("rule", id, "hands_to"), &hands_to, &methods(book));
    role(it, rule);
    for path in &rule.shuts {
        if rule.opens.contains(path) || rule.prefers.contains(path) {
            let says = format!("`{path}` cannot be both open and shut");
            it.say(&at("rule", id, "shuts"), says);
        }
    }
    let told = !rule.why.trim().is_empty();
    if !told {
        it.say(&at("rule", id, "why"), "`why` is empty");
    }
}

/// What each role must have and must not have.
fn role(it: &mut Check<'_>, rule: &Rule) {
    let id = rule.id.as_str();
    let opens = !rule.opens.is_empty();
    let fits = opens == (rule.role == Role::Material);
    let says = "a rule of role `material` opens paths, and no other rule does";
    if !fits {
        it.say(&at("rule", id, "opens"), says);
    }
    let says = "a gate shuts paths, and says in `opened_by` what opens them";
    let closes = !rule.shuts.is_empty() || !rule.forbids.is_empty();
    let fits = closes && rule.opened_by.is_some();
    let fits = rule.role != Role::Gate || fits;
    if !fits {
        it.say(&at("rule", id, "opened_by"), says);
    }
    let says = "only a gate has something that opens it";
    let none = rule.opened_by.is_none() && rule.opening_work.is_empty();
    if !(rule.role == Role::Gate || none) {
        it.say(&at("rule", id, "opened_by"), says);
    }
    // While a question is open its paths wait, and the user has to know for what.
    let says = "a rule that shuts paths says in `look` what to look at";
    let told = !closes || rule.look.is_some();
    if !told {
        it.say(&at("rule", id, "look"), says);
    }
}

/// The bands of face wood join, and each run of grits goes from coarse to fine and from much to little.
fn faces(it: &mut Check<'_>) {
    let mut from = 0.0;
    let mut last = String::new();
    for band in &it.book.face_bands {
        let place = at("face_band", &band.id(), "from_mm");
        let joins = (band.from_mm - from).abs() < 1e-9 && band.from_mm < band.below_mm;
        if !joins {
            it.say(&place, "the bands of face wood leave a gap");
        }
        let spares = band.reserve_mm > 0.0 && !band.bears.is_empty();
        if !spares {
            it.say(&place, "a band has no reserve, or no words");
        }
        from = band.below_mm;
        last = band.id();
    }
    if from < 99.0 {
        let place = at("face_band", &last, "below_mm");
        it.say(&place, "the bands end below 99 mm");
    }
    let mut most = f64::INFINITY;
    for run in &it.book.grit_runs {
        let place = at("grit_run", &run.id(), "takes_mm");
        let finer = !run.grits.is_empty() && run.grits.is_sorted_by(|a, b| a < b);
        if !finer {
            it.say(&place, "the grits of a run must go from coarse to fine");
        }
        let [least, takes] = run.takes_mm;
        let fits = 0.0 < least && least <= takes && takes < most;
        if !fits {
            it.say(&place, "the runs must go from much to little");
        }
        most = takes;
    }
}

/// No method comes before itself, on whatever way.
fn order(it: &mut Check<'_>) {
    let book = it.book;
    // What every piece costs, such as putting it together, has its place in the order too.
    let base = book.offer.base_work.iter().map(|it| it.id.as_str());
    let own = book.methods.iter().map(|it| it.id.as_str());
    let known = Known::of("method of the trade book", own.chain(base));
    for rule in &book.orders {
        let id = rule.id.as_str();
        for (key, work) in [("first", &rule.first), ("then", &rule.then)] {
            let named = work.methods.iter().chain(&work.but_not);
            it.named(&at("order", id, key), named, &known);
            let some = !work.methods.is_empty() || !work.phases.is_empty();
            if !some {
                it.say(&at("order", id, key), format!("`{key}` names no work"));
            }
        }
    }
    let stuck = circle(book);
    if stuck.is_empty() {
        return;
    }
    for rule in &book.orders {
        let on = |work: &Work| {
            stuck.iter().any(|it| {
                let method = book.method(it);
                method.is_some_and(|it| work.holds(&it.id, it.phase))
            })
        };
        if on(&rule.first) && on(&rule.then) {
            let says = format!("`{}` would have to come before itself", stuck.join("`, `"));
            it.say(&at("order", &rule.id, ""), says);
        }
    }
}

/// Methods that come before themselves, on whatever way.
fn circle(book: &TradeBook) -> Vec<&str> {
    let mut left: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for then in &book.methods {
        let firsts = book.methods.iter();
        let firsts = firsts.filter(|it| must_come_first(book, &it.id, &then.id).is_some());
        left.insert(&then.id, firsts.map(|it| it.id.as_str()).collect());
    }
    // What has nothing before it is on no circle, nor is what has nothing after it.
    loop {
        let before = left.len();
        let there: BTreeSet<&str> = left.keys().copied().collect();
        left.retain(|_, firsts| firsts.iter().any(|it| there.contains(it)));
        let first: BTreeSet<&str> = left.values().flatten().copied().collect();
        left.retain(|id, _| first.contains(id));
        if left.len() == before {
            return left.into_keys().collect();
        }
    }
}
