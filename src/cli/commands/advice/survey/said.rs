//! What was said of a piece and is no fault, in words.

use crate::cli::output::data;
use crate::cli::output::text::heading;
use crate::cli::output::text::numbers;
use crate::cli::output::text::wrapped;
use crate::kit::text::small;
use crate::model::ids::FindingNo;
use crate::model::mark::MarkState;
use crate::work::advice::said;
use crate::work::advice::said::NoteLine;
use crate::work::advice::said::RemarkLine;
use crate::work::advice::said::RepairLine;
use crate::work::advice::survey::Finding;
use crate::work::advice::survey::FindingState;
use crate::work::advice::survey::Outcome;
use crate::work::advice::survey::Survey;

/// Repairs as told, everything that was seen besides faults, and the notes beside pictures.
pub(super) fn print(it: &Survey) {
    if !it.repairs.is_empty() {
        data(&heading("Repairs, as told"));
    }
    let repairs = it.repairs.iter();
    repairs.for_each(|repair| print_repair(repair, &it.assessment.findings));
    let remarks = said::remark_lines(&it.assessment);
    let notes = said::note_lines(&it.assessment);
    if !remarks.is_empty() {
        data(&heading("What else was seen"));
    }
    for group in remarks.chunk_by(|a, b| a.group == b.group) {
        data(&format!("  {}", group[0].group));
        for thing in group.chunk_by(|a, b| (&a.tag, &a.term) == (&b.tag, &b.term)) {
            print_thing(thing);
        }
    }
    if !notes.is_empty() {
        data(&heading("Notes beside pictures"));
    }
    notes.iter().for_each(print_note);
}

/// What was written of a finding, each once.
pub(super) fn print_words(finding: &Finding) {
    for text in finding.told_words() {
        print_text("       ", &text);
    }
}

/// What was written of a finding that is repaired, gone, not found or withdrawn, each once, with its name.
pub(super) fn print_closed_words(finding: &Finding) {
    let words = finding.told_words();
    // A clean test stands with its words in its group.
    if !words.is_empty() && !finding.outcome.is_some_and(Outcome::is_test) {
        let (no, term, part) = (finding.no, small(&finding.term), &finding.part);
        print_text(
            "    ",
            &format!("{no} {term}, {part}: {}", words.join("; ")),
        );
    }
}

/// When it was last seen, where the newest look does not tell; and a later picture of its whole place that says nothing of it.
pub(super) fn print_since(it: &Finding) {
    let seen = it.last_seen().map(|it| it.day.spoken());
    if let Some((seen, since)) = seen.zip(it.not_told_since()) {
        print_text("       ", &format!("last seen on {seen}; {since}"));
    }
    if let Some(silent) = it.silent_since() {
        print_text("       ", &silent.text().to_string());
    }
}

/// Of what was repaired or gone when it was last seen: when that was, and the looks since.
pub(super) fn print_closed_since(it: &Finding) {
    let Some((told, since)) = it.last_told().zip(it.not_told_since()) else {
        return;
    };
    let word = match (it.outcome, told.state) {
        (Some(it), _) if it.is_test() => it.words().to_string(),
        (_, MarkState::Gone) => "looked for and not there".to_owned(),
        _ => "last seen repaired".to_owned(),
    };
    let (no, day) = (it.no, told.day.spoken());
    print_text("    ", &format!("{no} {word} on {day}; {since}"));
}

/// Of what is said to be repaired: that as much remains as of a heavy or failing fault, which one of the two words contradicts.
pub(super) fn print_heavy_remains(it: &Finding) {
    let said = it.heavy_remains().zip(it.last_told());
    let Some((level, said)) = said else {
        return;
    };
    let then = match said.notes.is_empty() {
        true => "put right the state or the level, or say in its note what stays",
        false => "it counts as still to be done",
    };
    print_text(
        "    ",
        &format!(
            "{} ({}, {}) is said to be repaired on {} with level {level}: {then}",
            it.no,
            small(&it.term),
            it.part,
            said.day
        ),
    );
}

