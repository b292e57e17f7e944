//! One function a command: calls the job, prints what came of it.

use std::path::Path;
use std::path::PathBuf;

use clap::CommandFactory as _;

use crate::cli::args;
use crate::cli::args::Cli;
use crate::cli::args::Command;
use crate::cli::args::Installable;
use crate::cli::args::ReaderWord;
use crate::cli::bar::Bar;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::json;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::cli::survey_text;
use crate::cli::word_text;
use crate::kit::clock::Moment;
use crate::kit::money::Money;
use crate::model::ids::FindingNo;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::demo::demo;
use crate::work::import::ImportOrder;
use crate::work::import::Imported;
use crate::work::import::WhichShoot;
use crate::work::import::import;
use crate::work::intake;
use crate::work::intake::Told;
use crate::work::open_book::OpenBook;
use crate::work::put_back::put_back;
use crate::work::repair;
use crate::work::report::Finish;
use crate::work::report::Packing;
use crate::work::report::Reader;
use crate::work::report::ReportOrder;
use crate::work::report::report;
use crate::work::stock::stock;
use crate::work::survey::GapLine;
use crate::work::survey::survey;

/// How a command ended.
pub(super) enum Done {
    /// Done.
    Well,
    /// Done, but something needs a hand.
    NeedsAHand,
    /// Not done; what is missing has been told.
    CouldNot,
}

/// What every command may need.
struct Desk {
    book: Option<PathBuf>,
    json: bool,
    now: Moment,
}

impl Desk {
    fn open(&self) -> Result<OpenBook, WorkError> {
        match &self.book {
            Some(root) => OpenBook::open(root, self.now),
            None => {
                let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
                OpenBook::nearest(&here, self.now)
            }
        }
    }
}

/// Runs a command.
pub(super) fn run(cli: Cli, now: Moment) -> Result<Done, WorkError> {
    let desk = Desk {
        book: cli.book,
        json: cli.json,
        now,
    };
    match cli.command {
        Command::Demo { into } => run_demo(&desk, into),
        Command::NewBook { dir } => run_new_book(&desk, &dir),
        Command::Intake {
            title,
            form,
            number,
            told,
        } => run_intake(&desk, title, form, number, told),
        Command::Amend {
            no,
            title,
            form,
            told,
        } => run_amend(&desk, &no, title, form, told),
        Command::Import {
            paths,
            piece,
            stage,
            clock_off,
            new_shoot,
        } => {
            let order = ImportOrder {
                stock_no: piece,
                stage,
                paths,
                clock_off: clock_off.unwrap_or_default(),
                shoot: if new_shoot {
                    WhichShoot::Start
                } else {
                    WhichShoot::JoinOrStart
                },
            };
            run_import(&desk, &order)
        }
        Command::Survey { no } => run_survey(&desk, &no),
        Command::Repair { no, findings, told } => run_repair(&desk, &no, findings, told),
        Command::Report {
            no,
            reader,
            draft,
            folder,
            out,
        } => {
            let order = ReportOrder {
                stock_no: no,
                reader: match reader {
                    ReaderWord::Buyer => Reader::Buyer,
                    ReaderWord::Owner => Reader::Owner,
                },
                finish: if draft { Finish::Draft } else { Finish::Final },
                packing: if folder {
                    Packing::Folder
                } else {
                    Packing::OneFile
                },
                out,
            };
            run_report(&desk, &order)
        }
        Command::Stock => run_stock(&desk),
        Command::PutBack { no } => run_put_back(&desk, &no),
        Command::Words { kind, containing } => {
            Ok(word_text::print(kind, containing.as_deref(), desk.json))
        }
        Command::Install { what } => Ok(run_install(what)),
    }
}

