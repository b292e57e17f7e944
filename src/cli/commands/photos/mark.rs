//! The marking page, from the terminal.

use clap::Args;
use serde::Serialize;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::number::port;
use crate::cli::input::number::whole;
use crate::cli::output::data;
use crate::cli::output::json_line;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::desk;
use crate::desk::Closed;
use crate::desk::DeskError;
use crate::desk::Limits;
use crate::desk::MarkingPage;
use crate::desk::MarkingRequest;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;

/// Open the marking page of a piece: say on its pictures what they show; it is for this machine alone
#[derive(Args, Debug)]
pub(in crate::cli) struct MarkArgs {
    /// Stock number
    no: StockNo,
    /// Number of the photo that it opens at
    #[arg(long, value_name = "NUMBER", value_parser = whole)]
    photo: Option<u32>,
    /// Only print the address; open it in a browser yourself
    #[arg(long)]
    no_open: bool,
    /// Port on 127.0.0.1 [default: the one of the last time, else any that is free]
    #[arg(long, value_name = "PORT", value_parser = port)]
    port: Option<u16>,
}

/// Where a marking page is.
#[derive(Serialize)]
struct Opened<'a> {
    piece: &'a StockNo,
    address: String,
}

pub(in crate::cli) fn run(context: &Context, args: &MarkArgs) -> Result<Exit, WorkError> {
    let marking = MarkingSession::new(&context.open_of(&args.no)?, &args.no)?;
    let order = MarkingRequest {
        marking,
        now: context.clock(),
        port: args.port,
        photo: args.photo,
        limits: Limits::default(),
    };
    let page = MarkingPage::open(order).map_err(told)?;
    let address = page.address();
    if context.json {
        let piece = &args.no;
        json_line(&Opened { piece, address });
    } else {
        data(&address);
    }
    for it in page.notes() {
        talk(&format!("{} {it}", mark("look:")));
    }
    if !args.no_open
        && let Err(error) = desk::show(&page.address_for_once())
    {
        talk(&format!(
            "{} no browser could be started ({error}); open the address yourself",
            mark("look:")
        ));
    }
    talk("it stays on this machine; Ctrl-C ends it");
    let Closed { changed } = page.serve_until_interrupted().map_err(told)?;
    match changed {
        Some(0) => talk("closed; no sidecar was changed"),
        Some(changed) => talk(&format!("closed; {} changed", count(changed, "sidecar"))),
        None => talk("closed; `asfound survey` reads the sidecars that changed last"),
    }
    Ok(Exit::Done)
}

/// A desk's error as all commands tell theirs.
fn told(error: DeskError) -> WorkError {
    let hint = error.hint();
    let because = std::error::Error::source(&error).map(ToString::to_string);
    match error {
        DeskError::Work(error) => error,
        DeskError::Chance(error) => error.into(),
        error => WorkError::Asked {
            what: because.map_or_else(|| error.to_string(), |it| format!("{error}, because {it}")),
            hint,
        },
    }
}
