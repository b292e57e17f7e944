//! Three-point estimates: mean and spread of one task, and of tasks done one after the other.
//!
//! Mean (o + 4m + p) / 6, standard deviation (p - o) / 6; means and variances of independent tasks in a row add up.
//! Source of the method: Malcolm, Roseboom, Clark, Fazar, Application of a Technique for Research and Development
//! Program Evaluation, Operations Research 7(5), 1959 (cited from memory). A rule of thumb, not a promise: troubles that
//! come together (a bad old glue in every joint) spread wider than it says.

use std::iter::Sum;
use std::ops::Add;

use crate::advise::labour::exact::Spread;

/// Mean and variance as exact fractions: sixths, and thirty-sixths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pert {
    /// Six times the mean.
    pub mean_sixths: i64,
    /// Thirty-six times the variance.
    pub variance_36ths: i64,
}

impl Pert {
    /// Of one task.
    #[must_use]
    pub fn of(it: Spread) -> Self {
        let width = it.high - it.low;
        Self {
            mean_sixths: it.low + 4 * it.likely + it.high,
            variance_36ths: width.saturating_mul(width),
        }
    }

    /// The mean, in the unit of the estimates.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "minutes are far below 2^52")]
    pub fn mean(self) -> f64 {
        self.mean_sixths as f64 / 6.0
    }

    /// The standard deviation, in the unit of the estimates.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "minutes are far below 2^52")]
    pub fn sigma(self) -> f64 {
        (self.variance_36ths as f64).sqrt() / 6.0
    }
}

impl Add for Pert {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            mean_sixths: self.mean_sixths + other.mean_sixths,
            variance_36ths: self.variance_36ths.saturating_add(other.variance_36ths),
        }
    }
}

impl Sum for Pert {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::Pert;
    use crate::advise::labour::exact::Spread;

    fn spread(low: i64, likely: i64, high: i64) -> Spread {
        Spread { low, likely, high }
    }

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() < 5e-7, "{a} is not {b}");
    }

    /// 4/6/12 -> 6.67, sigma 1.33; 5/8/14 -> 8.5, 1.5: exercises of project-management courses that give the method of
    /// 1959. 2/4/9 -> 4.5, 1.16667 was computed by hand.
    #[test]
    fn one_task_has_the_mean_and_spread_of_the_books() {
        for (low, likely, high, mean, sigma) in [
            (4, 6, 12, 40.0 / 6.0, 8.0 / 6.0),
            (5, 8, 14, 8.5, 1.5),
            (2, 4, 9, 4.5, 7.0 / 6.0),
            (3, 3, 3, 3.0, 0.0),
        ] {
            let it = Pert::of(spread(low, likely, high));
            near(it.mean(), mean);
            near(it.sigma(), sigma);
        }
    }

    /// 1/2/4 + 2/3/8 + 0.5/1/2 -> 6.916667, sigma 1.145644 (computed independently); here in halves.
    #[test]
    fn tasks_in_a_row_add_up() {
        let tasks = [spread(2, 4, 8), spread(4, 6, 16), spread(1, 2, 4)];
        let sum: Pert = tasks.into_iter().map(Pert::of).sum();
        near(sum.mean() / 2.0, 6.916_667);
        near(sum.sigma() / 2.0, 1.145_644);
    }
}
