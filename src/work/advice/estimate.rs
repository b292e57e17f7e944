//! The estimate of a piece: order of work, hours, cost, days, and what can be paid for it.

use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;

use serde::Serialize;
use serde::Serializer;

use crate::advise;
use crate::advise::labour::order::OrderCheck;
use crate::advise::labour::order::OwnLine;
use crate::advise::labour::order::check_order;
use crate::advise::labour::plan::Cost;
use crate::advise::labour::plan::Days;
use crate::advise::labour::plan::Hours;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::doubts::questions::BadAnswer;
use crate::advise::price::doubts::stops::Stopped;
use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::estimate as work_out;
use crate::advise::price::offer::Offer;
use crate::advise::price::refused::Refused;
use crate::advise::refinish::paths::paths;
use crate::kit::clock::Day;
use crate::kit::files;
use crate::model::ids::StockNo;
use crate::model::market::MarketInput;
use crate::model::piece::Piece;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::market;
use crate::work::piece::market::known_word;
use crate::work::piece::recorded::assessment;
use crate::work::piece::recorded::of_set;
use crate::work::sidecars::sync_sidecars::sync_piece;
use crate::work::sidecars::vocabulary;

pub use crate::advise::labour::task::Danger;
pub use crate::advise::labour::task::LeftAlone;
pub use crate::advise::labour::task::Task;
pub use crate::advise::price::basis::PriceIs;
pub use crate::advise::price::basis::Sums;
pub use crate::advise::price::priced_option::PricedOption;

/// What is asked of an estimate.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EstimateRequest {
    /// What is told of the market, to be kept with the piece.
    pub market: MarketInput,
    /// The first day of work; today when not told.
    pub from: Option<Day>,
    /// A file with an order of work of the user's own.
    pub order: Option<PathBuf>,
}

/// The estimate of a piece.
#[derive(Clone, Debug)]
pub struct Estimated {
    /// The piece's stock number.
    pub stock_no: StockNo,
    /// Its short description.
    pub title: String,
    /// What was told now and is kept with the piece.
    pub kept: Vec<String>,
    /// Every way, worked out.
    pub found: Estimate,
    /// How an order of the user's own holds against the rules; `None` when none was given.
    pub order: Option<OrderCheck>,
    /// Sidecars whose newest text is not in force.
    pub complaints: usize,
    /// Whether somebody has to look at something before it can be relied on.
    pub needs_a_hand: bool,
}

impl Estimated {
    /// The way that is worked out in full.
    #[must_use]
    pub fn shown(&self) -> &PricedOption {
        &self.found.options[self.found.shown]
    }

    /// What of it a seller may see and hear.
    #[must_use]
    pub fn door(&self) -> Door<'_> {
        let asked = self.shown().asked.iter();
        let asked = asked.filter(|_| !self.found.words.is_empty());
        Door {
            stock_no: &self.stock_no,
            title: &self.title,
            words: &self.found.words,
            questions: asked
                .map(|it| DoorQuestion {
                    id: &it.name,
                    question: &it.question,
                    look: &it.look,
                    parts: &it.parts,
                })
                .collect(),
        }
    }
}

/// What of an estimate a seller may see and hear: never what it sells for, and never how far the buyer would go.
#[derive(Serialize)]
pub struct Door<'a> {
    /// The piece's stock number.
    pub stock_no: &'a StockNo,
    /// Its short description.
    pub title: &'a str,
    /// What can be said; empty once it is bought.
    pub words: &'a [String],
    /// What to look at, or to ask; none once it is bought.
    pub questions: Vec<DoorQuestion<'a>>,
}

/// A question as it can be asked at the door, without what a bad answer would cost.
#[derive(Serialize)]
pub struct DoorQuestion<'a> {
    /// Its id.
    pub id: &'a str,
    /// The question.
    pub question: &'a str,
    /// How to answer it.
    pub look: &'a str,
    /// The parts it is about, by label; empty for the whole piece.
    pub parts: &'a [String],
}

/// The estimate as `--json` gives it: one way in full, all in a line each. Amounts are minor units with their currency, or minor
/// units alone below a `currency`; times are minutes.
#[derive(Serialize)]
struct Answer<'a> {
    stock_no: &'a StockNo,
    title: &'a str,
    kept: &'a [String],
    /// The way whose tasks, hours, days and cost these are.
    option: &'a str,
    option_because: &'a str,
    tasks: &'a [Task],
    hours: Hours,
    days: &'a Days,
    cost: &'a Cost,
    /// One for each way.
    offers: Vec<&'a Offer>,
    options: Vec<OptionAnswer<'a>>,
    refused: &'a [Refused],
    stops: &'a [Stopped],
    questions: &'a [Asked],
    bad_answers: &'a [BadAnswer],
    left: &'a [LeftAlone],
    assumed: &'a [String],
    unpriced: &'a [String],
    words: &'a [String],
    notes: &'a [String],
    order: &'a Option<OrderCheck>,
    complaints: usize,
    needs_a_hand: bool,
}

