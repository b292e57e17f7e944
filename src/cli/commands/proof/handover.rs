//! The sheet for a handover.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::raw;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::proof::handover::handover;

/// Write a sheet that the buyer or the carrier signs at the handover: what is wrong now, and the seal that they confirm
#[derive(Args, Debug)]
pub(in crate::cli) struct HandoverArgs {
    /// Stock number
    no: StockNo,
    /// Where to write it; `-`: to standard output [default: the piece's folder]
    #[arg(long, value_name = "PATH")]
    out: Option<PathBuf>,
    #[command(flatten)]
    language: LanguageArg,
}

pub(in crate::cli) fn run(context: &Context, args: HandoverArgs) -> Result<Exit, WorkError> {
    let sheet = handover(
        &mut context.open()?,
        &args.no,
        args.out,
        args.language.language,
    )?;
    for it in &sheet.unborne {
        talk(&format!(
            "{} {it} The sheet says so behind the title",
            mark("mind:")
        ));
    }
    if let Some(page) = &sheet.page {
        raw(page);
        return Ok(Exit::Done);
    }
    if context.json {
        json(&sheet);
        return Ok(Exit::Done);
    }
    data(&sheet.path);
    data(&format!(
        "seal {}, {} lines; key {}",
        sheet.seal, sheet.size, sheet.fingerprint
    ));
    talk("print it twice and have both signed; then keep a photo of yours, and seal again:");
    talk(&format!(
        "  asfound keep {} SIGNED.jpg --signed-by buyer --seal {}",
        args.no, sheet.seal
    ));
    talk("  asfound seal");
    Ok(Exit::Done)
}
