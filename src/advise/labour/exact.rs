//! Exact arithmetic for hours and money: thousandths of a unit times integers, rounded once, half to even.

use std::iter::Sum;
use std::ops::Add;

use serde::Serialize;
use serde::Serializer;

/// Three estimates of one thing: low, likely, high; whole minutes, or minor units of money.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Spread {
    /// If all goes well.
    pub low: i64,
    /// Most likely.
    pub likely: i64,
    /// If much goes wrong.
    pub high: i64,
}

/// How much of a unit: a count, a share of one, or square metres. Held in thousandths, written to JSON as a number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Quantity {
    /// Thousandths.
    pub milli: i64,
}

/// Minutes in an hour.
const HOUR: i64 = 60;

/// Divides and rounds to the nearest integer, half to even (IEEE 754 roundTiesToEven; CHECK: 0.5 -> 0, 1.5 -> 2, 2.5 -> 2).
///
/// `of` must be above 0; what does not fit is the nearest that does.
#[must_use]
pub fn half_even(number: i128, of: i128) -> i64 {
    let (whole, rest) = (number.div_euclid(of), number.rem_euclid(of));
    let up = match (rest * 2).cmp(&of) {
        std::cmp::Ordering::Less => 0,
        std::cmp::Ordering::Greater => 1,
        std::cmp::Ordering::Equal => whole.rem_euclid(2),
    };
    let rounded = whole + up;
    i64::try_from(rounded).unwrap_or(if rounded < 0 { i64::MIN } else { i64::MAX })
}

/// A number of the trade book in thousandths; the book writes at most three decimals.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "the book's numbers are small, and a cast of what is not is bounded"
)]
pub fn milli(value: f64) -> i64 {
    (value * 1000.0).round() as i64
}

/// A share of an amount, in hundredths of a percent; rounded half to even.
#[must_use]
pub fn share(amount: i64, hundredths_of_percent: i64) -> i64 {
    half_even(
        i128::from(amount) * i128::from(hundredths_of_percent),
        10_000,
    )
}

impl Spread {
    /// The same three times.
    #[must_use]
    pub fn even(value: i64) -> Self {
        Self {
            low: value,
            likely: value,
            high: value,
        }
    }

    /// Hours of the book, times a quantity, in whole minutes; rounded half to even.
    #[must_use]
    pub fn minutes(hours: [f64; 3], quantity: Quantity) -> Self {
        Self::times(hours, quantity, HOUR)
    }

    /// Amounts of the book in whole units of money, times a quantity, in minor units; rounded half to even.
    #[must_use]
    pub fn minor(units: [f64; 3], quantity: Quantity, decimals: u32) -> Self {
        Self::times(units, quantity, 10_i64.pow(decimals))
    }

    /// The same less what is paid already, none of it below nothing.
    #[must_use]
    pub fn less(self, paid: i64) -> Self {
        Self {
            low: (self.low - paid).max(0),
            likely: (self.likely - paid).max(0),
            high: (self.high - paid).max(0),
        }
    }

    /// The same, none of it above this.
    #[must_use]
    pub fn at_most(self, most: i64) -> Self {
        Self {
            low: self.low.min(most),
            likely: self.likely.min(most),
            high: self.high.min(most),
        }
    }

    fn times(values: [f64; 3], quantity: Quantity, scale: i64) -> Self {
        let one = |value: f64| {
            let product = i128::from(milli(value)) * i128::from(quantity.milli);
            half_even(product * i128::from(scale), 1_000_000)
        };
        let [low, likely, high] = values.map(one);
        Self { low, likely, high }
    }
}

impl Quantity {
    /// So many whole ones.
    #[must_use]
    pub fn count(number: usize) -> Self {
        let number = i64::try_from(number).unwrap_or(i64::MAX / 1000);
        Self {
            milli: number * 1000,
        }
    }

    /// From a number, to the nearest thousandth.
    #[must_use]
    pub fn of(value: f64) -> Self {
        Self {
            milli: milli(value),
        }
    }
}

impl Add for Spread {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            likely: self.likely + other.likely,
            high: self.high + other.high,
        }
    }
}

impl Sum for Spread {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}

impl Add for Quantity {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            milli: self.milli + other.milli,
        }
    }
}

impl Serialize for Quantity {
    #[expect(clippy::cast_precision_loss, reason = "thousandths of a small number")]
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_f64(self.milli as f64 / 1000.0)
    }
}

/// Prints `2.6`, `0.504`, `4`.
impl std::fmt::Display for Quantity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = format!("{}.{:03}", self.milli / 1000, self.milli % 1000);
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

#[cfg(test)]
mod tests {
    use super::Quantity;
    use super::Spread;
    use super::half_even;
    use super::share;

    /// IEEE 754 roundTiesToEven: 0.5, 1.5, 2.5 and -0.5, -1.5 go to 0, 2, 2, 0, -2.
    #[test]
    fn halves_go_to_the_even_side() {
        let halves = [(1, 0), (3, 2), (5, 2), (7, 4), (-1, 0), (-3, -2)];
        for (number, want) in halves {
            assert_eq!(half_even(number, 2), want, "{number}/2");
        }
        assert_eq!(
            (half_even(2, 3), half_even(-2, 3), half_even(4, 3)),
            (1, -1, 1)
        );
        assert_eq!(half_even(i128::MAX / 4, 1), i64::MAX);
        assert_eq!((share(21_000, 1300), share(5, 1000)), (2730, 0));
    }

    #[test]
    fn hours_and_amounts_are_multiplied_exactly() {
        let area = Quantity::of(2.6);
        // 0.35 h/m2 x 2.6 m2 = 0.91 h = 54.6 min.
        let coat = Spread::minutes([0.2, 0.35, 0.6], area);
        assert_eq!((coat.low, coat.likely, coat.high), (31, 55, 94));
        // 7.00 x 2.6 = 18.20.
        assert_eq!(Spread::minor([2.8, 7.0, 15.4], area, 2).likely, 1820);
        assert_eq!(Spread::minor([2.8, 7.0, 15.4], area, 0).likely, 18);
        assert_eq!(
            (area.to_string(), Quantity::count(4).to_string()),
            ("2.6".to_owned(), "4".to_owned())
        );
    }
}
