//! What can be said to a seller at the door: the first bid, every danger, the two faults that cost most, the names
//! of the others, what could not be seen. Never what it sells for, and never how far we would go: no other amount than the bid is
//! spoken.

use std::collections::BTreeMap;

use crate::advise::part::surface::Kinds;
use crate::advise::price::doubts::lead::is_tested_somewhere;
use crate::advise::price::doubts::lead::untold_test;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::doubts::stops::MARRIAGE;
use crate::advise::price::doubts::stops::Stopped;
use crate::advise::price::offer::Verdict;
use crate::advise::price::priced_option::PricedOption;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Untold;
use crate::assess::findings::finding::is_failing;
use crate::kit::money::Money;
use crate::kit::text::listed;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::offer::Question;
use crate::trade::entry::offer::Stop;
use crate::trade::entry::offer::StopRule;

/// Most open questions in one sentence.
pub(in crate::advise) const MOST_UNSEEN: usize = 3;

/// So many reasons for the bid are named.
pub(in crate::advise) const FAULTS: usize = 2;

/// A fault that costs nothing of its own is named from this level on, without an hour.
pub(in crate::advise) const WORTH_SAYING: u8 = 2;

/// Most kinds of fault that are named without more words.
pub(in crate::advise) const MOST_NAMED: usize = 4;

/// Most parts that are named one by one.
pub(in crate::advise) const MOST_PARTS: usize = 3;

/// The sentences for a way.
#[must_use]
pub fn words(it: &PricedOption, of: &Assessment, book: &TradeBook) -> Vec<String> {
    let reason = reason(it);
    let mut said = vec![opening(it, of, reason)];
    // What the reason names is said with it.
    let named = reason.map_or_else(Vec::new, |it| faults_of(it, book));
    let kinds = faults(it, of, book).into_iter();
    let kinds = kinds.filter(|it| !named.contains(&it.found[0].tag.as_str()));
    let (dangers, rest): (Vec<_>, Vec<_>) = kinds.partition(|it| it.cannot_wait);
    let dangers: Vec<String> = dangers.iter().map(fault).collect();
    // What is not bought needs no reasons for a bid, and nothing that would have to be looked at for one.
    if it.offer.verdict == Verdict::Walk {
        said.extend(dangers);
        return said;
    }
    let told = FAULTS.saturating_sub(dangers.len()).max(1);
    said.extend(dangers);
    said.extend(of.not_there().map(|it| it.to_string()));
    let two_pieces = it.stops.iter().find(|it| it.id == MARRIAGE);
    let two_pieces = two_pieces.map(|it| it.what.clone());
    let told = told.saturating_sub(two_pieces.iter().count());
    said.extend(two_pieces);
    let told = told.max(1).min(rest.len());
    said.extend(rest[..told].iter().map(fault));
    said.extend(also(&rest[told..]));
    said.extend(unseen(it, of, book));
    said
}

/// The other kinds of fault by name, as a seller asks what they are.
fn also(others: &[Costs<'_>]) -> Option<String> {
    let named = others.iter().take(MOST_NAMED);
    let named = named.filter_map(|it| Some(small(&it.found.first()?.term)));
    let mut named: Vec<String> = named.collect();
    match others.len().saturating_sub(MOST_NAMED) {
        0 => {}
        1 => named.push("one thing more".to_owned()),
        more => named.push(format!("{more} things more")),
    }
    (!named.is_empty()).then(|| format!("Also: {}.", listed(&named)))
}

/// The reason that decides: why it is not bought, or only for its parts.
fn reason(it: &PricedOption) -> Option<&Stopped> {
    let stop = match it.offer.verdict {
        Verdict::Walk => Stop::Walk,
        Verdict::Donor => Stop::Donor,
        Verdict::Offer | Verdict::NotKnown => return None,
    };
    it.stops.iter().find(|it| it.stop == stop)
}

/// The faults of which a reason speaks.
fn faults_of<'a>(reason: &Stopped, book: &'a TradeBook) -> Vec<&'a str> {
    let mut rules = book.offer.stops.iter();
    let rule = rules.find(|it| it.id == reason.id);
    rule.map_or_else(Vec::new, faults_in)
}

/// The faults of which a rule speaks.
pub(in crate::advise) fn faults_in(rule: &StopRule) -> Vec<&str> {
    let asked = rule.when.iter().flatten();
    let faults = asked.filter_map(|it| match it {
        Condition::Fault { tag, .. } => Some(tag.as_str()),
        _ => None,
    });
    faults.collect()
}

