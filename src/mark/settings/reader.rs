//! The user's settings, from `book.toml`.

use toml::de::DeTable;

use crate::kit::money::Currency;
use crate::mark::keys;
use crate::mark::read::source::Talk;
use crate::mark::read::values;
use crate::mark::settings::season;
use crate::mark::settings::terms;
use crate::mark::settings::trade_words::TradeWords;
use crate::model::complaint::Complaint;
use crate::model::settings::Settings;
use crate::tongue::Language;

/// The currency of a book that names none.
const USUAL_CURRENCY: &str = "EUR";

/// Reads `book.toml`; what it does not say is the usual, and the currency EUR.
///
/// # Errors
/// With everything that is wrong, sorted by place.
pub fn settings(file: &str, text: &str, words: &TradeWords) -> Result<Settings, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    let table = talk.table();
    let settings = table.and_then(|table| read(&mut talk, table.get_ref(), words));
    talk.end(settings)
}

/// A new `book.toml`, to be filled in.
#[must_use]
pub fn fresh_settings(currency: Option<Currency>) -> String {
    let usual = include_str!("fresh_settings.toml");
    let own = currency.map_or_else(|| USUAL_CURRENCY.to_owned(), |it| it.to_string());
    usual.replace(USUAL_CURRENCY, &own)
}

fn read(talk: &mut Talk<'_>, table: &DeTable<'_>, words: &TradeWords) -> Option<Settings> {
    values::check_keys(talk, table, &keys::SETTINGS, |key| {
        let own = key == "words";
        own.then(|| "your own words go into `words.toml`, beside this file".to_owned())
    });
    let mut line = |key| {
        values::text(talk, table, key)
            .map(|it| it.text)
            .unwrap_or_default()
    };
    let [trading_name, contact, address, phone, examined_by] =
        ["trading_name", "contact", "address", "phone", "examined_by"].map(&mut line);
    // The rest is read all the same, so that all that is wrong is told at once.
    let currency = currency(talk, table).or_else(|| USUAL_CURRENCY.parse().ok())?;
    Some(Settings {
        trading_name,
        contact,
        address,
        phone,
        examined_by,
        language: language(talk, table),
        currency,
        country: country(talk, table),
        hourly_rate: terms::amount(talk, table, "hourly_rate", currency),
        hours: terms::hours(talk, table, words),
        prices: terms::prices(talk, table, words, currency),
        terms: terms::terms(talk, table, words, currency),
        season: season::season(talk, table),
    })
}

