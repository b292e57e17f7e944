//! Reads one `[[mark]]`.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::mark::keys;
use crate::mark::read::draw::quoted;
use crate::mark::read::read_region;
use crate::mark::read::reading::Reader;
use crate::mark::read::suggest;
use crate::mark::read::values;
use crate::mark::read::values::Text;
use crate::mark::size;
use crate::model::finding::FindingKey;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;

/// How many characters may tell one of several apart.
const NAME: usize = 120;

/// Reads a mark; `parts` are those the photo shows. What is wrong in it is left out of it and told.
pub(crate) fn mark(
    reader: &mut Reader<'_, '_, '_>,
    table: &DeTable<'_>,
    span: Span,
    parts: &[PartId],
) -> Mark {
    values::check_keys(reader.talk, table, &keys::MARK, |name| {
        let top = keys::TOP.contains(&name) && name != "mark";
        top.then(|| format!("`{name}` belongs at the top of the file, above the first `[[mark]]`"))
    });
    let told = reader.talk.count();
    let tag_text = values::text(reader.talk, table, "tag");
    let finding_text = values::text(reader.talk, table, "finding");
    if tag_text.is_none() && finding_text.is_none() && reader.talk.count() == told {
        let help = "add `tag = \"...\"`, or `finding = \"F1\"` for one that has a number";
        reader
            .talk
            .advise(span.clone(), "this mark does not say what it marks", help);
    }
    let tag = tag_text.as_ref().and_then(|it| tag(reader, it));
    let tag_span = tag_text.as_ref().map(|it| it.span.clone());
    let named = [&tag_text, &finding_text].into_iter().flatten().next();
    let named = named.map_or_else(|| span.clone(), |it| it.span.clone());
    let finding = finding_text.and_then(|it| finding(reader, &it));
    let part_text = values::text(reader.talk, table, "part");
    let part_span = part_text.as_ref().map(|it| it.span.clone());
    let part = match part_text {
        Some(text) => reader.part(&text),
        None if table.contains_key("finding") || tag.is_none() => None,
        None => only_part(reader, parts, span.clone()),
    };
    if let Some(no) = finding {
        let tag = tag.as_deref().zip(tag_span);
        fits_finding(reader, no, tag, part.as_ref().zip(part_span.clone()));
    }
    let state = state(reader, table, tag.as_deref());
    let about = reader.words.fault_of(tag.as_deref(), finding);
    let level = level(reader, table, tag.as_deref(), about, state);
    let size = values::text(reader.talk, table, "size");
    let size = size.and_then(|it| checked_size(reader, it));
    let region = read_region::region(reader.talk, table, tag.as_deref());
    if let (Some(tag), Some(part)) = (&tag, &part)
        && keys::STATEMENTS.contains(&tag.as_str())
    {
        reader.state_once(tag, part, part_span.unwrap_or(span));
    }
    let which = values::text(reader.talk, table, "which");
    let which = which.and_then(|it| name(reader, it));
    let note = values::text(reader.talk, table, "note");
    let mark = Mark {
        tag,
        part,
        which: which.map(|it| it.text),
        finding,
        state,
        level,
        size,
        note: note.map(|it| it.text),
        region,
    };
    reader.marked(&mark, named);
    mark
}

/// What tells one of several apart is a name, in few words.
fn name(reader: &mut Reader<'_, '_, '_>, text: Text) -> Option<Text> {
    let long = text.text.chars().count();
    if long <= NAME {
        return Some(text);
    }
    let message = format!("`which` is {long} characters long, and may be {NAME}");
    let help = "name it in a few words, and say the rest in `note`";
    reader.talk.advise(text.span, message, help);
    None
}

fn tag(reader: &mut Reader<'_, '_, '_>, text: &Text) -> Option<String> {
    let words = reader.words;
    let owned = words.faults.iter().chain(&words.observations);
    let known: Vec<_> = owned.map(String::as_str).chain(keys::STATEMENTS).collect();
    if known.contains(&text.text.as_str()) {
        return Some(text.text.clone());
    }
    let message = format!("{} is not a tag", quoted(&text.text));
    reader.talk.look_up(text.span.clone(), message, || {
        suggest::help(&text.text, "tags", &known, &words.synonyms)
    });
    None
}

fn finding(reader: &mut Reader<'_, '_, '_>, text: &Text) -> Option<FindingNo> {
    let number = text.text.parse::<FindingNo>();
    let known = &reader.words.findings;
    if let Ok(number) = number
        && known.iter().any(|it| it.no == number)
    {
        return Some(number);
    }
    let message = match number {
        Ok(number) => format!("this piece has no finding `{number}`"),
        Err(_) => format!(
            "{} is not the number of a finding, such as `F3`",
            quoted(&text.text)
        ),
    };
    reader.talk.look_up(text.span.clone(), message, || {
        let names: Vec<_> = known.iter().map(|it| it.no.to_string()).collect();
        let names: Vec<_> = names.iter().map(String::as_str).collect();
        let none = "no finding has a number yet: leave `finding` out and write `tag` and `part`";
        let help = suggest::help(&text.text, "findings", &names, &[]);
        help.or_else(|| Some(none.to_owned()))
    });
    None
}

