//! The estimate of a piece.
//!
//! In: what is told of the market. Out: the estimate, printed.

mod amounts;
mod offer;
mod plan;

use std::path::PathBuf;

use clap::Args;

use crate::cli::commands::advice::estimate::amounts::Much;
use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::market::MarketArgs;
use crate::cli::input::market::market;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::estimate::EstimateRequest;
use crate::work::advice::estimate::Estimated;
use crate::work::advice::estimate::estimate;

/// Order of work, hours, cost and days, and what can be paid for a piece
#[derive(Args, Debug)]
pub(in crate::cli) struct EstimateArgs {
    /// Stock number
    no: StockNo,
    #[command(flatten)]
    market: MarketArgs,
    /// First day of work [default: today]
    #[arg(long, value_name = "DAY")]
    from: Option<Day>,
    /// A file with your own order of work, to hold against the rules: one `method part` a line
    #[arg(long, value_name = "FILE")]
    order: Option<PathBuf>,
    /// Everything: steps, cautions, quantities, all ways in full
    #[arg(long)]
    all: bool,
    /// Only what can be said and shown to a seller: not how far you would go, not what it sells for
    #[arg(long, conflicts_with_all = ["all", "order"])]
    door: bool,
}

pub(in crate::cli) fn run(context: &Context, args: EstimateArgs) -> Result<Exit, WorkError> {
    let mut book = context.open_to_read_of(&args.no)?;
    let order = EstimateRequest {
        market: market(&book, args.market)?,
        from: args.from,
        order: args.order,
    };
    let found = estimate(&mut book, &args.no, order)?;
    if args.door && context.json {
        json(&found.door());
    } else if args.door {
        offer::print_door(&found.door());
    } else if context.json {
        json(&found);
    } else {
        let much = if args.all { Much::All } else { Much::Screen };
        print(&found, much);
    }
    Ok(Exit::clean(!found.needs_a_hand))
}

/// Prints an estimate: the work, the money, what stops it, what to say, the other ways.
fn print(it: &Estimated, much: Much) {
    for line in &it.kept {
        talk(&format!("kept with {}: {line}", it.stock_no));
    }
    plan::head(it);
    plan::work(it, much);
    plan::left(it, much);
    offer::print_money(it);
    offer::print_stops(it);
    offer::print_questions(it);
    offer::print_bad_answers(it);
    offer::print_refused(it);
    offer::print_options(it, much);
    if much == Much::All {
        plan::assumed(it);
    }
    plan::order(it);
    offer::print_where_the_words_are(it);
    for line in &it.found.notes {
        talk(&format!("{} {line}", mark("mind:")));
    }
    if it.complaints > 0 {
        let lines = count(it.complaints, "complaint");
        talk(&format!(
            "{} {lines} about sidecars: their last good text counts here; `asfound survey {}` shows the places",
            mark("look:"),
            it.stock_no
        ));
    }
}
