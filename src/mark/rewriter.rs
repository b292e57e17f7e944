//! Changes the text of a sidecar and leaves everything else in it as it stands, to the byte.
//!
//! Changes are made on the text itself, by the places the parser tells. So comments, order, blank lines and line ends stay;
//! comments inside a value that goes are kept as lines of their own above it.

use toml::de::DeTable;

use crate::mark::Change;
use crate::mark::draw::quoted;
use crate::mark::edits::Edits;
use crate::mark::keys;
use crate::mark::quote;
use crate::mark::source::Span;
use crate::mark::source::Talk;
use crate::mark::values::Value;
use crate::mark::values::same;
use crate::mark::writer;
use crate::model::complaint::Complaint;
use crate::model::mark::Mark;

/// A place in the list of marks.
enum Slot<'t, 'a> {
    /// The item of this index in one of the lists at the top.
    Short(&'static str, usize),
    /// A `[[mark]]`: its header and its lines.
    Block(Span, &'t DeTable<'a>),
}

/// Makes changes to the text of a sidecar, one after the other.
///
/// # Errors
/// When the text is no TOML, a key that is changed is a table, or there is no mark of that index; the file's name is empty then.
pub fn rewritten(text: &str, changes: &[Change]) -> Result<String, Vec<Complaint>> {
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mark = &text[..text.len() - bare.len()];
    let mut bare = bare.to_owned();
    for change in changes {
        bare = with_blocks(&bare)?;
        bare = with_change(&bare, change)?;
    }
    Ok(format!("{mark}{bare}"))
}

fn with_change(text: &str, change: &Change) -> Result<String, Vec<Complaint>> {
    let mut talk = Talk::new("", text);
    let table = talk.table();
    let changed = table.and_then(|table| {
        let mut edits = Edits::new(text);
        let done = edit(&mut edits, table.get_ref(), change);
        done.map_err(|(span, message)| talk.say(span, message))
            .ok()?;
        Some(edits.done())
    });
    talk.end(changed)
}

type Done = Result<(), (Span, String)>;

fn edit(edits: &mut Edits<'_>, table: &DeTable<'_>, change: &Change) -> Done {
    match change {
        Change::View(view) => set_top(edits, table, "view", &quote::text(view)),
        Change::Parts(parts) => set_top(edits, table, "parts", &quote::parts(parts)),
        Change::Note(Some(note)) => set_top(edits, table, "note", &quote::text(note)),
        Change::Note(None) => {
            let Some((key, value)) = table.get_key_value("note") else {
                return Ok(());
            };
            plain_line(edits, "note", key.span(), value)?;
            edits.cut_line(key.span().start..value.span().end);
            Ok(())
        }
        Change::AddMark(mark) => {
            edits.append(&writer::block(mark));
            Ok(())
        }
        Change::RemoveMark(index) => remove(edits, table, *index),
        Change::ReplaceMark { index, mark } => replace(edits, table, *index, mark),
    }
}

fn set_top(edits: &mut Edits<'_>, table: &DeTable<'_>, key: &str, written: &str) -> Done {
    if let Some((name, value)) = table.get_key_value(key) {
        plain_line(edits, key, name.span(), value)?;
        if !same(value, written) {
            edits.replace(value.span(), written);
        }
        return Ok(());
    }
    let lines = table
        .iter()
        .filter(|(name, _)| !edits.is_header(name.span().start));
    let last = lines.map(|(_, value)| end(value)).max();
    let at = last.map_or_else(|| edits.above_first_line(), |last| edits.line_end(last));
    edits.insert(at, &format!("{key} = {written}\n"));
    Ok(())
}

/// Whether a key stands on a line of its own with its value, rather than as a table.
fn plain_line(edits: &Edits<'_>, key: &str, span: Span, value: &Value<'_>) -> Done {
    let table = value.get_ref().is_table() || edits.is_header(span.start);
    if table {
        let message = format!("`{key}` must be a line like `{key} = ...`, not a table");
        return Err((span, message));
    }
    Ok(())
}

fn slots<'t, 'a>(table: &'t DeTable<'a>) -> Vec<Slot<'t, 'a>> {
    let mut slots = Vec::new();
    for tag in keys::STATEMENTS {
        let list = table.get(tag).and_then(|it| it.get_ref().as_array());
        let count = list.map_or(0, |list| list.len());
        slots.extend((0..count).map(|n| Slot::Short(tag, n)));
    }
    let marks = table.get("mark").and_then(|it| it.get_ref().as_array());
    for mark in marks.into_iter().flat_map(|list| list.iter()) {
        if let Some(table) = mark.get_ref().as_table() {
            slots.push(Slot::Block(mark.span(), table));
        }
    }
    slots
}

fn slot<'t, 'a>(
    edits: &Edits<'_>,
    table: &'t DeTable<'a>,
    index: usize,
) -> Result<Slot<'t, 'a>, (Span, String)> {
    let mut slots = slots(table);
    if index < slots.len() {
        return Ok(slots.swap_remove(index));
    }
    let end = edits.text.len();
    let message = format!(
        "there is no mark {} in this text: it has {}",
        index + 1,
        slots.len()
    );
    Err((end..end, message))
}

fn remove(edits: &mut Edits<'_>, table: &DeTable<'_>, index: usize) -> Done {
    match slot(edits, table, index)? {
        Slot::Short(tag, n) => {
            shorten(edits, table, tag, n);
            Ok(())
        }
        Slot::Block(header, lines) => {
            for (key, value) in lines.iter() {
                plain_line(edits, key.get_ref(), key.span(), value)?;
                edits.cut_line(key.span().start..value.span().end);
            }
            edits.cut_line(edits.header(header.start));
            Ok(())
        }
    }
}

fn replace(edits: &mut Edits<'_>, table: &DeTable<'_>, index: usize, mark: &Mark) -> Done {
    let (header, lines) = match slot(edits, table, index)? {
        Slot::Short(tag, n) => {
            let item = table
                .get(tag)
                .and_then(|it| it.get_ref().as_array()?.get(n));
            if let (Some(item), Some(part), Some(list)) = (item, &mark.part, writer::list_of(mark))
                && list == tag
            {
                edits.replace(item.span(), &quote::text(part.as_str()));
                return Ok(());
            }
            shorten(edits, table, tag, n);
            let first = slots(table).into_iter().find_map(|it| match it {
                Slot::Block(header, _) => Some(header.start),
                Slot::Short(..) => None,
            });
            let block = writer::block(mark);
            match first {
                Some(at) => edits.insert(edits.above_comments(at), &format!("{block}\n")),
                None => edits.append(&block),
            }
            return Ok(());
        }
        Slot::Block(header, lines) => (edits.header(header.start), lines),
    };
    let pairs = writer::pairs(mark);
    let mut last = header.end;
    for (key, value) in lines.iter() {
        plain_line(edits, key.get_ref(), key.span(), value)?;
        last = last.max(value.span().end);
        match pairs.iter().find(|(name, _)| name == key.get_ref()) {
            Some((_, written)) if same(value, written) => {}
            Some((_, written)) => edits.replace(value.span(), written),
            None if keys::MARK.contains(&key.get_ref().as_ref()) => {
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

/// Takes one item out of a list at the top.
fn shorten(edits: &mut Edits<'_>, table: &DeTable<'_>, tag: &str, n: usize) {
    let Some(value) = table.get(tag) else {
        return;
    };
    let items = value.get_ref().as_array().map(|list| list.iter());
    let items = items
        .into_iter()
        .flatten()
        .enumerate()
        .filter(|(at, _)| *at != n);
    let written: Vec<_> = items.map(|(_, item)| &edits.text[item.span()]).collect();
    let written = format!("[{}]", written.join(", "));
    edits.replace(value.span(), &written);
}

/// Where a value ends; that of a table made of dotted keys lies at its last one.
fn end(value: &Value<'_>) -> usize {
    let inner = value.get_ref().as_table();
    let inner = inner.and_then(|table| table.values().map(end).max());
    inner.unwrap_or(0).max(value.span().end)
}

/// Turns `mark = [{ ... }]` into `[[mark]]` blocks at the end, so that each mark has lines of its own.
fn with_blocks(text: &str) -> Result<String, Vec<Complaint>> {
    let mut talk = Talk::new("", text);
    let Some(table) = talk.table() else {
        return talk.end(None);
    };
    let mut edits = Edits::new(text);
    let marks = table.get_ref().get_key_value("mark");
    let Some((key, value)) = marks.filter(|(key, _)| !edits.is_header(key.span().start)) else {
        return Ok(text.to_owned());
    };
    let Some(list) = value.get_ref().as_array() else {
        talk.say(key.span(), "`mark` must be a list of marks, `[[mark]]`");
        return talk.end(None);
    };
    let mut kept: Vec<Span> = Vec::new();
    for mark in list.iter() {
        let mut block = "[[mark]]\n".to_owned();
        let lines = mark
            .get_ref()
            .as_table()
            .into_iter()
            .flat_map(DeTable::iter);
        let mut lines: Vec<_> = lines.collect();
        lines.sort_by_key(|(key, _)| key.span().start);
        for (key, value) in lines {
            if value.get_ref().is_table() {
                talk.say(
                    key.span(),
                    format!("{} is not a key here", quoted(key.get_ref())),
                );
                return talk.end(None);
            }
            let line = format!("{} = {}\n", &text[key.span()], &text[value.span()]);
            block.push_str(&line);
            kept.push(value.span());
        }
        edits.append(&block);
    }
    edits.cut_line_but(key.span().start..value.span().end, &kept);
    Ok(edits.done())
}
