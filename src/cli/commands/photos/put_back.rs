//! Writing deleted sidecars again; bringing back a photo or a piece that was taken out.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::piece::withdraw::reinstate;
use crate::work::sidecars::put_back::put_back;
use crate::work::sidecars::put_back_photo::put_back_photo;

/// Write the sidecars of a piece again that were deleted by accident, or bring back a photo or a piece that was taken out
#[derive(Args, Debug)]
pub(in crate::cli) struct PutBackArgs {
    /// Stock number
    no: StockNo,
    /// Number of a photo that was taken out: bring it back from the piece's `removed` folder
    #[arg(long, value_name = "NUMBER", value_parser = whole)]
    photo: Option<u32>,
    /// The piece was withdrawn: bring it back into stock
    #[arg(long, conflicts_with = "photo")]
    piece: bool,
}

pub(in crate::cli) fn run(context: &Context, args: &PutBackArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    if args.piece {
        let back = reinstate(&mut book, &args.no)?;
        match context.json {
            true => json(&back),
            false => data(&format!("{} is in stock again", back.stock_no)),
        }
        return Ok(Exit::Done);
    }
    if let Some(photo) = args.photo {
        let back = put_back_photo(&mut book, &args.no, photo)?;
        if context.json {
            json(&back);
        } else {
            data(&format!(
                "picture {photo} is in {} again: {}",
                args.no, back.path
            ));
            back.written.iter().for_each(|it| data(it));
        }
        return Ok(Exit::Done);
    }
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
