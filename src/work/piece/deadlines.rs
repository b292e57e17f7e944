//! The days by which who is asked for damages wants to be told: for a calendar.

use serde::Serialize;

use crate::kit::calendar::CalendarDay;
use crate::kit::calendar::calendar;
use crate::kit::clock::Day;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::trade::entry::asker::ORIENTATION;
use crate::trade::entry::asker::askers;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::withdraw::in_stock;

/// The days of a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Deadlines {
    /// The piece.
    pub stock_no: StockNo,
    /// The day from which they are counted.
    pub from: Day,
    /// What happened on it: `delivery` or `sale`, as the record says, or `told`.
    pub from_what: &'static str,
    /// The days, the earliest first.
    pub deadlines: Vec<Deadline>,
    /// What stands beside every one.
    pub orientation: &'static str,
    /// All of them as a calendar file (RFC 5545).
    #[serde(skip)]
    pub calendar: String,
}

/// A day by which something should be done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Deadline {
    /// The day.
    pub day: Day,
    /// How many days after the one from which is counted.
    pub days: u16,
    /// Who wants to be told, by the trade book's word.
    pub asker: &'static str,
    /// Who that is.
    pub label: &'static str,
    /// What is to be done.
    pub text: &'static str,
    /// Whether the day lies before today.
    pub past: bool,
}

/// Counts the days, of one who asks or of all; from the newest delivery on record, else from the sale, else from `from`.
///
/// # Errors
/// When there is no such piece, nobody of that id asks, or no day is known from which to count.
pub fn deadlines(
    book: &OpenBook,
    stock_no: &StockNo,
    asker: Option<&str>,
    from: Option<Day>,
) -> Result<Deadlines, WorkError> {
    if let Some(id) = asker.filter(|id| !askers().iter().any(|it| it.id == **id)) {
        let ids: Vec<&str> = askers().iter().map(|it| it.id.as_str()).collect();
        return Err(WorkError::asked_with(
            format!("`{id}` is nobody who asks"),
            format!("name one of {}", ids.join(", ")),
        ));
    }
    let title = in_stock(book, stock_no)?.title;
    let (from, from_what) = counted_from(book, stock_no, from)?;
    let mut all: Vec<Deadline> = askers()
        .iter()
        .filter(|it| asker.is_none_or(|id| it.id == id))
        .flat_map(|it| it.deadline.iter().map(move |of| (it, of)))
        .map(|(it, of)| Deadline {
            day: from.later(i64::from(of.days)),
            days: of.days,
            asker: &it.id,
            label: &it.label,
            text: &of.text,
            past: from.later(i64::from(of.days)) < book.now.local_day(),
        })
        .collect();
    all.sort_by_key(|it| it.day);
    let days: Vec<CalendarDay> = all
        .iter()
        .map(|it| CalendarDay {
            id: format!("{stock_no}-{}-{}-{from}", it.asker, it.days),
            day: it.day,
            title: format!("{stock_no}, {}: {}", it.label, it.text),
            text: format!(
                "{title}. Day {} after {}, {from}. {ORIENTATION}",
                it.days,
                spoken(from_what)
            ),
        })
        .collect();
    Ok(Deadlines {
        stock_no: stock_no.clone(),
        from,
        from_what,
        deadlines: all,
        orientation: ORIENTATION,
        calendar: calendar(&days, book.now),
    })
}

impl Deadlines {
    /// What happened on the day from which they are counted, in words.
    #[must_use]
    pub fn counted_from(&self) -> &'static str {
        spoken(self.from_what)
    }
}

fn spoken(from_what: &'static str) -> &'static str {
    match from_what {
        "told" => "the day told",
        other => other,
    }
}

fn counted_from(
    book: &OpenBook,
    stock_no: &StockNo,
    told: Option<Day>,
) -> Result<(Day, &'static str), WorkError> {
    let shoots = book.record.shoots(stock_no)?;
    let delivered = shoots.iter().filter(|it| it.stage == Stage::Delivery);
    let delivered = delivered.map(|it| it.day).max();
    let sold = book.record.sale(stock_no)?.map(|it| it.day);
    let found = told.map(|it| (it, "told"));
    let found = found.or(delivered.map(|it| (it, "delivery")));
    found.or(sold.map(|it| (it, "sale"))).ok_or_else(|| {
        WorkError::asked_with(
            format!(
                "no delivery and no sale of {stock_no} is on record: there is no day to count from"
            ),
            "give the day with --from, or tell the sale with `asfound sold`",
        )
    })
}
