//! Commands about the book and its pieces.

use std::path::Path;

use crate::cli::args;
use crate::cli::estimate_jobs;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::json;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::cli::shot_text;
use crate::cli::sold_args::SoldArgs;
use crate::kit::money::Money;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::model::piece::PieceInput;
use crate::model::repair::RepairInput;
use crate::model::sale::SaleInput;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::book::stock::StockLine;
use crate::work::book::stock::stock;
use crate::work::piece::intake;
use crate::work::piece::repair;
use crate::work::piece::sale::sold;

pub(super) fn run_new_book(call: &Call, dir: &Path) -> Result<Done, WorkError> {
    let book = OpenBook::make(dir, call.now)?;
    if call.json {
        json(&serde_json::json!({ "book": book.root.display().to_string() }));
        return Ok(Done::Well);
    }
    data(&book.root.display().to_string());
    talk("write your name and currency into book.toml there, then take in a piece:");
    talk("  asfound intake \"walnut chest of drawers\" --form chest_of_drawers");
    Ok(Done::Well)
}

pub(super) fn run_intake(
    call: &Call,
    title: String,
    form: String,
    number: Option<StockNo>,
    told: args::Told,
) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let told = told_of(&book, Some(title), Some(form), told)?;
    let taken = intake::intake(&mut book, number, told)?;
    if call.json {
        json(&taken);
        return Ok(Done::Well);
    }
    data(&format!("{}  {}", taken.stock_no, taken.folder));
    talk(&heading(
        "Pictures to take now, before anything is touched, in walking order:",
    ));
    for line in shot_text::views(&taken.shot_list) {
        talk(&line);
    }
    talk("  and every fault three times: in its place, close, and with a rule or a card beside it");
    talk(&format!(
        "as a page for the phone: asfound shotlist {} --stage purchase --page",
        taken.stock_no
    ));
    talk(&format!(
        "then: asfound import PHOTOS --piece {} --stage purchase",
        taken.stock_no
    ));
    Ok(Done::Well)
}

pub(super) fn run_amend(
    call: &Call,
    no: &StockNo,
    title: Option<String>,
    form: Option<String>,
    told: args::Told,
) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let told = told_of(&book, title, form, told)?;
    if told == PieceInput::default() {
        talk("nothing to put right was named; `asfound amend --help` lists what can be");
        return Ok(Done::CouldNot);
    }
    let piece = intake::amend(&mut book, no, told)?;
    if call.json {
        json(&piece);
        return Ok(Done::Well);
    }
    data(&format!("{}  {}", piece.stock_no, piece.title));
    Ok(Done::Well)
}

fn told_of(
    book: &OpenBook,
    title: Option<String>,
    form: Option<String>,
    told: args::Told,
) -> Result<PieceInput, WorkError> {
    Ok(PieceInput {
        title,
        form,
        size: told.size,
        drawer_rows: told.drawers,
        with: told.with,
        absent: told.absent,
        about: told.about,
        examined_by: told.examined_by,
        weight: told.weight,
        bought_for: amount(book, told.bought_for)?,
        bought_on: told.bought_on,
        asking: amount(book, told.asking)?,
        private_note: told.private_note,
        market: estimate_jobs::market_of(book, told.market)?,
    })
}

pub(super) fn amount(book: &OpenBook, text: Option<String>) -> Result<Option<Money>, WorkError> {
    let Some(text) = text else { return Ok(None) };
    Ok(Some(book.settings()?.currency.amount(&text)?))
}

pub(super) fn run_repair(
    call: &Call,
    no: &StockNo,
    findings: Vec<FindingNo>,
    told: args::RepairTold,
) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let told = RepairInput {
        again: told.again,
        findings,
        method: told.method,
        day: told.day,
        new_material: told.new_material,
        hides: told.hides,
        note: told.note,
        minutes: told.minutes,
        cost: amount(&book, told.cost)?,
        private_note: told.private_note,
    };
    let done = repair::repair(&mut book, no, told)?;
    if call.json {
        json(&done);
        return Ok(Done::Well);
    }
    data(&format!(
        "repair {} of {no}: {}, {}, for {}",
        done.repair,
        done.method,
        done.day,
        done.findings.join("; ")
    ));
    for it in &done.cautions {
        talk(&format!("{} {it}", mark("mind:")));
    }
    talk(
        "take the after-pictures in the same places and light, and say `state = \"repaired\"` in their marks",
    );
    Ok(Done::Well)
}

pub(super) fn run_sold(call: &Call, args: SoldArgs) -> Result<Done, WorkError> {
    let mut book = call.open()?;
    let told = SaleInput {
        day: args.on,
        price: amount(&book, args.price)?,
        to: args.to,
        note: args.note,
    };
    let done = sold(&mut book, &args.no, told)?;
    let end = match done.odd.is_empty() {
        true => Done::Well,
        false => Done::NeedsAHand,
    };
    if call.json {
        json(&done);
        return Ok(end);
    }
    let told = [done.price.map(|it| it.to_string()), done.to, done.note];
    let told: Vec<String> = told.into_iter().flatten().collect();
    let private = match told.is_empty() {
        true => String::new(),
        false => format!("; private: {}", told.join(", ")),
    };
    data(&format!("{} sold on {}{private}", done.stock_no, done.day));
    if let Some(day) = done.instead_of {
        talk(&format!("{day}, as told before, stays in the ledger"));
    }
    for it in &done.odd {
        talk(&format!(
            "{} {it}; if the day is wrong, say it again with --on",
            mark("look:")
        ));
    }
    Ok(end)
}

pub(super) fn run_stock(call: &Call) -> Result<Done, WorkError> {
    let lines = stock(&call.open()?)?;
    if call.json {
        json(&lines);
        return Ok(Done::Well);
    }
    if lines.is_empty() {
        talk("the book is empty; take in a piece with `asfound intake`");
    }
    let line = |it: &StockLine| {
        let sold = it
            .sold
            .map_or_else(String::new, |it| format!(", sold {it}"));
        format!(
            "{}  {:<10} {:>4} photos {:>3} findings  {}{sold}",
            it.stock_no,
            it.stage.as_deref().unwrap_or("-"),
            it.photos,
            it.findings,
            it.title
        )
    };
    if !lines.is_empty() {
        // All at once: a write for each of thousands of lines takes longer than to find them.
        data(&lines.iter().map(line).collect::<Vec<_>>().join("\n"));
        talk("as last read; `asfound survey NO` reads what was written since");
    }
    Ok(Done::Well)
}
