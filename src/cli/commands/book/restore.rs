//! Getting a book back out of its backup.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::environment::passphrase;
use crate::cli::environment::place;
use crate::cli::exit::Exit;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::hung;
use crate::work::WorkError;
use crate::work::backup::restore::RunMade;
use crate::work::backup::restore::restore;
use crate::work::backup::restore::runs;
use crate::work::proof::verify::CheckLine;

/// Get a book back out of its backup, into a new folder, and check it
#[derive(Args, Debug)]
pub(in crate::cli) struct RestoreArgs {
    /// The backup: its folder, or `s3://bucket/folder`
    backup: PathBuf,
    /// A folder that is empty or not there yet
    #[arg(required_unless_present = "runs")]
    dir: Option<PathBuf>,
    /// The book as it was in this run [default: the newest]
    #[arg(long, value_name = "NUMBER")]
    run: Option<u32>,
    /// List the runs with their days; nothing is given back
    #[arg(long, conflicts_with_all = ["dir", "run"])]
    runs: bool,
}

pub(in crate::cli) fn run(context: &Context, args: &RestoreArgs) -> Result<Exit, WorkError> {
    let bar = Bar::default();
    let words = passphrase();
    let words = words.as_deref();
    let backup = place(&args.backup)?;
    let Some(dir) = &args.dir else {
        return list(context, &runs(&backup, words)?);
    };
    let done = restore(&backup, dir, args.run, words, context.now, &bar)?;
    let end = Exit::clean(done.is_whole);
    if context.json {
        json(&done);
        return Ok(end);
    }
    data(&done.book);
    let wrong: Vec<&CheckLine> = done.verified.checks.iter().filter(|it| !it.ok).collect();
    let verdict = match (done.is_whole, wrong.is_empty()) {
        (true, false) => "every file is there; the book has no seal yet",
        _ => done.verified.verdict,
    };
    talk(&format!("run {} of {}: {verdict}", done.run, done.at));
    for it in &done.amiss {
        data(&hung("  NOT ", &format!("{} {}", it.file, it.why)));
    }
    for it in wrong.iter().filter(|_| !done.is_whole) {
        data(&hung("  NOT ", &it.about));
    }
    if let Some(other) = &done.other_copy {
        data(&hung("  NOT ", &other.told("this one")));
    }
    for it in &done.leftovers {
        talk(&format!(
            "`{it}` was left by a restore that was stopped; it can be deleted"
        ));
    }
    if !done.is_whole {
        talk(&format!("`asfound verify \"{}\"` tells all", done.book));
    }
    Ok(end)
}

fn list(context: &Context, runs: &[RunMade]) -> Result<Exit, WorkError> {
    match context.json {
        true => json(&runs),
        false => runs.iter().for_each(|it| {
            data(&format!(
                "{}  {}  {}",
                it.run,
                it.at,
                count(it.lines, "ledger line")
            ));
        }),
    }
    Ok(Exit::Done)
}