fn opening(it: &PricedOption, of: &Assessment, reason: Option<&Stopped>) -> String {
    let reason = reason.map_or_else(String::new, |it| format!("{} ", it.what));
    let bid = it.offer.sums.as_ref().and_then(|sums| sums.first_bid);
    let bid = bid.map(|[from, _]| whole(from));
    match (it.offer.verdict, bid) {
        (Verdict::Walk, _) => format!("{reason}I cannot take it."),
        (Verdict::NotKnown, _) if it.offer.sums.is_some() => {
            "I cannot name a price yet: somebody else has to do part of the work, and I have to ask what that costs."
                .to_owned()
        }
        // Nothing on the piece is missing where the terms of an offer are.
        (Verdict::NotKnown, _) if !it.offer.sold.is_empty() && !it.offer.tell.is_empty() => {
            "I cannot name a price yet: I have to work it out first.".to_owned()
        }
        (Verdict::NotKnown, _) if !of.piece.market.sold.is_empty() => {
            "I cannot name a price yet: I have to look at it more closely first.".to_owned()
        }
        // What is worth only its parts is worth something, and how much is not known before a price is told.
        (Verdict::NotKnown | Verdict::Donor, None) if it.offer.sums.is_none() => format!(
            "{reason}I cannot name a price yet: I have to look up what such pieces bring."
        ),
        (Verdict::Donor | Verdict::Offer, Some(Some(bid))) => {
            format!("{reason}I can offer you {bid}.")
        }
        _ => format!("{reason}I can take it away, but I cannot pay for it."),
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
    /// Whether one of them is a danger, or somebody may come to harm on it.
    cannot_wait: bool,
    found: Vec<&'a Finding>,
}

/// The kinds of fault, the worst danger first, then the dearest. Work that is done on
/// sound parts too, such as waxing all of it, is no fault's.
fn faults<'a>(it: &PricedOption, of: &'a Assessment, book: &TradeBook) -> Vec<Costs<'a>> {
    let wage = it.offer.sums.as_ref().map_or(1, |sums| sums.wage.minor);
    let of_part = Kinds::of(of, book);
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
        let danger = book.tag(&finding.tag);
        let danger = danger.is_some_and(|it| it.is_danger(finding.level));
        kind.cannot_wait |= danger || is_failing(finding, of_part.kind(&finding.part), book);
        let named = kind.found.iter().any(|it| it.no == finding.no);
        if !named && level >= WORTH_SAYING {
            kind.found.push(finding);
        }
    }
    let kinds = kinds.into_values().filter(|it| !it.found.is_empty());
    let mut kinds: Vec<Costs<'_>> = kinds.collect();
    kinds.sort_by_key(|it| {
        let danger = if it.cannot_wait { it.level } else { 0 };
        std::cmp::Reverse((danger, it.bill_open.is_some(), it.of, it.level))
    });
    kinds
}

/// What it is, where, and how long it takes.
fn fault(it: &Costs<'_>) -> String {
    let term = it.found.first().map_or("", |it| it.term.as_str());
    let labels = it.found.iter().map(|it| small(&it.placed().to_string()));
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

/// Two shares of an hour add up to that hour: each is half of one.
fn hours(minutes: i64) -> String {
    match (minutes + 30).div_euclid(60) {
        _ if minutes < 45 => "half an hour".to_owned(),
        1 => "1 hour".to_owned(),
        hours => format!("{hours} hours"),
    }
}

/// What is said to a seller of a question that is open; `None` for a look that anybody takes on the spot: it would only offend.
pub(in crate::advise) fn open(id: Question) -> Option<&'static str> {
    let text = match id {
        Question::SmellAfterADay => return None,
        Question::FaceNotMeasured => "I cannot tell how thick the veneer is",
        Question::BeetleAlive => "the beetle may be alive",
        Question::UndersideNotSeen => "I have not seen the underside",
        Question::DrawersNotOpened => "I have not seen the drawers from inside",
        Question::LockShut => "something is locked",
        Question::UnderOldRepair => "an earlier repair does not hold",
        Question::LeadNotTested => "the old paint was not tested for lead",
        Question::BackNotSeen => "I have not seen the back",
        Question::CoatNotTested => "the old coat was not tested",
        Question::MaterialNotSettled => "I cannot tell whether it is solid",
        Question::Own => "one thing I still have to look up",
    };
    Some(text)
}

/// What nobody could see.
fn unseen(it: &PricedOption, of: &Assessment, book: &TradeBook) -> Option<String> {
    let untold = untold_test(of, book).map(|it| {
        let (day, result) = (it.day.spoken(), Untold::of(it));
        let result = match result {
            Untold::Wholly => "with no result told",
            Untold::ButNoted => "with its result in a note alone",
        };
        format!("the old paint was tested for lead on {day}, {result}")
    });
    let said = |it: &Asked| {
        if let Some(untold) = untold.as_ref().filter(|_| it.is_awaited) {
            return Some(untold.clone());
        }
        let text = match it.id {
            Question::LeadNotTested if untold.is_some() || is_tested_somewhere(of, book) => {
                "not all of the old paint was tested for lead"
            }
            id => open(id)?,
        };
        Some(text.to_owned())
    };
    let mut lines: Vec<String> = it.asked.iter().filter_map(said).collect();
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
