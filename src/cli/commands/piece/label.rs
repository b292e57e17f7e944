//! Labels to tie to pieces.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::context::mind_withdrawn;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::raw;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::proof::labels::labels;

/// Write labels to tie to pieces, ten to a sheet of A4 or Letter: number, title, and both to scan
#[derive(Args, Debug)]
pub(in crate::cli) struct LabelArgs {
    /// Stock numbers [default: every piece that is not sold]
    numbers: Vec<StockNo>,
    /// Where to write the page; `-`: to standard output [default: labels.html in the book]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    #[command(flatten)]
    language: LanguageArg,
}

pub(in crate::cli) fn run(context: &Context, args: &LabelArgs) -> Result<Exit, WorkError> {
    let book = context.open_to_read()?;
    args.numbers.iter().for_each(|no| mind_withdrawn(&book, no));
    let done = labels(
        &book,
        &args.numbers,
        args.out.as_deref(),
        args.language.language,
    )?;
    for it in &done.unborne {
        talk(&format!(
            "{} {it} The label names the form instead",
            mark("mind:")
        ));
    }
    if let Some(page) = &done.page {
        raw(page);
        return Ok(Exit::Done);
    }
    if context.json {
        json(&done);
        return Ok(Exit::Done);
    }
    data(&done.path);
    talk(&format!(
        "{}; print them at 100 %",
        count(done.pieces.len(), "label")
    ));
    if done.fingerprint.is_none() {
        talk(
            "the book has no seal yet, so there is no fingerprint on them; `asfound seal` first puts one there",
        );
    }
    Ok(Exit::Done)
}
