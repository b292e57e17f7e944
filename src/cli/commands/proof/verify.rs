//! Checking a book, a dossier or a backup.

use std::path::PathBuf;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::environment::passphrase;
use crate::cli::environment::place;
use crate::cli::exit::Exit;
use crate::cli::input::text::text_of;
use crate::cli::output::bar::Bar;
use crate::cli::output::data;
use crate::cli::output::failure::tell_line;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::cli::output::text::wrapped_text;
use crate::work::WorkError;
use crate::work::backup::check::verify_backup;
use crate::work::backup::marker::is_backup;
use crate::work::backup::place::Place;
use crate::work::book::open_book::OpenBook;
use crate::work::proof::verify::GivenToJudge;
use crate::work::proof::verify::Verified;
use crate::work::proof::verify::dossier_around;
use crate::work::proof::verify::is_dossier;
use crate::work::proof::verify::verify_book;
use crate::work::proof::verify::verify_dossier;

/// Check a stock book, or a dossier or backup by itself
#[derive(Args, Debug)]
pub(in crate::cli) struct VerifyArgs {
    /// A dossier (folder or zip), a backup, or a book's folder [default: the book]
    path: Option<PathBuf>,
    /// Root certificate of a time-stamp authority that you trust; can be repeated
    #[arg(long, value_name = "FILE")]
    root: Vec<PathBuf>,
    /// The message by which the seller named a seal, in any mail's text, or `-`: is this the record that it names?
    #[arg(long, value_name = "FILE")]
    letter: Option<PathBuf>,
    /// Put back originals that are gone or rotten from a backup, or any folder that has the same bytes
    #[arg(long, value_name = "DIR")]
    heal: Option<PathBuf>,
}

pub(in crate::cli) fn run(context: &Context, mut args: VerifyArgs) -> Result<Exit, WorkError> {
    let given = GivenToJudge {
        letter: args.letter.as_deref().map(text_of).transpose()?,
        roots: std::mem::take(&mut args.root),
        passphrase: passphrase(),
    };
    let at = args.path.as_deref().map(place).transpose()?;
    let heal = args.heal.as_deref().map(place).transpose()?;
    if let Some(Place::Folder(path)) = &at
        && !path.exists()
    {
        return Err(WorkError::Asked {
            what: format!("there is no `{}`", path.display()),
            hint: Some(
                "name a dossier, as a folder or zip, a backup, or a book's folder".to_owned(),
            ),
        });
    }
    if let Some(path) = args.path.as_deref()
        && let Some(dossier) = dossier_around(path)
    {
        return Err(WorkError::Asked {
            what: format!("`{}` lies inside a dossier", path.display()),
            hint: Some(format!(
                "check all of it: `asfound verify \"{}\"`",
                dossier.display()
            )),
        });
    }
    let found = match (&args.path, &at) {
        (Some(path), _) if is_dossier(path) => {
            if args.heal.is_some() {
                let line = "a dossier is never changed: `--heal` puts back files of a book; name the book's folder, or leave `--heal` out";
                return Ok(tell_line(line, context.json));
            }
            verify_dossier(path, &given)?
        }
        (_, Some(at)) if is_backup(at) => {
            verify_backup(at, &given, heal.as_ref(), context.now, &Bar::default())?
        }
        (path, _) => {
            let mut book = match path {
                Some(path) => {
                    OpenBook::open_to_read(path, context.now).map_err(nothing_to_check)?
                }
                None => context.open_to_read()?,
            };
            verify_book(&mut book, &given, heal.as_ref(), &Bar::default())?
        }
    };
    if context.json {
        json(&found);
    } else {
        print(&found);
        print_lost(&args, at.as_ref(), &found);
    }
    Ok(Exit::clean(found.checks.iter().all(|it| it.ok)))
}

fn print(it: &Verified) {
    data(&heading(it.verdict));
    data(&wrapped_text("  ", &it.meaning));
    for line in &it.beside {
        data(&wrapped_text("  ", line));
    }
    for check in &it.checks {
        let sign = if check.ok { "ok " } else { "NOT" };
        let line = wrapped_text(&" ".repeat(22), &check.about);
        data(&format!("  {sign} {:<16}{}", check.code, line.trim_start()));
    }
    if let Some(key) = &it.fingerprint {
        data(&format!("  key {key}"));
        talk(
            "compare this key with the one on the invoice: only then is it known whose seals these are",
        );
    }
    for stamp in &it.stamps {
        data(&format!("  {stamp}"));
    }
    for path in &it.healed {
        data(&format!("  put back {path}"));
    }
    for path in &it.set_aside {
        talk(&format!(
            "what lay there is `{path}` now: no backup and no import takes it; it can be deleted"
        ));
    }
}

/// Where a folder was named and no book lies there.
fn nothing_to_check(why: WorkError) -> WorkError {
    match why {
        WorkError::NoBook(folder) => WorkError::Asked {
            what: format!(
                "`{}` is no stock book, no dossier and no backup",
                folder.display()
            ),
            hint: Some("a book's folder holds `book.db`, a dossier's `bagit.txt`".to_owned()),
        },
        why => why,
    }
}

/// What was not put back, or what would put it back.
fn print_lost(args: &VerifyArgs, at: Option<&Place>, it: &Verified) {
    if it.lost.is_empty() {
        return;
    }
    match &args.heal {
        Some(folder) => {
            for path in &it.lost {
                let folder = folder.display();
                data(&hung(
                    "  NOT ",
                    &format!("put back {path}: `{folder}` does not have its bytes"),
                ));
            }
            talk("look for them elsewhere: another backup, the camera's card");
        }
        None => talk(&format!(
            "`asfound verify{} --heal DIR` puts back what is gone or rotten and DIR has whole: {}",
            match &args.path {
                Some(path) => format!(" \"{}\"", path.display()),
                None => String::new(),
            },
            match at.is_some_and(is_backup) {
                true => "the book or another backup",
                false => "a backup or the camera's card",
            }
        )),
    }
}
