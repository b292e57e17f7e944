//! Getting a book back out of its backup.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::environment::passphrase;
use crate::cli::exit::Exit;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::hung;
use crate::work::WorkError;
use crate::work::backup::restore::restore;

/// Get a book back out of its backup, into a new folder, and check it
#[derive(Args, Debug)]
pub(in crate::cli) struct RestoreArgs {
    /// The backup
    backup: PathBuf,
    /// A folder that is empty or not there yet
    dir: PathBuf,
    /// The book as it was in this run [default: the newest]
    #[arg(long, value_name = "NUMBER")]
    run: Option<u32>,
}

pub(in crate::cli) fn run(context: &Context, args: &RestoreArgs) -> Result<Exit, WorkError> {
    let bar = Bar::default();
    let words = passphrase();
    let (dir, words) = (&args.dir, words.as_deref());
    let done = restore(&args.backup, dir, args.run, words, context.now, &bar)?;
    let is_whole = done.amiss.is_empty() && done.verified.checks.iter().all(|it| it.ok);
    if context.json {
        json(&done);
        return Ok(Exit::clean(is_whole));
    }
    data(&done.book);
    talk(&format!(
        "run {} of {}: {}",
        done.run, done.at, done.verified.verdict
    ));
    for it in &done.amiss {
        data(&hung("  NOT ", &format!("{} {}", it.file, it.why)));
    }
    for it in &done.leftovers {
        talk(&format!(
            "`{it}` was left by a restore that was stopped; it can be deleted"
        ));
    }
    if !is_whole {
        talk(&format!("`asfound verify \"{}\"` tells all", done.book));
    }
    Ok(Exit::clean(is_whole))
}
