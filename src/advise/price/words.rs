//! What can be said to a seller at the door: the first bid, the two faults that cost most, what could not be seen. Never
//! what it sells for, and never how far we would go: no other amount than the bid is spoken.

use std::collections::BTreeMap;

use crate::advise::price::offer::Verdict;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::price::stops::MARRIAGE;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::part_report::PartState;
use crate::kit::money::Money;
use crate::model::ids::PartId;
use crate::trade::entry::offer::Question;
use crate::trade::entry::offer::Stop;

/// Most open questions in one sentence.
const MOST_UNSEEN: usize = 3;

/// So many reasons for the bid are named.
const FAULTS: usize = 2;

/// A fault that costs nothing of its own is named from this level on, without an hour.
const WORTH_SAYING: u8 = 2;

/// Most parts that are named one by one.
const MOST_PARTS: usize = 3;

/// The sentences for a way, one to five of them.
#[must_use]
pub fn words(it: &PricedOption, of: &Assessment) -> Vec<String> {
    let mut said = vec![opening(it, of)];
    // What is not bought needs no reasons for a bid, and nothing that would have to be looked at for one.
    if it.offer.verdict == Verdict::Walk {
        return said;
    }
    said.extend(absent(of));
    let two_pieces = it.stops.iter().find(|it| it.id == MARRIAGE);
    let two_pieces = two_pieces.map(|it| it.what.clone());
    said.extend(two_pieces.into_iter().chain(faults(it, of)).take(FAULTS));
    said.extend(unseen(it));
    said
}

fn opening(it: &PricedOption, of: &Assessment) -> String {
    let first = |stop: Stop| {
        let found = it.stops.iter().find(|it| it.stop == stop);
        found.map_or_else(String::new, |it| format!("{} ", it.what))
    };
    let bid = it.offer.sums.as_ref().and_then(|sums| sums.first_bid);
    let bid = bid.map(|[from, _]| whole(from));
    match (it.offer.verdict, bid) {
        (Verdict::Walk, _) => format!("{}I cannot take it.", first(Stop::Walk)),
        (Verdict::NotKnown, _) if it.offer.sums.is_some() => {
            "I cannot name a price yet: somebody else has to do part of the work, and I have to ask what that costs."
                .to_owned()
        }
        (Verdict::NotKnown, _) if !of.piece.market.sold.is_empty() => {
            "I cannot name a price yet: I have to look at it more closely first.".to_owned()
        }
        (Verdict::NotKnown, _) => {
            "I cannot name a price yet: I have to look up what such pieces bring.".to_owned()
        }
        (Verdict::Donor, Some(Some(bid))) => {
            format!("{}I can offer you {bid}.", first(Stop::Donor))
        }
        (Verdict::Donor, _) => format!(
            "{}I can take it away, but I cannot pay for it.",
            first(Stop::Donor)
        ),
        (Verdict::Offer, Some(Some(bid))) => format!("I can offer you {bid}."),
        (Verdict::Offer, _) => "I can take it away, but I cannot pay for it.".to_owned(),
    }
}

/// An amount in whole units; `None` below one.
fn whole(money: Money) -> Option<String> {
    let scale = 10_i64.pow(money.currency.decimals());
    let units = money.minor.div_euclid(scale);
    (units > 0).then(|| format!("{} {units}", money.currency))
}

/// What one kind of fault costs.
#[derive(Default)]
struct Costs<'a> {
    /// Work of others whose bill nobody knows, by its name.
    bill_open: Option<String>,
    /// Minutes at the wage and materials, in 60ths of a minor unit.
    of: i64,
    minutes: i64,
    level: u8,
    found: Vec<&'a Finding>,
}

