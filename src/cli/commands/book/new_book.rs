//! Starting a stock book.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::kit::money::Currency;
use crate::kit::money::MoneyError;
use crate::work::WorkError;
use crate::work::advice::glossary::has_own_figures;
use crate::work::book::open_book::OpenBook;

/// Start a stock book
#[derive(Args, Debug)]
pub(in crate::cli) struct NewBookArgs {
    /// Its folder
    dir: PathBuf,
    /// The currency of every amount in it, by its three letters, such as GBP [default: EUR]
    #[arg(long, value_name = "LETTERS", value_parser = currency)]
    currency: Option<Currency>,
}

/// A currency that ISO 4217 has today.
fn currency(text: &str) -> Result<Currency, String> {
    let it: Currency = text.parse().map_err(|why: MoneyError| why.to_string())?;
    let known = it.is_of_today().then_some(it);
    known.ok_or_else(|| format!("ISO 4217 has no currency `{it}` today"))
}

pub(in crate::cli) fn run(context: &Context, args: &NewBookArgs) -> Result<Exit, WorkError> {
    let book = OpenBook::make(&args.dir, args.currency, context.now)?;
    if context.json {
        json(&serde_json::json!({ "book": book.root.display().to_string() }));
        return Ok(Exit::Done);
    }
    data(&book.root.display().to_string());
    let currency = book.settings()?.currency;
    if !has_own_figures(currency) {
        talk(&format!(
            "the program's own prices are not in {currency}: write hourly_rate, [prices] and [terms] into book.toml before you ask for an estimate"
        ));
    }
    talk("write your name into book.toml there, then take in a piece:");
    talk("  asfound intake \"walnut chest of drawers\" --form chest_of_drawers");
    Ok(Exit::Done)
}
