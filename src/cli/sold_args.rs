//! What is told of a sale.

use clap::Args;

use crate::kit::clock::Day;
use crate::model::ids::StockNo;

/// What is told of a sale; said again, it puts right what was told, and what is not given stays.
#[derive(Args, Debug)]
pub(super) struct SoldArgs {
    /// Stock number
    pub(super) no: StockNo,
    /// The day [default: today]
    #[arg(long, value_name = "DAY")]
    pub(super) on: Option<Day>,
    /// Private: what was paid, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    pub(super) price: Option<String>,
    /// Private: to whom
    #[arg(long, value_name = "TEXT")]
    pub(super) to: Option<String>,
    /// Private: a note for yourself
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
}
