//! Lengths as people write them: `70 mm`, `7 cm`, `2 3/4 in`.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

/// A length in millimetres, as exact as a binary fraction is.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Length {
    /// Millimetres.
    pub mm: f64,
}

/// The text is no length.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is not a length; write a number and its unit, such as `70 mm`, `7 cm` or `2 3/4 in`"
)]
pub struct LengthError(String);

/// Millimetres in an inch, exact (international yard and pound agreement of 1959).
const MM_PER_INCH: f64 = 25.4;

impl Length {
    /// From millimetres.
    #[must_use]
    pub fn mm(mm: f64) -> Self {
        Self { mm }
    }

    /// Inches, to the nearest sixteenth, such as `41 3/8 in`.
    #[must_use]
    pub fn inches(self) -> String {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a length is far below 2^63 sixteenths"
        )]
        let sixteenths = (self.mm / MM_PER_INCH * 16.0).round() as i64;
        let (whole, mut part, mut of) = (sixteenths / 16, sixteenths % 16, 16);
        while part != 0 && part % 2 == 0 {
            part /= 2;
            of /= 2;
        }
        match (whole, part) {
            (whole, 0) => format!("{whole} in"),
            (0, part) => format!("{part}/{of} in"),
            (whole, part) => format!("{whole} {part}/{of} in"),
        }
    }
}

/// A length in another unit than millimetres with its millimetres, such as `1/2 in (12.7 mm)`; any other text as it is.
#[must_use]
pub fn with_mm(text: &str) -> String {
    let length = text.parse::<Length>().ok();
    match length.filter(|_| !text.to_lowercase().contains("mm")) {
        Some(length) => format!("{text} ({length})"),
        None => text.to_owned(),
    }
}

/// Prints `70 mm`, with at most two decimals.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{:.2}", self.mm);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        write!(f, "{text} mm")
    }
}

impl FromStr for Length {
    type Err = LengthError;

    fn from_str(text: &str) -> Result<Self, LengthError> {
        let wrong = || LengthError(text.to_owned());
        let plain = text.trim();
        let unit_at = plain
            .find(|c: char| c.is_alphabetic() || matches!(c, '"' | '″' | '\'' | '′'))
            .ok_or_else(wrong)?;
        let (number, unit) = plain.split_at(unit_at);
        let scale = match unit.trim().to_lowercase().as_str() {
            "mm" => 1.0,
            "cm" => 10.0,
            "m" => 1000.0,
            "in" | "inch" | "inches" | "\"" | "″" => MM_PER_INCH,
            "ft" | "'" | "′" => 12.0 * MM_PER_INCH,
            _ => return Err(wrong()),
        };
        let mut sum = None;
        for word in number.split_whitespace() {
            let value = match word.split_once('/') {
                Some((a, b)) => {
                    let (a, b) = (plain_number(a), plain_number(b));
                    a.zip(b).filter(|(_, b)| *b != 0.0).map(|(a, b)| a / b)
                }
                None => plain_number(word),
            };
            sum = Some(sum.unwrap_or(0.0) + value.ok_or_else(wrong)?);
        }
        Ok(Self::mm(sum.ok_or_else(wrong)? * scale))
    }
}

/// Two lengths as people write them, such as `1124 x 148 mm` or `44 1/4 x 5 3/4 in`, in the words in which they were written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct LengthPair {
    text: String,
    mm: [f64; 2],
}

/// The text is no pair of lengths.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not two lengths; write them with their unit, such as `1124 x 148 mm`")]
pub struct LengthPairError(String);

impl LengthPair {
    /// Both in millimetres, in the order written.
    #[must_use]
    pub fn mm(&self) -> [f64; 2] {
        self.mm
    }

    /// As written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromStr for LengthPair {
    type Err = LengthPairError;

    fn from_str(text: &str) -> Result<Self, LengthPairError> {
        let wrong = || LengthPairError(text.to_owned());
        let (one, two) = text.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
        let second: Length = two.parse().map_err(|_| wrong())?;
        // A unit that stands once, at the end, is that of both.
        let unit_at = two
            .trim()
            .find(|it: char| !it.is_ascii_digit() && !" .,/".contains(it));
        let unit = unit_at.map_or("", |at| &two.trim()[at..]);
        let first = one
            .parse()
            .or_else(|_| format!("{} {unit}", one.trim()).parse::<Length>());
        Ok(Self {
            text: text.to_owned(),
            mm: [first.map_err(|_| wrong())?.mm, second.mm],
        })
    }
}

impl TryFrom<String> for LengthPair {
    type Error = LengthPairError;

    fn try_from(text: String) -> Result<Self, LengthPairError> {
        text.parse()
    }
}

impl From<LengthPair> for String {
    fn from(it: LengthPair) -> Self {
        it.text
    }
}

fn plain_number(text: &str) -> Option<f64> {
    let text = text.replace(',', ".");
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    plain.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::Length;
    use super::LengthPair;

    #[test]
    fn reads_what_people_write() {
        for (text, mm) in [
            ("70 mm", 70.0),
            ("70mm", 70.0),
            ("7,5 cm", 75.0),
            ("1.05 m", 1050.0),
            ("2 3/4 in", 69.85),
            ("1/4\"", 6.35),
            ("3 ft", 914.4),
        ] {
            let got: Length = text.parse().unwrap();
            assert!((got.mm - mm).abs() < 1e-9, "{text}: {}", got.mm);
        }
        for wrong in [
            "", "70", "mm", "70 miles", "1/0 in", "-3 mm", "nan mm", "1e3 mm",
        ] {
            assert!(wrong.parse::<Length>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn reads_two_lengths_with_one_unit_or_two() {
        for (text, mm) in [
            ("1124 x 148 mm", [1124.0, 148.0]),
            ("1124mm×148mm", [1124.0, 148.0]),
            ("112,4 cm x 148 mm", [1124.0, 148.0]),
            ("44 1/4 x 5 3/4 in", [1123.95, 146.05]),
            ("0 x 31 mm", [0.0, 31.0]),
        ] {
            let got: LengthPair = text.parse().unwrap();
            let near = |n: usize| (got.mm()[n] - mm[n]).abs() < 1e-9;
            assert!(near(0) && near(1), "{text}: {got:?}");
            assert_eq!(got.text(), text);
        }
        for wrong in [
            "",
            "x",
            "10 x 20",
            "10 mm",
            "10 x mm",
            "mm x 10 mm",
            "1 x 2 x 3 mm",
            "-1 x 2 mm",
        ] {
            assert!(wrong.parse::<LengthPair>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn prints_both_units() {
        assert_eq!(Length::mm(1050.0).to_string(), "1050 mm");
        assert_eq!(Length::mm(6.35).to_string(), "6.35 mm");
        assert_eq!(Length::mm(1050.0).inches(), "41 5/16 in");
        assert_eq!(Length::mm(6.35).inches(), "1/4 in");
    }
}
