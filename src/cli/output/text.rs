//! Texts for a terminal: emphasis, counts, words of values, lines of about 100 columns.

use std::fmt::Display;

use serde::Serialize;

/// Most columns of a wrapped line.
const COLUMNS: usize = 100;

/// A heading.
pub(in crate::cli) fn heading(text: &str) -> String {
    format!("\x1b[1m{text}\x1b[0m")
}

/// A word that calls for attention.
pub(in crate::cli) fn mark(text: &str) -> String {
    format!("\x1b[1;33m{text}\x1b[0m")
}

/// `1 photo`, `2 photos`.
pub(in crate::cli) fn count(number: usize, one: &str) -> String {
    let end = if number == 1 { "" } else { "s" };
    format!("{number} {one}{end}")
}

/// Numbers of things in a row: `1, 2, 3`.
pub(in crate::cli) fn numbers(of: impl IntoIterator<Item: Display>) -> String {
    let all: Vec<String> = of.into_iter().map(|it| it.to_string()).collect();
    all.join(", ")
}

/// The word of a value as `--json` gives it, with spaces.
pub(in crate::cli) fn word(value: &impl Serialize) -> String {
    let text = serde_json::to_value(value).unwrap_or_default();
    text.as_str().unwrap_or("").replace('_', " ")
}

/// Wraps words at about 100 columns, each line after `indent`.
pub(in crate::cli) fn wrapped(indent: &str, words: &[String], between: &str) -> String {
    let mut lines = vec![String::from(indent)];
    for (n, word) in words.iter().enumerate() {
        let end = if n + 1 < words.len() { between } else { "" };
        let last = lines.last().map_or(0, |it| it.chars().count());
        if last > indent.len() && last + word.chars().count() + end.len() > COLUMNS {
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

/// A sentence wrapped, each line after `indent`.
pub(in crate::cli) fn wrapped_text(indent: &str, text: &str) -> String {
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    wrapped(indent, &words, " ")
}

/// A sentence after `first`, its further lines below its own beginning.
pub(in crate::cli) fn hung(first: &str, text: &str) -> String {
    let blank = " ".repeat(first.chars().count());
    let lines = wrapped_text(&blank, text);
    format!("{first}{}", &lines[blank.len()..])
}
