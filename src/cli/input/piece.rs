//! What is told of a piece.

use clap::Args;

use crate::cli::input::amount::amount;
use crate::cli::input::market::MarketArgs;
use crate::cli::input::market::market;
use crate::cli::input::number::drawers;
use crate::cli::input::size::size;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::piece::PieceInput;
use crate::model::piece::Size;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// What is told of a piece.
#[derive(Args, Debug)]
pub(in crate::cli) struct PieceArgs {
    /// Height x width x depth, such as 900x1050x480mm or "35 x 41 x 19 in"
    #[arg(long, value_name = "HxWxD", value_parser = size)]
    size: Option<Size>,
    /// Drawers in each row from the top, such as 2,1,1,1 for two over three; 0 where it has none
    #[arg(long, value_name = "ROWS", value_delimiter = ',', value_parser = drawers)]
    drawers: Vec<u8>,
    /// Optional parts it has, such as leg,lock
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    with: Vec<String>,
    /// Parts of its list that are not there, such as drawer-2/lock
    #[arg(long, value_name = "PARTS", value_delimiter = ',')]
    absent: Vec<PartId>,
    /// A paragraph for the buyer
    #[arg(long, value_name = "TEXT")]
    about: Option<String>,
    /// Who examined it [default: the one in book.toml]
    #[arg(long, value_name = "NAME")]
    examined_by: Option<String>,
    /// Its weight, such as "about 48 kg"
    #[arg(long, value_name = "TEXT")]
    weight: Option<String>,
    /// Private: what was paid, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    bought_for: Option<String>,
    /// Private: the day it was bought
    #[arg(long, value_name = "DAY")]
    bought_on: Option<Day>,
    /// Private: what is asked for it
    #[arg(long, value_name = "AMOUNT")]
    asking: Option<String>,
    /// Private: where it came from, and anything else
    #[arg(long, value_name = "TEXT")]
    private_note: Option<String>,
    #[command(flatten)]
    market: MarketArgs,
}

impl PieceArgs {
    /// What is told, with its title and form, and amounts in the book's currency.
    ///
    /// # Errors
    /// When an amount is none, or the book's settings cannot be read.
    pub(in crate::cli) fn told(
        self,
        book: &OpenBook,
        title: Option<String>,
        form: Option<String>,
    ) -> Result<PieceInput, WorkError> {
        Ok(PieceInput {
            title,
            form,
            size: self.size,
            drawer_rows: self.drawers,
            with: self.with,
            absent: self.absent,
            about: self.about,
            examined_by: self.examined_by,
            weight: self.weight,
            bought_for: amount(book, self.bought_for)?,
            bought_on: self.bought_on,
            asking: amount(book, self.asking)?,
            private_note: self.private_note,
            market: market(book, self.market)?,
        })
    }
}
