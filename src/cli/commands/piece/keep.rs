//! Putting papers and messages by with a piece.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::keep::keep;

/// Put papers and messages by with a piece: the listing as it stood, the thread with the buyer, a delivery note
#[derive(Args, Debug)]
pub(in crate::cli) struct KeepArgs {
    /// Stock number
    no: StockNo,
    /// The files; they are copied byte for byte
    #[arg(required = true)]
    files: Vec<PathBuf>,
}

pub(in crate::cli) fn run(context: &Context, args: &KeepArgs) -> Result<Exit, WorkError> {
    let lines = keep(&mut context.open()?, &args.no, &args.files)?;
    if context.json {
        json(&lines);
        return Ok(Exit::Done);
    }
    for line in &lines {
        let before = if line.already { "  (kept before)" } else { "" };
        data(&format!("{}  {}{before}", line.sha256, line.name));
        if !line.claims.is_empty() {
            let words = line.claims.join("`, `");
            talk(&format!(
                "its name claims `{words}`, and whoever gets a dossier reads it: keep it under another name unless that is borne"
            ));
        }
    }
    talk("these go into every dossier of the piece; seal the book to fix them in time");
    Ok(Exit::Done)
}
