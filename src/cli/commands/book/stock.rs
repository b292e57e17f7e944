//! The stock list.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::work::WorkError;
use crate::work::book::stock::StockLine;
use crate::work::book::stock::stock;

/// List the pieces, as their sidecars were last read
#[derive(Args, Debug)]
pub(in crate::cli) struct StockArgs {}

pub(in crate::cli) fn run(context: &Context, _: &StockArgs) -> Result<Exit, WorkError> {
    let lines = stock(&context.open_to_read()?)?;
    if context.json {
        json(&lines);
        return Ok(Exit::Done);
    }
    if lines.is_empty() {
        talk("the book is empty; take in a piece with `asfound intake`");
        return Ok(Exit::Done);
    }
    // All at once: a write for each of thousands of lines takes longer than to find them.
    data(&lines.iter().map(line).collect::<Vec<_>>().join("\n"));
    talk("as last read, withdrawn findings too; `asfound survey NO` reads what was written since");
    Ok(Exit::Done)
}

fn line(it: &StockLine) -> String {
    let sold = it
        .sold
        .map_or_else(String::new, |it| format!(", sold {it}"));
    format!(
        "{}  {:<10} {:>4} photos {:>3} findings  {}{sold}",
        it.stock_no,
        it.stage.as_deref().unwrap_or("-"),
        it.photos,
        it.findings,
        it.title
    )
}
