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
use crate::work::book::open_book::OpenBook;

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
pub(super) struct Call {
    book: Option<PathBuf>,
    /// Whether the answer is JSON.
    pub(super) json: bool,
    /// The moment that counts as now.
    pub(super) now: Moment,
}

impl Call {
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
    let call = Call {
        book: cli.book,
        json: cli.json,
        now,
    };
    match cli.command {
        Command::Demo { into } => report_jobs::run_demo(&call, into),
        Command::NewBook { dir } => piece_jobs::run_new_book(&call, &dir),
        Command::Intake {
            title,
            form,
            number,
            told,
        } => piece_jobs::run_intake(&call, title, form, number, told),
        Command::Amend {
            no,
            title,
            form,
            told,
        } => piece_jobs::run_amend(&call, &no, title, form, told),
        Command::Shotlist(args) => shot_text::run_shotlist(&call, args),
        Command::Import(args) => shoot_jobs::run_import(&call, args),
        Command::Survey { no } => shoot_jobs::run_survey(&call, &no),
        Command::Mark(args) => mark_jobs::run_mark(&call, &args),
        Command::Season(args) => season_text::run_season(&call, args),
        Command::Repair { no, findings, told } => {
            piece_jobs::run_repair(&call, &no, findings, told)
        }
        Command::Estimate(args) => estimate_jobs::run_estimate(&call, args),
        Command::Report(args) => report_jobs::run_report(&call, args),
        Command::Sold(args) => piece_jobs::run_sold(&call, args),
        Command::Keep { no, files } => proof_jobs::run_keep(&call, &no, &files),
        Command::Remove { no, photo, why } => proof_jobs::run_remove(&call, &no, photo, &why),
        Command::Seal(args) => proof_jobs::run_seal(&call, args),
        Command::Dossier(args) => proof_jobs::run_dossier(&call, args),
        Command::Verify(args) => proof_jobs::run_verify(&call, args),
        Command::Stock => piece_jobs::run_stock(&call),
        Command::PutBack { no } => shoot_jobs::run_put_back(&call, &no),
        Command::Words { kind, containing } => word_text::print(&call, kind, containing.as_deref()),
        Command::Install { what } => Ok(report_jobs::run_install(what)),
    }
}
