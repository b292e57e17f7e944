//! Telling that a piece was sold.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::amount::amount;
use crate::cli::input::or::Or;
use crate::cli::input::or::Taken;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::kit::clock::Day;
use crate::kit::text::joined;
use crate::model::ids::StockNo;
use crate::model::sale::Sale;
use crate::model::sale::SaleFact;
use crate::model::sale::SaleInput;
use crate::work::WorkError;
use crate::work::piece::sale::SaleDone;
use crate::work::piece::sale::fell_through;
use crate::work::piece::sale::sold;

/// Tell that a piece was sold; said again, it puts that right
#[derive(Args, Debug)]
pub(in crate::cli) struct SoldArgs {
    /// Stock number
    no: StockNo,
    /// The day; with --fell-through, on which it was taken back [default: as told before, else today]
    #[arg(long, value_name = "DAY")]
    on: Option<Day>,
    /// Private: what was paid, in the book's currency; `none` takes it back, here and below
    #[arg(long, value_name = "AMOUNT")]
    price: Option<Or<String>>,
    /// Private: to whom
    #[arg(long, value_name = "TEXT")]
    to: Option<Or<String>>,
    /// Private: a note for yourself
    #[arg(long, value_name = "TEXT")]
    note: Option<Or<String>>,
    /// The sale did not come about: take it back; `--note` says why
    #[arg(long, conflicts_with_all = ["price", "to"])]
    fell_through: bool,
}

pub(in crate::cli) fn run(context: &Context, args: SoldArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    let mut gone = Taken::default();
    let note = gone.or(SaleFact::Note, args.note);
    if args.fell_through {
        let done = fell_through(&mut book, &args.no, args.on, note.as_deref())?;
        match context.json {
            true => json(&done),
            false => {
                let told = told_private(&done.sale.private());
                data(&format!(
                    "{} is not sold: the sale told for {} is taken back on {}{told}",
                    done.stock_no, done.day, done.taken_back
                ));
                talk("what was told of it stays in the ledger, and in `asfound stock --money`");
            }
        }
        return Ok(Exit::Done);
    }
    let price = gone.or(SaleFact::Price, args.price);
    let told = SaleInput {
        day: args.on,
        price: amount(&book, "--price", price)?,
        to: gone.or(SaleFact::To, args.to),
        note,
        gone: gone.facts,
    };
    let done = sold(&mut book, &args.no, told)?;
    let end = Exit::clean(done.odd.is_empty());
    if context.json {
        json(&done);
        return Ok(end);
    }
    let private = told_of(&done);
    let mut former = done.before.as_ref().map_or_else(Vec::new, Sale::private);
    former.retain(|it| !private.contains(it));
    let day = done.instead_of.map(|it| it.to_string());
    let former: Vec<String> = day.into_iter().chain(former).collect();
    let private = told_private(&private);
    data(&format!("{} sold on {}{private}", done.stock_no, done.day));
    talk(&format!(
        "the days by which a claim wants to be told, for a calendar: `asfound deadlines {}`",
        done.stock_no
    ));
    warn(&done);
    if !former.is_empty() {
        let former = former.join(", ");
        talk(&format!("{former}, as told before, stays in the ledger"));
    }
    if !done.set_parted.is_empty() {
        let left: Vec<String> = done.set_parted.iter().map(ToString::to_string).collect();
        talk(&format!(
            "{} it is one of a set, and {} {} not sold: `asfound amend NO --set none` where the set is no more",
            mark("mind:"),
            joined(&left),
            if left.len() == 1 { "is" } else { "are" }
        ));
    }
    for it in &done.odd {
        talk(&format!(
            "{} {it}; if the day is wrong, say it again with --on",
            mark("look:")
        ));
    }
    Ok(end)
}

/// What was told of it that stays private.
fn told_of(done: &SaleDone) -> Vec<String> {
    let price = done.price.map(|it| it.to_string());
    let words = [&done.to, &done.note].into_iter().cloned();
    price.into_iter().chain(words.flatten()).collect()
}

/// What the buyer has to know before it is used.
fn warn(done: &SaleDone) {
    if !done.warnings.is_empty() {
        talk(&format!(
            "{} the buyer has to know this; `asfound handover {}` prints it:",
            mark("mind:"),
            done.stock_no
        ));
    }
    for it in &done.warnings {
        talk(&format!("{}:", it.title));
        it.told().iter().for_each(|it| talk(it));
    }
}

fn told_private(of: &[String]) -> String {
    match of.is_empty() {
        true => String::new(),
        false => format!("; private: {}", of.join(", ")),
    }
}