#[derive(Serialize)]
struct OptionAnswer<'a> {
    #[serde(flatten)]
    option: &'a PricedOption,
    /// Whether its tasks are the ones given in full.
    shown: bool,
    /// Whether it brings most for an hour of those that nothing stops.
    best: bool,
}

impl Serialize for Estimated {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let (found, shown) = (&self.found, self.shown());
        let options = found.options.iter().enumerate();
        let options = options.map(|(at, option)| OptionAnswer {
            option,
            shown: at == found.shown,
            best: Some(at) == found.best,
        });
        Answer {
            stock_no: &self.stock_no,
            title: &self.title,
            kept: &self.kept,
            option: &shown.way.id,
            option_because: &found.shown_because,
            tasks: &shown.plan.tasks,
            hours: shown.plan.hours,
            days: &shown.plan.days,
            cost: &shown.plan.cost,
            offers: found.options.iter().map(|it| &it.offer).collect(),
            options: options.collect(),
            refused: &found.refused,
            stops: &shown.stops,
            questions: &shown.asked,
            bad_answers: &shown.bad_answers,
            left: &shown.plan.left,
            assumed: &shown.plan.assumed,
            unpriced: &found.unpriced,
            words: &found.words,
            notes: &found.notes,
            order: &self.order,
            complaints: self.complaints,
            needs_a_hand: self.needs_a_hand,
        }
        .serialize(to)
    }
}

/// Keeps what is told, reads what changed, and estimates a piece.
///
/// # Errors
/// When there is no such piece, a word is not known, the order of work does not read, or the book cannot be read or
/// written.
pub fn estimate(
    book: &mut OpenBook,
    stock_no: &StockNo,
    order: EstimateRequest,
) -> Result<Estimated, WorkError> {
    let mut piece = book.record.piece(stock_no)?;
    let trade_book = Arc::clone(&book.trade);
    let own = order.order.as_deref();
    let own = own.map(|it| own_order(book.trade()?, it, &piece));
    let own = own.transpose()?;
    let kept = market::tell(order.market, book.trade()?, &mut piece)?;
    let settings = book.settings()?;
    if !kept.is_empty() {
        book.record.change_piece(&piece)?;
    }
    sync_piece(book, stock_no)?;
    let mut it = assessment(book, stock_no)?;
    it.of_set = of_set(book, &piece)?.len() + 1;
    let from = order.from.unwrap_or_else(|| book.now.local_day());
    let advice = paths(&it, &trade_book);
    let mut found = work_out(&it, &advice, &settings, &trade_book, from);
    let tasks = &found.options[found.shown].plan.tasks;
    let checked = own.map(|own| check_order(tasks, &own, &advice, &trade_book));
    if let Some(sale) = book.record.sale(stock_no)? {
        let note = format!(
            "it was sold on {}: this is what work on it would take, and none of it is asked for",
            sale.day
        );
        found.notes.insert(0, note);
    } else if advise::next::is_done(&it) {
        let note = "all that was found is repaired or gone: none of this work is asked for";
        found.notes.insert(0, note.to_owned());
    }
    let broken = checked
        .as_ref()
        .is_some_and(|it| !(it.broken.is_empty() && it.not_allowed.is_empty()));
    Ok(Estimated {
        stock_no: piece.stock_no,
        title: piece.title,
        kept,
        needs_a_hand: found.needs_a_hand || broken || !it.complaints.is_empty(),
        found,
        order: checked,
        complaints: it.complaints.len(),
    })
}

/// Reads an order of work: one task a line, `method` or `method part`; `#` begins a remark.
fn own_order(book: &TradeBook, path: &Path, piece: &Piece) -> Result<Vec<OwnLine>, WorkError> {
    let bytes = files::read(path)?;
    let Ok(text) = String::from_utf8(bytes) else {
        return Err(WorkError::asked(format!(
            "`{}` is no text in UTF-8",
            path.display()
        )));
    };
    let methods = book.work_ids();
    let parts = vocabulary::parts(book, piece);
    let parts: Vec<&str> = parts.iter().map(|it| it.id.as_str()).collect();
    let mut lines = Vec::new();
    for (no, line) in text.lines().enumerate() {
        let line = line.split('#').next().unwrap_or("");
        let mut words = line.split_whitespace();
        let Some(method) = words.next() else { continue };
        let part = words.next();
        let place = format!("{}:{}: ", path.display(), no + 1);
        let at = |error: WorkError| match error {
            WorkError::Asked { what, hint } => WorkError::Asked {
                what: format!("{place}{what}"),
                hint,
            },
            other => other,
        };
        known_word(method, "a method", "methods", &methods).map_err(at)?;
        if let Some(part) = part {
            known_word(part, "a part of this piece", "parts", &parts).map_err(at)?;
        }
        if let Some(more) = words.next() {
            let what = format!("{place}`{more}` is too much: a line is `method` or `method part`");
            return Err(WorkError::asked(what));
        }
        lines.push(OwnLine {
            method: method.to_owned(),
            part: part.and_then(|it| it.parse().ok()),
        });
    }
    Ok(lines)
}
