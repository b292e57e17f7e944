//! A piece of furniture as the owner entered it.

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::kit::money::MoneyError;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::market::Market;
use crate::model::market::MarketInput;

/// Outer size, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Size {
    /// Height, floor to the highest point.
    pub height_mm: f64,
    /// Width, left to right of the viewer.
    pub width_mm: f64,
    /// Depth, front to back.
    pub depth_mm: f64,
}

/// A piece as it is on record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// Stock number.
    pub stock_no: StockNo,
    /// A short description, such as `walnut-veneered chest of five drawers`.
    pub title: String,
    /// Form of the trade book, such as `chest_of_drawers`.
    pub form: String,
    /// Outer size, once measured.
    pub size: Option<Size>,
    /// How its size was taken, such as `without casters`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size_taken: Option<String>,
    /// The form that it had when it was bought, where work made another of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form_before: Option<String>,
    /// The set to which it belongs, in the owner's words; pieces of the same words belong together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<String>,
    /// Drawers in each row from the top; `[2, 1, 1, 1]` is two over three.
    pub drawer_rows: Vec<u8>,
    /// Optional parts this piece has, by kind (`leg`, `lock` ...) as the form names them.
    pub with: Vec<String>,
    /// Parts of the list that are not there.
    pub absent: Vec<PartId>,
    /// Parts that such a piece usually has and this one never had: no loss, and not on its list.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub never_had: Vec<PartId>,
    /// A paragraph for the buyer in the owner's words.
    pub about: Option<String>,
    /// Who examined it.
    pub examined_by: Option<String>,
    /// Weight in kilograms, as measured or estimated, such as `about 48 kg`.
    pub weight: Option<String>,
    /// Private: what was paid.
    pub bought_for: Option<Money>,
    /// Private: when it was bought.
    pub bought_on: Option<Day>,
    /// Private: what is asked for it.
    pub asking: Option<Money>,
    /// Private: where it came from and anything else.
    pub private_note: Option<String>,
    /// Private: what was told for its plan and its offer.
    #[serde(default)]
    pub market: Market,
    /// Its folder, a name within the book.
    pub folder: String,
    /// When it was taken into the book.
    pub taken_in: Moment,
}

/// That a line tells otherwise than the one before it which parts a piece lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LackTold {
    /// The line.
    pub line: u64,
    /// When it was written.
    pub at: Moment,
    /// How the parts are lacking.
    pub lack: Lack,
    /// The parts that are told so from then on, as the list has them.
    pub told: Vec<PartId>,
    /// Those that are no more.
    pub no_more: Vec<PartId>,
}

/// How a part is lacking.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// It is not there.
    Absent,
    /// It never was.
    NeverHad,
}

/// The line by which something was told of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ToldOn {
    /// The day.
    pub on: Day,
    /// The line.
    pub line: u64,
}

impl LackTold {
    /// Makes of a piece as told by this line one as told before it.
    pub fn undo(&self, piece: &mut Piece) {
        let list = match self.lack {
            Lack::Absent => &mut piece.absent,
            Lack::NeverHad => &mut piece.never_had,
        };
        list.retain(|it| !self.told.contains(it));
        list.extend(self.no_more.iter().cloned());
    }

    /// Since when a part is told absent; `None` where no line tells it.
    #[must_use]
    pub fn absent_since(all: &[Self], part: &PartId) -> Option<ToldOn> {
        let mut newest = all.iter().rev().filter(|it| it.lack == Lack::Absent);
        let it = newest.find(|it| it.told.contains(part))?;
        Some(ToldOn {
            on: it.at.local_day(),
            line: it.line,
        })
    }
}

/// What decides which parts of its form a piece has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartChoice {
    /// Drawers in each row from the top; empty for the form's usual ones, a single 0 for none.
    pub drawer_rows: Vec<u8>,
    /// Optional kinds that the piece has.
    pub with: Vec<String>,
    /// Parts that it never had.
    pub never_had: Vec<PartId>,
}

impl Piece {
    /// Whether its purchase is told: the price or the day.
    #[must_use]
    pub fn is_bought(&self) -> bool {
        self.bought_for.is_some() || self.bought_on.is_some()
    }