/// Two letters by ISO 639; English where none is told.
fn language(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Language {
    let text = values::text(talk, table, "language");
    let language = text.map(|it| it.text.parse::<Language>().map_err(|why| (it.span, why)));
    match language {
        Some(Err((span, why))) => {
            talk.say(span, why.to_string());
            Language::default()
        }
        Some(Ok(it)) => it,
        None => Language::default(),
    }
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

/// Two letters by ISO 3166-1, such as `GB`.
fn country(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Option<String> {
    let text = values::text(talk, table, "country")?;
    let letters = text.text.trim().to_ascii_uppercase();
    let fits = letters.len() == 2 && letters.chars().all(|it| it.is_ascii_uppercase());
    if !fits {
        let says = "`country` must be two letters by ISO 3166-1, such as `GB`";
        talk.say(text.span, says.to_owned());
    }
    fits.then_some(letters)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::fresh_settings;
    use crate::mark::samples::trade_words;
    use crate::model::complaint::Complaint;
    use crate::model::settings::Settings;

    fn settings(text: &str) -> Result<Settings, Vec<Complaint>> {
        super::settings("book.toml", text, &trade_words())
    }

    /// Every complaint as `line:column message | help`.
    fn said(text: &str) -> Vec<String> {
        let complaints = settings(text).unwrap_err();
        let said = complaints.iter().map(|it| {
            let help = it
                .help
                .as_deref()
                .map_or(String::new(), |it| format!(" | {it}"));
            format!("{}:{} {}{help}", it.line, it.column, it.message)
        });
        said.collect()
    }

    #[test]
    fn new_settings_are_the_usual_ones() {
        let fresh = settings(&fresh_settings(None)).unwrap();
        assert_eq!(Ok(&fresh), settings("").as_ref());
        assert_eq!(fresh, Settings::usual(fresh.currency));
    }

    /// What the new file shows in comments is right when the comments are taken away.
    #[test]
    fn every_example_of_the_new_settings_is_read() {
        let is_example = |it: &str| it.starts_with("# [") || it.contains(" = ");
        let lines = fresh_settings(None);
        let lines: Vec<_> = lines
            .lines()
            .map(|it| {
                if is_example(it) {
                    it.trim_start_matches("# ")
                } else {
                    it
                }
            })
            .collect();
        let it = settings(&lines.join("\n")).unwrap();
        assert_eq!(it.hourly_rate.unwrap().to_string(), "EUR 25.00");
        assert_eq!(it.country.as_deref(), Some("GB"));
        assert_eq!(it.language, crate::tongue::Language::German);
        assert_eq!(it.hours["strip"], [1.0, 2.0, 4.0]);
        assert_eq!(it.prices["topcoat"].to_string(), "EUR 3.50");
        assert_eq!(it.terms.channel.as_deref(), Some("marketplace"));
        assert_eq!((it.terms.fee, it.terms.margin), (Some(1250), Some(3500)));
        assert_eq!(
            (it.terms.weeks, it.terms.minutes_a_day),
            (Some(6), Some(210))
        );
        assert_eq!((it.season.winter, it.season.now), (35.0, Some(48.0)));
        for key in crate::mark::keys::TERMS
            .iter()
            .chain(&crate::mark::keys::SEASON)
        {
            let shown = lines.iter().any(|it| it.starts_with(&format!("{key} = ")));
            assert!(shown, "{key} is not shown");
        }
    }

    #[test]
    fn a_rate_is_text_or_a_number_and_exact() {
        let rate = |text: &str| {
            settings(&format!("hourly_rate = {text}")).map(|it| it.hourly_rate.map(|it| it.minor))
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
    fn shares_are_exact_and_written_as_people_do() {
        let fee = |text: &str| settings(&format!("[terms]\nfee = {text}")).map(|it| it.terms.fee);
        for (text, share) in [
            ("35", 3500),
            ("\"35 %\"", 3500),
            ("\"12.5%\"", 1250),
            ("\"12,25 %\"", 1225),
            ("12.5", 1250),
            ("0", 0),
            ("100", 10_000),
        ] {
            assert_eq!(fee(text), Ok(Some(share)), "{text}");
        }
        for wrong in [
            "\"\"",
            "101",
            "-1",
            "\"a third\"",
            "12.345",
            "true",
            "[1]",
            "1e1",
            "nan",
        ] {
            assert!(fee(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_temperature_has_its_unit() {
        let celsius = |text: &str| {
            settings(&format!("[season]\ntemperature = {text}")).map(|it| it.season.celsius)
        };
        for (text, degrees) in [
            ("\"21 C\"", 21.0),
            ("\"21 °C\"", 21.0),
            ("\"18,5C\"", 18.5),
            ("\"-2 c\"", -2.0),
        ] {
            assert_eq!(celsius(text), Ok(degrees), "{text}");
        }
        // 70 F is 21.1 C: (70 - 32) x 5 / 9.
        let seventy = celsius("\"70 F\"").unwrap();
        assert!((seventy - 190.0 / 9.0).abs() < 1e-12);
        for wrong in [
            "21",
            "\"21\"",
            "\"warm\"",
            "\"200 C\"",
            "\"nan C\"",
            "\"inf F\"",
            "true",
        ] {
            assert!(celsius(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn every_mistake_is_told_with_its_place() {
        let text = "hours = 3\n[prices]\nstirp = 5\nstrip = \"-5\"\n[terms]\nchannel = \"own sale\"\nmargn = 3\nmargin = \"much\"\nweeks = 1.5\nhours_a_day = 25\n[season]\nwinter = 120\nnow = \"dry\"\ntemperature = 21\n";
        assert_eq!(
            said(text),
            [
                "1:9 `hours` must be a table, not a number | write `[hours]` on a line of its own, and what belongs to it below",
                "3:1 `stirp` is not a method of the trade book | did you mean `strip`?",
                "4:9 `strip` must not be below 0",
                "6:11 `own sale` is not a channel of the trade book | did you mean `own_sale`?",
                "7:1 `margn` is not a key here | did you mean `margin`?",
                "8:10 `margin` must be a share in percent, from 0 to 100 | write it like `margin = \"35 %\"`",
                "9:9 `weeks` must be a whole number, from 0 to 520",
                "10:15 `hours_a_day` must be hours, above 0 and up to 24 | write it like `hours_a_day = 3.5`",
                "12:10 `winter` must be a relative humidity in percent, above 0 and up to 100 | write it like `winter = \"35 %\"`",
                "13:7 `now` must be a relative humidity in percent, above 0 and up to 100 | write it like `now = \"35 %\"`",
                "14:15 `temperature` must be text with its unit, not a number | write it like `temperature = \"21 C\"` or `\"70 F\"`",
            ]
        );
        assert_eq!(
            said(
                "[hours]\nstrip = [2, 1, 3]\nsand = 2\npaint = [0, 1, 2]\ntopcoat = [1, 2]\n[[terms]]\n"
            ),
            [
                "2:9 `strip` must be three numbers of hours above 0, ascending | write low, likely, high, like `strip = [0.5, 1, 2]`",
                "3:8 `sand` must be three numbers of hours above 0, ascending | write low, likely, high, like `sand = [0.5, 1, 2]`",
                "4:9 `paint` must be three numbers of hours above 0, ascending | write low, likely, high, like `paint = [0.5, 1, 2]`",
                "5:11 `topcoat` must be three numbers of hours above 0, ascending | write low, likely, high, like `topcoat = [0.5, 1, 2]`",
                "6:1 `terms` must be a table, not a list | write `[terms]` on a line of its own, and what belongs to it below",
            ]
        );
        assert_eq!(
            said("[words]\na = 1\n[hour]\n"),
            [
                "1:2 `words` is not a key here | your own words go into `words.toml`, beside this file",
                "3:2 `hour` is not a key here | did you mean `hours`?",
            ]
        );
        assert_eq!(said("hours.gluing = 2").len(), 1);
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_complained_of(text in any::<String>(), at in 0_usize..2000, slip in any::<char>()) {
            let _ = settings(&text);
            let bare = fresh_settings(None).replace("\n# ", "\n");
            let mut fresh: Vec<char> = bare.chars().collect();
            fresh.insert(at.min(fresh.len()), slip);
            let _ = settings(&fresh.iter().collect::<String>());
        }
    }
}
