//! Money in minor units (ISO 4217); never a float.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

/// A currency by its ISO 4217 letters, with its number of decimals.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Currency([u8; 3]);

/// An amount in minor units (cents, pence, yen) of one currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Money {
    /// How many minor units; negative for a loss.
    pub minor: i64,
    /// Of what.
    pub currency: Currency,
}

/// Why a text is no amount.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// Not three capital letters.
    #[error("`{0}` is not a currency; write its three letters, such as `EUR`")]
    Currency(String),
    /// Not a number.
    #[error("`{0}` is not an amount; write it like `120` or `120.50`")]
    Amount(String),
    /// More decimals than the currency has.
    #[error("`{0}` has more decimals than {1} counts ({2})")]
    Decimals(String, Currency, u32),
}

impl Currency {
    /// Decimals of the minor unit, by ISO 4217; 2 for letters that are no currency of today, as most of the past had.
    #[must_use]
    pub fn decimals(self) -> u32 {
        let letters = std::str::from_utf8(&self.0).ok();
        let known = letters.and_then(iso_currency::Currency::from_code);
        known.and_then(|it| it.exponent()).map_or(2, u32::from)
    }

    /// Whether ISO 4217 has it today.
    #[must_use]
    pub fn is_of_today(self) -> bool {
        let letters = std::str::from_utf8(&self.0).ok();
        letters
            .and_then(iso_currency::Currency::from_code)
            .is_some()
    }

    /// Reads an amount where one was typed.
    ///
    /// # Errors
    /// When the text is none.
    pub fn amount_of(self, text: Option<String>) -> Result<Option<Money>, MoneyError> {
        text.map(|it| self.amount(&it)).transpose()
    }

    /// Reads an amount such as `120`, `120.5` or `120,50` in this currency.
    ///
    /// # Errors
    /// When the text is no number, has more decimals than the currency, or does not fit.
    pub fn amount(self, text: &str) -> Result<Money, MoneyError> {
        let wrong = || MoneyError::Amount(text.to_owned());
        let plain = text.trim();
        let (sign, plain) = plain.strip_prefix('-').map_or((1, plain), |it| (-1, it));
        let (whole, part) = plain.split_once(['.', ',']).unwrap_or((plain, ""));
        let digits = |it: &str| it.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || !digits(whole) || !digits(part) {
            return Err(wrong());
        }
        let decimals = self.decimals();
        let given = u32::try_from(part.len()).map_err(|_| wrong())?;
        if given > decimals {
            return Err(MoneyError::Decimals(text.to_owned(), self, decimals));
        }
        let number: i64 = format!("{whole}{part}").parse().map_err(|_| wrong())?;
        let minor = 10_i64
            .checked_pow(decimals - given)
            .and_then(|scale| number.checked_mul(scale))
            .ok_or_else(wrong)?;
        Ok(Money {
            minor: sign * minor,
            currency: self,
        })
    }
}

impl FromStr for Currency {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        match text.trim().to_ascii_uppercase().as_bytes() {
            &[a, b, c] if [a, b, c].iter().all(u8::is_ascii_uppercase) => Ok(Self([a, b, c])),
            _ => Err(MoneyError::Currency(text.to_owned())),
        }
    }
}

impl TryFrom<String> for Currency {
    type Error = MoneyError;

    fn try_from(text: String) -> Result<Self, MoneyError> {
        text.parse()
    }
}

impl From<Currency> for String {
    fn from(currency: Currency) -> Self {
        currency.to_string()
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|b| write!(f, "{}", *b as char))
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

/// Prints `EUR 120.50`, with exactly the currency's decimals.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = self.currency.decimals();
        let scale = 10_u64.pow(decimals);
        let sign = if self.minor < 0 { "-" } else { "" };
        let minor = self.minor.unsigned_abs();
        write!(f, "{} {sign}{}", self.currency, minor / scale)?;
        if decimals > 0 {
            write!(f, ".{:0width$}", minor % scale, width = decimals as usize)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::Currency;

    fn shown(currency: &str, text: &str) -> String {
        let currency: Currency = currency.parse().unwrap();
        match currency.amount(text) {
            Ok(money) => format!("{} = {money}", money.minor),
            Err(why) => why.to_string(),
        }
    }

    /// Minor units by ISO 4217, taken from CLDR 2.18 through Babel.
    #[test]
    fn decimals_follow_iso_4217() {
        for (decimals, names) in [
            (2, "USD EUR GBP CHF SEK HUF"),
            (0, "JPY KRW CLP ISK VND"),
            (3, "BHD KWD JOD TND"),
            (4, "CLF"),
        ] {
            for name in names.split(' ') {
                assert_eq!(
                    name.parse::<Currency>().unwrap().decimals(),
                    decimals,
                    "{name}"
                );
            }
        }
    }

    /// Every currency of ISO 4217 whose decimals are not two (list one of 1 January 2026, from memory, the same as CLDR 2.18 gives),
    /// and some that it no longer has.
    #[test]
    fn all_others_have_two_decimals() {
        let odd = [
            (
                0,
                "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
            ),
            (3, "BHD IQD JOD KWD LYD OMR TND"),
            (4, "CLF UYW"),
        ];
        let decimals = |name: &str| {
            let odd = odd.iter().find(|it| it.1.split(' ').any(|it| it == name));
            odd.map_or(2, |it| it.0)
        };
        for a in b'A'..=b'Z' {
            for b in b'A'..=b'Z' {
                for c in b'A'..=b'Z' {
                    let name = String::from_utf8(vec![a, b, c]).unwrap();
                    let currency: Currency = name.parse().unwrap();
                    assert_eq!(currency.decimals(), decimals(&name), "{name}");
                }
            }
        }
    }

    #[test]
    fn amounts_are_exact_or_refused() {
        assert_eq!(shown("EUR", "120"), "12000 = EUR 120.00");
        assert_eq!(shown("eur", "0,5"), "50 = EUR 0.50");
        assert_eq!(shown("EUR", "-3.05"), "-305 = EUR -3.05");
        assert_eq!(shown("JPY", "1234"), "1234 = JPY 1234");
        assert_eq!(shown("KWD", "1.234"), "1234 = KWD 1.234");
        assert_eq!(
            shown("JPY", "12.5"),
            "`12.5` has more decimals than JPY counts (0)"
        );
        for wrong in ["", ".", "1e3", "12.", "1 2", "99999999999999999999"] {
            let said = shown("USD", wrong);
            assert!(said.contains("not an amount") || wrong == "12.", "{said}");
        }
        assert!("EURO".parse::<Currency>().is_err());
    }
}
