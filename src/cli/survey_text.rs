//! The survey in words: what is recorded, what is missing, what it means, what to do next.

use std::collections::BTreeMap;

use crate::cli::means_text;
use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::talk;
use crate::cli::say::wrapped;
use crate::model::ids::StockNo;
use crate::work::advice::survey::FindingLine;
use crate::work::advice::survey::PartLine;
use crate::work::advice::survey::Survey;

/// Most lines of one kind before the rest is counted.
const MOST: usize = 12;
/// Most lines where a line is only a hint.
const FEW: usize = 4;

/// Prints a survey.
pub(super) fn print(it: &Survey) {
    print_piece(it);
    data(&heading("Recorded"));
    print_shoots(it);
    print_findings(it);
    print_parts(&it.parts);
    print_missing(it);
    means_text::print(it);
    means_text::print_next(it);
    for complaint in &it.complaints {
        talk(&complaint.drawn);
    }
    if !it.complaints.is_empty() {
        talk("until this is put right, the last good text of these sidecars stays in force");
    }
    print_sidecars(it, &it.piece.stock_no);
}

fn print_piece(it: &Survey) {
    data(&heading(&format!(
        "{}  {}",
        it.piece.stock_no, it.piece.title
    )));
    let size = match (it.piece.height_mm, it.piece.width_mm, it.piece.depth_mm) {
        (Some(h), Some(w), Some(d)) => format!("{h} high x {w} wide x {d} deep, mm"),
        _ => "size not recorded".to_owned(),
    };
    data(&format!("  {}, {size}", it.piece.form_label));
    if let Some(sale) = &it.sold {
        data(&format!("  sold on {}", sale.day));
    }
}

fn print_shoots(it: &Survey) {
    let shoot = |it: &crate::work::advice::survey::ShootLine| {
        format!(
            "{} {} ({})",
            it.stage.word(),
            it.day,
            count(it.photos, "photo")
        )
    };
    let shoots: Vec<String> = it.shoots.iter().map(shoot).collect();
    if shoots.is_empty() {
        data("  no photos yet");
    } else {
        data(&wrapped("  ", &shoots, ", "));
    }
}

/// How many there are; those that are not repaired or gone with their lines, of the others the numbers by group.
fn print_findings(it: &Survey) {
    if it.counts.findings.all() > 0 {
        data(&wrapped("  ", &[it.counts.findings.text()], ""));
    }
    let closed = |it: &&FindingLine| it.outcome.is_none_or(|it| it.is_closed());
    let open: Vec<&FindingLine> = it.findings.iter().filter(|it| !closed(it)).collect();
    for it in open.iter().take(MOST) {
        print_finding(it);
    }
    if open.len() > MOST {
        data(&format!("  and {} more of these", open.len() - MOST));
    }
    let mut by_group: BTreeMap<_, Vec<String>> = BTreeMap::new();
    for it in it.findings.iter().filter(closed) {
        let numbers = by_group
            .entry((it.outcome.is_none(), it.outcome))
            .or_default();
        numbers.push(it.id.to_string());
    }
    for ((_, outcome), numbers) in &by_group {
        let group = outcome.map_or("withdrawn", |it| it.words());
        data(&wrapped(
            "  ",
            &[vec![format!("{group}: ")], joined(numbers)].concat(),
            "",
        ));
    }
}

fn print_finding(it: &FindingLine) {
    let which = if it.which.is_empty() {
        String::new()
    } else {
        format!(" ({})", it.which)
    };
    let size = it.size.clone().unwrap_or_else(|| "not measured".to_owned());
    let level = it.level.map_or("-".to_owned(), |it| it.to_string());
    data(&format!(
        "  {:<4} {:<46} {size:<16} level {level}  {}, {}",
        it.id.to_string(),
        format!("{}{which}, {}", it.term, it.part),
        word(&it.state),
        word(&it.origin),
    ));
}

/// Each with a comma but the last, for wrapping.
fn joined(numbers: &[String]) -> Vec<String> {
    let last = numbers.len().saturating_sub(1);
    let one = |(n, it): (usize, &String)| {
        if n < last {
            format!("{it}, ")
        } else {
            it.clone()
        }
    };
    numbers.iter().enumerate().map(one).collect()
}

/// The word of an enum as `--json` gives it, with spaces.
pub(super) fn word(value: &impl serde::Serialize) -> String {
    let text = serde_json::to_value(value).unwrap_or_default();
    text.as_str().unwrap_or("").replace('_', " ")
}

fn print_parts(parts: &[PartLine]) {
    let words = [
        ("faults", "with findings"),
        ("sound", "looked for, nothing found"),
        ("not_examined", "not examined"),
        ("absent", "absent"),
    ];
    for (state, label) in words {
        let of_state = |it: &&PartLine| it.state == state;
        let names: Vec<String> = parts
            .iter()
            .filter(of_state)
            .map(|it| it.part.to_string())
            .collect();
        print_names(label, &names);
    }
}

fn print_names(label: &str, names: &[String]) {
    if names.is_empty() {
        return;
    }
    let mut names = names.to_vec();
    names[0] = format!("{label}: {}", names[0]);
    data(&wrapped("  ", &names, ", "));
}

/// What the record lacks.
fn print_missing(it: &Survey) {
    let silent: Vec<String> = it
        .parts
        .iter()
        .filter(|it| it.required && it.state == "silent")
        .map(|it| it.part.to_string())
        .collect();
    let mut by_stage: BTreeMap<_, Vec<String>> = BTreeMap::new();
    for missing in &it.missing_views {
        let views = by_stage.entry(missing.stage).or_default();
        views.push(missing.view.clone());
    }
    let nothing = silent.is_empty()
        && by_stage.is_empty()
        && it.picture_notes.is_empty()
        && it.photos_without_view.is_empty()
        && it.blocked_by.is_empty();
    data(&heading("Missing"));
    if nothing {
        data("  nothing that a complete record would have");
        return;
    }
    print_names("no word yet of", &silent);
    let now = it.shoots.last().map(|it| it.stage);
    for (stage, views) in by_stage {
        // What an earlier stage lacks cannot be taken any more.
        if Some(stage) == now {
            print_names(&format!("views of the {stage}"), &views);
        } else {
            data(&format!(
                "  {} of the {stage} were not taken",
                count(views.len(), "view")
            ));
        }
    }
    let bare: Vec<String> = it
        .photos_without_view
        .iter()
        .map(|it| it.no.to_string())
        .collect();
    print_names("no view said of pictures", &bare);
    for note in it.picture_notes.iter().take(MOST) {
        data(&format!(
            "  picture {} {}: {}",
            note.photo, note.name, note.text
        ));
    }
    if it.picture_notes.len() > MOST {
        data(&format!(
            "  and {} more pictures to look at",
            it.picture_notes.len() - MOST
        ));
    }
    for gap in &it.blocked_by {
        data(&format!(
            "  for a final report: {}\n      {}",
            gap.message, gap.remedy
        ));
    }
}

fn print_sidecars(it: &Survey, no: &StockNo) {
    for name in it.missing_sidecars.iter().take(FEW) {
        talk(&format!(
            "the sidecar `{name}` is gone; its last good text stays in force"
        ));
    }
    if !it.missing_sidecars.is_empty() {
        talk(&format!("write them again with `asfound put-back {no}`"));
    }
}
