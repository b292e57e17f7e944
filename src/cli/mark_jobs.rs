//! The marking page, from the terminal.

use serde::Serialize;

use crate::cli::args::MarkArgs;
use crate::cli::clock;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::json_line;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::desk;
use crate::desk::Closed;
use crate::desk::DeskError;
use crate::desk::Limits;
use crate::desk::MarkingPage;
use crate::desk::MarkingRequest;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;

/// Where a marking page is.
#[derive(Serialize)]
struct Opened<'a> {
    piece: &'a StockNo,
    address: String,
}

pub(super) fn run_mark(call: &Call, args: &MarkArgs) -> Result<Done, WorkError> {
    let doorway = MarkingSession::new(&call.open()?, &args.no)?;
    let order = MarkingRequest {
        doorway,
        now: clock(call.now),
        port: args.port,
        photo: args.photo,
        limits: Limits::default(),
    };
    let page = MarkingPage::open(order).map_err(told)?;
    let address = page.address();
    if call.json {
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
    Ok(Done::Well)
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
