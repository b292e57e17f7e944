//! What the TOML parser says, in words for somebody who has never heard of TOML.

use crate::mark::read::draw::quoted;

/// A message, and what to do about it.
pub(crate) type Words = (String, Option<String>);

/// Puts the parser's message into plain words; `before` and `rest` are the line before and after the place.
pub(crate) fn plain(message: &str, before: &str, rest: &str) -> Words {
    let value_here = before.trim_end().ends_with(['=', '[', ',']);
    let duplicate = message == "duplicate key";
    if value_here
        && !duplicate
        && let Some(words) = bare_value(message, rest)
    {
        return words;
    }
    match message.split(", expected").next().unwrap_or(message) {
        "duplicate key" => {
            let key = rest.split(['=', ']', '.']).next().unwrap_or(rest);
            let message = format!("{} stands here a second time", quoted(key.trim()));
            advice(&message, "keep one of the two")
        }
        "key with no value" | "missing assignment between key-value pairs" => {
            no_equals_sign(before, rest)
        }
        "invalid basic string" | "invalid literal string" => {
            advice("the text is not closed", "add the closing quote")
        }
        "invalid multi-line basic string" | "invalid multi-line literal string" => {
            advice("the text is not closed", "add the three closing quotes")
        }
        "missing escaped value" => {
            let help = "write two of them, `\\\\`, for one, or put the text in single quotes";
            advice("a backslash has a meaning of its own in a text", help)
        }
        "unclosed array table" | "unclosed table" => {
            advice("the bracket is not closed", "write `[[mark]]` or `[scale]`")
        }
        "missing comma between array elements" | "unclosed array" => {
            let help = "close the list with `]`, or put a comma between its items";
            advice("the list is not closed", help)
        }
        "unexpected key or value" => unexpected(before, rest),
        "missing value" | "missing value for key" | "invalid key-value pair" => advice(
            "there is nothing behind the `=`",
            "add the value, or take the line away",
        ),
        "cannot recurse further; max recursion depth met" => {
            ("this is nested too deeply".to_owned(), None)
        }
        _ => (message.to_owned(), None),
    }
}

/// Something that stands where a value should, without its quotes.
fn bare_value(message: &str, rest: &str) -> Option<Words> {
    if rest.trim().is_empty() {
        return Some(advice(
            "there is nothing behind the `=`",
            "add the value, or take the line away",
        ));
    }
    if rest.starts_with(['“', '”', '„', '«', '‘', '’']) {
        let help = "use the straight quote on both sides: \"...\"";
        return Some(advice("these quotes are curly ones", help));
    }
    if message.starts_with("string values must be quoted") || rest.starts_with(char::is_alphabetic)
    {
        let word = rest.split([',', ']', '#', '"']).next().unwrap_or(rest);
        // What a program prints for a number: its type round it.
        let inner = word.trim().split_once('(');
        let inner = inner.and_then(|it| it.1.strip_suffix(')'));
        if let Some(number) = inner.filter(|it| it.parse::<f64>().is_ok()) {
            let message = format!("{} is no number", quoted(word.trim()));
            return Some(advice(&message, &format!("write `{number}`")));
        }
        let help = format!("write {}", quoted(&format!("\"{}\"", word.trim())));
        return Some(advice("a text must stand in quotes", &help));
    }
    None
}

fn no_equals_sign(before: &str, rest: &str) -> Words {
    if rest.starts_with(':') || before.trim_end().ends_with(':') {
        return advice(
            "a key is followed by `=`, not by `:`",
            "write it like `view = \"top\"`",
        );
    }
    if let Some((more, _)) = rest.split_once('=')
        && !before.contains('=')
    {
        let key = format!("{}{}", before.trim_start(), more.trim());
        let help = format!("write {}", quoted(&key.replace([' ', '-'], "_")));
        return advice("a key is one word", &help);
    }
    let help = "a line is `key = value`; begin a remark of your own with `#`";
    advice("there is no `=` on this line", help)
}

fn unexpected(before: &str, rest: &str) -> Words {
    let digit = |it: Option<char>| it.is_some_and(|it| it.is_ascii_digit());
    let comma = rest
        .strip_prefix(',')
        .is_some_and(|it| digit(it.chars().next()));
    if comma && digit(before.chars().last()) {
        return advice(
            "a decimal number takes a point, not a comma",
            "write it like `2.5`",
        );
    }
    let help = "a line holds one `key = value`; begin a remark of your own with `#`";
    advice("the line should end here", help)
}

fn advice(message: &str, help: &str) -> Words {
    (message.to_owned(), Some(help.to_owned()))
}
/// Where the list begins that is open at `at` in a TOML text and never closed; `None` when none is.
pub(in crate::mark) fn unclosed(text: &str, at: usize) -> Option<usize> {
    open_at(text, at).filter(|it| open_at(text, text.len()) == Some(*it))
}

/// Where the list begins that is still open at `end` of a TOML text. Texts in quotes and remarks are passed over, and so are the
/// lines that begin a table.
fn open_at(text: &str, end: usize) -> Option<usize> {
    let mut open = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let begins_table = line.trim_start().starts_with("[[");
        // A table that begins where a list is open: nobody writes that inside a list of words.
        if begins_table && !open.is_empty() {
            break;
        }
        let header = open.is_empty() && line.trim_start().starts_with('[');
        if !header {
            brackets(line, at, end, &mut open);
        }
        at += line.len();
        if at >= end {
            break;
        }
    }
    open.first().copied()
}

/// Follows the brackets of one line that begins at `at`, up to `end`.
fn brackets(line: &str, at: usize, end: usize, open: &mut Vec<usize>) {
    let mut quote = None;
    let mut escaped = false;
    for (n, c) in line.char_indices() {
        if at + n >= end {
            return;
        }
        match (quote, c) {
            (Some('"'), '\\') if !escaped => escaped = true,
            (Some(it), c) => {
                if it == c && !escaped {
                    quote = None;
                }
                escaped = false;
            }
            (None, '"' | '\'') => quote = Some(c),
            (None, '#') => return,
            (None, '[') => open.push(at + n),
            (None, ']') => drop(open.pop()),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_list_that_is_never_closed_is_named_where_it_opens() {
        use super::unclosed;
        let text = "view = \"a [b\" # [\nparts = [\"leg\"\n\n[[mark]]\ntag = \"x\"\n";
        assert_eq!(unclosed(text, text.len()), text.find("[\"leg"));
        let closed = "corners = [[np.float64(9.3), 1.0],\n [2.0, 3.0]]\n";
        assert_eq!(unclosed(closed, closed.find("np").unwrap()), None);
        for good in [
            "a = [1, [2, 3]]\n[[mark]]\nb = 2\n",
            "[[mark]]\n",
            "a = '[' # [",
        ] {
            assert_eq!(unclosed(good, good.len()), None, "{good}");
        }
    }
}
