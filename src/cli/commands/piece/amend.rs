//! Putting right what was told of a piece.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::piece::PieceArgs;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::failure::tell_line;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::model::ids::StockNo;
use crate::model::piece::PieceInput;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
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
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true)]
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
    let done = amend(&mut book, &args.no, told)?;
    if context.json {
        json(&done);
        return Ok(Exit::clean(
            done.not_on_list.is_empty() && done.odd.is_empty(),
        ));
    }
    data(&format!("{}  {}", done.piece.stock_no, done.piece.title));
    for line in &done.kept {
        talk(&format!("  {line}"));
    }
    for it in &done.odd {
        talk(&format!(
            "{} {it}; tell again the day that is wrong",
            mark("look:")
        ));
    }
    for it in &done.not_on_list {
        let photos: Vec<String> = it.photos.iter().map(u32::to_string).collect();
        talk(&format!(
            "{} `{}` is not on the list of this piece now, and something is said of it beside picture {}",
            mark("look:"),
            it.part,
            photos.join(", ")
        ));
    }
    if !done.not_on_list.is_empty() {
        talk(
            "  what was read stays in force; a sidecar that is changed can name only parts of the list: add them with --with, or mend the sidecars",
        );
    }
    Ok(Exit::clean(
        done.not_on_list.is_empty() && done.odd.is_empty(),
    ))
}
