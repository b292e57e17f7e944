//! The guide: how a piece goes from the doorstep to a claim.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::text::heading;
use crate::cli::output::text::wrapped_text;
use crate::work::WorkError;
use crate::work::advice::guide::guide;

/// Print the guide: what to do from the doorstep to a claim, with the commands
#[derive(Args, Debug)]
pub(in crate::cli) struct GuideArgs {
    /// Only the parts that have this in their heading, such as `claim`
    about: Option<String>,
}

pub(in crate::cli) fn run(context: &Context, args: &GuideArgs) -> Result<Exit, WorkError> {
    let parts = guide(args.about.as_deref())?;
    if context.json {
        json(&parts);
        return Ok(Exit::Done);
    }
    for (n, part) in parts.iter().enumerate() {
        if n > 0 {
            data("");
        }
        data(&heading(part.heading));
        for paragraph in part.text.split("\n\n") {
            data("");
            print(paragraph);
        }
    }
    Ok(Exit::Done)
}

/// Examples and lists as they stand, anything else as wide as other answers.
fn print(paragraph: &str) {
    let stands = |it: &str| it.starts_with("    ") || it.starts_with("- ");
    match paragraph.lines().any(stands) {
        true => data(paragraph),
        false => data(&wrapped_text("", &paragraph.replace('\n', " "))),
    }
}