fn run_demo(desk: &Desk, into: Option<PathBuf>) -> Result<Done, WorkError> {
    let into = into.unwrap_or_else(first_free);
    let bar = Bar::default();
    let made = demo(&into, desk.now, &bar)?;
    if desk.json {
        json(&made);
        return Ok(Done::Well);
    }
    talk(&format!(
        "{}, a chest of drawers from purchase to its buyer's hall, {}; all of it is invented and the pictures are rendered",
        made.stock_no,
        count(made.photos, "photo")
    ));
    data(&format!("book          {}", made.book));
    data(&format!("report        {}", made.report));
    data(&format!("owner's copy  {}", made.owners_copy));
    talk("open the report in a browser; then look into the book, and try:");
    talk(&format!(
        "  asfound survey {} --book \"{}\"",
        made.stock_no, made.book
    ));
    Ok(Done::Well)
}

fn first_free() -> PathBuf {
    let name = |n: u32| match n {
        1 => PathBuf::from("asfound-demo"),
        n => PathBuf::from(format!("asfound-demo-{n}")),
    };
    (1..)
        .map(name)
        .find(|it| !it.exists())
        .unwrap_or_else(|| name(1))
}

fn run_new_book(desk: &Desk, dir: &Path) -> Result<Done, WorkError> {
    let book = OpenBook::make(dir, desk.now)?;
    if desk.json {
        json(&serde_json::json!({ "book": book.root.display().to_string() }));
        return Ok(Done::Well);
    }
    data(&book.root.display().to_string());
    talk("write your name and currency into book.toml there, then take in a piece:");
    talk("  asfound intake \"walnut chest of drawers\" --form chest_of_drawers");
    Ok(Done::Well)
}

fn run_intake(
    desk: &Desk,
    title: String,
    form: String,
    number: Option<StockNo>,
    told: args::Told,
) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let told = told_of(&book, Some(title), Some(form), told)?;
    let taken = intake::intake(&mut book, number, told)?;
    if desk.json {
        json(&taken);
        return Ok(Done::Well);
    }
    data(&format!("{}  {}", taken.stock_no, taken.folder));
    talk(&heading(
        "Pictures to take now, before anything is touched, in walking order:",
    ));
    for line in &taken.shot_list {
        talk(&format!("  {:<20} {}: {}", line.view, line.label, line.how));
    }
    talk("  and every fault three times: in its place, close, and with a rule or a card beside it");
    talk(&format!(
        "then: asfound import PHOTOS --piece {} --stage purchase",
        taken.stock_no
    ));
    Ok(Done::Well)
}

fn run_amend(
    desk: &Desk,
    no: &StockNo,
    title: Option<String>,
    form: Option<String>,
    told: args::Told,
) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let told = told_of(&book, title, form, told)?;
    if told == Told::default() {
        talk("nothing to put right was named; `asfound amend --help` lists what can be");
        return Ok(Done::CouldNot);
    }
    let piece = intake::amend(&mut book, no, told)?;
    if desk.json {
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
) -> Result<Told, WorkError> {
    Ok(Told {
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
    })
}

fn amount(book: &OpenBook, text: Option<String>) -> Result<Option<Money>, WorkError> {
    let Some(text) = text else { return Ok(None) };
    Ok(Some(book.settings()?.currency.amount(&text)?))
}

fn run_import(desk: &Desk, order: &ImportOrder) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let bar = Bar::default();
    let done = import(&mut book, order, &bar)?;
    if desk.json {
        json(&done);
    } else {
        print_import(&done, order);
    }
    let clean = done.refused.is_empty() && done.warnings.is_empty();
    Ok(if clean { Done::Well } else { Done::NeedsAHand })
}

fn print_import(done: &Imported, order: &ImportOrder) {
    let to = done
        .shoot
        .as_ref()
        .map_or(String::new(), |it| format!(" to shoot `{}`", it.folder));
    data(&format!(
        "{} taken{to}, {} in the book already, {} kept out",
        count(done.taken, "photo"),
        done.already,
        done.refused.len()
    ));
    for it in &done.refused {
        talk(&format!("{} {}: {}", mark("kept out:"), it.file, it.reason));
    }
    for it in &done.warnings {
        talk(&format!("{} {it}", mark("look:")));
    }
    if done.taken > 0 {
        talk("beside each photo lies a .toml file now: say in it what the photo shows; then");
        talk(&format!("  asfound survey {}", order.stock_no));
    }
}

