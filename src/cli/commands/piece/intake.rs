//! Taking a piece in.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::piece::PieceArgs;
use crate::cli::input::size::size;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::shots;
use crate::cli::output::talk;
use crate::cli::output::text::heading;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::piece::at_door;
use crate::work::piece::intake::intake;

/// Take a piece into the book; prints its stock number and the pictures to take
#[derive(Args, Debug)]
pub(in crate::cli) struct IntakeArgs {
    /// A short description, such as "walnut chest of drawers"
    #[arg(required_unless_present = "doorstep")]
    title: Option<String>,
    /// Its form, such as chest_of_drawers; `asfound words forms` lists them
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true, required_unless_present = "doorstep")]
    form: Option<String>,
    /// The file that the page for the door made: form, size, title, what is asked and said
    #[arg(long, value_name = "FILE")]
    doorstep: Option<PathBuf>,
    /// Its stock number [default: the next of the year]
    #[arg(long, value_name = "NO")]
    number: Option<StockNo>,
    #[command(flatten)]
    told: PieceArgs,
}

pub(in crate::cli) fn run(context: &Context, args: IntakeArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    let mut told = args.told.told(&book, args.title, args.form)?;
    if let Some(path) = &args.doorstep {
        let file = at_door::read(&book, path)?;
        let read = file.size.as_deref().map(size).transpose();
        let read = read.map_err(|what| WorkError::Asked { what, hint: None })?;
        told.size = told.size.or(read);
        told = at_door::told(&book, file, told)?;
    }
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
