//! The stock list, and its money.

use std::str::FromStr;

use clap::Args;
use clap::builder::PossibleValuesParser;
use clap::builder::TypedValueParser;
use serde::Serialize;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::suggested::suggested;
use crate::cli::output::csv::csv;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::spent::spent_words;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::cli::output::text::numbers;
use crate::cli::output::text::word;
use crate::kit::clock::Day;
use crate::kit::money::Currency;
use crate::kit::money::Money;
use crate::model::piece_state::PieceState;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::advice::survey::NextStep;
use crate::work::advice::survey::next_steps;
use crate::work::book::accounts::Accounts;
use crate::work::book::accounts::MoneyEvent;
use crate::work::book::accounts::NotCounted;
use crate::work::book::accounts::PieceMoney;
use crate::work::book::accounts::YearMoney;
use crate::work::book::accounts::accounts;
use crate::work::book::open_book::OpenBook;
use crate::work::book::stock::StockLine;
use crate::work::book::stock::StockOrder;
use crate::work::book::stock::StockRequest;
use crate::work::book::stock::stock;

/// List the pieces, as their sidecars were last read; or what was paid, spent and taken in
#[derive(Args, Debug)]
pub(in crate::cli) struct StockArgs {
    /// Only pieces that hold all these words: in number, title, form, about or private note
    words: Vec<String>,
    /// Only pieces that stand there: as the newest pictures, the repairs and the sale say; withdrawn ones are listed only by this
    #[arg(long, value_parser = one_of(PieceState::ALL))]
    state: Option<PieceState>,
    /// Only pieces of this form
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true)]
    form: Option<String>,
    /// In this order
    #[arg(long, value_parser = one_of(StockOrder::ALL), default_value = "number")]
    sort: StockOrder,
    /// With what each piece waits for: a look, a picture, a repair; pieces that wait for nothing are left out
    #[arg(long)]
    waiting: bool,
    /// Private: what was paid, spent on material and taken in, by piece and by year; with --csv every event by its day, also sales that were
    /// taken back and, apart, what was told of withdrawn pieces
    #[arg(long, conflicts_with_all = ["words", "state", "form", "sort", "waiting"])]
    money: bool,
    /// As comma-separated values, for a spreadsheet
    #[arg(long, conflicts_with_all = ["json", "waiting"])]
    csv: bool,
}

/// One of a few words, which a shell completes.
fn one_of<T>(all: &'static [(T, &'static str)]) -> impl TypedValueParser<Value = T>
where
    T: FromStr<Err = String> + Clone + Send + Sync + 'static,
{
    PossibleValuesParser::new(all.iter().map(|it| it.1)).try_map(|it| it.parse::<T>())
}

pub(in crate::cli) fn run(context: &Context, args: StockArgs) -> Result<Exit, WorkError> {
    let book = context.open_to_read()?;
    if args.money {
        return money(context, &accounts(&book)?, args.csv);
    }
    let narrowed = args.state.is_some() || args.form.is_some() || !args.words.is_empty();
    let asked = StockRequest {
        state: args.state,
        form: args.form,
        words: args.words,
        sort: args.sort,
    };
    let lines = stock(&book, &asked)?;
    if args.waiting {
        let mut waiting = Vec::new();
        // A withdrawn piece waits for nothing.
        for line in lines
            .into_iter()
            .filter(|it| it.state != PieceState::Withdrawn)
        {
            let next = next_steps(&book, &line.stock_no)?;
            if !next.is_empty() {
                waiting.push(Waiting { line, next });
            }
        }
        return Ok(print_waiting(context, &waiting));
    }
    if context.json {
        json(&lines);
        return Ok(Exit::Done);
    }
    if args.csv {
        csv(&COLUMNS, lines.iter().map(fields));
        return Ok(Exit::Done);
    }
    match lines.is_empty() {
        true if narrowed => talk("no piece is like that"),
        true if has_withdrawn(&book)? => {
            talk("no piece is in stock; `--state withdrawn` lists those that were withdrawn");
        }
        true => talk("the book is empty; take in a piece with `asfound intake`"),
        false => {
            // All at once: a write for each of thousands of lines takes longer than to find them.
            data(&lines.iter().map(line).collect::<Vec<_>>().join("\n"));
            talk(
                "as last read; numbers: given to findings, to clean tests, to what was not found, and to what was withdrawn since; `asfound survey NO` says what became of each",
            );
        }
    }
    Ok(Exit::Done)
}

