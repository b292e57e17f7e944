//! What is told of a piece.

use clap::Args;

use crate::cli::input::amount::amount;
use crate::cli::input::market::MarketArgs;
use crate::cli::input::market::market;
use crate::cli::input::number::drawers;
use crate::cli::input::or::Or;
use crate::cli::input::or::Taken;
use crate::cli::input::or::or;
use crate::cli::input::size::size;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::piece::PieceFact;
use crate::model::piece::PieceInput;
use crate::model::piece::Size;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// What is told of a piece; `none` takes back what was told.
#[derive(Args, Debug)]
pub(in crate::cli) struct PieceArgs {
    /// Height x width x depth, such as 900x1050x480mm or "35 x 41 x 19 in"
    #[arg(long, value_name = "HxWxD", value_parser = or(size))]
    size: Option<Or<Size>>,
    /// How its size was taken, such as "without casters"
    #[arg(long, value_name = "TEXT")]
    size_taken: Option<Or<String>>,
    /// The form that it had when it was bought, where work made another of it
    #[arg(long, value_name = "FORM")]
    form_before: Option<Or<String>>,
    /// The set to which it belongs, such as "six dining chairs"; pieces of the same words belong together
    #[arg(long, value_name = "TEXT")]
    set: Option<Or<String>>,
    /// Drawers in each row from the top, such as 2,1,1,1 for two over three; 0 where it has none
    #[arg(long, value_name = "ROWS", value_delimiter = ',', value_parser = or(drawers))]
    drawers: Vec<Or<u8>>,
    /// Optional parts it has, such as leg,lock
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    with: Vec<Or<String>>,
    /// Parts of its list that are not there, such as drawer-2/lock
    #[arg(long, value_name = "PARTS", value_delimiter = ',')]
    absent: Vec<Or<PartId>>,
    /// Parts of such a list that it never had, such as door-right of a piece with one door: no loss
    #[arg(long, value_name = "PARTS", value_delimiter = ',')]
    never_had: Vec<Or<PartId>>,
    /// A paragraph for the buyer
    #[arg(long, value_name = "TEXT")]
    about: Option<Or<String>>,
    /// Who examined it [default: the one in book.toml]
    #[arg(long, value_name = "NAME")]
    examined_by: Option<Or<String>>,
    /// Its weight, such as "about 48 kg"
    #[arg(long, value_name = "TEXT")]
    weight: Option<Or<String>>,
    /// Private: what was paid, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    bought_for: Option<Or<String>>,
    /// Private: the day it was bought
    #[arg(long, value_name = "DAY")]
    bought_on: Option<Or<Day>>,
    /// Private: what is asked for it
    #[arg(long, value_name = "AMOUNT")]
    asking: Option<Or<String>>,
    /// Private: where it came from, and anything else
    #[arg(long, value_name = "TEXT")]
    private_note: Option<Or<String>>,
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
        let mut gone = Taken::default();
        let bought_for = gone.or(PieceFact::BoughtFor, self.bought_for);
        let asking = gone.or(PieceFact::Asking, self.asking);
        Ok(PieceInput {
            title,
            form,
            size: gone.or(PieceFact::Size, self.size),
            size_taken: gone.or(PieceFact::SizeTaken, self.size_taken),
            form_before: gone.or(PieceFact::FormBefore, self.form_before),
            set: gone.or(PieceFact::Set, self.set),
            drawer_rows: gone.or_all(PieceFact::Drawers, self.drawers),
            with: gone.or_all(PieceFact::With, self.with),
            absent: gone.or_all(PieceFact::Absent, self.absent),
            never_had: gone.or_all(PieceFact::NeverHad, self.never_had),
            about: gone.or(PieceFact::About, self.about),
            examined_by: gone.or(PieceFact::ExaminedBy, self.examined_by),
            weight: gone.or(PieceFact::Weight, self.weight),
            bought_for: amount(book, "--bought-for", bought_for)?,
            bought_on: gone.or(PieceFact::BoughtOn, self.bought_on),
            asking: amount(book, "--asking", asking)?,
            private_note: gone.or(PieceFact::PrivateNote, self.private_note),
            market: market(book, self.market)?,
            gone: gone.facts,
        })
    }
}
