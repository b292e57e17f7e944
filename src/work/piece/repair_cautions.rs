//! What whoever does a repair is warned of.

use std::collections::BTreeSet;

use crate::advise::part::facts::Facts;
use crate::advise::refinish::advice::Lead;
use crate::advise::refinish::paths::paths;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::repair::Repair;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::recorded::assessment;

/// The cautions of the method on these parts; then why some of them do not bear it, as far as the record tells, a line for each reason.
pub(in crate::work) fn cautions(
    book: &OpenBook,
    stock_no: &StockNo,
    repair: &Repair,
    method: &Method,
) -> Result<Vec<String>, WorkError> {
    let all = assessment(book, stock_no)?;
    let found = all
        .findings
        .iter()
        .filter(|it| repair.findings.contains(&it.no));
    let on: Vec<PartId> = found
        .map(|it| it.part.clone())
        .chain(repair.parts.clone())
        .collect();
    let kinds: BTreeSet<&str> = match repair.is_of_whole_piece() {
        true => all.kinds.values().map(String::as_str).collect(),
        false => {
            let on = on.iter().flat_map(|it| [it.clone(), it.whole()]);
            on.filter_map(|it| Some(all.kinds.get(&it)?.as_str()))
                .collect()
        }
    };
    let mut parts: Vec<&PartId> = on.iter().collect();
    if repair.is_of_whole_piece() {
        parts.extend(all.kinds.keys());
    }
    let wholes: Vec<PartId> = parts.iter().map(|it| it.whole()).collect();
    let parts = parts.into_iter().chain(&wholes);
    let of_lead = |it: &PartId| Facts::of(&all, it, &book.trade).lead();
    let lead = parts.map(of_lead).max().unwrap_or_default();
    let found = lead.found(&book.trade);
    let dusted = found.filter(|_| method.makes_dust());
    let mut cautions: Vec<String> = dusted
        .and_then(|it| it.dusted.clone())
        .into_iter()
        .collect();
    cautions.extend(method.cautions_on(kinds, found));
    // Whatever the work is, it may open the paint; to test it is the way to know.
    let is_test = matches!(method.cures, Cures::Tests | Cures::Watches);
    let hazard = book.trade.hazard("lead").filter(|_| !is_test);
    let told = hazard.and_then(|it| it.found.as_ref());
    let told = told.and_then(|it| match lead {
        Lead::Found => it.worker.clone(),
        Lead::Presumed => it.elsewhere.clone(),
        Lead::NotSuspected | Lead::Untested => None,
    });
    cautions.extend(told.filter(|it| !cautions.contains(it)));
    let mut reasons: Vec<(String, Vec<String>)> = Vec::new();
    for face in paths(&all, &book.trade) {
        let done = repair.is_of_whole_piece() || on.iter().any(|it| face.is_of(it));
        let Some(why) = face.shut_to(method).filter(|_| done) else {
            continue;
        };
        match reasons.iter_mut().find(|it| it.0 == why) {
            Some((_, labels)) => labels.push(small(&face.label)),
            None => reasons.push((why.to_owned(), vec![small(&face.label)])),
        }
    }
    let line = |(why, labels): (String, Vec<String>)| format!("{}: {why}", joined(&labels));
    cautions.extend(reasons.into_iter().map(line));
    Ok(cautions)
}
