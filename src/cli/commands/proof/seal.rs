//! Sealing the ledger.

use std::path::Path;
use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::environment;
use crate::cli::environment::PASSPHRASE;
use crate::cli::exit::Exit;
use crate::cli::input::language::LanguageArg;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::mark;
use crate::cli::output::text::wrapped_text;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::out;
use crate::work::proof::keys;
use crate::work::proof::keys::KeyTold;
use crate::work::proof::keys::NewKey;
use crate::work::proof::seal::LockWish;
use crate::work::proof::seal::SealRequest;
use crate::work::proof::seal::Sealed;
use crate::work::proof::seal::seal;

/// Seal the ledger: sign it as it stands, and take in a time stamp
#[derive(Args, Debug)]
pub(in crate::cli) struct SealArgs {
    /// A reply of a time-stamp authority (RFC 3161) to the newest request
    #[arg(long, value_name = "FILE", conflicts_with = "authority")]
    reply: Option<PathBuf>,
    /// Address of a time-stamp authority to ask
    #[arg(long, value_name = "URL")]
    authority: Option<String>,
    /// Root certificate of the authority, as its owner publishes it; can be repeated
    #[arg(long, value_name = "FILE")]
    root: Vec<PathBuf>,
    /// Keep the book's key under a passphrase from now on; it is taken from ASFOUND_PASSPHRASE
    #[arg(long)]
    lock: bool,
    /// Make another key for the book, which the old one signs for; it is kept under ASFOUND_NEW_PASSPHRASE, else as the old one was
    #[arg(long, conflicts_with = "reply")]
    new_key: bool,
    /// The old key is lost, or its passphrase forgotten: openly, nobody signs for the new one
    #[arg(long, requires = "new_key")]
    old_key_lost: bool,
    /// The old key was stolen: from this seal on, no seal of it is to be trusted
    #[arg(long, value_name = "SEAL", requires = "new_key")]
    distrust_from: Option<u32>,
    /// The clock is right now, and was ahead at the newest seal or line: seal all the same, dated before these
    #[arg(long, conflicts_with = "reply")]
    clock_was_ahead: bool,
    /// Write the letter to the buyer into this file; `-` prints nothing but the letter
    #[arg(long, value_name = "FILE")]
    letter: Option<PathBuf>,
    /// A piece that the letter is to name [default: what is new in the seal]; can be repeated
    #[arg(long, value_name = "NO", conflicts_with = "reply")]
    piece: Vec<StockNo>,
    #[command(flatten)]
    language: LanguageArg,
}

pub(in crate::cli) fn run(context: &Context, args: SealArgs) -> Result<Exit, WorkError> {
    let letter = args.letter.as_deref();
    let to = letter.filter(|it| it.as_os_str() != "-");
    to.map_or(Ok(()), |it| out::free(it, None))?;
    let mut book = context.open()?;
    let passphrase = environment::passphrase();
    let is_used = !args.old_key_lost;
    if passphrase.is_none() && (args.lock || (is_used && keys::needs_passphrase(&book)?)) {
        return Err(no_passphrase());
    }
    let new_key = match args.new_key {
        true => Some(NewKey {
            old_is_lost: args.old_key_lost,
            distrust_from: args.distrust_from,
            passphrase: environment::new_passphrase().or_else(|| passphrase.clone()),
        }),
        false => None,
    };
    let order = SealRequest {
        reply: args.reply,
        authority: args.authority,
        roots: args.root,
        passphrase,
        lock: if args.lock {
            LockWish::Lock
        } else {
            LockWish::Leave
        },
        new_key,
        clock_was_ahead: args.clock_was_ahead,
        pieces: args.piece,
        language: args.language.language,
    };
    let sealed = seal(&mut book, &order)?;
    let is_piped = letter.is_some() && to.is_none();
    if let Some(path) = to {
        out::write_new(path, format!("{}\n", sealed.letter).as_bytes())?;
    }
    match (context.json, is_piped) {
        (true, _) => json(&sealed),
        (false, true) => print(&sealed, talk, letter),
        (false, false) => print(&sealed, data, letter),
    }
    Ok(Exit::clean(sealed.unread.is_empty()))
}

