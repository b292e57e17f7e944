//! Names: stock numbers, parts, findings.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

/// A stock number such as `26-014`: two digits of the year, a dash, a running number.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct StockNo(String);

/// A physical part such as `top`, `drawer-2` or `drawer-2/bottom`: a part of the piece, or a part of a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PartId(String);

/// The number of a finding within its piece; prints as `F3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct FindingNo(pub u32);

/// Why a text is no such name.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum IdError {
    /// Not a stock number.
    #[error("`{0}` is not a stock number like `26-014`")]
    StockNo(String),
    /// Not a part.
    #[error("`{0}` is not a part like `top`, `drawer-2` or `drawer-2/bottom`")]
    Part(String),
    /// Not a finding.
    #[error("`{0}` is not a finding like `F3`")]
    Finding(String),
}

impl StockNo {
    /// The `running` number of `year`.
    #[must_use]
    pub fn new(year: i16, running: u32) -> Self {
        Self(format!("{:02}-{running:03}", year.rem_euclid(100)))
    }

    /// As printed.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl PartId {
    /// As printed.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The part this belongs to: `drawer-2` for `drawer-2/bottom`, itself for `top`.
    #[must_use]
    pub fn whole(&self) -> Self {
        let whole = self.0.split('/').next().unwrap_or(&self.0);
        Self(whole.to_owned())
    }

    /// Whether this is a part of a part.
    #[must_use]
    pub fn is_inner(&self) -> bool {
        self.0.contains('/')
    }
}

impl FromStr for StockNo {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let wrong = || IdError::StockNo(text.to_owned());
        let (year, running) = text.trim().split_once('-').ok_or_else(wrong)?;
        let digits = |it: &str| it.bytes().all(|b| b.is_ascii_digit());
        if year.len() != 2 || !(3..=6).contains(&running.len()) || !digits(year) || !digits(running)
        {
            return Err(wrong());
        }
        Ok(Self(format!("{year}-{running}")))
    }
}

impl FromStr for PartId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let good = |it: &str| {
            !it.is_empty()
                && it
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
                && it.as_bytes()[0].is_ascii_lowercase()
        };
        let mut steps = text.split('/');
        let (first, second, more) = (steps.next(), steps.next(), steps.next());
        if first.is_some_and(good) && second.is_none_or(good) && more.is_none() && text.len() <= 60
        {
            return Ok(Self(text.to_owned()));
        }
        Err(IdError::Part(text.to_owned()))
    }
}

impl FromStr for FindingNo {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let digits = text.trim().strip_prefix(['F', 'f']).unwrap_or("");
        let number = digits.parse().ok().filter(|it| *it > 0);
        number
            .map(Self)
            .ok_or_else(|| IdError::Finding(text.to_owned()))
    }
}

impl fmt::Display for StockNo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Display for PartId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Display for FindingNo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "F{}", self.0)
    }
}

/// Serde reads and writes each of these as its printed text.
macro_rules! as_text {
    ($($kind:ty),*) => {$(
        impl TryFrom<String> for $kind {
            type Error = IdError;

            fn try_from(text: String) -> Result<Self, IdError> {
                text.parse()
            }
        }

        impl From<$kind> for String {
            fn from(it: $kind) -> Self {
                it.to_string()
            }
        }
    )*};
}

as_text!(StockNo, PartId, FindingNo);

#[cfg(test)]
mod tests {
    use super::FindingNo;
    use super::PartId;
    use super::StockNo;

    #[test]
    fn names_are_checked_at_the_edge() {
        assert_eq!(StockNo::new(2026, 14).as_str(), "26-014");
        for wrong in ["26-14", "2026-014", "26014", "aa-bbb", "../../etc"] {
            assert!(wrong.parse::<StockNo>().is_err(), "{wrong}");
        }
        let part: PartId = "drawer-2/bottom".parse().unwrap();
        assert_eq!(part.whole().as_str(), "drawer-2");
        for wrong in ["", "/", "Top", "a/b/c", "-top", "top ", "../x", "drawer 2"] {
            assert!(wrong.parse::<PartId>().is_err(), "{wrong}");
        }
        assert_eq!("F3".parse(), Ok(FindingNo(3)));
        for wrong in ["3", "F0", "F", "F-1", "G3"] {
            assert!(wrong.parse::<FindingNo>().is_err(), "{wrong}");
        }
    }
}
