//! Writing deleted sidecars again.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::sidecars::put_back::put_back;

/// Write the sidecars of a piece again that were deleted by accident
#[derive(Args, Debug)]
pub(in crate::cli) struct PutBackArgs {
    /// Stock number
    no: StockNo,
}

pub(in crate::cli) fn run(context: &Context, args: &PutBackArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    let written = put_back(&mut book, &args.no)?;
    if context.json {
        json(&serde_json::json!({ "written": written }));
        return Ok(Exit::Done);
    }
    if written.is_empty() {
        talk("no sidecar is missing");
    }
    for it in &written {
        data(it);
    }
    Ok(Exit::Done)
}