/// The kinds of fault that cost most, the dearest first: what it is, where, and how long it takes. Work that is done on
/// sound parts too, such as waxing all of it, is no fault's.
fn faults(it: &PricedOption, of: &Assessment) -> Vec<String> {
    let wage = it.offer.sums.as_ref().map_or(1, |sums| sums.wage.minor);
    let mut kinds: BTreeMap<&str, Costs<'_>> = BTreeMap::new();
    for task in &it.plan.tasks {
        let answers = |finding: &&Finding| task.findings.contains(&finding.no);
        let found: Vec<&Finding> = of.findings.iter().filter(answers).collect();
        let is_at_fault = |part: &PartId| found.iter().any(|it| it.part.whole() == part.whole());
        if !task.parts.iter().all(is_at_fault) {
            continue;
        }
        let number = i64::try_from(found.len()).unwrap_or(1).max(1);
        let cash = task.cost.map_or(0, |it| it.likely);
        let minutes = if task.is_own() {
            task.minutes.likely
        } else {
            0
        };
        if minutes == 0 && cash == 0 && task.cost.is_some() {
            continue;
        }
        for finding in found {
            let kind = kinds.entry(&finding.tag).or_default();
            kind.of += (minutes * wage + cash * 60) / number;
            kind.minutes += minutes / number;
            if !task.is_own() && task.cost.is_none() {
                kind.bill_open = Some(task.name.to_lowercase().replace(", by a specialist", ""));
            }
            if !kind.found.iter().any(|it| it.no == finding.no) {
                kind.found.push(finding);
            }
        }
    }
    for finding in of.findings.iter().filter(|it| it.is_to_do()) {
        let level = finding.level.unwrap_or(0);
        let kind = kinds.entry(&finding.tag).or_default();
        kind.level = kind.level.max(level);
        if kind.of == 0 && kind.bill_open.is_none() && level >= WORTH_SAYING {
            kind.found.push(finding);
        }
    }
    let kinds = kinds.into_values().filter(|it| !it.found.is_empty());
    let mut kinds: Vec<Costs<'_>> = kinds.collect();
    kinds.sort_by_key(|it| std::cmp::Reverse((it.bill_open.is_some(), it.of, it.level)));
    kinds.iter().map(fault).collect()
}

fn fault(it: &Costs<'_>) -> String {
    let term = it.found.first().map_or("", |it| it.term.as_str());
    let labels = it.found.iter().map(|it| it.part_label.to_lowercase());
    let place = places(labels.collect());
    match (&it.bill_open, it.minutes) {
        (Some(work), _) => format!("{term} ({place}): to be done by others, {work}."),
        (_, 0) => format!("{term} ({place})."),
        (_, minutes) => format!("{term} ({place}): about {} of work.", hours(minutes)),
    }
}

/// Parts by name, or how many.
fn places(mut labels: Vec<String>) -> String {
    labels.dedup();
    if labels.len() > MOST_PARTS {
        return format!("{} places", labels.len());
    }
    labels.join(", ")
}

/// Parts of which somebody said that they are not there.
fn absent(of: &Assessment) -> Option<String> {
    let absent = of.parts.iter();
    let absent = absent.filter(|it| matches!(it.state, PartState::Absent(_)));
    let labels: Vec<String> = absent.map(|it| it.label.to_lowercase()).collect();
    (!labels.is_empty()).then(|| format!("Not there: {}.", places(labels)))
}

fn hours(minutes: i64) -> String {
    match (minutes + 30).div_euclid(60) {
        0 => "half an hour".to_owned(),
        1 => "1 hour".to_owned(),
        hours => format!("{hours} hours"),
    }
}

/// What nobody could see.
fn unseen(it: &PricedOption) -> Option<String> {
    let said = |id: Question| {
        Some(match id {
            // A look that anybody takes on the spot; said to a seller it would only offend.
            Question::SmellAfterADay => return None,
            Question::FaceNotMeasured => "I cannot tell how thick the veneer is",
            Question::BeetleAlive => "the beetle may be alive",
            Question::UndersideNotSeen => "I have not seen the underside",
            Question::DrawersNotOpened => "I have not seen the drawers from inside",
            Question::LockShut => "something is locked",
            Question::LeadNotTested => "the old paint was not tested for lead",
            Question::BackNotSeen => "I have not seen the back",
            Question::CoatNotTested => "the old coat was not tested",
            Question::MaterialNotSettled => "I cannot tell whether it is solid",
            Question::Own => "one thing I still have to look up",
        })
    };
    let mut lines: Vec<String> = it
        .asked
        .iter()
        .filter_map(|it| said(it.id))
        .map(str::to_owned)
        .collect();
    if lines.len() > MOST_UNSEEN {
        let more = lines.len() - MOST_UNSEEN + 1;
        lines.truncate(MOST_UNSEEN - 1);
        lines.push(format!("{more} things more are open"));
    }
    let (last, before) = lines.split_last()?;
    let text = if before.is_empty() {
        last.clone()
    } else {
        format!("{}, and {last}", before.join(", "))
    };
    let mut letters = text.chars();
    let first = letters.next()?.to_uppercase().to_string();
    Some(format!("{first}{}.", letters.as_str()))
}
