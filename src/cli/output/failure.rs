//! Errors as they are told: in words on standard error; under `--json` as one object on standard output too, so that a script
//! finds every answer in the one place.

use std::ffi::OsStr;

use clap::error::ContextKind;
use clap::error::ContextValue;
use serde::Serialize;

use crate::cli::exit::Exit;
use crate::cli::output::json;
use crate::cli::output::raw;
use crate::cli::output::say;
use crate::cli::output::talk;
use crate::cli::output::text::mark;
use crate::model::complaint::Undrawn;
use crate::work::WorkError;

/// An error as `--json` gives it.
#[derive(Debug, Serialize)]
struct Failure<'a> {
    /// What could not be done.
    error: String,
    /// Its causes, the nearest first.
    because: Vec<String>,
    /// What to do about it.
    hint: Option<String>,
    /// Mistakes in texts of the user that caused it.
    complaints: Vec<Undrawn<'a>>,
}

/// Tells an error: what, why, and what to do.
pub(in crate::cli) fn tell(error: &WorkError, as_json: bool) -> Exit {
    let (because, hint) = (causes(error), error.hint());
    talk(&format!("{} {error}", mark("could not:")));
    for cause in &because {
        talk(&format!("  because {cause}"));
    }
    for complaint in error.complaints() {
        talk(&complaint.drawn);
    }
    if let Some(hint) = &hint {
        talk(&format!("  {hint}"));
    }
    if as_json {
        json(&Failure {
            error: error.to_string(),
            because,
            hint,
            complaints: error.complaints().iter().map(Undrawn).collect(),
        });
    }
    Exit::CouldNot
}

/// Tells in one line why a command was not run.
pub(in crate::cli) fn tell_line(line: &str, as_json: bool) -> Exit {
    talk(line);
    if as_json {
        json(&plain(line, None));
    }
    Exit::CouldNot
}

/// Tells what the command line lacks; or prints the help that was asked for, which is no error.
pub(in crate::cli) fn tell_refused(refused: &clap::Error) -> Exit {
    let text = refused.render();
    if !refused.use_stderr() {
        raw(&text.ansi().to_string());
        return Exit::Done;
    }
    let as_json = std::env::args_os().any(|it| it == OsStr::new("--json"));
    if let Some((typed, verb)) = meant_verb(refused) {
        // What clap takes for the nearest word may mean something else.
        let (what, hint) = (
            format!("there is no command `{typed}`"),
            format!("that is `asfound {verb}` here"),
        );
        talk(&format!("error: {what}\n  {hint}"));
        if as_json {
            json(&plain(&what, Some(&hint)));
        }
        return Exit::CouldNot;
    }
    say(&text.ansi().to_string());
    if as_json {
        let text = text.to_string();
        let first = text.split("\n\n").next().unwrap_or(&text);
        let what = first.strip_prefix("error: ").unwrap_or(first).trim_end();
        json(&plain(what, Some("for more information, try `--help`")));
    }
    Exit::CouldNot
}

/// What people type for a command, and what it is called here.
pub(in crate::cli) const VERBS: [(&str, &str); 27] = [
    ("list", "stock"),
    ("ls", "stock"),
    ("pieces", "stock"),
    ("undo", "put-back"),
    ("rename", "amend"),
    ("edit", "amend"),
    ("set", "amend"),
    ("change", "amend"),
    ("delete", "remove"),
    ("rm", "remove"),
    ("add", "intake"),
    ("new", "intake"),
    ("create", "new-book"),
    ("init", "new-book"),
    ("show", "survey"),
    ("status", "survey"),
    ("info", "survey"),
    ("check", "verify"),
    ("sign", "seal"),
    ("tag", "mark"),
    ("annotate", "mark"),
    ("photos", "import"),
    ("price", "estimate"),
    ("offer", "estimate"),
    ("claim", "dossier"),
    ("sell", "sold"),
    ("sale", "sold"),
];

/// A wrong verb as typed, and the command that it means.
fn meant_verb(refused: &clap::Error) -> Option<(String, &'static str)> {
    let typed = match refused.get(ContextKind::InvalidSubcommand)? {
        ContextValue::String(typed) => typed.to_lowercase(),
        _ => return None,
    };
    let found = VERBS.iter().find(|it| it.0 == typed);
    found.map(|it| (typed.clone(), it.1))
}

fn plain(what: &str, hint: Option<&str>) -> Failure<'static> {
    Failure {
        error: what.to_owned(),
        because: Vec::new(),
        hint: hint.map(str::to_owned),
        complaints: Vec::new(),
    }
}

/// What caused an error. One that only wraps another says the same as it; its own cause is what is new.
fn causes(error: &WorkError) -> Vec<String> {
    let mut causes = Vec::new();
    let mut said = error.to_string();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        let text = inner.to_string();
        if text != said {
            causes.push(text.clone());
        }
        said = text;
        cause = inner.source();
    }
    causes
}
