//! Printing: data to standard output, talk to standard error. A reader that has gone away ends the program quietly.

use std::io::Write as _;

use serde::Serialize;

/// Prints one line of data.
pub(super) fn data(line: &str) {
    // A closed pipe is how `| head` says that it has seen enough.
    let _ = writeln!(anstream::stdout(), "{line}");
}

/// Prints a value as one JSON document.
pub(super) fn json(value: &impl Serialize) {
    let text = serde_json::to_string_pretty(value)
        .unwrap_or_else(|error| format!("{{\"error\": \"{error}\"}}"));
    data(&text);
}

/// Prints a value as one line of JSON, for a command that runs on: a reader knows at once that it is whole.
pub(super) fn json_line(value: &impl Serialize) {
    let text =
        serde_json::to_string(value).unwrap_or_else(|error| format!("{{\"error\": \"{error}\"}}"));
    data(&text);
}

/// Says one line.
pub(super) fn talk(line: &str) {
    let _ = writeln!(anstream::stderr(), "{line}");
}

/// A heading.
pub(super) fn heading(text: &str) -> String {
    format!("\x1b[1m{text}\x1b[0m")
}

/// A word that calls for attention.
pub(super) fn mark(text: &str) -> String {
    format!("\x1b[1;33m{text}\x1b[0m")
}

/// `1 photo`, `2 photos`.
pub(super) fn count(number: usize, one: &str) -> String {
    let end = if number == 1 { "" } else { "s" };
    format!("{number} {one}{end}")
}

/// Wraps words at about 100 columns, each line after `indent`.
pub(super) fn wrapped(indent: &str, words: &[String], between: &str) -> String {
    let mut lines = vec![String::from(indent)];
    for (n, word) in words.iter().enumerate() {
        let end = if n + 1 < words.len() { between } else { "" };
        let last = lines.last().map_or(0, |it| it.chars().count());
        if last > indent.len() && last + word.chars().count() + end.len() > 100 {
            lines.push(String::from(indent));
        }
        if let Some(line) = lines.last_mut() {
            line.push_str(word);
            line.push_str(end);
        }
    }
    let lines: Vec<&str> = lines.iter().map(|it| it.trim_end()).collect();
    lines.join("\n")
}