fn run_survey(desk: &Desk, no: &StockNo) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let it = survey(&mut book, no)?;
    if desk.json {
        json(&it);
    } else {
        survey_text::print(&it);
    }
    let clean = it.complaints.is_empty() && it.missing_sidecars.is_empty();
    Ok(if clean { Done::Well } else { Done::NeedsAHand })
}

fn run_repair(
    desk: &Desk,
    no: &StockNo,
    findings: Vec<FindingNo>,
    told: args::RepairTold,
) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let told = repair::RepairTold {
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
    if desk.json {
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

fn run_report(desk: &Desk, order: &ReportOrder) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let bar = Bar::default();
    let done = report(&mut book, order, &bar)?;
    if desk.json {
        json(&done);
    } else if let (Some(path), Some(bytes)) = (&done.path, done.bytes) {
        data(path);
        let what = match done.edition {
            Some(0) | None => "draft".to_owned(),
            Some(no) => format!("edition {no}"),
        };
        talk(&format!("{what}, {:.1} MB", bytes as f64 / 1e6));
        if done.complaints > 0 {
            talk(&format!(
                "{} {} not in force; the report says so. `asfound survey {}` shows the places",
                mark("look:"),
                count(
                    done.complaints,
                    "complaint about sidecars, whose newest text is"
                ),
                order.stock_no
            ));
        }
    } else {
        talk(&format!(
            "{} the report cannot be final while this is missing:",
            mark("could not:")
        ));
        print_gaps(&done.blocked_by);
        talk("or print it with the gaps marked: --draft");
    }
    Ok(match (&done.path, done.complaints) {
        (None, _) => Done::CouldNot,
        (Some(_), 0) => Done::Well,
        (Some(_), _) => Done::NeedsAHand,
    })
}

fn print_gaps(gaps: &[GapLine]) {
    for it in gaps {
        talk(&format!("  {}\n      {}", it.message, it.remedy));
    }
}

fn run_stock(desk: &Desk) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let lines = stock(&mut book)?;
    if desk.json {
        json(&lines);
        return Ok(Done::Well);
    }
    if lines.is_empty() {
        talk("the book is empty; take in a piece with `asfound intake`");
    }
    for it in &lines {
        data(&format!(
            "{}  {:<10} {:>4} photos {:>3} findings  {}",
            it.stock_no,
            it.stage.as_deref().unwrap_or("-"),
            it.photos,
            it.findings,
            it.title
        ));
    }
    Ok(Done::Well)
}

fn run_put_back(desk: &Desk, no: &StockNo) -> Result<Done, WorkError> {
    let mut book = desk.open()?;
    let written = put_back(&mut book, no)?;
    if desk.json {
        json(&serde_json::json!({ "written": written }));
        return Ok(Done::Well);
    }
    if written.is_empty() {
        talk("no sidecar is missing");
    }
    for it in &written {
        data(it);
    }
    Ok(Done::Well)
}

fn run_install(what: Installable) -> Done {
    use clap_complete::Shell;
    let mut command = Cli::command();
    let mut out = Vec::new();
    let shell = match what {
        Installable::Bash => Some(Shell::Bash),
        Installable::Zsh => Some(Shell::Zsh),
        Installable::Fish => Some(Shell::Fish),
        Installable::Elvish => Some(Shell::Elvish),
        Installable::Powershell => Some(Shell::PowerShell),
        Installable::Man => None,
    };
    match shell {
        Some(shell) => clap_complete::generate(shell, &mut command, "asfound", &mut out),
        None => {
            // Writing into memory cannot fail.
            let _ = clap_mangen::Man::new(command).render(&mut out);
        }
    }
    data(String::from_utf8_lossy(&out).trim_end());
    Done::Well
}
