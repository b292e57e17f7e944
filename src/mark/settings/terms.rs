//! The user's own hours, prices and terms of an offer.

use std::collections::BTreeMap;

use toml::de::DeTable;
use toml::de::DeValue;

use crate::kit::diagnostic::Span;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::mark::keys;
use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;
use crate::mark::read::values;
use crate::mark::read::values::Value;
use crate::mark::settings::trade_words::TradeWords;
use crate::model::settings::Terms;

/// Longest time until a piece is sold that makes sense, weeks.
const MOST_WEEKS: u32 = 520;

/// Hours of a day.
const MOST_HOURS: f64 = 24.0;

/// The user's own hours for a unit of a method.
pub(crate) fn hours(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    words: &TradeWords,
) -> BTreeMap<String, [f64; 3]> {
    let mut hours = BTreeMap::new();
    let Some(table) = values::table(talk, table, "hours") else {
        return hours;
    };
    for (key, value) in table {
        let method = key.get_ref().as_ref();
        if !is_known(talk, key.span(), method, "method", &words.methods) {
            continue;
        }
        let ascend = |it: &[f64; 3]| it[0] > 0.0 && it[0] <= it[1] && it[1] <= it[2];
        let own = values::numbers::<3>(value).filter(|it| ascend(it) && it[2].is_finite());
        match own {
            Some(own) => {
                hours.insert(method.to_owned(), own);
            }
            None => talk.advise(
                value.span(),
                format!(
                    "{} must be three numbers of hours above 0, ascending",
                    quoted(method)
                ),
                format!("write low, likely, high, like `{method} = [0.5, 1, 2]`"),
            ),
        }
    }
    hours
}

/// The user's own cost of materials for a unit of a method.
pub(crate) fn prices(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    words: &TradeWords,
    currency: Currency,
) -> BTreeMap<String, Money> {
    let mut prices = BTreeMap::new();
    let Some(table) = values::table(talk, table, "prices") else {
        return prices;
    };
    for key in table.keys() {
        let method = key.get_ref().as_ref();
        if !is_known(talk, key.span(), method, "method", &words.methods) {
            continue;
        }
        if let Some(price) = amount(talk, table, method, currency) {
            prices.insert(method.to_owned(), price);
        }
    }
    prices
}

/// The user's own terms of an offer.
pub(crate) fn terms(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    words: &TradeWords,
    currency: Currency,
) -> Terms {
    let Some(table) = values::table(talk, table, "terms") else {
        return Terms::default();
    };
    values::check_keys(talk, table, &keys::TERMS, |_| None);
    let channel = values::text(talk, table, "channel");
    let channel = channel.filter(|it| {
        let span = it.span.clone();
        is_known(talk, span, &it.text, "channel", &words.channels)
    });
    let [fee, margin, risk, discount] =
        ["fee", "margin", "risk", "discount"].map(|key| share(talk, table, key));
    let [least_margin, lowest_hourly, pickup, delivery, storage_week] = [
        "least_margin",
        "lowest_hourly",
        "pickup",
        "delivery",
        "storage_week",
    ]
    .map(|key| amount(talk, table, key, currency));
    Terms {
        channel: channel.map(|it| it.text),
        fee,
        margin,
        least_margin,
        risk,
        discount,
        lowest_hourly,
        pickup,
        delivery,
        storage_week,
        weeks: weeks(talk, table),
        minutes_a_day: minutes_a_day(talk, table),
    }
}

/// Whether a word of the trade book is known; complains when it is not.
fn is_known(talk: &mut Talk<'_>, span: Span, word: &str, kind: &str, known: &[String]) -> bool {
    if known.iter().any(|it| it == word) {
        return true;
    }
    let message = format!("{} is not a {kind} of the trade book", quoted(word));
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let plural = format!("{kind}s");
    talk.look_up(span, message, || suggest::help(word, &plural, &known, &[]));
    false
}

/// An amount of 0 or more: a number, or text in quotes; nothing when the key is not there, or says nothing between its quotes.
pub(crate) fn amount(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    key: &str,
    currency: Currency,
) -> Option<Money> {
    let value = table.get(key)?;
    let text = match value.get_ref() {
        DeValue::String(it) if it.trim().is_empty() => return None,
        _ => decimal(value),
    };
    let Some(text) = text else {
        let message = format!("`{key}` must be an amount, not {}", values::kind(value));
        let help = format!("write it like `{key} = \"25.00\"`");
        talk.advise(value.span(), message, help);
        return None;
    };
    let amount = currency.amount(text);
    let amount = amount
        .map_err(|why| talk.say(value.span(), why.to_string()))
        .ok()?;
    if amount.minor < 0 {
        talk.say(value.span(), format!("`{key}` must not be below 0"));
    }
    Some(amount)
}

/// A share in percent, in hundredths of a percent; exact.
fn share(talk: &mut Talk<'_>, table: &DeTable<'_>, key: &str) -> Option<u32> {
    let value = table.get(key)?;
    let text = decimal(value);
    let share = text.and_then(|it| hundredths(it.trim().trim_end_matches('%').trim_end()));
    let share = share.filter(|it| *it <= 10_000);
    if share.is_none() {
        let message = format!("`{key}` must be a share in percent, from 0 to 100");
        let help = format!("write it like `{key} = \"35 %\"`");
        talk.advise(value.span(), message, help);
    }
    share
}

/// `12`, `12.5` or `12,25` in hundredths.
fn hundredths(text: &str) -> Option<u32> {
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, "0"));
    let digits = |it: &str| !it.is_empty() && it.bytes().all(|it| it.is_ascii_digit());
    if !digits(whole) || !digits(part) || part.len() > 2 {
        return None;
    }
    let whole: u32 = whole.parse().ok()?;
    let part: u32 = format!("{part:0<2}").parse().ok()?;
    whole.checked_mul(100)?.checked_add(part)
}

/// What stands there as a plain decimal number or as text.
fn decimal<'a>(value: &'a Value<'_>) -> Option<&'a str> {
    match value.get_ref() {
        DeValue::String(it) => Some(it.as_ref()),
        DeValue::Integer(it) if it.radix() == 10 => Some(it.as_str()),
        DeValue::Float(it) => Some(it.as_str()),
        _ => None,
    }
}

fn weeks(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Option<u32> {
    let value = table.get("weeks")?;
    let weeks = match value.get_ref() {
        DeValue::Integer(_) => decimal(value).and_then(|it| it.parse::<u32>().ok()),
        _ => None,
    };
    let weeks = weeks.filter(|it| *it <= MOST_WEEKS);
    if weeks.is_none() {
        let message = format!("`weeks` must be a whole number, from 0 to {MOST_WEEKS}");
        talk.say(value.span(), message);
    }
    weeks
}

fn minutes_a_day(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Option<u32> {
    let value = table.get("hours_a_day")?;
    let hours = values::number(value).filter(|it| *it > 0.0 && *it <= MOST_HOURS);
    // The whole minutes of at most a day; a time below half a minute is none.
    let minutes = hours.and_then(|it| (1..=1440).rev().find(|n| f64::from(*n) <= it * 60.0 + 0.5));
    if minutes.is_none() {
        let message = "`hours_a_day` must be hours, above 0 and up to 24";
        talk.advise(value.span(), message, "write it like `hours_a_day = 3.5`");
    }
    minutes
}
