//! The pictures still to take.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::input::suggested::stages;
use crate::cli::input::suggested::suggested;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::cli::output::text::mark;
use crate::kit::text::joined;
use crate::model::ids::StockNo;
use crate::model::photo::Stage;
use crate::tongue::Language;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::work::WorkError;
use crate::work::advice::glossary::Kind;
use crate::work::advice::shot_list;
use crate::work::advice::shot_list::FaultShot;
use crate::work::advice::shot_list::ShotLine;
use crate::work::advice::shot_list::ShotSheet;

/// List the pictures still to take, in walking order: text, or a page for the phone that prints on one sheet
#[derive(Args, Debug)]
pub(in crate::cli) struct ShotlistArgs {
    /// Stock number
    #[arg(required_unless_present = "form", conflicts_with = "form")]
    no: Option<StockNo>,
    /// A form, such as chest_of_drawers, before anything is in the book
    #[arg(long, value_parser = suggested(Kind::Forms), hide_possible_values = true)]
    form: Option<String>,
    /// doorstep, purchase, work, sale, handover, delivery or return
    #[arg(long, value_parser = stages(), hide_possible_values = true)]
    stage: Stage,
    /// Write it as an HTML page [default place: the piece's folder; with --form the current one]
    #[arg(long, value_name = "PATH", num_args = 0..=1)]
    page: Option<Option<PathBuf>>,
    #[command(flatten)]
    language: LanguageArg,
}

pub(in crate::cli) fn run(context: &Context, args: ShotlistArgs) -> Result<Exit, WorkError> {
    let mut book = match &args.no {
        Some(no) => Some(context.open_to_read_of(no)?),
        None => context.open_if_any()?,
    };
    let form = args.form.unwrap_or_default();
    let mut sheet = match (&args.no, &mut book) {
        (Some(no), Some(book)) => shot_list::of_piece(book, no, args.stage)?,
        (_, book) => shot_list::of_form(book.as_ref(), &form, args.stage)?,
    };
    let tongue = args.language.tongue(book.as_ref());
    if let Some(place) = &args.page {
        shot_list::write_page(&mut sheet, place.as_deref(), tongue)?;
    } else if let Some(language) = args.language.language.filter(|it| *it != Language::English) {
        let name = language.name();
        talk(&format!(
            "what the command line prints is English: the page is in {name}, add --page"
        ));
    }
    match (&sheet.page, context.json) {
        (_, true) => json(&sheet),
        (Some(page), false) => {
            data(page);
            talk("send it to your phone, or print it; it needs no network");
        }
        (None, false) => print(&sheet),
    }
    Ok(Exit::Done)
}

fn print(it: &ShotSheet) {
    let (views, faults) = (it.list.views.len(), it.list.faults.len());
    let areas = it.list.areas.len();
    let no = it.stock_no.as_ref().map(|it| format!("{it}  "));
    let mut what = vec![count(views, "view")];
    if faults > 0 {
        what.push(count(faults, "fault"));
    }
    if areas > 0 {
        what.push(count(areas, "area"));
    }
    data(&heading(&format!(
        "{}{}, {}: {} to take",
        no.unwrap_or_default(),
        it.title,
        it.stage,
        joined(&what)
    )));
    for line in views_with_light(&it.list.views) {
        data(&line);
    }
    if faults > 0 {
        data(
            "Every fault again, repaired or not: same place, same light, a rule or the scale card in its plane",
        );
    }
    for line in &it.list.faults {
        data(&fault(line));
    }
    if let Some(first) = it.list.areas.first() {
        data(&format!("{}. {}", say::shot_areas(), first.how));
    }
    for line in &it.list.areas {
        data(&hung("[ ] ", &line.text.clone().sentence().to_string()));
    }
    if areas > 0 {
        let no = it.stock_no.as_ref().map(ToString::to_string);
        let no = no.unwrap_or_default();
        talk(&format!(
            "a picture counts for an area once the face is laid in it: `asfound lay {no}` finds it there"
        ));
    }
    data(&format!("[ ] {}", it.list.plus));
    if it.list.views.iter().any(|it| it.card.is_some()) || faults > 0 {
        data(&it.card.to_string());
    }
    for line in &it.list.mind {
        talk(&format!("{} {line}", mark("mind:")));
    }
    print_held(it);
    if it.photos_without_view > 0 {
        talk(&format!(
            "{} of this stage without a view: what they show is not counted",
            count(it.photos_without_view, "photo")
        ));
    }
    talk("with parts, reasons and boxes to tick, for the phone or on paper: add --page");
}

/// What the book has of the stage, and what it had.
fn print_held(it: &ShotSheet) {
    let mut held: Vec<String> = it
        .list
        .faults_held
        .iter()
        .map(ToString::to_string)
        .collect();
    if !it.list.held.is_empty() {
        held.insert(0, count(it.list.held.len(), "view"));
    }
    if !held.is_empty() {
        talk(&format!("in the book already: {}", held.join(", ")));
    }
    let out = it.list.taken_out.iter();
    let out: Vec<String> = out
        .map(|it| format!("{} ({})", it.view, it.pictures_out()))
        .collect();
    if !out.is_empty() {
        let out = out.join(", ");
        talk(&format!("taken before, and taken out of the record: {out}"));
    }
}

/// A line for each view with a box, how, the light and the card.
fn views_with_light(lines: &[ShotLine]) -> Vec<String> {
    let line = |it: &ShotLine| {
        let mut text = format!("{}: {} Light: {}", it.label, it.how, it.light);
        if let Some(card) = &it.card {
            text.push_str(" Card: ");
            text.push_str(&card.to_string());
        }
        hung(&format!("[ ] {:<20} ", it.view), &text)
    };
    lines.iter().map(line).collect()
}

fn fault(it: &FaultShot) -> String {
    let as_before = it.earlier.as_ref().map(|it| {
        let view = it.view.as_deref().map(|it| format!("{it}, "));
        let view = view.unwrap_or_default();
        format!("as picture {} ({view}{} {})", it.photo, it.stage, it.day)
    });
    let how = as_before.map_or_else(|| it.how.clone(), Saying::Plain);
    let how = match it.first.is_nothing() {
        true => how,
        false => say::shot_before(it.first.clone(), how),
    };
    hung(
        "[ ] ",
        &format!("{} {}, {}: {how}", it.finding, it.term, it.part),
    )
}
