//! Taking a photo out of a piece, or a piece out of stock.

use clap::Args;

use crate::cli::context::Context;
use crate::cli::context::mind_withdrawn;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::spent::spent_words;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::cli::output::text::numbers;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::piece::withdraw::withdraw;
use crate::work::remove::remove;

/// Take a photo out of a piece, or a piece out of stock that was taken in by mistake; the ledger keeps that it was there
#[derive(Args, Debug)]
pub(in crate::cli) struct RemoveArgs {
    /// Stock number
    no: StockNo,
    /// Number of the photo; its file is set aside
    #[arg(long, value_name = "NUMBER", value_parser = whole, required_unless_present = "piece")]
    photo: Option<u32>,
    /// The piece as a whole: it leaves the stock list, the money and what waits; its files stay
    #[arg(long, conflicts_with = "photo")]
    piece: bool,
    /// Why, as the ledger keeps it for good and every dossier for a third party shows it
    #[arg(long, value_name = "TEXT")]
    why: String,
}

pub(in crate::cli) fn run(context: &Context, args: &RemoveArgs) -> Result<Exit, WorkError> {
    let mut book = context.open()?;
    let Some(photo) = args.photo else {
        let done = withdraw(&mut book, &args.no, &args.why)?;
        if context.json {
            json(&done);
            return Ok(Exit::Done);
        }
        data(&format!("{} is withdrawn: {}", done.stock_no, done.why));
        talk(&format!(
            "the reason stays as typed: every dossier shows it. `asfound stock --state withdrawn` lists it, `asfound put-back {} --piece` brings it back",
            done.stock_no
        ));
        if !done.uncounted.is_empty() {
            talk(&format!(
                "{} {} counts no more in `asfound stock --money`; its CSV lists it apart",
                mark("mind:"),
                spent_words(&done.uncounted)
            ));
        }
        return Ok(Exit::Done);
    };
    mind_withdrawn(&book, &args.no);
    let gone = remove(&mut book, &args.no, photo, &args.why)?;
    if context.json {
        json(&gone);
        return Ok(Exit::Done);
    }
    data(&format!("picture {} is out of {}", gone.photo, args.no));
    talk(
        "the reason stays as typed: every dossier for a third party shows it, a report for the buyer does not",
    );
    if let Some(with) = &gone.went_with_it {
        talk(&format!(
            "{with}; reports and dossiers say that it was taken out, and what went with it"
        ));
    }
    if !gone.recounted.is_empty() {
        talk(&format!(
            "what was written beside it counts no more; `asfound put-back {} --photo {}` brings it back:",
            args.no, gone.photo
        ));
        gone.recounted.iter().for_each(|it| talk(&it.text()));
    }
    if !gone.editions.is_empty() {
        talk(&format!(
            "reports that were made before keep it: edition {}; a dossier leaves them out, unless you say `--with-older-reports`",
            numbers(&gone.editions)
        ));
    }
    match &gone.path {
        Some(path) => talk(&format!(
            "its file lies in `{path}`; deleting it is up to you"
        )),
        None => talk("its original was not to be found"),
    }
    Ok(Exit::Done)
}
