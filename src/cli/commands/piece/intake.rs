//! Taking a piece in.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::piece::PieceArgs;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::shots;
use crate::cli::output::talk;
use crate::cli::output::text::heading;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::piece::intake::intake;

/// Take a piece into the book; prints its stock number and the pictures to take
#[derive(Args, Debug)]
pub(in crate::cli) struct IntakeArgs {
    /// A short description, such as "walnut chest of drawers"
    title: String,
    /// Its form, such as chest_of_drawers; `asfound words forms` lists them
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true)]
    form: String,
    /// Its stock number [default: the next of the year]
    #[arg(long, value_name = "NO")]
    number: Option<StockNo>,
    #[command(flatten)]
    told: PieceArgs,
}

pub(in crate::cli) fn run(context: &Context, args: IntakeArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    let told = args.told.told(&book, Some(args.title), Some(args.form))?;
    let taken = intake(&mut book, args.number, told)?;
    if context.json {
        json(&taken);
        return Ok(Exit::Done);
    }
    data(&format!("{}  {}", taken.stock_no, taken.folder));
    for line in &taken.assumed {
        talk(&format!("  {line}"));
    }
    talk(&heading(
        "Pictures to take now, before anything is touched, in walking order:",
    ));
    for line in shots::lines(&taken.shot_list) {
        talk(&line);
    }
    talk("  and every fault three times: in its place, close, and with a rule or a card beside it");
    talk(&format!(
        "as a page for the phone: asfound shotlist {} --stage purchase --page",
        taken.stock_no
    ));
    talk(&format!(
        "then: asfound import PHOTOS --piece {} --stage purchase",
        taken.stock_no
    ));
    Ok(Exit::Done)
}
