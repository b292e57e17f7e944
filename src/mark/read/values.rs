//! Single values of a TOML table, with a complaint when one is of the wrong kind.

use toml::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use crate::kit::diagnostic::Span;
use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;

/// A value with its place.
pub(crate) type Value<'a> = Spanned<DeValue<'a>>;

/// A text with its place.
pub(crate) struct Text {
    /// The text.
    pub(crate) text: String,
    /// Its place, quotes included.
    pub(crate) span: Span,
}

/// Complains of every key that is not known; `belongs` may say where else a key would be right.
pub(crate) fn check_keys(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    known: &[&str],
    belongs: impl Fn(&str) -> Option<String>,
) {
    for key in table.keys() {
        let name = key.get_ref().as_ref();
        if known.contains(&name) {
            continue;
        }
        let message = format!("{} is not a key here", quoted(name));
        talk.look_up(key.span(), message, || {
            belongs(name).or_else(|| suggest::help(name, "keys", known, &[]))
        });
    }
}

/// A text; nothing when the key is not there, or says nothing between its quotes.
pub(crate) fn text(talk: &mut Talk<'_>, table: &DeTable<'_>, key: &str) -> Option<Text> {
    let value = table.get(key)?;
    let Some(text) = value.get_ref().as_str() else {
        let message = format!("`{key}` must be text in quotes, not {}", kind(value));
        talk.add(value.span(), message, text_help(key, value));
        return None;
    };
    let silent = text.trim().is_empty();
    (!silent).then(|| Text {
        text: one_line_end(text),
        span: value.span(),
    })
}

/// A table under a key; nothing when the key is not there.
pub(crate) fn table<'a, 'b>(
    talk: &mut Talk<'_>,
    table: &'a DeTable<'b>,
    key: &str,
) -> Option<&'a DeTable<'b>> {
    let value = table.get(key)?;
    let inner = value.get_ref().as_table();
    if inner.is_none() {
        let message = format!("`{key}` must be a table, not {}", kind(value));
        let help = format!("write `[{key}]` on a line of its own, and what belongs to it below");
        talk.advise(value.span(), message, help);
    }
    inner
}

/// A list of texts; empty when the key is not there.
pub(crate) fn texts(talk: &mut Talk<'_>, table: &DeTable<'_>, key: &str) -> Vec<Text> {
    let Some(value) = table.get(key) else {
        return Vec::new();
    };
    let Some(list) = value.get_ref().as_array() else {
        let message = format!("`{key}` must be a list, not {}", kind(value));
        let one = value.get_ref().as_str().unwrap_or("top");
        talk.advise(
            value.span(),
            message,
            format!("write `{key} = [\"{one}\"]`"),
        );
        return Vec::new();
    };
    let mut texts = Vec::new();
    for item in list.iter() {
        match item.get_ref().as_str() {
            Some(text) => texts.push(Text {
                text: text.to_owned(),
                span: item.span(),
            }),
            None => talk.say(
                item.span(),
                format!("`{key}` holds text in quotes, not {}", kind(item)),
            ),
        }
    }
    texts
}

/// A number, whole or not.
pub(crate) fn number(value: &Value<'_>) -> Option<f64> {
    let plain = |it: &str| it.replace('_', "");
    match value.get_ref() {
        DeValue::Float(it) => plain(it.as_str()).parse().ok(),
        DeValue::Integer(it) if it.radix() == 10 => plain(it.as_str()).parse().ok(),
        DeValue::Integer(it) => {
            let whole = u32::from_str_radix(&plain(it.as_str()), it.radix());
            whole.ok().map(f64::from)
        }
        _ => None,
    }
}

/// A list of numbers of which there are as many as asked for.
pub(crate) fn numbers<const N: usize>(value: &Value<'_>) -> Option<[f64; N]> {
    let list = value.get_ref().as_array()?;
    let numbers: Option<Vec<f64>> = list.iter().map(number).collect();
    numbers?.try_into().ok()
}

/// What a value is, in plain words.
pub(crate) fn kind(value: &Value<'_>) -> &'static str {
    match value.get_ref() {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn text_help(key: &str, value: &Value<'_>) -> Option<String> {
    match value.get_ref() {
        DeValue::Array(list) if list.len() == 1 => {
            let one = list.iter().next()?.get_ref().as_str()?;
            Some(format!("write `{key} = \"{one}\"`"))
        }
        DeValue::Integer(it) if key == "size" => Some(format!(
            "write it with its unit: `size = \"{} mm\"`?",
            it.as_str()
        )),
        DeValue::Float(it) if key == "size" => Some(format!(
            "write it with its unit: `size = \"{} mm\"`?",
            it.as_str()
        )),
        DeValue::Integer(it) if key == "finding" => {
            Some(format!("did you mean `finding = \"F{}\"`?", it.as_str()))
        }
        _ => None,
    }
}

/// A text with one kind of line end, whatever the editor of the file likes.
fn one_line_end(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

/// Whether a value is the same as one that is about to be written, however it is spelt.
pub(crate) fn same(value: &Value<'_>, written: &str) -> bool {
    DeValue::parse(written).is_ok_and(|other| alike(value, &other))
}

fn alike(one: &Value<'_>, other: &Value<'_>) -> bool {
    match (one.get_ref(), other.get_ref()) {
        (DeValue::String(one), DeValue::String(other)) => one_line_end(one) == one_line_end(other),
        (DeValue::Array(one), DeValue::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other.iter()).all(|(a, b)| alike(a, b))
        }
        (DeValue::Table(one), DeValue::Table(other)) => {
            let same = |(key, value): (&_, &Value<'_>)| {
                let other = other.get(key);
                other.is_some_and(|it| alike(value, it))
            };
            one.len() == other.len() && one.iter().all(same)
        }
        _ => number(one).is_some_and(|it| Some(it) == number(other)),
    }
}
