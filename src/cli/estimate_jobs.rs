//! The command that estimates a piece.

use crate::cli::estimate_args::EstimateArgs;
use crate::cli::estimate_args::MarketArgs;
use crate::cli::estimate_text;
use crate::cli::estimate_text::Much;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::piece_jobs::amount;
use crate::cli::say::json;
use crate::model::market::Market;
use crate::model::market::Sold;
use crate::work::WorkError;
use crate::work::advice::estimate::EstimateOrder;
use crate::work::advice::estimate::estimate;

use crate::work::book::open_book::OpenBook;

pub(super) fn run_estimate(call: &Call, args: EstimateArgs) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let order = EstimateOrder {
        market: market_of(&book, args.market)?,
        from: args.from,
        order: args.order,
    };
    let found = estimate(&mut book, &args.no, order)?;
    if call.json {
        json(&found);
    } else {
        let much = if args.all { Much::All } else { Much::Screen };
        estimate_text::print(&found, much);
    }
    Ok(if found.needs_a_hand {
        Done::NeedsAHand
    } else {
        Done::Well
    })
}

/// What was typed of the market, with amounts in the book's currency.
pub(super) fn market_of(book: &OpenBook, told: MarketArgs) -> Result<Market, WorkError> {
    let mut sold = Vec::new();
    for line in told.sold {
        for text in line.amounts {
            let price = amount(book, Some(text))?;
            sold.extend(price.map(|price| Sold {
                path: line.path.clone(),
                price,
            }));
        }
    }
    Ok(Market {
        worth: told.worth,
        meant_for: told.meant_for,
        wish: told.wish,
        seller_asks: amount(book, told.seller_asks)?,
        channel: told.channel,
        sold,
        chosen: told.path,
    })
}
