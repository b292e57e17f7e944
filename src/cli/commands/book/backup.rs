//! Backing up the book.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::environment::passphrase;
use crate::cli::environment::place;
use crate::cli::environment::wanted_new_passphrase;
use crate::cli::exit::Exit;
use crate::cli::input::number::whole;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::hung;
use crate::work::WorkError;
use crate::work::backup::back_up::Encryption;
use crate::work::backup::back_up::back_up;
use crate::work::backup::backed_up::BackedUp;
use crate::work::backup::opening::keep_under;

/// Back up the book into a folder or object storage: every file once, the database as it stands now; only what is new is copied
#[derive(Args, Debug)]
pub(in crate::cli) struct BackupArgs {
    /// A folder on another disk, or a bucket as `s3://bucket/folder`: empty, not there yet, or the backup so far
    target: PathBuf,
    /// Begin it under the passphrase in ASFOUND_PASSPHRASE (15 characters or more): all in it is encrypted (age); without that passphrase nobody can read it
    #[arg(long)]
    encrypt: bool,
    /// Keep it under the passphrase in ASFOUND_NEW_PASSPHRASE from now on, and store nothing; the one so far is taken from ASFOUND_PASSPHRASE
    #[arg(long, conflicts_with = "encrypt")]
    new_passphrase: bool,
    /// The run of another copy of the book, as it was told, that is not gone on with: it stays, and is told no more
    #[arg(long, value_name = "RUN", value_parser = whole, conflicts_with_all = ["encrypt", "new_passphrase"])]
    set_aside: Option<u32>,
}

pub(in crate::cli) fn run(context: &Context, args: &BackupArgs) -> Result<Exit, WorkError> {
    let words = passphrase();
    if args.new_passphrase {
        return anew(context, args, words.as_deref());
    }
    let book = context.open_to_read()?;
    let encryption = Encryption {
        wanted: args.encrypt,
        passphrase: words.as_deref(),
    };
    let target = place(&args.target)?;
    let done = back_up(&book, &target, encryption, args.set_aside, &Bar::default())?;
    match context.json {
        true => json(&done),
        false => print(&done),
    }
    Ok(Exit::clean(
        done.amiss.is_empty() && done.other_copy.is_none(),
    ))
}

fn anew(context: &Context, args: &BackupArgs, words: Option<&str>) -> Result<Exit, WorkError> {
    let (place, new) = (place(&args.target)?, wanted_new_passphrase()?);
    let kept = keep_under(&place, words, &new, &Bar::default())?;
    match context.json {
        true => json(&kept),
        false => {
            data("the backup opens by the new passphrase now");
            talk("a copy of it that was made before still opens by the old one");
        }
    }
    Ok(Exit::Done)
}

fn print(it: &BackedUp) {
    data(&format!(
        "run {}: {}, {}; {}",
        it.run,
        count(it.files, "file"),
        bytes(it.bytes),
        match it.new_bytes {
            0 => "nothing new".to_owned(),
            new => format!("{} new", bytes(new)),
        }
    ));
    for it in &it.amiss {
        data(&hung("  NOT ", &format!("{} {}", it.file, it.why)));
    }
    if let Some(other) = &it.other_copy {
        data(&hung("  NOT ", &other.told("this book")));
    }
    if let Some(since) = it.not_read_since {
        talk(&format!(
            "{} not compared again with the backup, as time and size show no change; some not since {since}; `asfound verify` reads the book, `asfound verify \"{}\"` the backup",
            count(it.not_read_again, "file"),
            it.backup
        ));
    }
    if it.key == Some("open") && !it.encrypted {
        talk(
            "book.key is in it without a passphrase: whoever has the backup can sign in your name; `asfound key --set-passphrase`, then back up again",
        );
    }
}

/// `12.3 MB`: in powers of 1000, to one decimal.
fn bytes(bytes: u64) -> String {
    let (unit, name) = match bytes {
        1_000_000_000.. => (1_000_000_000, "GB"),
        1_000_000.. => (1_000_000, "MB"),
        _ => (1_000, "kB"),
    };
    let tenths = (u128::from(bytes) * 10).div_ceil(unit);
    format!("{}.{} {name}", tenths / 10, tenths % 10)
}