fn has_withdrawn(book: &OpenBook) -> Result<bool, WorkError> {
    let asked = StockRequest {
        state: Some(PieceState::Withdrawn),
        ..StockRequest::default()
    };
    Ok(!stock(book, &asked)?.is_empty())
}

fn line(it: &StockLine) -> String {
    let last = match (it.sold, it.asking) {
        (Some(day), _) => format!(", sold {day}"),
        (None, Some(asking)) => format!(", asked {asking}"),
        (None, None) => String::new(),
    };
    format!(
        "{}  {:<10} {:>4} {:<6} {:>3} {:<8}  {}{last}",
        it.stock_no,
        word(&it.state),
        it.photos,
        if it.photos == 1 { "photo" } else { "photos" },
        it.findings,
        if it.findings == 1 {
            "number"
        } else {
            "numbers"
        },
        it.title
    )
}

/// A piece, and what it waits for.
#[derive(Serialize)]
struct Waiting {
    #[serde(flatten)]
    line: StockLine,
    /// The most urgent first.
    next: Vec<NextStep>,
}

fn print_waiting(context: &Context, waiting: &[Waiting]) -> Exit {
    if context.json {
        json(&waiting);
        return Exit::Done;
    }
    for it in waiting {
        data(&line(&it.line));
        let (first, more) = it.next.split_at(1);
        let more = match more.len() {
            0 => String::new(),
            more => format!(" (and {more} more)"),
        };
        for step in first {
            data(&format!("        {}{more}", step.what));
        }
    }
    if waiting.is_empty() {
        talk("no piece waits for anything");
    }
    Exit::Done
}

const COLUMNS: [&str; 10] = [
    "stock_no", "title", "form", "state", "stage", "photos", "findings", "asking", "currency",
    "sold",
];

fn fields(it: &StockLine) -> Vec<String> {
    vec![
        it.stock_no.to_string(),
        it.title.clone(),
        it.form.clone(),
        it.state.to_string(),
        it.stage.clone().unwrap_or_default(),
        it.photos.to_string(),
        it.findings.to_string(),
        plain(it.asking),
        it.asking
            .map_or_else(String::new, |it| it.currency.to_string()),
        day(it.sold),
    ]
}

const MONEY_COLUMNS: [&str; 10] = [
    "day",
    "stock_no",
    "title",
    "what",
    "repair",
    "amount",
    "currency",
    "minutes",
    "not_counted",
    "withdrawn_on",
];

fn money(context: &Context, it: &Accounts, as_csv: bool) -> Result<Exit, WorkError> {
    if context.json {
        json(it);
    } else if as_csv {
        let counted = it.events.iter().map(|it| (it, None));
        let gone = it.not_counted.iter();
        let gone = gone.flat_map(|it| {
            it.events
                .iter()
                .map(move |event| (event, Some(it.withdrawn_on)))
        });
        let mut all: Vec<(&MoneyEvent, Option<Day>)> = counted.chain(gone).collect();
        all.sort_by_key(|it| it.0.day);
        let rows = all
            .into_iter()
            .map(|(event, gone)| money_fields(event, gone, it.currency));
        csv(&MONEY_COLUMNS, rows);
    } else {
        print_money(it);
    }
    Ok(Exit::Done)
}

/// An event of a withdrawn piece has its amount in a column of its own, so that no sum takes it.
fn money_fields(it: &MoneyEvent, withdrawn_on: Option<Day>, currency: Currency) -> Vec<String> {
    let number = |it: Option<u32>| it.map_or_else(String::new, |it| it.to_string());
    let (amount, not_counted) = match withdrawn_on {
        None => (it.amount, None),
        Some(_) => (None, it.amount),
    };
    vec![
        day(it.day),
        it.stock_no.to_string(),
        it.title.clone(),
        it.what.to_string(),
        number(it.repair),
        plain(amount),
        currency.to_string(),
        number(it.minutes),
        plain(not_counted),
        day(withdrawn_on),
    ]
}

