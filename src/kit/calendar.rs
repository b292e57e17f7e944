//! A calendar file (RFC 5545) of whole days.

use crate::kit::clock::Day;
use crate::kit::clock::Moment;

/// Longest line, bytes, its end not counted (RFC 5545, 3.1).
const LONGEST: usize = 75;

/// Something to be done by a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalendarDay {
    /// What tells it from all others, the same whenever it is written.
    pub id: String,
    /// The day.
    pub day: Day,
    /// What stands in the calendar.
    pub title: String,
    /// What stands behind it.
    pub text: String,
}

/// The file, made at `now`.
#[must_use]
pub fn calendar(days: &[CalendarDay], now: Moment) -> String {
    let mut file = String::new();
    for line in [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//asfound//asfound//EN",
    ] {
        put(&mut file, line);
    }
    for it in days {
        let lines = [
            "BEGIN:VEVENT".to_owned(),
            format!("UID:{}@asfound.invalid", it.id),
            format!("DTSTAMP:{}", digits(&now.to_string())),
            format!("DTSTART;VALUE=DATE:{}", digits(&it.day.to_string())),
            format!("SUMMARY:{}", escaped(&it.title)),
            format!("DESCRIPTION:{}", escaped(&it.text)),
            "TRANSP:TRANSPARENT".to_owned(),
            "END:VEVENT".to_owned(),
        ];
        for line in &lines {
            put(&mut file, line);
        }
    }
    put(&mut file, "END:VCALENDAR");
    file
}

/// A date or time in the basic form of ISO 8601, to the second.
fn digits(extended: &str) -> String {
    let whole = match extended.split_once('.') {
        Some((whole, _)) => format!("{whole}Z"),
        None => extended.to_owned(),
    };
    whole.replace(['-', ':'], "")
}

/// A text (RFC 5545, 3.3.11).
fn escaped(text: &str) -> String {
    let text = text.replace('\\', "\\\\").replace(';', "\\;");
    let text = text.replace(',', "\\,").replace('\r', "");
    text.replace('\n', "\\n")
}

/// A line, folded between letters where it is too long.
fn put(file: &mut String, line: &str) {
    let mut length = 0;
    for letter in line.chars() {
        if length + letter.len_utf8() > LONGEST {
            file.push_str("\r\n ");
            length = 1;
        }
        file.push(letter);
        length += letter.len_utf8();
    }
    file.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::CalendarDay;
    use super::calendar;

    /// RFC 5545, 3.1 and 3.3.11: no line of more than 75 bytes, and what is unfolded is the text with its commas escaped.
    #[test]
    fn long_lines_are_folded_and_texts_escaped() {
        let text = format!("one, two; three \\ four\n{}", "ü".repeat(90));
        let it = CalendarDay {
            id: "26-001-parcel-14".to_owned(),
            day: "2026-05-03".parse().unwrap(),
            title: "claim".to_owned(),
            text,
        };
        let file = calendar(&[it], "2026-05-01T10:02:11Z".parse().unwrap());
        assert!(file.split("\r\n").all(|it| it.len() <= 75), "{file}");
        let whole = file.replace("\r\n ", "");
        assert!(
            whole.contains("DESCRIPTION:one\\, two\\; three \\\\ four\\nü"),
            "{whole}"
        );
        assert!(whole.contains("DTSTART;VALUE=DATE:20260503\r\n"));
        assert!(whole.contains("DTSTAMP:20260501T100211Z\r\n"), "{whole}");
    }
}
