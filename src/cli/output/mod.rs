//! The one place that writes to standard output and standard error.
//!
//! In: lines and values. Out: their bytes, and at the end how the command ended once they are written. Nothing else in the
//! program can print: `println!` and its kin are denied by clippy, and `tidy` finds the streams themselves anywhere but here.

pub(in crate::cli) mod bar;
pub(in crate::cli) mod csv;
pub(in crate::cli) mod failure;
pub(in crate::cli) mod shots;
pub(in crate::cli) mod spent;
pub(in crate::cli) mod text;

use std::io;
use std::io::IsTerminal as _;
use std::io::Write as _;
use std::sync::OnceLock;

use serde::Serialize;

use crate::cli::exit::Exit;

/// Why standard output took no more. A process has one standard output, so there is one of these.
static BROKEN: OnceLock<io::Error> = OnceLock::new();

/// Prints one line of data.
pub(in crate::cli) fn data(line: &str) {
    raw(&format!("{line}\n"));
}

/// Prints a text of data that ends its lines itself. After a write that failed nothing is written any more; [`finish`] tells.
pub(in crate::cli) fn raw(text: &str) {
    if BROKEN.get().is_some() {
        return;
    }
    let mut out = anstream::stdout();
    if let Err(error) = out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        // Only the first failure counts, and it has just been seen that there was none.
        let _ = BROKEN.set(error);
    }
}

/// Prints a value as one JSON document.
pub(in crate::cli) fn json(value: &impl Serialize) {
    let text = serde_json::to_string_pretty(value)
        .unwrap_or_else(|error| format!("{{\"error\": \"{error}\"}}"));
    data(&text);
}

/// Prints a value as one line of JSON, for a command that runs on: a reader knows at once that it is whole.
pub(in crate::cli) fn json_line(value: &impl Serialize) {
    let text =
        serde_json::to_string(value).unwrap_or_else(|error| format!("{{\"error\": \"{error}\"}}"));
    data(&text);
}

/// Says one line.
pub(in crate::cli) fn talk(line: &str) {
    say(&format!("{line}\n"));
}

/// Says a text that ends its lines itself. Where nobody can hear it there is nobody to tell of that.
fn say(text: &str) {
    let _ = anstream::stderr().write_all(text.as_bytes());
}

/// Whether somebody watches standard error.
fn is_watched() -> bool {
    io::stderr().is_terminal()
}

/// How a command ended, once its answer is written: an answer that could not be written is told. A reader that has gone away,
/// as `| head` does, has seen enough.
pub(in crate::cli) fn finish(exit: Exit) -> Exit {
    match BROKEN.get() {
        Some(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            talk(&format!(
                "{} the answer could not be written to standard output: {error}",
                text::mark("could not:")
            ));
            talk(
                "  what the command was to do it has done, or told above why not; only its answer is not whole",
            );
            Exit::CouldNot
        }
        _ => exit,
    }
}
