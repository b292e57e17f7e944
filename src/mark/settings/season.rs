//! The air of the rooms in which a piece stands.

use toml::de::DeTable;
use toml::de::DeValue;

use crate::mark::keys;
use crate::mark::read::source::Talk;
use crate::mark::read::values;
use crate::model::settings::Season;

/// Temperatures of rooms that make sense, degrees Celsius.
const ROOMS: std::ops::RangeInclusive<f64> = -20.0..=50.0;

/// The air as the user tells it; what is not told is the usual.
pub(crate) fn season(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Season {
    let usual = Season::default();
    let Some(table) = values::table(talk, table, "season") else {
        return usual;
    };
    values::check_keys(talk, table, &keys::SEASON, |_| None);
    let [winter, summer, now] = ["winter", "summer", "now"].map(|key| humidity(talk, table, key));
    Season {
        winter: winter.unwrap_or(usual.winter),
        summer: summer.unwrap_or(usual.summer),
        now: now.or(usual.now),
        celsius: celsius(talk, table).unwrap_or(usual.celsius),
    }
}

/// Relative humidity, percent.
fn humidity(talk: &mut Talk<'_>, table: &DeTable<'_>, key: &str) -> Option<f64> {
    let value = table.get(key)?;
    let percent = match value.get_ref() {
        DeValue::String(it) => number(it.trim().trim_end_matches('%')),
        _ => values::number(value),
    };
    let percent = percent.filter(|it| *it > 0.0 && *it <= 100.0);
    if percent.is_none() {
        let message =
            format!("`{key}` must be a relative humidity in percent, above 0 and up to 100");
        talk.advise(
            value.span(),
            message,
            format!("write it like `{key} = \"35 %\"`"),
        );
    }
    percent
}

fn celsius(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Option<f64> {
    const HELP: &str = "write it like `temperature = \"21 C\"` or `\"70 F\"`";
    let value = table.get("temperature")?;
    let Some(text) = value.get_ref().as_str() else {
        let kind = values::kind(value);
        let message = format!("`temperature` must be text with its unit, not {kind}");
        talk.advise(value.span(), message, HELP);
        return None;
    };
    let celsius = degrees(text).filter(|it| ROOMS.contains(it));
    if celsius.is_none() {
        let message = "`temperature` must be that of a room, in `C` or in `F`";
        talk.advise(value.span(), message, HELP);
    }
    celsius
}

/// `21 C`, `21 °C` or `70 F`, in degrees Celsius.
fn degrees(text: &str) -> Option<f64> {
    let text = text.trim();
    let (at, unit) = text.char_indices().next_back()?;
    let number = number(text[..at].trim_end().trim_end_matches('°'))?;
    match unit {
        'C' | 'c' => Some(number),
        'F' | 'f' => Some((number - 32.0) * 5.0 / 9.0),
        _ => None,
    }
}

/// A decimal number with a point or a comma.
fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let plain = |it: char| it.is_ascii_digit() || it == '.' || it == '-';
    text.chars().all(plain).then(|| text.parse().ok()).flatten()
}
