//! Numbers, days and lists in the form of a language: CLDR 46 (from memory; held against Babel in `tests/it/tongue.rs`).

use crate::kit::clock::Day;
use crate::kit::measure::Length;
use crate::kit::measure::LengthPair;
use crate::kit::measure::with_mm;
use crate::kit::text::joined_by;
use crate::tongue::Language;
use crate::tongue::Tongue;

const MONTHS_DE: [&str; 12] = [
    "Januar",
    "Februar",
    "März",
    "April",
    "Mai",
    "Juni",
    "Juli",
    "August",
    "September",
    "Oktober",
    "November",
    "Dezember",
];

const MONTHS_FR: [&str; 12] = [
    "janvier",
    "février",
    "mars",
    "avril",
    "mai",
    "juin",
    "juillet",
    "août",
    "septembre",
    "octobre",
    "novembre",
    "décembre",
];

/// A space at which no line breaks, narrow.
pub(super) const NARROW: char = '\u{202F}';

impl Tongue {
    /// `3 May 2026`, `3. Mai 2026`, `3 mai 2026`, and `1er mai 2026`.
    #[must_use]
    pub fn day(self, day: Day) -> String {
        let month = usize::try_from(day.month() - 1).unwrap_or_default();
        let (number, year) = (day.of_month(), day.year());
        match self.language {
            Language::English => day.spoken(),
            Language::German => format!("{number}. {} {year}", MONTHS_DE[month % 12]),
            Language::French => {
                let first = if number == 1 { "er" } else { "" };
                format!("{number}{first} {} {year}", MONTHS_FR[month % 12])
            }
        }
    }

    /// `1,234`, `1.234`, `1 234`.
    #[must_use]
    pub fn number(self, number: u64) -> String {
        let digits = number.to_string();
        let mut grouped = String::new();
        for (at, digit) in digits.chars().enumerate() {
            if at > 0 && (digits.len() - at).is_multiple_of(3) {
                grouped.push(match self.language {
                    Language::English => ',',
                    Language::German => '.',
                    Language::French => NARROW,
                });
            }
            grouped.push(digit);
        }
        grouped
    }

    /// `1,234.5`, `1.234,5`, `1 234,5`: with so many decimals.
    #[must_use]
    pub fn decimal(self, number: f64, decimals: usize) -> String {
        let text = format!("{:.decimals$}", number.abs());
        let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
        let whole = whole
            .parse()
            .map_or_else(|_| whole.to_owned(), |it| self.number(it));
        let sign = if number < 0.0 { "-" } else { "" };
        match (part, self.language) {
            ("", _) => format!("{sign}{whole}"),
            (_, Language::English) => format!("{sign}{whole}.{part}"),
            _ => format!("{sign}{whole},{part}"),
        }
    }

    /// `1900`, `480.5`, `480,5`: a length on a piece of furniture, as workshops write it, with no mark between the thousands.
    #[must_use]
    pub fn length_mm(self, mm: f64) -> String {
        let text = ((mm * 100.0).round() / 100.0).to_string();
        match self.language {
            Language::English => text,
            Language::German | Language::French => text.replace('.', ","),
        }
    }

    /// A measure in the form of the language: `12,5 mm`; `None` where the text is no measure.
    pub(super) fn measure(self, text: &str) -> Option<String> {
        let pair = text.parse::<LengthPair>().is_ok();
        let is_measure = pair || text.parse::<Length>().is_ok();
        let text = with_mm(text);
        is_measure.then(|| match self.language {
            Language::English => text.replace(',', "."),
            Language::German | Language::French => text.replace('.', ","),
        })
    }

    /// The quotation marks: `“ ”`, `„ “`, `« »` with its narrow spaces.
    #[must_use]
    pub fn quotes(self) -> [String; 2] {
        match self.language {
            Language::English => ["“".to_owned(), "”".to_owned()],
            Language::German => ["„".to_owned(), "“".to_owned()],
            Language::French => [format!("«{NARROW}"), format!("{NARROW}»")],
        }
    }

    /// `a, b and c`, `a, b und c`, `a, b et c`.
    #[must_use]
    pub fn list(self, items: &[String]) -> String {
        let and = match self.language {
            Language::English => "and",
            Language::German => "und",
            Language::French => "et",
        };
        joined_by(items, and)
    }

    /// The same, parted by semicolons where one of them has a comma of its own.
    #[must_use]
    pub fn listed(self, items: &[String]) -> String {
        match items.len() > 1 && items.iter().any(|it| it.contains(", ")) {
            true => self.parted(items),
            false => self.list(items),
        }
    }

    /// `a; b; c`, with the space of the language before each semicolon.
    #[must_use]
    pub fn parted(self, items: &[String]) -> String {
        match self.language {
            Language::French => items.join(&format!("{NARROW}; ")),
            Language::English | Language::German => items.join("; "),
        }
    }
}
