//! Text of users on the page: no letter of it may act, and its language is told where it is not the page's.

use minijinja::Error;
use minijinja::Output;
use minijinja::State;
use minijinja::Value;
use minijinja::escape_formatter;

use crate::tongue::is_sign;
use crate::tongue::split_own;

/// Writes a value escaped for HTML, with controls that would turn or hide text shown by their code.
///
/// # Errors
/// When the page cannot be written.
pub(in crate::report) fn harmless(
    out: &mut Output,
    state: &mut State<'_, '_>,
    value: &Value,
) -> Result<(), Error> {
    match value.as_str() {
        Some(text) if !value.is_safe() => {
            for (language, text) in split_own(text) {
                if let Some(language) = language {
                    write!(out, "<span lang=\"{language}\">")?;
                }
                escape_formatter(out, state, &Value::from(shown(text)))?;
                if language.is_some() {
                    write!(out, "</span>")?;
                }
            }
            Ok(())
        }
        _ => escape_formatter(out, state, value),
    }
}

/// Controls (Unicode category Cc but for tab and line ends), the embeddings, overrides and isolates of UAX 9, and the signs round what
/// a user typed where they are no such signs.
fn acts(letter: char) -> bool {
    let quiet = matches!(letter, '\t' | '\n' | '\r');
    (letter.is_control() && !quiet)
        || matches!(letter, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
        || is_sign(letter)
}

fn shown(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    for letter in text.chars() {
        match acts(letter) {
            true => plain.push_str(&format!("[U+{:04X}]", u32::from(letter))),
            false => plain.push(letter),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn turning_and_hidden_letters_are_named_others_stay() {
        assert_eq!(shown("a\u{202E}gpj.b\0"), "a[U+202E]gpj.b[U+0000]");
        assert_eq!(shown("a\u{E000}b"), "a[U+E000]b");
        assert_eq!(shown("כיסא 👩‍🔧 naïve\n"), "כיסא 👩‍🔧 naïve\n");
    }
}
