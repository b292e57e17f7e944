//! The survey in words.

use std::collections::BTreeMap;

use crate::cli::say::count;
use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::talk;
use crate::cli::say::wrapped;
use crate::model::ids::StockNo;
use crate::work::survey::FindingLine;
use crate::work::survey::PartLine;
use crate::work::survey::Survey;

/// Most lines of one kind before the rest is counted.
const MOST: usize = 12;

/// Prints a survey: recorded, missing, what to do.
pub(super) fn print(it: &Survey) {
    print_piece(it);
    print_shoots(it);
    print_findings(&it.findings);
    print_parts(&it.parts);
    print_pictures(it);
    print_missing(it);
    print_gaps(it);
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
}

fn print_shoots(it: &Survey) {
    data(&heading("Recorded"));
    for shoot in &it.shoots {
        data(&format!(
            "  {} {:<9} {}  {}",
            shoot.no,
            shoot.stage.word(),
            shoot.day,
            count(shoot.photos, "photo")
        ));
    }
    if it.shoots.is_empty() {
        data("  no photos yet");
    }
}

fn print_findings(findings: &[FindingLine]) {
    if findings.is_empty() {
        return;
    }
    data(&heading("Findings"));
    for it in findings {
        let which = if it.which.is_empty() {
            String::new()
        } else {
            format!(" ({})", it.which)
        };
        let level = it.level.map_or("-".to_owned(), |it| it.to_string());
        data(&format!(
            "  {:<4} {:<52} level {level}  {:<14} {}",
            it.id.to_string(),
            format!("{}{which}, {}", it.term, it.part),
            word(&it.state),
            word(&it.origin),
        ));
    }
}

/// The word of an enum as `--json` gives it, with spaces.
fn word(value: &impl serde::Serialize) -> String {
    let text = serde_json::to_value(value).unwrap_or_default();
    text.as_str().unwrap_or("").replace('_', " ")
}

fn print_parts(parts: &[PartLine]) {
    data(&heading("Parts"));
    let words = [
        ("faults", "with findings"),
        ("sound", "looked for, nothing found"),
        ("not_examined", "not examined"),
        ("absent", "absent"),
        ("silent", "nothing said"),
    ];
    for (state, label) in words {
        let of_state =
            |it: &&PartLine| it.state == state && (it.required || (state != "silent" && !it.inner));
        let names: Vec<String> = parts
            .iter()
            .filter(of_state)
            .map(|it| it.part.to_string())
            .collect();
        if !names.is_empty() {
            data(&format!("  {label}:"));
            data(&wrapped("    ", &names, ", "));
        }
    }
}

fn print_pictures(it: &Survey) {
    if it.picture_notes.is_empty() {
        return;
    }
    data(&heading("Pictures to look at"));
    for note in it.picture_notes.iter().take(MOST) {
        data(&format!("  {} {}: {}", note.photo, note.name, note.text));
    }
    if it.picture_notes.len() > MOST {
        data(&format!("  and {} more", it.picture_notes.len() - MOST));
    }
}

fn print_missing(it: &Survey) {
    let mut by_stage: BTreeMap<_, Vec<String>> = BTreeMap::new();
    for missing in &it.missing_views {
        by_stage
            .entry(missing.stage)
            .or_default()
            .push(missing.view.clone());
    }
    if by_stage.is_empty() {
        return;
    }
    data(&heading("Views a complete record would still have"));
    for (stage, views) in by_stage {
        data(&format!("  {stage}:"));
        data(&wrapped("    ", &views, ", "));
    }
}

fn print_gaps(it: &Survey) {
    if it.blocked_by.is_empty() {
        data(&heading("Ready for a final report"));
        data(&format!("  asfound report {}", it.piece.stock_no));
        return;
    }
    data(&heading("Before a final report"));
    for gap in &it.blocked_by {
        data(&format!("  {}\n      {}", gap.message, gap.remedy));
    }
}

fn print_sidecars(it: &Survey, no: &StockNo) {
    for name in it.missing_sidecars.iter().take(MOST) {
        talk(&format!(
            "the sidecar `{name}` is gone; its last good text stays in force"
        ));
    }
    if !it.missing_sidecars.is_empty() {
        talk(&format!("write them again with `asfound put-back {no}`"));
    }
}
