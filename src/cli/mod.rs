//! Arguments -> exit code; the only room that prints.
//!
//! In: the command line and the environment. Out: data on standard output, talk on standard error, colours and a progress bar
//! only on a terminal. `input` reads what several commands are told, `commands` runs one verb a file, `output` prints.
//! May not know: any room but desk, work, model and kit.

mod commands;
mod context;
mod environment;
mod exit;
mod input;
mod output;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::CommandFactory as _;
use clap::FromArgMatches as _;
use clap::Parser;

use crate::cli::commands::Command;
use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::failure;
use crate::work::photos::process::PHOTO_WORKER;

/// Keeps the photographic condition record of vintage wooden furniture, from the doorstep to years after the sale.
#[derive(Debug, Parser)]
#[command(
    name = "asfound",
    version,
    max_term_width = 100,
    disable_help_subcommand = true
)]
#[command(
    after_help = "A day's work: new-book, intake, import, mark; survey, repair, report; at the sale sold and seal.\n\
    Exit codes: 0 done; 1 done, but something needs a hand; 2 could not."
)]
struct Cli {
    /// The stock book's folder; else ASFOUND_BOOK, else the nearest folder above that holds a book.db
    #[arg(long, global = true, value_name = "DIR", env = environment::BOOK)]
    book: Option<PathBuf>,
    /// Answer with one JSON object on standard output
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Command,
}

/// Runs the program on the process's arguments.
#[must_use]
pub fn run() -> ExitCode {
    keep_decoders_quiet();
    let exit = match parse() {
        Ok(cli) => answer(cli),
        Err(refused) => failure::tell_refused(&refused),
    };
    output::finish(exit).into()
}

/// The command line, read.
fn parse() -> Result<Cli, clap::Error> {
    let mut command = command();
    if environment::is_empty(environment::BOOK) {
        command = command.mut_arg("book", |it| it.env(None));
    }
    Cli::from_arg_matches(&command.try_get_matches()?)
}

/// The whole command line as clap knows it. A number below 0 is a value and no option: whoever reads it says what is wrong.
fn command() -> clap::Command {
    let values = |it: clap::Arg| match it.get_action().takes_values() {
        true => it.allow_negative_numbers(true),
        false => it,
    };
    Cli::command().mut_subcommands(|it| it.mut_args(values))
}

fn answer(cli: Cli) -> Exit {
    let json = cli.json;
    let done = environment::now().and_then(|now| {
        let context = Context::new(cli.book, cli.json, now);
        commands::run(cli.command, &context, command())
    });
    done.unwrap_or_else(|error| failure::tell(&error, json))
}

/// A decoder that panics on a broken picture is caught, and told as a file kept out; the panic's own words, meant for
/// programmers, are not shown. Panics anywhere else are.
fn keep_decoders_quiet() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |it| {
        if std::thread::current().name() != Some(PHOTO_WORKER) {
            usual(it);
        }
    }));
}

#[cfg(test)]
mod tests {
    use super::command;
    use crate::cli::output::failure::VERBS;

    #[test]
    fn the_command_line_is_sound() {
        command().debug_assert();
    }

    /// A verb of elsewhere is no command here, and what it means is one.
    #[test]
    fn what_is_said_of_a_wrong_verb_is_so() {
        for (typed, verb) in VERBS {
            assert!(command().find_subcommand(typed).is_none(), "{typed}");
            assert!(command().find_subcommand(verb).is_some(), "{verb}");
        }
    }
}