fn print_money(it: &Accounts) {
    data(&format!("private; amounts in {}", it.currency));
    data(&row(
        [
            "", "bought", "material", "others", "hours", "sold", "margin",
        ],
        "",
    ));
    let pieces: Vec<String> = it.pieces.iter().map(piece_row).collect();
    data(&pieces.join("\n"));
    let years: Vec<String> = it.years.iter().map(year_row).collect();
    data(&years.join("\n"));
    talk(
        "a piece's margin: sold less bought, material and what others took for work on record (`estimate --bill`); hours, rent and fees are not in it. -: not told",
    );
    talk(
        "a year's: bought and material as they were paid in it; its margin is that of the pieces sold in it, whenever they were bought, less that of sales taken back in it",
    );
    for piece in it
        .pieces
        .iter()
        .filter(|it| !it.repairs_without_cost.is_empty())
    {
        let so = match piece.margin {
            Some(_) => ", so its margin is at most what is printed",
            None => "",
        };
        talk(&format!(
            "{} {}: no cost of material is told of repair {}{so}",
            mark("look:"),
            piece.stock_no,
            numbers(&piece.repairs_without_cost)
        ));
    }
    if !it.bought_some_day.is_empty() {
        talk(&format!(
            "{} no day of purchase is told of {}: in no year; `asfound amend NO --bought-on DAY`",
            mark("look:"),
            numbers(&it.bought_some_day)
        ));
    }
    print_withdrawn(it);
}

fn print_withdrawn(it: &Accounts) {
    let one = |it: &NotCounted| match it.spent.as_slice() {
        [] => it.stock_no.to_string(),
        spent => format!("{} ({})", it.stock_no, spent_words(spent)),
    };
    if !it.not_counted.is_empty() {
        talk(&format!(
            "withdrawn, not counted: {}",
            numbers(it.not_counted.iter().map(one))
        ));
    }
    for piece in &it.pieces {
        for sale in &piece.fell_through {
            talk(&format!(
                "{}: the sale told for {}{} was taken back on {}",
                piece.stock_no,
                sale.day,
                sale.price.map_or_else(String::new, |it| format!(", {it},")),
                sale.taken_back
            ));
        }
    }
}

fn piece_row(it: &PieceMoney) -> String {
    let amounts = [
        it.stock_no.as_str(),
        &or_dash(it.bought_for),
        &or_dash(it.material),
        &or_dash(it.others),
        &hours(it.minutes),
        &or_dash(it.sold_for),
        &or_dash(it.margin),
    ];
    row(amounts, &it.title)
}

fn year_row(it: &YearMoney) -> String {
    let amounts = [
        &it.year.to_string(),
        &or_dash(Some(it.bought)),
        &or_dash(Some(it.material)),
        &or_dash(Some(it.others)),
        &hours(it.minutes),
        &or_dash(Some(it.sold)),
        &or_dash(Some(it.margin)),
    ];
    let mut without = Vec::new();
    if !it.bought_without_price.is_empty() {
        without.push(format!(
            "bought without {}",
            numbers(&it.bought_without_price)
        ));
    }
    if !it.without_margin.is_empty() {
        without.push(format!("margin without {}", numbers(&it.without_margin)));
    }
    if it.taken_back.minor != 0 {
        without.push(format!(
            "of sales taken back {}",
            plain(Some(it.taken_back))
        ));
    }
    row(amounts.map(String::as_str), &without.join("; "))
}

fn row([first, a, b, c, d, e, f]: [&str; 7], last: &str) -> String {
    let line = format!("{first:<8}{a:>11}{b:>11}{c:>11}{d:>8}{e:>11}{f:>11}  {last}");
    line.trim_end().to_owned()
}

fn hours(minutes: u32) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// An amount without its currency; nothing where none was told.
fn plain(it: Option<Money>) -> String {
    let text = it.map(|it| it.to_string()).unwrap_or_default();
    text.split_once(' ')
        .map_or_else(String::new, |it| it.1.to_owned())
}

fn or_dash(it: Option<Money>) -> String {
    it.map_or_else(|| "-".to_owned(), |it| plain(Some(it)))
}

fn day(it: Option<Day>) -> String {
    it.map(|it| it.to_string()).unwrap_or_default()
}
