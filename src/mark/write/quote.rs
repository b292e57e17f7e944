//! Values as they are written into TOML.

use crate::mark::read::draw::steers;
use crate::model::ids::PartId;
use crate::model::region::Point;

/// A text in quotes; over several lines when it has several.
pub(crate) fn text(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    let lines = text.contains('\n');
    quoted.push_str(if lines { "\"\"\"\n" } else { "\"" });
    for it in text.chars() {
        match it {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push('\n'),
            '\t' => quoted.push_str("\\t"),
            // What steers a terminal or turns the line round would hide what is written.
            it if steers(it) => {
                quoted.push_str(&format!("\\u{:04x}", u32::from(it)));
            }
            it => quoted.push(it),
        }
    }
    quoted.push_str(if lines { "\"\"\"" } else { "\"" });
    quoted
}

/// A list of texts on one line.
pub(crate) fn texts<'a>(list: impl IntoIterator<Item = &'a str>) -> String {
    let list: Vec<_> = list.into_iter().map(text).collect();
    format!("[{}]", list.join(", "))
}

/// A list of parts on one line.
pub(crate) fn parts<'a>(list: impl IntoIterator<Item = &'a PartId>) -> String {
    texts(list.into_iter().map(PartId::as_str))
}

/// A number with a decimal point, read back as the same number.
pub(crate) fn number(number: f64) -> String {
    format!("{number:?}")
}

/// A list of numbers on one line.
pub(crate) fn numbers(list: &[f64]) -> String {
    let list: Vec<_> = list.iter().copied().map(number).collect();
    format!("[{}]", list.join(", "))
}

/// A list of points on one line.
pub(crate) fn points(list: &[Point]) -> String {
    let list: Vec<_> = list.iter().map(|it| numbers(it)).collect();
    format!("[{}]", list.join(", "))
}
