//! The book's key and its passphrase.

use clap::Args;

use crate::cli::commands::proof::seal::exposed;
use crate::cli::commands::proof::seal::former_keys;
use crate::cli::commands::proof::seal::no_passphrase;
use crate::cli::commands::proof::seal::state;
use crate::cli::context::Context;
use crate::cli::environment;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::wrapped_text;
use crate::work::WorkError;
use crate::work::proof::keys;
use crate::work::proof::keys::KeyTold;

/// Show the book's key and those before it, or keep it under another passphrase
#[derive(Args, Debug)]
pub(in crate::cli) struct KeyArgs {
    /// Keep it under the passphrase in ASFOUND_NEW_PASSPHRASE (15 characters or more) from now on; the one so far is taken from ASFOUND_PASSPHRASE
    #[arg(long, conflicts_with = "remove_passphrase")]
    set_passphrase: bool,
    /// Keep it open from now on: whoever reads the file has the key
    #[arg(long)]
    remove_passphrase: bool,
}

pub(in crate::cli) fn run(context: &Context, args: &KeyArgs) -> Result<Exit, WorkError> {
    let book = context.open()?;
    if args.set_passphrase || args.remove_passphrase {
        let passphrase = environment::passphrase();
        if passphrase.is_none() && keys::needs_passphrase(&book)? {
            return Err(no_passphrase());
        }
        let new = match args.set_passphrase {
            true => Some(environment::wanted_new_passphrase()?),
            false => None,
        };
        keys::keep_under(&book, passphrase.as_deref(), new.as_deref())?;
    }
    let told = keys::told(&book)?;
    match (&told, context.json) {
        (_, true) => json(&told),
        (Some(it), false) => print(it),
        (None, false) => talk("the book has no key yet; `asfound seal` makes one"),
    }
    Ok(Exit::clean(told.is_none_or(|it| it.here)))
}

fn print(it: &KeyTold) {
    data(&format!("key    {}", it.fingerprint));
    data(state(it));
    if !it.here {
        talk(
            "put `book.key` back from a backup of the book's folder; where there is none, `asfound seal --new-key --old-key-lost` makes another",
        );
    }
    for line in former_keys(it) {
        data(&wrapped_text("", &line));
    }
    if it.exposed {
        talk(&exposed());
    }
}
