//! What the rules of thumb of the trade book say of a piece, beside its offer.

use crate::advise::labour::area;
use crate::advise::labour::exact::share;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::price::offer::Offer;
use crate::advise::price::offer::Verdict;
use crate::advise::price::options::Way;
use crate::advise::price::terms::percent;
use crate::advise::price::wish::of_face;
use crate::assess::worked::Worked;
use crate::kit::money::Money;
use crate::trade::entry::offer::Thumb;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::repair::deed::Deed;

/// The rules of thumb that hold for a way with an offer, one a line, each with how our own sum stands to it.
#[must_use]
pub(in crate::advise) fn thumb(need: &PlanInput<'_>, way: &Way, offer: &Offer) -> Option<String> {
    if offer.verdict != Verdict::Offer {
        return None;
    }
    let leaves = need.book.path(of_face(&way.main))?.leaves;
    // A coat that came with work on record is no old one that is kept.
    if matches!(leaves, Leaves::OldCoat | Leaves::OldCoatMended) && is_recoated(need) {
        return None;
    }
    let form = &need.it.piece.form;
    let holds = |it: &&Thumb| {
        it.leaves.contains(&leaves) && (it.forms.is_empty() || it.forms.contains(form))
    };
    let rules = need.book.offer.thumbs.iter().filter(holds);
    let lines: Vec<String> = rules.filter_map(|it| line(it, offer)).collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

/// Whether work on record took the old coat off every face that is there, or laid one over it.
fn is_recoated(need: &PlanInput<'_>) -> bool {
    let done = need.it.repairs.iter().filter(|it| {
        let method = need.book.method(&it.method);
        method.is_some_and(|it| it.recoats || it.does.contains(&Deed::Strip))
    });
    let done: Vec<Worked> = done.map(|it| Worked::by(it, &need.it.findings)).collect();
    let faces = need.advice.iter().map(|it| &it.part);
    let mut faces = faces.filter(|it| area::is_there(need.it, it));
    !done.is_empty() && faces.all(|face| done.iter().any(|it| it.reaches(face)))
}

fn line(it: &Thumb, offer: &Offer) -> Option<String> {
    let sums = offer.sums.as_ref()?;
    let lowest = sums.lowest_sold;
    let part = |of: f64| Money {
        minor: share(lowest.minor, percent(of)),
        ..lowest
    };
    let [from, to] = it.share.map(part);
    let ours = sums.by_margin.minor.min(sums.by_hours.minor);
    let but = if ours < from.minor {
        let hours = match sums.by_hours.minor < sums.by_margin.minor {
            true => format!(" and {} of hours go", sums.hours_worth),
            false => " goes".to_owned(),
        };
        format!(
            "; ours is less, as {} of cash{hours} off first",
            sums.cash_costs
        )
    } else if ours > to.minor {
        "; ours is more, as it takes little work".to_owned()
    } else {
        String::new()
    };
    let [low, high] = it.share;
    let label = &it.label;
    Some(format!(
        "rule of thumb ({label}): {low} to {high} % of the price, {from} to {to}{but}"
    ))
}
