//! The commands: one verb a file, with its arguments, its run and its printing, by subject.
//!
//! In: a command as parsed and its context. Out: how it ended.

mod advice;
mod book;
mod photos;
mod piece;
mod proof;

use clap::Subcommand;

use crate::cli::commands::advice::doorstep;
use crate::cli::commands::advice::estimate;
use crate::cli::commands::advice::season;
use crate::cli::commands::advice::survey;
use crate::cli::commands::advice::where_seen;
use crate::cli::commands::book::backup;
use crate::cli::commands::book::demo;
use crate::cli::commands::book::guide;
use crate::cli::commands::book::install;
use crate::cli::commands::book::new_book;
use crate::cli::commands::book::restore;
use crate::cli::commands::book::stock;
use crate::cli::commands::book::words;
use crate::cli::commands::photos::clock;
use crate::cli::commands::photos::import;
use crate::cli::commands::photos::lay_faces;
use crate::cli::commands::photos::mark;
use crate::cli::commands::photos::put_back;
use crate::cli::commands::photos::remove;
use crate::cli::commands::photos::shotlist;
use crate::cli::commands::piece::amend;
use crate::cli::commands::piece::deadlines;
use crate::cli::commands::piece::export;
use crate::cli::commands::piece::intake;
use crate::cli::commands::piece::keep;
use crate::cli::commands::piece::label;
use crate::cli::commands::piece::repair;
use crate::cli::commands::piece::sold;
use crate::cli::commands::proof::dossier;
use crate::cli::commands::proof::handover;
use crate::cli::commands::proof::key;
use crate::cli::commands::proof::report;
use crate::cli::commands::proof::seal;
use crate::cli::commands::proof::verify;
use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::work::WorkError;

/// The commands, in the order of the help.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    Guide(guide::GuideArgs),
    Demo(demo::DemoArgs),
    NewBook(new_book::NewBookArgs),
    Intake(intake::IntakeArgs),
    Amend(amend::AmendArgs),
    Doorstep(doorstep::DoorstepArgs),
    Shotlist(shotlist::ShotlistArgs),
    Import(import::ImportArgs),
    Clock(clock::ClockArgs),
    Survey(survey::SurveyArgs),
    Where(where_seen::WhereArgs),
    Lay(lay_faces::LayArgs),
    Mark(mark::MarkArgs),
    Season(season::SeasonArgs),
    Repair(repair::RepairArgs),
    Estimate(estimate::EstimateArgs),
    Report(report::ReportArgs),
    Sold(sold::SoldArgs),
    Deadlines(deadlines::DeadlinesArgs),
    Handover(handover::HandoverArgs),
    Keep(keep::KeepArgs),
    Label(label::LabelArgs),
    Export(export::ExportArgs),
    Remove(remove::RemoveArgs),
    Seal(seal::SealArgs),
    Key(key::KeyArgs),
    Dossier(dossier::DossierArgs),
    Verify(verify::VerifyArgs),
    Backup(backup::BackupArgs),
    Restore(restore::RestoreArgs),
    Stock(stock::StockArgs),
    PutBack(put_back::PutBackArgs),
    Words(words::WordsArgs),
    Install(install::InstallArgs),
}

/// Runs a command; `whole` is the command line as clap knows it, for what shells install.
///
/// # Errors
/// What kept the command from being done.
pub(super) fn run(
    command: Command,
    context: &Context,
    whole: clap::Command,
) -> Result<Exit, WorkError> {
    match command {
        Command::Guide(args) => guide::run(context, &args),
        Command::Demo(args) => demo::run(context, args),
        Command::NewBook(args) => new_book::run(context, &args),
        Command::Intake(args) => intake::run(context, args),
        Command::Amend(args) => amend::run(context, args),
        Command::Doorstep(args) => doorstep::run(context, args),
        Command::Shotlist(args) => shotlist::run(context, args),
        Command::Import(args) => import::run(context, args),
        Command::Clock(args) => clock::run(context, args),
        Command::Survey(args) => survey::run(context, &args),
        Command::Where(args) => where_seen::run(context, &args),
        Command::Lay(args) => lay_faces::run(context, args),
        Command::Mark(args) => mark::run(context, &args),
        Command::Season(args) => season::run(context, args),
        Command::Repair(args) => repair::run(context, args),
        Command::Estimate(args) => estimate::run(context, args),
        Command::Report(args) => report::run(context, args),
        Command::Sold(args) => sold::run(context, args),
        Command::Deadlines(args) => deadlines::run(context, &args),
        Command::Handover(args) => handover::run(context, args),
        Command::Keep(args) => keep::run(context, &args),
        Command::Label(args) => label::run(context, &args),
        Command::Export(args) => export::run(context, &args),
        Command::Remove(args) => remove::run(context, &args),
        Command::Seal(args) => seal::run(context, args),
        Command::Key(args) => key::run(context, &args),
        Command::Dossier(args) => dossier::run(context, args),
        Command::Verify(args) => verify::run(context, args),
        Command::Backup(args) => backup::run(context, &args),
        Command::Restore(args) => restore::run(context, &args),
        Command::Stock(args) => stock::run(context, args),
        Command::PutBack(args) => put_back::run(context, &args),
        Command::Words(args) => words::run(context, &args),
        Command::Install(args) => install::run(context, &args, whole),
    }
}
