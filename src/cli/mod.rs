//! Arguments -> exit code; the only room that prints.
//!
//! Data goes to standard output, talk to standard error; colours and a progress bar only to a terminal.
//! May not know: any room but work, call, model and kit.

mod args;
mod bar;
mod estimate_args;
mod estimate_jobs;
mod estimate_text;
mod jobs;
mod mark_jobs;
mod means_text;
mod offer_text;
mod piece_jobs;
mod proof_args;
mod proof_jobs;
mod report_jobs;
mod said_text;
mod say;
mod season_text;
mod shoot_jobs;
mod shot_text;
mod size_arg;
mod sold_args;
mod survey_text;
mod word_text;

use std::io::IsTerminal as _;
use std::process::ExitCode;
use std::sync::Arc;

use clap::Parser as _;

use crate::cli::args::Cli;
use crate::cli::jobs::Done;
use crate::cli::say::talk;
use crate::desk;
use crate::kit::clock::Moment;
use crate::work::WorkError;
use crate::work::photos::process::DARKROOM;

/// Runs the program on the process's arguments.
#[must_use]
pub fn run() -> ExitCode {
    keep_decoders_quiet();
    let cli = Cli::parse();
    let done = now().and_then(|now| jobs::run(cli, now));
    match done {
        Ok(Done::Well) => ExitCode::SUCCESS,
        Ok(Done::NeedsAHand) => ExitCode::from(1),
        Ok(Done::CouldNot) => ExitCode::from(2),
        Err(error) => {
            tell(&error);
            ExitCode::from(2)
        }
    }
}

/// A decoder that panics on a broken picture is caught, and told as a file kept out; the panic's own words, meant for
/// programmers, are not shown. Panics anywhere else are.
fn keep_decoders_quiet() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |it| {
        if std::thread::current().name() != Some(DARKROOM) {
            usual(it);
        }
    }));
}

/// The moment that counts as now: `ASFOUND_NOW` where it is set, so that tests can fix it.
fn now() -> Result<Moment, WorkError> {
    match std::env::var("ASFOUND_NOW") {
        Ok(text) => Ok(text.parse()?),
        Err(_) => Ok(Moment::now()),
    }
}

/// The moment that counts as now for a command that runs on for hours: fixed where `ASFOUND_NOW` is set.
fn clock(started: Moment) -> desk::Now {
    let fixed = std::env::var_os("ASFOUND_NOW").is_some();
    Arc::new(move || if fixed { started } else { Moment::now() })
}

/// Tells an error: what, why, and what to do.
fn tell(error: &WorkError) {
    talk(&format!("{} {error}", say::mark("could not:")));
    let mut cause = std::error::Error::source(error);
    // A wrapped error says the same as its wrapper; its own cause is what is new.
    let mut said = error.to_string();
    while let Some(inner) = cause {
        let text = inner.to_string();
        if text != said {
            talk(&format!("  because {text}"));
        }
        said = text;
        cause = inner.source();
    }
    for complaint in error.complaints() {
        talk(&complaint.drawn);
    }
    if let Some(hint) = error.hint() {
        talk(&format!("  {hint}"));
    }
}

/// Whether somebody watches standard error.
fn is_watched() -> bool {
    std::io::stderr().is_terminal()
}
