//! The days by which carriers, marketplaces and insurers want to be told of damage, for a calendar.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::raw;
use crate::cli::output::talk;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::out::write_new;
use crate::work::piece::deadlines::deadlines;

/// List the days by which carriers, marketplaces and insurers often want to be told of damage; as a calendar file with --out
#[derive(Args, Debug)]
pub(in crate::cli) struct DeadlinesArgs {
    /// Stock number
    no: StockNo,
    /// Only of this one, as `asfound words askers` lists them
    #[arg(long, value_name = "ASKER", value_parser = suggested(Kind::Askers), hide_possible_values = true)]
    asker: Option<String>,
    /// Count from this day [default: the delivery on record, else the sale]
    #[arg(long, value_name = "DAY")]
    from: Option<Day>,
    /// Write a calendar file (RFC 5545) there; `-`: to standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

pub(in crate::cli) fn run(context: &Context, args: &DeadlinesArgs) -> Result<Exit, WorkError> {
    let book = context.open_to_read()?;
    let it = deadlines(&book, &args.no, args.asker.as_deref(), args.from)?;
    if let Some(out) = &args.out {
        if out.as_os_str() == "-" {
            raw(&it.calendar);
            return Ok(Exit::Done);
        }
        write_new(out, it.calendar.as_bytes())?;
    }
    if context.json {
        json(&it);
        return Ok(Exit::Done);
    }
    for of in &it.deadlines {
        let past = if of.past { " (past)" } else { "" };
        data(&format!("{}{past}  {}: {}", of.day, of.label, of.text));
    }
    if it.deadlines.is_empty() {
        talk("nothing that can be counted in days; `asfound words askers` says what is known");
    }
    talk(&format!(
        "counted from {}, {}. {}",
        it.counted_from(),
        it.from,
        it.orientation
    ));
    if let Some(out) = &args.out {
        talk(&format!("written to {}", out.display()));
    }
    Ok(Exit::Done)
}
