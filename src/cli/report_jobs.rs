//! Commands that write pages: reports, the demo, what a shell installs.

use std::path::PathBuf;

use clap::CommandFactory as _;

use crate::cli::args::Cli;
use crate::cli::args::Installable;
use crate::cli::args::ReaderWord;
use crate::cli::args::ReportArgs;
use crate::cli::bar::Bar;
use crate::cli::jobs::Call;
use crate::cli::jobs::Done;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::json;
use crate::cli::say::mark;
use crate::cli::say::talk;
use crate::work::WorkError;
use crate::work::advice::survey::GapLine;
use crate::work::book::demo::demo;
use crate::work::report::edition::Finish;
use crate::work::report::edition::Packing;
use crate::work::report::edition::Reader;
use crate::work::report::edition::ReportOrder;
use crate::work::report::edition::report;

pub(super) fn run_demo(call: &Call, into: Option<PathBuf>) -> Result<Done, WorkError> {
    let into = into.unwrap_or_else(first_free);
    let bar = Bar::default();
    let made = demo(&into, call.now, &bar)?;
    if call.json {
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
    data(&format!("dossier       {}", made.dossier));
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

pub(super) fn run_report(call: &Call, args: ReportArgs) -> Result<Done, WorkError> {
    let order = &ReportOrder {
        stock_no: args.no,
        reader: match args.reader {
            ReaderWord::Buyer => Reader::Buyer,
            ReaderWord::Owner => Reader::Owner,
        },
        finish: if args.draft {
            Finish::Draft
        } else {
            Finish::Final
        },
        packing: if args.folder {
            Packing::Folder
        } else {
            Packing::OneFile
        },
        out: args.out,
    };
    let mut book = call.open()?;
    let bar = Bar::default();
    let done = report(&mut book, order, &bar)?;
    if call.json {
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

/// The packages of the lock file with their licences; a test writes it and compares it with the lock file.
const LICENCES: &str = include_str!("licences.txt");

pub(super) fn run_install(what: Installable) -> Done {
    use clap_complete::Shell;
    let mut command = Cli::command();
    let mut out = Vec::new();
    let shell = match what {
        Installable::Bash => Shell::Bash,
        Installable::Zsh => Shell::Zsh,
        Installable::Fish => Shell::Fish,
        Installable::Elvish => Shell::Elvish,
        Installable::Powershell => Shell::PowerShell,
        Installable::Man => {
            // Writing into memory cannot fail.
            let _ = clap_mangen::Man::new(command).render(&mut out);
            data(String::from_utf8_lossy(&out).trim_end());
            return Done::Well;
        }
        Installable::Licences => {
            data(LICENCES.trim_end());
            return Done::Well;
        }
    };
    clap_complete::generate(shell, &mut command, "asfound", &mut out);
    data(String::from_utf8_lossy(&out).trim_end());
    Done::Well
}
