//! The worked example.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::work::WorkError;
use crate::work::book::demo::demo;

/// Build a worked example from the demo pictures and write its report
#[derive(Args, Debug)]
pub(in crate::cli) struct DemoArgs {
    /// Folder of the new book [default: the first free of asfound-demo, asfound-demo-2 ...]
    #[arg(long, value_name = "DIR")]
    into: Option<PathBuf>,
}

pub(in crate::cli) fn run(context: &Context, args: DemoArgs) -> Result<Exit, WorkError> {
    let into = args.into.unwrap_or_else(first_free);
    let bar = Bar::default();
    let made = demo(&into, context.now, &bar)?;
    if context.json {
        json(&made);
        return Ok(Exit::Done);
    }
    talk(&format!(
        "{}, a chest of drawers from purchase to its buyer's hall, {}; all of it is invented and the pictures are rendered",
        made.stock_no,
        count(made.photos, "photo")
    ));
    data(&format!("book          {}", made.book));
    data(&format!("report        {}", made.report));
    data(&format!("owner's copy  {}", made.owners_copy));
    data(&format!("dossier       {}", made.dossier));
    talk("open the report in a browser; then look into the book, and try:");
    talk(&format!(
        "  asfound survey {} --book \"{}\"",
        made.stock_no, made.book
    ));
    Ok(Exit::Done)
}

fn first_free() -> PathBuf {
    let name = |n: u32| match n {
        1 => PathBuf::from("asfound-demo"),
        n => PathBuf::from(format!("asfound-demo-{n}")),
    };
    (1..)
        .map(name)
        .find(|it| !it.exists())
        .unwrap_or_else(|| name(1))
}
