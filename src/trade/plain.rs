//! What serde says of a wrong value, in words for somebody who has never heard of it.

use crate::kit::text::suggest::near;

/// A message, and what to do about it.
pub(in crate::trade) type Words = (String, Option<String>);

/// Most words that are listed in a help.
const MOST: usize = 12;

/// Puts a message about the value of a key, or of something inside it, into plain words.
pub(in crate::trade) fn plain(key: &str, message: &str) -> Words {
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    if let Some(rest) = message.strip_prefix("unknown field ") {
        return unknown("is not a key here", "keys", &quoted, rest);
    }
    if let Some(rest) = message.strip_prefix("unknown variant ") {
        return unknown(&format!("is not known in `{key}`"), "words", &quoted, rest);
    }
    if let Some(word) = message.strip_prefix("missing field ") {
        return (format!("{word} is missing in `{key}`"), None);
    }
    if message.starts_with("invalid ")
        && let Some((got, wanted)) = message.split_once(", expected ")
    {
        let says = format!(
            "`{key}` must be {}, not {}",
            wanted_words(wanted),
            got_words(got)
        );
        return (says, None);
    }
    match message.split_once("; ") {
        Some((says, help)) => (says.to_owned(), Some(help.to_owned())),
        None => (message.to_owned(), None),
    }
}

/// A word that is none of those that are known; serde names them all behind it.
fn unknown(says: &str, kind: &str, quoted: &[&str], rest: &str) -> Words {
    let [word, known @ ..] = quoted else {
        return (rest.to_owned(), None);
    };
    let listed = |words: &[&str]| format!("`{}`", words.join("`, `"));
    let meant = near(word, known, &[]);
    let help = match (meant.as_slice(), known.len()) {
        ([], 0) => None,
        ([], all) if all > MOST => {
            let more = all - MOST;
            Some(format!(
                "the {kind} are {} and {more} more",
                listed(&known[..MOST])
            ))
        }
        ([], _) => Some(format!("the {kind} are {}", listed(known))),
        ([first, ..], _) => Some(format!("did you mean `{first}`?")),
    };
    (format!("`{word}` {says}"), help)
}

fn wanted_words(wanted: &str) -> String {
    let length = wanted.strip_prefix("an array of length ");
    if let Some(length) = length {
        return format!("a list of {length}");
    }
    let plain = match wanted {
        "a string" => "text in quotes",
        "f64" | "f32" => "a number",
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number of 0 or more",
        "i8" | "i16" | "i32" | "i64" => "a whole number",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "a map" => "a table",
        it if it.starts_with("struct ") => "a table",
        it => it,
    };
    plain.to_owned()
}

fn got_words(got: &str) -> String {
    let it = got
        .trim_start_matches("invalid type: ")
        .trim_start_matches("invalid value: ");
    if let Some(length) = it.strip_prefix("invalid length ") {
        return format!("of {length}");
    }
    let plain = match it.split(' ').next().unwrap_or(it) {
        "string" => "text",
        "integer" | "floating" => it.rsplit(' ').next().unwrap_or("a number"),
        "boolean" => "true or false",
        "sequence" => "a list",
        "map" => "a table",
        _ => it,
    };
    plain.to_owned()
}
