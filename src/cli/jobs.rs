//! From a command to its job.

use std::path::PathBuf;

use crate::cli::args::Cli;
use crate::cli::args::Command;
use crate::cli::estimate_jobs;
use crate::cli::mark_jobs;
use crate::cli::piece_jobs;
use crate::cli::proof_jobs;
use crate::cli::report_jobs;
use crate::cli::season_text;
use crate::cli::shoot_jobs;
use crate::cli::shot_text;
use crate::cli::word_text;
use crate::kit::clock::Moment;
use crate::work::WorkError;
use crate::work::open_book::OpenBook;

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
pub(super) struct Desk {
    book: Option<PathBuf>,
    /// Whether the answer is JSON.
    pub(super) json: bool,
    /// The moment that counts as now.
    pub(super) now: Moment,
}

impl Desk {
    /// Opens the book that was named, or the nearest one.
    pub(super) fn open(&self) -> Result<OpenBook, WorkError> {
        match &self.book {
            Some(root) => OpenBook::open(root, self.now),
            None => {
                let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
                OpenBook::nearest(&here, self.now)
            }
        }
    }

    /// Opens the book that was named, or the nearest one; `None` where none was named and none is near.
    pub(super) fn open_if_any(&self) -> Result<Option<OpenBook>, WorkError> {
        match self.open() {
            Ok(book) => Ok(Some(book)),
            Err(WorkError::NoBook(_)) if self.book.is_none() => Ok(None),
            Err(error) => Err(error),
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
        Command::Demo { into } => report_jobs::run_demo(&desk, into),
        Command::NewBook { dir } => piece_jobs::run_new_book(&desk, &dir),
        Command::Intake {
            title,
            form,
            number,
            told,
        } => piece_jobs::run_intake(&desk, title, form, number, told),
        Command::Amend {
            no,
            title,
            form,
            told,
        } => piece_jobs::run_amend(&desk, &no, title, form, told),
        Command::Shotlist(args) => shot_text::run_shotlist(&desk, args),
        Command::Import(args) => shoot_jobs::run_import(&desk, args),
        Command::Survey { no } => shoot_jobs::run_survey(&desk, &no),
        Command::Mark(args) => mark_jobs::run_mark(&desk, &args),
        Command::Season(args) => season_text::run_season(&desk, args),
        Command::Repair { no, findings, told } => {
            piece_jobs::run_repair(&desk, &no, findings, told)
        }
        Command::Estimate(args) => estimate_jobs::run_estimate(&desk, args),
        Command::Report(args) => report_jobs::run_report(&desk, args),
        Command::Sold(args) => piece_jobs::run_sold(&desk, args),
        Command::Keep { no, files } => proof_jobs::run_keep(&desk, &no, &files),
        Command::Remove { no, photo, why } => proof_jobs::run_remove(&desk, &no, photo, &why),
        Command::Seal(args) => proof_jobs::run_seal(&desk, args),
        Command::Dossier(args) => proof_jobs::run_dossier(&desk, args),
        Command::Verify(args) => proof_jobs::run_verify(&desk, args),
        Command::Stock => piece_jobs::run_stock(&desk),
        Command::PutBack { no } => shoot_jobs::run_put_back(&desk, &no),
        Command::Words { kind, containing } => word_text::print(&desk, kind, containing.as_deref()),
        Command::Install { what } => Ok(report_jobs::run_install(what)),
    }
}
