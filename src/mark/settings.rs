//! The user's settings, from `book.toml`.

use toml::de::DeTable;
use toml::de::DeValue;

use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::mark::keys;
use crate::mark::source::Talk;
use crate::mark::values;
use crate::model::complaint::Complaint;
use crate::model::settings::Settings;

/// The currency of a book that names none.
const USUAL_CURRENCY: &str = "EUR";

/// Reads `book.toml`; what it does not say is empty, and the currency EUR.
///
/// # Errors
/// With everything that is wrong, sorted by place.
pub fn settings(file: &str, text: &str) -> Result<Settings, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    let table = talk.table();
    let settings = table.and_then(|table| read(&mut talk, table.get_ref()));
    talk.end(settings)
}

/// A new `book.toml`, to be filled in.
#[must_use]
pub fn fresh_settings() -> String {
    r#"# Settings of this stock book. Everything may stay as it is.

# The name on your reports.
trading_name = ""
# How a buyer reaches you.
contact = ""
# Who examines the pieces, unless a piece says otherwise.
examined_by = ""
# The currency of every amount: its three letters by ISO 4217.
currency = "EUR"
# What an hour of your work is worth; never shown to a buyer.
# hourly_rate = "25.00"
"#
    .to_owned()
}

fn read(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Option<Settings> {
    let mut known = keys::SETTINGS.to_vec();
    known.extend(keys::RESERVED);
    values::check_keys(talk, table, &known, |_| None);
    for key in keys::RESERVED {
        if let Some((key, _)) = table.get_key_value(key) {
            let message = format!("`{}` is not known yet", key.get_ref());
            talk.advise(
                key.span(),
                message,
                "leave it out; the name is kept for later",
            );
        }
    }
    let mut line = |key| {
        values::text(talk, table, key)
            .map(|it| it.text)
            .unwrap_or_default()
    };
    let [trading_name, contact, examined_by] =
        ["trading_name", "contact", "examined_by"].map(&mut line);
    let currency = currency(talk, table)?;
    let hourly_rate = hourly_rate(talk, table, currency);
    Some(Settings {
        trading_name,
        contact,
        examined_by,
        currency,
        hourly_rate,
        ..Settings::usual(currency)
    })
}

fn currency(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Option<Currency> {
    let Some(text) = values::text(talk, table, "currency") else {
        return USUAL_CURRENCY.parse().ok();
    };
    let currency = text.text.parse::<Currency>();
    currency
        .map_err(|why| talk.say(text.span, why.to_string()))
        .ok()
}

fn hourly_rate(talk: &mut Talk<'_>, table: &DeTable<'_>, currency: Currency) -> Option<Money> {
    let value = table.get("hourly_rate")?;
    let text = match value.get_ref() {
        DeValue::String(it) if it.trim().is_empty() => return None,
        DeValue::String(it) => it.as_ref(),
        DeValue::Integer(it) if it.radix() == 10 => it.as_str(),
        DeValue::Float(it) => it.as_str(),
        _ => {
            let message = format!(
                "`hourly_rate` must be an amount, not {}",
                values::kind(value)
            );
            talk.advise(
                value.span(),
                message,
                "write it like `hourly_rate = \"25.00\"`",
            );
            return None;
        }
    };
    let amount = currency.amount(text);
    let amount = amount
        .map_err(|why| talk.say(value.span(), why.to_string()))
        .ok()?;
    if amount.minor < 0 {
        talk.say(value.span(), "`hourly_rate` must not be below 0");
    }
    Some(amount)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::fresh_settings;
    use super::settings;

    #[test]
    fn new_settings_are_the_usual_ones() {
        let fresh = settings("book.toml", &fresh_settings()).unwrap();
        assert_eq!(Ok(&fresh), settings("book.toml", "").as_ref());
        let with_rate = fresh_settings().replace("# hourly_rate", "hourly_rate");
        let rate = settings("book.toml", &with_rate)
            .unwrap()
            .hourly_rate
            .unwrap();
        assert_eq!(rate.to_string(), "EUR 25.00");
    }

    #[test]
    fn a_rate_is_text_or_a_number_and_exact() {
        let rate = |text: &str| {
            settings("", &format!("hourly_rate = {text}"))
                .map(|it| it.hourly_rate.map(|it| it.minor))
        };
        for (text, minor) in [("25", 2500), ("25.5", 2550), ("\"25,05\"", 2505), ("0", 0)] {
            assert_eq!(rate(text), Ok(Some(minor)), "{text}");
        }
        assert_eq!(rate("\"\""), Ok(None));
        for wrong in ["-1", "nan", "1e3", "0x10", "\"much\"", "25.001", "true"] {
            assert!(rate(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn kept_names_are_told_from_unknown_ones() {
        let said = |text: &str| settings("", text).unwrap_err().remove(0).message;
        assert_eq!(said("[words]\na = 1"), "`words` is not known yet");
        assert_eq!(said("[hours]"), "`hours` is not known yet");
        assert_eq!(said("hours.gluing = 2"), "`hours` is not known yet");
        assert_eq!(said("[hour]"), "`hour` is not a key here");
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_complained_of(text in any::<String>(), at in 0_usize..300, slip in any::<char>()) {
            let _ = settings("book.toml", &text);
            let mut fresh: Vec<char> = fresh_settings().chars().collect();
            fresh.insert(at.min(fresh.len()), slip);
            let _ = settings("book.toml", &fresh.iter().collect::<String>());
        }
    }
}
