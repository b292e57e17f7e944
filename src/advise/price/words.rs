//! What can be said to a seller at the door: a few short sentences with numbers, and nothing that has to be hidden.

use crate::advise::price::offer::Sums;
use crate::advise::price::offer::Verdict;
use crate::advise::price::priced_option::PricedOption;
use crate::advise::price::stops::Stopped;
use crate::kit::money::Money;
use crate::trade::entry::offer::Question;
use crate::trade::entry::offer::Stop;

/// Most open questions in one sentence.
const MOST_UNSEEN: usize = 3;

/// A task stands out when it is one part of so many of the hours.
const STANDS_OUT: i64 = 8;

/// The sentences for a way, three to six of them.
#[must_use]
pub fn words(it: &PricedOption, stops: &[Stopped]) -> Vec<String> {
    let mut said = vec![opening(it, stops)];
    if let Some(sums) = &it.offer.sums {
        let lowest = whole(sums.lowest_sold);
        said.push(format!("Like this it sells for {lowest} at the least."));
    }
    said.push(work(it));
    said.extend(unseen(it));
    if let Some(first) = it.offer.not_in_it.first() {
        said.push(format!(
            "{first}: nobody knows yet what that costs, and it comes off my price."
        ));
    }
    if let Some(day) = wait(it) {
        said.push(day);
    }
    said.truncate(6);
    said
}

fn opening(it: &PricedOption, stops: &[Stopped]) -> String {
    let first = |stop: Stop| {
        let found = stops.iter().find(|it| it.stop == stop);
        found.map_or("", |it| it.what.as_str())
    };
    match (&it.offer.sums, it.offer.verdict) {
        (Some(sums), Verdict::Offer) => format!("I can go to {}.", whole(sums.highest)),
        (Some(sums), Verdict::Donor) => format!(
            "{} I can take it for its parts, for {}.",
            first(Stop::Donor),
            parts_price(sums)
        ),
        (_, Verdict::Donor) => format!("{} I can only take it for its parts.", first(Stop::Donor)),
        (_, Verdict::Walk) if stops.iter().any(|it| it.stop == Stop::Walk) => {
            format!("{} I cannot take it.", first(Stop::Walk))
        }
        (Some(sums), _) => format!(
            "The work costs more than it brings, so I can only take it for its parts, for {}.",
            parts_price(sums)
        ),
        (None, _) => {
            "I cannot name a price yet: I have to find out what such pieces were sold for."
                .to_owned()
        }
    }
}

fn parts_price(sums: &Sums) -> String {
    let [from, to] = sums.donor;
    format!("{} to {}", whole(from), whole(to))
}

/// An amount in whole units, rounded down: what is said at a door is a round number.
fn whole(money: Money) -> String {
    let scale = 10_i64.pow(money.currency.decimals());
    format!("{} {}", money.currency, money.minor.div_euclid(scale))
}

/// The hours, and the task that takes most of them, if it stands out.
fn work(it: &PricedOption) -> String {
    let minutes = it.plan.hours.minutes.likely + it.may_come.minutes.likely;
    let real = it.plan.tasks.iter().filter(|it| it.is_own());
    let real = real.filter(|it| !it.findings.is_empty() || it.unit.starts_with("m2"));
    let most = real.max_by_key(|it| it.minutes.likely);
    let hours = hours(minutes);
    match most.filter(|it| it.minutes.likely * STANDS_OUT >= minutes) {
        Some(task) => format!(
            "It wants about {hours} of work, most of it for: {}.",
            task.name.to_lowercase()
        ),
        None => format!("It wants about {hours} of work, fetching and selling it included."),
    }
}

fn hours(minutes: i64) -> String {
    let hours = (minutes + 30).div_euclid(60).max(1);
    if hours == 1 {
        "1 hour".to_owned()
    } else {
        format!("{hours} hours")
    }
}

/// What nobody could see.
fn unseen(it: &PricedOption) -> Option<String> {
    let said = |id: Question| match id {
        Question::FaceNotMeasured => "nobody has measured the veneer",
        Question::SmellAfterADay => "nobody knows how it smells when it was shut for a day",
        Question::BeetleAlive => "the beetle may be alive",
        Question::UndersideNotSeen => "I have not seen the underside",
        Question::DrawersNotOpened => "I have not seen the drawers from inside",
        Question::LockShut => "something is locked",
        Question::LeadNotTested => "the old paint was not tested for lead",
        Question::BackNotSeen => "I have not seen the back",
        Question::CoatNotTested => "the old coat was not tested",
        Question::MaterialNotSettled => "I cannot tell whether it is solid",
        Question::Own => "one thing I still have to look up",
    };
    let lines: Vec<&str> = it.asked.iter().map(|it| said(it.id)).collect();
    let shown = &lines[..lines.len().min(MOST_UNSEEN)];
    let (last, before) = shown.split_last()?;
    let mut text = if before.is_empty() {
        (*last).to_owned()
    } else {
        format!("{}, and {last}", before.join(", "))
    };
    if lines.len() > shown.len() {
        text = format!("{text}, and {} things more", lines.len() - shown.len());
    }
    let mut letters = text.chars();
    let first = letters.next()?.to_uppercase().to_string();
    Some(format!("{first}{}.", letters.as_str()))
}

/// How long it takes, when that is weeks.
fn wait(it: &PricedOption) -> Option<String> {
    let days = it.plan.days.from.days_to(it.plan.days.high.wrap);
    (days >= 14).then(|| format!("It may be {} weeks before I can sell it.", (days + 6) / 7))
}