    /// A piece of which nothing is told yet; its folder bears its number.
    #[must_use]
    pub fn blank(stock_no: StockNo, taken_in: Moment) -> Self {
        Self {
            folder: stock_no.to_string(),
            stock_no,
            title: String::new(),
            form: String::new(),
            size: None,
            size_taken: None,
            form_before: None,
            set: None,
            drawer_rows: Vec::new(),
            with: Vec::new(),
            absent: Vec::new(),
            never_had: Vec::new(),
            about: None,
            examined_by: None,
            weight: None,
            bought_for: None,
            bought_on: None,
            asking: None,
            private_note: None,
            market: Market::default(),
            taken_in,
        }
    }

    /// What decides which parts of its form it has.
    #[must_use]
    pub fn choice(&self) -> PartChoice {
        PartChoice {
            drawer_rows: self.drawer_rows.clone(),
            with: self.with.clone(),
            never_had: self.never_had.clone(),
        }
    }
}

/// What the owner says of a piece. Of one that is on record, what is `None` or empty stays. `A` is an amount, as in a repair.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PieceInput<A = Money> {
    /// Short description.
    pub title: Option<String>,
    /// Form of the trade book.
    pub form: Option<String>,
    /// Outer size.
    pub size: Option<Size>,
    /// How it was taken.
    pub size_taken: Option<String>,
    /// The form that it had when it was bought.
    pub form_before: Option<String>,
    /// The set to which it belongs.
    pub set: Option<String>,
    /// Drawers in each row from the top.
    pub drawer_rows: Vec<u8>,
    /// Optional parts it has, by kind.
    pub with: Vec<String>,
    /// Parts of the list that are not there.
    pub absent: Vec<PartId>,
    /// Parts that it never had.
    pub never_had: Vec<PartId>,
    /// A paragraph for the buyer.
    pub about: Option<String>,
    /// Who examined it.
    pub examined_by: Option<String>,
    /// Weight in the owner's words.
    pub weight: Option<String>,
    /// Private: what was paid.
    pub bought_for: Option<A>,
    /// Private: when.
    pub bought_on: Option<Day>,
    /// Private: what is asked.
    pub asking: Option<A>,
    /// Private note.
    pub private_note: Option<String>,
    /// Private: the market, and the way of refinishing.
    pub market: MarketInput<A>,
    /// What is taken back.
    #[serde(skip)]
    pub gone: Vec<PieceFact>,
}

/// One thing that can be told of a piece, and taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceFact {
    /// Its size.
    Size,
    /// How its size was taken.
    SizeTaken,
    /// The form that it had when it was bought.
    FormBefore,
    /// The set to which it belongs.
    Set,
    /// Its rows of drawers: it counts as having the usual ones again.
    Drawers,
    /// Its optional parts.
    With,
    /// Parts that are not there.
    Absent,
    /// Parts that it never had.
    NeverHad,
    /// The paragraph for the buyer.
    About,
    /// Who examined it.
    ExaminedBy,
    /// Its weight.
    Weight,
    /// What was paid.
    BoughtFor,
    /// When it was bought.
    BoughtOn,
    /// What is asked.
    Asking,
    /// The private note.
    PrivateNote,
}

impl<A> Default for PieceInput<A> {
    fn default() -> Self {
        Self {
            title: None,
            form: None,
            size: None,
            size_taken: None,
            form_before: None,
            set: None,
            drawer_rows: Vec::new(),
            with: Vec::new(),
            absent: Vec::new(),
            never_had: Vec::new(),
            about: None,
            examined_by: None,
            weight: None,
            bought_for: None,
            bought_on: None,
            asking: None,
            private_note: None,
            market: MarketInput::default(),
            gone: Vec::new(),
        }
    }
}

impl PieceInput<String> {
    /// The same with its amounts in a currency.
    ///
    /// # Errors
    /// When an amount is none.
    pub fn priced(self, currency: Currency) -> Result<PieceInput, MoneyError> {
        Ok(PieceInput {
            title: self.title,
            form: self.form,
            size: self.size,
            size_taken: self.size_taken,
            form_before: self.form_before,
            set: self.set,
            drawer_rows: self.drawer_rows,
            with: self.with,
            absent: self.absent,
            never_had: self.never_had,
            about: self.about,
            examined_by: self.examined_by,
            weight: self.weight,
            bought_for: currency.amount_of(self.bought_for)?,
            bought_on: self.bought_on,
            asking: currency.amount_of(self.asking)?,
            private_note: self.private_note,
            market: self.market.priced(currency)?,
            gone: self.gone,
        })
    }
}
