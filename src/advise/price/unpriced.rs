//! Prices that were told and cannot be used: of each why, from the advice on the parts.

use crate::advise::labour::area;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::price::path_label::label;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::assess::assessment::Assessment;

/// Paths of which a price was told, each once, sorted.
#[must_use]
pub(in crate::advise) fn told_paths(it: &Assessment) -> Vec<String> {
    let told = it.piece.market.sold.iter().map(|it| it.path.clone());
    let mut told: Vec<String> = told.collect();
    told.sort();
    told.dedup();
    told
}

/// Why the price that was told for a path makes no offer; `None` where it makes one, or where only terms are missing.
#[must_use]
pub(in crate::advise) fn unpriced(
    need: &PlanInput<'_>,
    options: &[PricedOption],
    path: &str,
) -> Option<String> {
    let name = label(need.book, path);
    let mut ways = options
        .iter()
        .filter(|it| it.way.is_priced_by(path))
        .peekable();
    if ways.peek().is_some() {
        if ways.any(|it| it.offer.partly.is_none()) {
            return None;
        }
        let partly = options.iter().filter(|it| it.way.is_priced_by(path));
        let why = partly.filter_map(|it| it.offer.partly.clone()).next()?;
        return Some(format!("{name}: {why}"));
    }
    let steps = need.book.path(path).is_some_and(|it| !it.steps.is_empty());
    if !steps {
        return Some(format!(
            "{name} is no way of its own unless you choose it with `--path {path}`. Tell the price of the piece as the rest of it is left, such as `leave` or `clean_wax`."
        ));
    }
    let there = need.advice.iter();
    let there = there.filter(|it| area::is_there(need.it, &it.part));
    let on: Vec<&PathAdvice> = there
        .filter_map(|it| it.paths.iter().find(|it| it.path == path))
        .collect();
    let of = |verdict: Verdict| -> Vec<&&PathAdvice> {
        on.iter().filter(|it| it.verdict == verdict).collect()
    };
    let mut said = Vec::new();
    let waits = of(Verdict::Waiting);
    if let Some(first) = waits.first() {
        let look = first.look.first().map_or("", String::as_str);
        said.push(format!(
            "waits for a look on {} of {} parts. {look}",
            waits.len(),
            on.len()
        ));
    }
    let shut = of(Verdict::Shut);
    if let Some(first) = shut.first() {
        let why = first.reasons.first().map_or("", |it| it.why.as_str());
        said.push(format!(
            "is shut on {} of {} parts. {why}",
            shut.len(),
            on.len()
        ));
    }
    if said.is_empty() {
        said.push("is no way that can be planned here.".to_owned());
    }
    Some(format!("{name} {}", said.join(" It ").trim_end()))
}
