//! The page for the door.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::input::number::drawers;
use crate::cli::input::size::size;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::model::market::MeantFor;
use crate::model::market::Worth;
use crate::model::piece::Size;
use crate::work::WorkError;
use crate::work::advice::doorstep::DoorRequest;
use crate::work::advice::doorstep::doorstep;
use crate::work::advice::glossary::Kind;

/// Write a page for the phone: what to try at the door, what it means, the first bid and the ceiling
#[derive(Args, Debug)]
pub(in crate::cli) struct DoorstepArgs {
    /// Its form, such as chest_of_drawers; `asfound words forms` lists them
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true)]
    form: String,
    /// Height x width x depth, such as 900x1050x480mm or "35 x 41 x 19 in"
    #[arg(long, value_name = "HxWxD", value_parser = size)]
    size: Option<Size>,
    /// Drawers in each row from the top, such as 2,1,1,1 for two over three; 0 where it has none
    #[arg(long, value_name = "ROWS", value_delimiter = ',', value_parser = drawers)]
    drawers: Vec<u8>,
    /// Optional parts it has, such as leg,lock
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    with: Vec<String>,
    /// What you take it for: fine, good or ordinary
    #[arg(long)]
    worth: Option<Worth>,
    /// For whom it is meant: child
    #[arg(long, value_name = "WHOM")]
    meant_for: Option<MeantFor>,
    /// Where it is written [default: doorstep.html in the current folder]
    #[arg(long, value_name = "PATH")]
    page: Option<PathBuf>,
    #[command(flatten)]
    language: LanguageArg,
}

pub(in crate::cli) fn run(context: &Context, args: DoorstepArgs) -> Result<Exit, WorkError> {
    let book = context.open_if_any()?;
    args.language
        .mind_english(book.as_ref(), "the page for the doorstep");
    let order = DoorRequest {
        form: args.form,
        size: args.size,
        drawer_rows: args.drawers,
        with: args.with,
        worth: args.worth,
        meant_for: args.meant_for,
        place: args.page,
    };
    talk(
        "asking the rules for every answer and for what they mean together; a piece with many parts takes a minute or two",
    );
    let sheet = doorstep(book.as_ref(), order)?;
    if context.json {
        json(&sheet);
    } else {
        data(&sheet.page);
        talk(
            "send it to your phone; it needs no network. What it makes comes back with `asfound intake --doorstep FILE`",
        );
    }
    Ok(Exit::Done)
}
