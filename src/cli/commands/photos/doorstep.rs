//! The page for the doorstep.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::work::WorkError;
use crate::work::advice::doorstep::write_page;

/// Write the page for the phone that says at the door what each look means, and what to bid
#[derive(Args, Debug)]
pub(in crate::cli) struct DoorstepArgs {
    /// The form, such as chest_of_drawers
    form: String,
    /// Where to write it [default: the current folder]
    place: Option<PathBuf>,
}

pub(in crate::cli) fn run(context: &Context, args: &DoorstepArgs) -> Result<Exit, WorkError> {
    let book = context.open_if_any()?;
    let it = write_page(
        book.as_ref(),
        &args.form,
        args.place.as_deref(),
        context.now,
    )?;
    if context.json {
        json(&it);
        return Ok(Exit::Done);
    }
    data(&it.page);
    talk(
        "send it to your phone; it needs no network, and what it saves goes home with the photos:",
    );
    talk("  asfound intake --doorstep FILE, then asfound import PHOTOS, the file among them");
    Ok(Exit::Done)
}