pub(super) fn no_passphrase() -> WorkError {
    WorkError::Asked {
        what: "the book's key wants a passphrase".to_owned(),
        hint: Some(format!(
            "give it in the environment variable {PASSPHRASE}, for example: read -rs {PASSPHRASE} && export {PASSPHRASE}"
        )),
    }
}

/// The keys before, in sentences.
pub(super) fn former_keys(it: &KeyTold) -> Vec<String> {
    let mut lines = Vec::new();
    for key in &it.before {
        let signed = match key.signed {
            true => "which signed for the one after it",
            false => {
                "which did not sign for the one after it: only your word and your papers say that both are yours"
            }
        };
        let distrusted = key.distrust_from.map_or(String::new(), |seal| {
            format!("; from seal {seal} on it is not to be trusted")
        });
        lines.push(format!(
            "until line {} the key was {}, {signed}{distrusted}",
            key.until_line, key.fingerprint
        ));
    }
    lines
}

/// How the key is kept, in one line.
pub(super) fn state(it: &KeyTold) -> &'static str {
    match (it.here, it.locked) {
        (false, _) => {
            "state  gone: the file `book.key` is not here, and nothing can be sealed without it"
        }
        (true, true) => "state  under a passphrase",
        (true, false) => "state  open: whoever reads the file `book.key` has the key",
    }
}

/// One sentence on a key that lies open on a medium without rights.
pub(super) fn exposed() -> String {
    format!(
        "{} this medium keeps no rights: whoever reads it has `book.key`; `asfound key --set-passphrase` keeps it under a passphrase",
        mark("look:")
    )
}

/// One sentence where another key was asked for and none was made.
fn no_other_key() -> String {
    format!(
        "{} no other key was made: the one here took the place of the one before, and nothing was entered since; where it may be known too, tell `--distrust-from SEAL`",
        mark("look:")
    )
}

/// `out` prints what a script may want, unless that is the letter alone.
fn print(it: &Sealed, out: fn(&str), letter: Option<&Path>) {
    let made = if it.new { "" } else { " (nothing new since)" };
    if it.key_was_begun {
        talk(&no_other_key());
    }
    out(&format!("seal   {}{made}", it.no));
    out(&format!("lines  {}", it.size));
    out(&format!("root   {}", it.root));
    out(&format!("key    {}", it.fingerprint));
    if it.key.locked {
        out("       under a passphrase");
    }
    for line in former_keys(&it.key) {
        talk(&wrapped_text("", &line));
    }
    if it.key.exposed {
        talk(&exposed());
    }
    match (&it.time_stamp, &it.authority) {
        (Some(at), Some(name)) => out(&format!(
            "state  signed; time-stamped not later than {at} by {name}"
        )),
        (Some(at), None) => out(&format!("state  signed; time-stamped not later than {at}")),
        (None, _) => out("state  signed, not time-stamped"),
    }
    match it.texts {
        0 => {}
        n => out(&format!(
            "texts  {} taken in first",
            count(n, "changed sidecar")
        )),
    }
    for left in &it.unread {
        talk(&format!(
            "{} `{}` was changed and is not sealed: {}",
            mark("look:"),
            left.file,
            left.why
        ));
    }
    for left in &it.faulty {
        talk(&format!(
            "{} `{}` is sealed as it is, but the text before it stays in force: {}",
            mark("look:"),
            left.file,
            left.why
        ));
    }
    if it.new {
        talk("for your invoices; by the key a stranger can tell your seals from another's:");
        talk(&format!("  {}", it.invoice_line));
    }
    if it.time_stamp.is_none() {
        let request = it.files.iter().find(|it| it.ends_with(".tsq"));
        if let Some(request) = request {
            talk(
                "for a time stamp, send this request to any RFC 3161 authority, then give its reply:",
            );
            talk(&format!("  {request}"));
            talk("  asfound seal --reply REPLY.tsr --root AUTHORITY-ROOT.pem");
        }
    }
    talk(
        "send this letter to the buyer; a message in somebody else's hands is an anchor of its own, and `asfound verify --letter` reads it back:",
    );
    match letter.filter(|it| it.as_os_str() != "-") {
        Some(path) => out(&format!("letter {}", path.display())),
        None => data(&it.letter),
    }
}
