//! Putting right what was told of a piece.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::piece::PieceArgs;
use crate::cli::output::data;
use crate::cli::output::failure::tell_line;
use crate::cli::output::json;
use crate::model::ids::StockNo;
use crate::model::piece::PieceInput;
use crate::work::WorkError;
use crate::work::piece::intake::amend;

/// Put right what was told of a piece
#[derive(Args, Debug)]
pub(in crate::cli) struct AmendArgs {
    /// Stock number
    no: StockNo,
    /// A new short description; the folder keeps its name
    #[arg(long)]
    title: Option<String>,
    /// Its form
    #[arg(long)]
    form: Option<String>,
    #[command(flatten)]
    told: PieceArgs,
}

pub(in crate::cli) fn run(context: &Context, args: AmendArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    let told = args.told.told(&book, args.title, args.form)?;
    if told == PieceInput::default() {
        let line = "nothing to put right was named; `asfound amend --help` lists what can be";
        return Ok(tell_line(line, context.json));
    }
    let piece = amend(&mut book, &args.no, told)?;
    if context.json {
        json(&piece);
        return Ok(Exit::Done);
    }
    data(&format!("{}  {}", piece.stock_no, piece.title));
    Ok(Exit::Done)
}
