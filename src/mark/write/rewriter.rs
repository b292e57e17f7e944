//! Changes the text of a sidecar and leaves everything else in it as it stands, to the byte.
//!
//! Changes are made on the text itself, by the places the parser tells. So comments, order, blank lines and line ends stay;
//! comments inside a value that goes are kept as lines of their own above it.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::mark::Change;
use crate::mark::keys;
use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::values::Value;
use crate::mark::read::values::same;
use crate::mark::write::edits::Edits;
use crate::mark::write::lines::Done;
use crate::mark::write::lines::plain_line;
use crate::mark::write::lines::set_lines;
use crate::mark::write::quote;
use crate::mark::write::rewrite_face::lay_face;
use crate::mark::write::rewrite_face::remove_face;
use crate::mark::write::rewrite_scale::set_scale;
use crate::mark::write::writer;
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
        bare = with_blocks(&bare, "face")?;
        bare = with_blocks(&bare, "mark")?;
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

fn edit(edits: &mut Edits<'_>, table: &DeTable<'_>, change: &Change) -> Done {
    match change {
        Change::View(view) => set_top(edits, table, "view", &quote::text(view)),
        Change::Parts(parts) => set_top(edits, table, "parts", &quote::parts(parts)),
        Change::Note(note) => set_note(edits, table, "note", note.as_deref()),
        Change::PrivateNote(note) => set_note(edits, table, "private_note", note.as_deref()),
        Change::Scale(scale) => set_scale(edits, table, scale.as_ref()),
        Change::LayFace(laid) => lay_face(edits, table, laid),
        Change::RemoveFace(face) => remove_face(edits, table, face),
        Change::AddMark(mark) => {
            edits.append(&writer::block(mark));
            Ok(())
        }
        Change::RemoveMark(index) => remove(edits, table, *index),
        Change::ReplaceMark { index, mark } => replace(edits, table, *index, mark),
    }
}

