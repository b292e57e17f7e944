//! The estimate of a piece: order of work, hours, cost, days, and what can be paid for it.

use std::path::Path;
use std::path::PathBuf;
use std::sync::Arc;

use serde::Serialize;

use crate::advise;
use crate::advise::labour::order::OrderCheck;
use crate::advise::labour::order::OwnLine;
use crate::advise::labour::order::check_order;
use crate::advise::labour::plan::Cost;
use crate::advise::labour::plan::Days;
use crate::advise::labour::plan::Hours;
use crate::advise::labour::plan::MayCome;
use crate::advise::labour::plan::Run;
use crate::advise::labour::task::LeftAlone;
use crate::advise::labour::task::Task;
use crate::advise::price::estimate::Estimate;
use crate::advise::price::estimate::PricedOption;
use crate::advise::price::estimate::estimate as work_out;
use crate::advise::price::offer::Offer;
use crate::advise::price::options::Refused;
use crate::advise::price::options::WayPart;
use crate::advise::price::questions::Asked;
use crate::advise::price::stops::Stopped;
use crate::advise::refinish::paths::paths;
use crate::kit::clock::Day;
use crate::kit::files;
use crate::model::ids::StockNo;
use crate::model::market::Market;
use crate::model::piece::Piece;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::advice::survey;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::market;
use crate::work::piece::market::known_word;
use crate::work::sidecars::sync_sidecars::absorb;
use crate::work::sidecars::vocabulary;

/// What is asked of an estimate.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EstimateOrder {
    /// What is told of the market, to be kept with the piece.
    pub market: Market,
    /// The first day of work; today when not told.
    pub from: Option<Day>,
    /// A file with an order of work of the user's own.
    pub order: Option<PathBuf>,
}

/// The estimate of a piece, as printed and as `--json` gives it. Amounts are minor units with their currency, or minor
/// units alone below a `currency`; times are minutes.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct Estimated {
    pub stock_no: StockNo,
    pub title: String,
    /// What was told now and is kept with the piece.
    pub kept: Vec<String>,
    /// The way whose tasks, hours, days and cost these are.
    pub option: String,
    pub option_because: String,
    pub tasks: Vec<Task>,
    pub hours: Hours,
    pub days: Days,
    pub cost: Cost,
    /// One for each way.
    pub offers: Vec<Offer>,
    pub options: Vec<OptionLine>,
    pub refused: Vec<Refused>,
    pub stops: Vec<Stopped>,
    pub questions: Vec<Asked>,
    pub left: Vec<LeftAlone>,
    pub assumed: Vec<String>,
    pub words: Vec<String>,
    pub notes: Vec<String>,
    /// How an order of the user's own holds against the rules; `null` when none was given.
    pub order: Option<OrderCheck>,
    /// Sidecars whose newest text is not in force.
    pub complaints: usize,
    pub needs_a_hand: bool,
}

/// A way in one line.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct OptionLine {
    pub id: String,
    pub label: String,
    /// The path whose comparables count.
    pub path: String,
    pub parts: Vec<WayPart>,
    pub undecided: usize,
    /// What may come to it where its path waits for a look.
    pub may_come: MayCome,
    pub two_tone: Option<String>,
    pub hours: Hours,
    pub cost: Cost,
    pub likely: Run,
    pub high: Run,
    pub questions: Vec<String>,
    pub stops: Vec<String>,
    pub thumb: Option<String>,
    /// Whether its tasks are the ones given in full.
    pub shown: bool,
    /// Whether it brings most for an hour of those that nothing stops.
    pub best: bool,
}

impl Estimated {
    /// The way that is worked out in full.
    #[must_use]
    pub fn shown(&self) -> Option<&OptionLine> {
        self.options.iter().find(|it| it.shown)
    }

    /// Its offer.
    #[must_use]
    pub fn offer(&self) -> Option<&Offer> {
        self.offers.iter().find(|it| it.option == self.option)
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
    order: EstimateOrder,
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
    absorb(book, stock_no)?;
    let it = survey::assessment(book, stock_no)?;
    let from = order.from.unwrap_or_else(|| book.now.local_day());
    let advice = paths(&it, &trade_book);
    let found = work_out(&it, &advice, &settings, &trade_book, from);
    let tasks = &found.options[found.shown].plan.tasks;
    let checked = own.map(|own| check_order(tasks, &own, &trade_book));
    let mut told = told(&piece, kept, found, checked, it.complaints.len());
    if let Some(sale) = book.record.sale(stock_no)? {
        let note = format!(
            "it was sold on {}: this is what work on it would take, and none of it is asked for",
            sale.day
        );
        told.notes.insert(0, note);
    } else if advise::next::is_done(&it) {
        let note = "all that was found is repaired or gone: none of this work is asked for";
        told.notes.insert(0, note.to_owned());
    }
    Ok(told)
}

fn told(
    piece: &Piece,
    kept: Vec<String>,
    mut found: Estimate,
    order: Option<OrderCheck>,
    complaints: usize,
) -> Estimated {
    let broken = order.as_ref().is_some_and(|it| !it.broken.is_empty());
    let needs_a_hand = found.needs_a_hand || broken || complaints > 0;
    let (shown, best) = (found.shown, found.best);
    let all = found.options.iter().enumerate();
    let options = all.map(|(at, it)| OptionLine {
        shown: at == shown,
        best: Some(at) == best,
        ..option_line(it)
    });
    let options = options.collect();
    let offers = found.options.iter().map(|it| it.offer.clone()).collect();
    let it = found.options.swap_remove(shown);
    Estimated {
        stock_no: piece.stock_no.clone(),
        title: piece.title.clone(),
        kept,
        option: it.way.id,
        option_because: found.shown_because,
        tasks: it.plan.tasks,
        hours: it.plan.hours,
        days: it.plan.days,
        cost: it.plan.cost,
        offers,
        options,
        refused: found.refused,
        stops: it.stops,
        questions: it.asked,
        left: it.plan.left,
        assumed: it.plan.assumed,
        words: found.words,
        notes: found.notes,
        order,
        complaints,
        needs_a_hand,
    }
}

fn option_line(it: &PricedOption) -> OptionLine {
    OptionLine {
        id: it.way.id.clone(),
        label: it.way.label.clone(),
        path: it.way.main.clone(),
        parts: it.way.parts.clone(),
        undecided: it.way.undecided,
        may_come: it.may_come.clone(),
        two_tone: it.way.two_tone.clone(),
        hours: it.plan.hours,
        cost: it.plan.cost.clone(),
        likely: it.plan.days.likely,
        high: it.plan.days.high,
        questions: it.asked.iter().map(|it| it.id.clone()).collect(),
        stops: it.stops.iter().map(|it| it.id.clone()).collect(),
        thumb: it.thumb.clone(),
        shown: false,
        best: false,
    }
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
    let base = book.offer.base_work.iter().map(|it| it.id.as_str());
    let methods: Vec<&str> = book
        .methods
        .iter()
        .map(|it| it.id.as_str())
        .chain(base)
        .collect();
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
