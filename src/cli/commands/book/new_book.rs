//! Starting a stock book.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// Start a stock book
#[derive(Args, Debug)]
pub(in crate::cli) struct NewBookArgs {
    /// Its folder
    dir: PathBuf,
}

pub(in crate::cli) fn run(context: &Context, args: &NewBookArgs) -> Result<Exit, WorkError> {
    let book = OpenBook::make(&args.dir, context.now)?;
    if context.json {
        json(&serde_json::json!({ "book": book.root.display().to_string() }));
        return Ok(Exit::Done);
    }
    data(&book.root.display().to_string());
    talk("write your name and currency into book.toml there, then take in a piece:");
    talk("  asfound intake \"walnut chest of drawers\" --form chest_of_drawers");
    Ok(Exit::Done)
}