fn set_note(edits: &mut Edits<'_>, table: &DeTable<'_>, key: &str, note: Option<&str>) -> Done {
    if let Some(note) = note {
        return set_top(edits, table, key, &quote::text(note));
    }
    let Some((name, value)) = table.get_key_value(key) else {
        return Ok(());
    };
    plain_line(edits, key, name.span(), value)?;
    edits.cut_line(name.span().start..value.span().end);
    Ok(())
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
            edits.cut_block_line(edits.header(header.start));
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
    set_lines(edits, header, lines, &writer::pairs(mark), &keys::MARK)
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

/// Turns `mark = [{ ... }]` into `[[mark]]` blocks at the end, so that each mark has lines of its own; faces likewise.
fn with_blocks(text: &str, list: &str) -> Result<String, Vec<Complaint>> {
    let mut talk = Talk::new("", text);
    let Some(table) = talk.table() else {
        return talk.end(None);
    };
    let mut edits = Edits::new(text);
    let marks = table.get_ref().get_key_value(list);
    let Some((key, value)) = marks.filter(|(key, _)| !edits.is_header(key.span().start)) else {
        return Ok(text.to_owned());
    };
    let Some(items) = value.get_ref().as_array() else {
        talk.say(
            key.span(),
            format!("`{list}` must be a list of {list}s, `[[{list}]]`"),
        );
        return talk.end(None);
    };
    let mut kept: Vec<Span> = Vec::new();
    for mark in items.iter() {
        let mut block = format!("[[{list}]]\n");
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::rewritten;
    use crate::mark::Change;
    use crate::mark::keys;
    use crate::mark::read::reader::read;
    use crate::mark::samples;
    use crate::mark::samples::words;
    use crate::mark::write::edits;
    use crate::mark::write::quote;
    use crate::mark::write::writer;
    use crate::model::mark::Mark;
    use crate::model::mark::Sidecar;

    const TEXT: &str = "\
#:schema ../../sidecar.schema.json
# the owner's remark
view  = \"front\"   # from the gate
parts = [
  \"top\",  # oak
  # \"back\" not in the picture
]
not_examined = [\"top\", \"back\"]

# the ring by the lamp
[[mark]]  # first
part  = \"top\"
tag   = \"white_mark\"
level = 0x2   # two
  note  = 'old'

# the scratch
[[mark]]
tag  = \"scratch\"
part = \"back\"
# the end";

    fn after(changes: &[Change]) -> String {
        rewritten(TEXT, changes).unwrap()
    }

    fn ring() -> Mark {
        let mark = Mark {
            level: Some(2),
            note: Some("old".to_owned()),
            ..Mark::plain("white_mark", "top".parse().unwrap())
        };
        assert_eq!(read("", TEXT, &words()).unwrap().marks[2], mark);
        mark
    }

    #[test]
    fn what_is_the_same_already_is_left_as_it_is_spelt() {
        let same = [
            Change::View("front".to_owned()),
            Change::Parts(vec!["top".parse().unwrap()]),
            Change::Note(None),
            Change::ReplaceMark {
                index: 2,
                mark: ring(),
            },
        ];
        assert_eq!(after(&same), TEXT);
        assert_eq!(after(&[]), TEXT);
    }

    #[test]
    fn only_the_value_changes() {
        let text = after(&[Change::View("top_raking".to_owned())]);
        assert_eq!(text, TEXT.replace("\"front\"", "\"top_raking\""));
        let worse = Mark {
            level: Some(3),
            ..ring()
        };
        let text = after(&[Change::ReplaceMark {
            index: 2,
            mark: worse,
        }]);
        assert_eq!(text, TEXT.replace("0x2", "3"));
    }

    #[test]
    fn a_new_line_comes_below_the_last_of_its_kind() {
        let text = after(&[Change::Note(Some("dim \"light\"".to_owned()))]);
        let line = "not_examined = [\"top\", \"back\"]\n";
        assert_eq!(
            text,
            TEXT.replace(line, &format!("{line}note = \"dim \\\"light\\\"\"\n"))
        );
        let sized = Mark {
            size: Some("7 mm".to_owned()),
            ..ring()
        };
        let text = after(&[Change::ReplaceMark {
            index: 2,
            mark: sized,
        }]);
        assert_eq!(text, TEXT.replace("'old'\n", "'old'\nsize = \"7 mm\"\n"));
        let text = rewritten(
            "#:schema x\n# hello\n[scale]\n",
            &[Change::View("front".to_owned())],
        );
        assert_eq!(
            text.unwrap(),
            "#:schema x\nview = \"front\"\n# hello\n[scale]\n"
        );
    }

    #[test]
    fn comments_of_what_goes_stay() {
        let text = after(&[Change::RemoveMark(2), Change::Parts(Vec::new())]);
        let wanted = "\
#:schema ../../sidecar.schema.json
# the owner's remark
view  = \"front\"   # from the gate
# oak
# \"back\" not in the picture
parts = []
not_examined = [\"top\", \"back\"]

# the ring by the lamp
# first
# two

# the scratch
[[mark]]
tag  = \"scratch\"
part = \"back\"
# the end";
        assert_eq!(text, wanted);
    }

    #[test]
    fn marks_of_the_lists_are_changed_in_the_lists_where_they_fit() {
        let back: crate::model::ids::PartId = "drawer-1".parse().unwrap();
        let mark = Mark::plain("not_examined", back.clone());
        let text = after(&[Change::ReplaceMark {
            index: 1,
            mark: mark.clone(),
        }]);
        assert_eq!(
            text,
            TEXT.replace("[\"top\", \"back\"]", "[\"top\", \"drawer-1\"]")
        );
        assert_eq!(
            after(&[Change::RemoveMark(0)]),
            TEXT.replace("[\"top\", \"back\"]", "[\"back\"]")
        );
        let why = Mark {
            note: Some("why".to_owned()),
            ..mark
        };
        let text = after(&[Change::ReplaceMark {
            index: 1,
            mark: why,
        }]);
        let block =
            "[[mark]]\ntag = \"not_examined\"\npart = \"drawer-1\"\nnote = \"why\"\n\n# the ring";
        assert_eq!(
            text,
            TEXT.replace("[\"top\", \"back\"]", "[\"top\"]")
                .replace("# the ring", block)
        );
    }

    #[test]
    fn a_list_of_marks_on_one_line_becomes_blocks() {
        let text = "mark = [{ tag = 'scratch', part = 'top' }] # one\nnote = \"a\"\n[scale]\nlength_mm = 3\n";
        let text = rewritten(text, &[Change::RemoveMark(0), Change::AddMark(ring())]).unwrap();
        let wanted = "# one\nnote = \"a\"\n[scale]\nlength_mm = 3\n\n[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nnote = \"old\"\n";
        assert_eq!(text, wanted);
    }

    #[test]
    fn what_cannot_be_changed_is_told() {
        let said =
            |text: &str, change: Change| rewritten(text, &[change]).unwrap_err()[0].message.clone();
        assert_eq!(
            said(TEXT, Change::RemoveMark(4)),
            "there is no mark 5 in this text: it has 4"
        );
        assert!(said("view.x = 1", Change::View("front".to_owned())).contains("not a table"));
        assert!(said("[[parts]]\nx = 1", Change::Parts(Vec::new())).contains("not a table"));
        assert!(said("view = top", Change::RemoveMark(0)).contains("quotes"));
        assert!(said("[[mark]]\nsize.x = 1", Change::RemoveMark(0)).contains("not a table"));
        assert!(said("mark = 3", Change::RemoveMark(0)).contains("list of marks"));
    }

    /// A sidecar with a comment wherever there can be one, each with a number of its own.
    fn commented(sidecar: &Sidecar, inline: Marks) -> String {
        let mut no = 0;
        let mut remark = || {
            no += 1;
            format!("# remark <{no}> \" ' [[mark]]\n")
        };
        let mut list = |items: Vec<&str>| {
            let items: Vec<_> = items
                .iter()
                .map(|it| format!("  {}, {}", quote::text(it), remark()))
                .collect();
            format!("[ {}{}  {}]", remark(), items.concat(), remark())
        };
        let parts = list(sidecar.parts.iter().map(|it| it.as_str()).collect());
        let mut lines = vec![("parts", parts)];
        let short = writer::short_marks(&sidecar.marks);
        for tag in keys::STATEMENTS {
            let parts = short.iter().filter(|it| it.tag.as_deref() == Some(tag));
            let parts: Vec<_> = parts
                .filter_map(|it| it.part.as_ref())
                .map(|it| it.as_str())
                .collect();
            if !parts.is_empty() {
                lines.push((tag, list(parts)));
            }
        }
        let note = sidecar.note.as_deref().map(|it| ("note", quote::text(it)));
        lines.extend(note);
        let note = sidecar
            .private_note
            .as_deref()
            .map(|it| ("private_note", quote::text(it)));
        lines.extend(note);
        if let Some(view) = &sidecar.view {
            lines.push(("view", quote::text(view)));
        }
        let marks = &sidecar.marks[short.len()..];
        if inline == Marks::Inline {
            let marks = marks.iter().map(|mark| {
                let pairs = writer::pairs(mark).into_iter();
                let pairs: Vec<_> = pairs
                    .map(|(key, value)| format!("{key} = {value}"))
                    .collect();
                format!("  {{ {} }}, {}", pairs.join(", "), remark())
            });
            let marks: String = marks.collect();
            lines.push(("mark", format!("[ {}{marks}]", remark())));
        }
        let mut text = remark();
        for (key, value) in lines {
            text.push_str(&format!("{key} = {value} {}{}", remark(), remark()));
        }
        for face in &sidecar.faces {
            text.push_str(&format!("\n{}[[face]] {}", remark(), remark()));
            for (key, value) in writer::face_pairs(face) {
                text.push_str(&format!("  {key} = {value} {}{}", remark(), remark()));
            }
        }
        if inline == Marks::Blocks {
            for mark in marks {
                text.push_str(&format!("\n{}[[mark]] {}", remark(), remark()));
                for (key, value) in writer::pairs(mark) {
                    text.push_str(&format!("  {key} = {value} {}{}", remark(), remark()));
                }
            }
        }
        text
    }

    #[derive(Clone, Copy, Debug, PartialEq)]
    enum Marks {
        Blocks,
        Inline,
    }

    /// Makes a change to the value; `short` counts the marks that stand in lists.
    fn change(sidecar: &mut Sidecar, short: &mut usize, change: &Change) {
        let marks = &mut sidecar.marks;
        match change {
            Change::View(view) => sidecar.view = Some(view.clone()),
            Change::Parts(parts) => sidecar.parts.clone_from(parts),
            Change::Note(note) => sidecar.note.clone_from(note),
            Change::PrivateNote(note) => sidecar.private_note.clone_from(note),
            Change::Scale(scale) => sidecar.scale.clone_from(scale),
            Change::LayFace(laid) => {
                match sidecar.faces.iter_mut().find(|it| it.face == laid.face) {
                    Some(it) => *it = laid.clone(),
                    None => sidecar.faces.push(laid.clone()),
                }
            }
            Change::RemoveFace(face) => sidecar.faces.retain(|it| it.face != *face),
            Change::AddMark(mark) => marks.push(mark.clone()),
            Change::RemoveMark(index) => {
                marks.remove(*index);
                *short -= usize::from(index < short);
            }
            Change::ReplaceMark { index, mark } => {
                let fits = writer::list_of(mark)
                    .is_some_and(|it| marks[*index].tag.as_deref() == Some(it));
                if index < short && !fits {
                    marks.remove(*index);
                    *short -= 1;
                    marks.insert(*short, mark.clone());
                } else {
                    marks[*index] = mark.clone();
                }
            }
        }
    }

    fn changes() -> impl Strategy<Value = Vec<Change>> {
        let parts = prop::sample::subsequence(words().parts, 0..4);
        let parts = parts.prop_map(|list| list.iter().map(|it| it.parse().unwrap()).collect());
        let one = prop_oneof![
            prop::sample::select(words().views).prop_map(Change::View),
            parts.prop_map(Change::Parts),
            samples::sidecar().prop_map(|it| Change::Note(it.note)),
            samples::sidecar().prop_map(|it| Change::PrivateNote(it.private_note)),
            samples::sidecar().prop_map(|it| Change::Scale(it.scale)),
            samples::face().prop_map(Change::LayFace),
            samples::face().prop_map(|it| Change::RemoveFace(it.face)),
            samples::mark().prop_map(Change::AddMark),
            (0_usize..5).prop_map(Change::RemoveMark),
            (0_usize..5, samples::mark())
                .prop_map(|(index, mark)| Change::ReplaceMark { index, mark }),
        ];
        prop::collection::vec(one, 0..4)
    }

    proptest! {
        #[test]
        fn the_text_says_what_was_changed_and_keeps_every_comment(
            before in samples::sidecar(),
            wanted in changes(),
            form in prop::sample::select(vec![Marks::Blocks, Marks::Inline]),
            line_end in prop::sample::select(vec!["\n", "\r\n"]),
        ) {
            let before = Sidecar { scale: None, ..before };
            let text = commented(&before, form).replace('\n', line_end);
            prop_assert_eq!(&read("", &text, &words()), &Ok(before.clone()), "{}", text);
            let mut after = before;
            let mut short = writer::short_marks(&after.marks).len();
            let mut made = Vec::new();
            for it in wanted {
                let index = match &it {
                    Change::RemoveMark(index) | Change::ReplaceMark { index, .. } => Some(*index),
                    _ => None,
                };
                if index.is_some_and(|it| it >= after.marks.len()) {
                    continue;
                }
                let mut tried = (after.clone(), short);
                change(&mut tried.0, &mut tried.1, &it);
                let twice = (1..tried.1).any(|n| tried.0.marks[..n].contains(&tried.0.marks[n]));
                if !twice && !samples::contradicts(&tried.0) {
                    (after, short) = tried;
                    made.push(it);
                }
            }
            let changed = rewritten(&text, &made).unwrap();
            prop_assert_eq!(&read("", &changed, &words()), &Ok(after), "{}\n{:?}\n{}", text, made, changed);
            let comments = |text: &str| {
                let list = edits::comments(text).into_iter().map(|it| text[it].to_owned());
                let mut list: Vec<_> = list.collect();
                list.sort();
                list
            };
            prop_assert_eq!(comments(&text), comments(&changed), "{}", changed);
            // Counted without the lexer of the room: each number is there exactly once.
            for no in 1..=text.matches("# remark <").count() {
                prop_assert_eq!(changed.matches(&format!("# remark <{no}> ")).count(), 1, "{}", changed);
            }
        }

        #[test]
        fn a_written_text_without_remarks_is_changed_as_it_would_be_written(
            before in samples::sidecar(),
            mark in samples::mark(),
            index in any::<prop::sample::Index>(),
        ) {
            let short = writer::short_marks(&before.marks).len();
            let mut wanted = vec![(Change::AddMark(mark.clone()), before.clone())];
            wanted[0].1.marks.push(mark);
            if short < before.marks.len() {
                let at = short + index.index(before.marks.len() - short);
                let mut after = before.clone();
                after.marks.remove(at);
                wanted.push((Change::RemoveMark(at), after));
            }
            for (change, after) in wanted {
                let changed = rewritten(&writer::written("a.jpg", &before), &[change]).unwrap();
                if writer::short_marks(&after.marks).len() == short {
                    prop_assert_eq!(changed, writer::written("a.jpg", &after));
                }
            }
        }

        #[test]
        fn any_text_is_rewritten_or_complained_of(text in any::<String>(), wanted in changes()) {
            let _ = rewritten(&text, &wanted);
        }
    }
}