/// A later word on the whole part that leaves open what became of the fault.
pub(super) fn print_dispute(it: &Finding) {
    if let Some((was, is)) = it.worse_with_less() {
        let level = |it: Option<u8>| it.map_or_else(String::new, |it| it.to_string());
        let (first, then) = (level(was.level), level(is.level));
        print_text(
            "       ",
            &format!(
                "said to be worse on {} with level {then}, and it had level {first} on {}: put right the state or the level",
                is.day, was.day
            ),
        );
    }
    let Some(sound) = it.disputed_by() else {
        return;
    };
    let is = match it.state {
        FindingState::RepairUnseen => "has no mark since its repair",
        _ => "was there when last seen",
    };
    let (of, no) = (sound.wider().map_or(it.part.to_string(), small), it.no);
    print_text(
        "       ",
        &format!(
            "{of} was said sound on {} (picture {}), and {no} {is}: say in a mark what became of {no}",
            sound.day(),
            sound.photo()
        ),
    );
}

/// A text, each line of it after its indent.
fn print_text(indent: &str, text: &str) {
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    data(&wrapped(indent, &words, " "));
}

fn print_repair(it: &RepairLine, all: &[Finding]) {
    let gone = |no: &FindingNo| {
        let its = all.iter().find(|it| it.no == *no);
        its.is_none_or(|it| it.outcome.is_none())
    };
    let named = it.findings.iter().map(|no| match gone(no) {
        true => format!("{no} (withdrawn)"),
        false => no.to_string(),
    });
    let findings: Vec<String> = named.collect();
    let parts: Vec<String> = it.parts.iter().map(ToString::to_string).collect();
    let mut of = String::new();
    for (word, names) in [("for", findings), ("on", parts)] {
        if !names.is_empty() {
            of += &format!(", {word} {}", names.join(", "));
        }
    }
    if it.whole_piece {
        of += ", on the piece as a whole";
    }
    print_text(
        "  ",
        &format!("{} {}: {}{of}", it.no, it.day, it.method_name),
    );
    let rows = [
        ("", &it.after_leaving),
        ("", &it.note),
        ("new material: ", &it.new_material),
        ("hidden, or still visible: ", &it.hides),
        ("private: ", &it.private_note),
    ];
    for (name, text) in rows {
        if let Some(text) = text {
            print_text("      ", &format!("{name}{text}"));
        }
    }
}

/// One thing with the parts on which it was seen; those of which the same was said stand together.
fn print_thing(said: &[RemarkLine]) {
    print_text("    ", &said[0].term);
    let mut lines: Vec<(String, Vec<&str>)> = Vec::new();
    for it in said {
        let mut words = vec![it.unless_seen.to_owned()];
        let bare = it
            .words
            .iter()
            .map(|it| it.trim_end_matches('.').to_owned());
        words.extend(bare);
        words.push(format!("{}, picture {}", it.day, numbers(&it.photos)));
        words.retain(|it| !it.is_empty());
        let words = words.join("; ");
        let part = it.part.as_ref().map_or("the piece", |it| it.as_str());
        match lines.iter_mut().find(|line| line.0 == words) {
            Some((_, parts)) => parts.push(part),
            None => lines.push((words, vec![part])),
        }
    }
    for (words, parts) in lines {
        print_text("      ", &format!("{}: {words}", parts.join(", ")));
    }
}

fn print_note(it: &NoteLine) {
    let no = it.photo;
    if let Some(note) = &it.note {
        print_text("  ", &format!("picture {no}: {note}"));
    }
    if !it.names_no_finding.is_empty() {
        let named: Vec<String> = it
            .names_no_finding
            .iter()
            .map(|it| format!("`{it}`"))
            .collect();
        let hint = format!(
            "it names {}, and no finding is called so: what is to be counted needs a mark",
            named.join(", ")
        );
        print_text("      ", &hint);
    }
    if let Some(note) = &it.private_note {
        print_text("  ", &format!("picture {no}, private: {note}"));
    }
    if let Some(scale) = &it.scale {
        let high = scale
            .height_mm
            .map_or_else(String::new, |it| format!(" x {it}"));
        data(&format!(
            "  picture {no}: a thing of known size, {}{high} mm",
            scale.width_mm
        ));
    }
}
