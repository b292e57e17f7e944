//! Putting right the camera's clock of photos that are in the book.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::cli::output::text::numbers;
use crate::kit::clock::ClockOff;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::photos::clock::ClockRequest;
use crate::work::photos::clock::clock;

/// Put right the camera's clock of photos that are in the book already; the former correction stays in the ledger
#[derive(Args, Debug)]
pub(in crate::cli) struct ClockArgs {
    /// Stock number
    no: StockNo,
    /// What to add to the camera's clock, in place of what was said before, such as +1d1h, -2h30m or +0s
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    off: ClockOff,
    /// Numbers of the photos, such as 3,4
    #[arg(long, value_name = "NUMBERS", value_delimiter = ',', value_parser = whole)]
    photo: Vec<u32>,
    /// All photos of the shoot of this number
    #[arg(long, value_name = "NUMBER", value_parser = whole)]
    shoot: Option<u32>,
    /// Only photos of this camera, by a part of its name
    #[arg(long, value_name = "NAME")]
    camera: Option<String>,
}

pub(in crate::cli) fn run(context: &Context, args: ClockArgs) -> Result<Exit, WorkError> {
    let order = ClockRequest {
        off: args.off,
        photos: args.photo,
        shoot: args.shoot,
        camera: args.camera,
    };
    let done = clock(&mut context.open_of(&args.no)?, &args.no, &order)?;
    let end = Exit::clean(done.look.is_empty());
    if context.json {
        json(&done);
        return Ok(end);
    }
    if done.photos.is_empty() {
        talk("their clock is corrected so already");
        return Ok(Exit::Done);
    }
    data(&format!(
        "{} {}: {} added to the camera's clock",
        count(done.photos.len(), "photo"),
        numbers(&done.photos),
        done.clock_off
    ));
    for (no, day) in &done.shoots {
        data(&format!("shoot {no} begins on {}", day.spoken()));
    }
    for it in &done.look {
        talk(&format!("{} {it}", mark("look:")));
    }
    Ok(end)
}