/// A mark that names a finding is about that fault on that part: another fault or part beside the number would be lost in it.
fn fits_finding(
    reader: &mut Reader<'_, '_, '_>,
    no: FindingNo,
    tag: Option<(&str, Span)>,
    part: Option<(&PartId, Span)>,
) {
    let words = reader.words;
    let Some(known) = words.findings.iter().find(|it| it.no == no) else {
        return;
    };
    let FindingKey {
        part: its_part,
        tag: its_tag,
        ..
    } = &known.key;
    let help = format!(
        "if this is {no}, leave `tag` and `part` out; if it is another fault, leave `finding` out"
    );
    // An observation may borrow the part of a finding.
    let other_fault = |it: &str| it != its_tag && words.faults.iter().any(|known| known == it);
    if let Some((tag, span)) = tag.filter(|it| other_fault(it.0)) {
        let message = format!("{no} is `{its_tag}` on `{its_part}`, and this mark says `{tag}`");
        reader.talk.advise(span, message, help.as_str());
    }
    if let Some((part, span)) = part.filter(|it| it.0 != its_part && *it.0 != its_part.whole()) {
        let message = format!("{no} is `{its_tag}` on `{its_part}`, and this mark is on `{part}`");
        reader.talk.advise(span, message, help);
    }
}

/// The part of a mark that names none: the only one the photo shows.
fn only_part(reader: &mut Reader<'_, '_, '_>, parts: &[PartId], span: Span) -> Option<PartId> {
    if let [one] = parts {
        return Some(one.clone());
    }
    let names: Vec<_> = parts.iter().map(PartId::as_str).collect();
    let help = match names.as_slice() {
        [] => "add `part = \"...\"`".to_owned(),
        _ => format!("add `part`: {}", suggest::listed(&names, "or")),
    };
    let message = "this mark does not say which part it is on";
    reader.talk.advise(span, message, help);
    None
}

fn state(reader: &mut Reader<'_, '_, '_>, table: &DeTable<'_>, tag: Option<&str>) -> MarkState {
    let Some(text) = values::text(reader.talk, table, "state") else {
        return MarkState::Present;
    };
    let Some(state) = MarkState::from_word(&text.text) else {
        let words = MarkState::ALL.map(|(_, word)| word);
        let message = format!("{} is not a state", quoted(&text.text));
        reader.talk.look_up(text.span, message, || {
            suggest::help(&text.text, "states", &words, &[])
        });
        return MarkState::Present;
    };
    if let Some(tag) = statement(tag)
        && state != MarkState::Present
    {
        let message = format!("a mark that says `{tag}` can have no state but `present`");
        let help = "leave `state` out, or say it with the tag of a fault";
        reader.talk.advise(text.span, message, help);
    }
    state
}

fn level(
    reader: &mut Reader<'_, '_, '_>,
    table: &DeTable<'_>,
    tag: Option<&str>,
    about: Option<&str>,
    state: MarkState,
) -> Option<u8> {
    let value = table.get("level")?;
    let levels: [(f64, u8); 4] = [(1.0, 1), (2.0, 2), (3.0, 3), (4.0, 4)];
    let number = values::number(value);
    let level = levels.iter().find(|(it, _)| Some(*it) == number);
    let Some((_, level)) = level else {
        let help = "1 trace, 2 visible, 3 heavy, 4 failing";
        let message = "`level` must be 1, 2, 3 or 4";
        reader.talk.advise(value.span(), message, help);
        return None;
    };
    if state == MarkState::Gone {
        let help = "leave `level` out; of what can still be seen say `better`, or `repaired` after a repair";
        let message = "what is `gone` has no level";
        reader.talk.advise(value.span(), message, help);
    }
    if let Some(tag) = statement(tag) {
        let message = format!("a mark that says `{tag}` has no level");
        let help = "leave `level` out, or use the tag of the fault";
        reader.talk.advise(value.span(), message, help);
    }
    let few = &reader.words.few_levels;
    if let Some((tag, has)) = few.iter().find(|it| Some(it.0.as_str()) == about)
        && !has.iter().any(|it| it.0 == *level)
    {
        let has = has.iter().map(|(level, makes)| format!("{level} {makes}"));
        let help = format!(
            "write the level it has, or leave `level` out: {}",
            has.collect::<Vec<_>>().join("; ")
        );
        let message = format!("`{tag}` has no level {level}");
        reader.talk.advise(value.span(), message, help);
    }
    Some(*level)
}

fn checked_size(reader: &mut Reader<'_, '_, '_>, text: Text) -> Option<String> {
    if size::is_below_zero(&text.text) {
        let help = "write the number without the minus sign";
        reader
            .talk
            .advise(text.span, "a size is never below 0", help);
        return None;
    }
    if size::lacks_unit(&text.text) {
        let help = format!("{}?", quoted(&format!("{} mm", text.text.trim())));
        reader.talk.advise(text.span, "a size needs its unit", help);
        return None;
    }
    Some(text.text)
}

/// `sound`, `absent` or `not_examined`, when the tag is one of them.
fn statement(tag: Option<&str>) -> Option<&str> {
    tag.filter(|it| keys::STATEMENTS.contains(it))
}
