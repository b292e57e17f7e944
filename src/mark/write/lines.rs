//! Changes the lines of one table in the text of a sidecar.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::mark::read::draw::quoted;
use crate::mark::read::values::Value;
use crate::mark::read::values::same;
use crate::mark::write::edits::Edits;

pub(crate) type Done = Result<(), (Span, String)>;

/// Whether a key stands on a line of its own with its value, rather than as a table.
pub(crate) fn plain_line(edits: &Edits<'_>, key: &str, span: Span, value: &Value<'_>) -> Done {
    let table = value.get_ref().is_table() || edits.is_header(span.start);
    if table {
        let message = format!("`{key}` must be a line like `{key} = ...`, not a table");
        return Err((span, message));
    }
    Ok(())
}

/// Makes the lines below a header say `pairs`. A key of `known` that is not among them goes; any other is told.
pub(crate) fn set_lines(
    edits: &mut Edits<'_>,
    header: Span,
    lines: &DeTable<'_>,
    pairs: &[(&'static str, String)],
    known: &[&str],
) -> Done {
    let mut last = header.end;
    for (key, value) in lines.iter() {
        plain_line(edits, key.get_ref(), key.span(), value)?;
        last = last.max(value.span().end);
        match pairs.iter().find(|(name, _)| name == key.get_ref()) {
            Some((_, written)) if same(value, written) => {}
            Some((_, written)) => edits.replace(value.span(), written),
            None if known.contains(&key.get_ref().as_ref()) => {
                edits.cut_line(key.span().start..value.span().end);
            }
            None => {
                let message = format!("{} is not a key here", quoted(key.get_ref()));
                return Err((key.span(), message));
            }
        }
    }
    let new = pairs.iter().filter(|(key, _)| !lines.contains_key(*key));
    let new: String = new
        .map(|(key, value)| format!("{key} = {value}\n"))
        .collect();
    if !new.is_empty() {
        edits.insert(edits.line_end(last), &new);
    }
    Ok(())
}
