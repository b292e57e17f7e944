//! What a record lacks, in words.

use std::collections::BTreeMap;

use crate::cli::commands::advice::survey::MOST;
use crate::cli::commands::advice::survey::print_names;
use crate::cli::output::data;
use crate::cli::output::text::count;
use crate::cli::output::text::heading;
use crate::work::advice::survey::PartReport;
use crate::work::advice::survey::Survey;

/// What the record lacks.
pub(super) fn print_missing(it: &Survey) {
    let of = &it.assessment;
    let without = |is_it: fn(&PartReport) -> bool| -> Vec<String> {
        let these = of.parts.iter().filter(|it| it.required && is_it(it));
        these.map(|it| it.part.to_string()).collect()
    };
    let silent = without(PartReport::is_silent);
    let unjudged = without(PartReport::is_unjudged);
    let bare: Vec<String> = it
        .photos_without_view()
        .map(|it| it.no.to_string())
        .collect();
    let nothing = silent.is_empty()
        && unjudged.is_empty()
        && bare.is_empty()
        && of.missing_views.is_empty()
        && of.picture_notes.is_empty()
        && of.gaps.is_empty();
    data(&heading("Missing"));
    if nothing {
        data("  nothing that a complete record would have");
        return;
    }
    print_names("no word yet of", &silent);
    print_names("no statement on faults yet of", &unjudged);
    print_missing_views(it);
    print_names("no view said of pictures", &bare);
    print_picture_notes(it);
    for gap in &of.gaps {
        data(&format!(
            "  for a final report: {}\n      {}",
            gap.message, gap.remedy
        ));
    }
}

/// What is wrong with pictures; what is so with several alike is said once.
fn print_picture_notes(it: &Survey) {
    let mut alike: Vec<(String, Vec<u32>)> = Vec::new();
    for note in &it.assessment.picture_notes {
        let said = note.text.to_string();
        match alike.iter_mut().find(|(text, _)| *text == said) {
            Some((_, pictures)) => pictures.push(note.photo),
            None => alike.push((said, vec![note.photo])),
        }
    }
    for (text, pictures) in alike.iter().take(MOST) {
        let who = match pictures[..] {
            [one] => format!("picture {one} {}", it.photo_name(one)),
            _ => {
                let numbers: Vec<String> = pictures.iter().map(u32::to_string).collect();
                format!("pictures {}", numbers.join(", "))
            }
        };
        data(&format!("  {who}: {text}"));
    }
    let more: usize = alike.iter().skip(MOST).map(|(_, all)| all.len()).sum();
    if more > 0 {
        data(&format!("  and {more} more pictures to look at"));
    }
}

/// Views by their stage; what an earlier stage lacks cannot be taken any more.
fn print_missing_views(it: &Survey) {
    let mut by_stage: BTreeMap<_, Vec<String>> = BTreeMap::new();
    let mut out = Vec::new();
    for missing in &it.assessment.missing_views {
        if !missing.taken_out.is_empty() {
            let (view, stage) = (&missing.view, missing.stage);
            out.push(format!("{view} ({stage}, {})", missing.pictures_out()));
            continue;
        }
        let views = by_stage.entry(missing.stage).or_default();
        views.push(missing.view.clone());
    }
    let now = it.assessment.shoots.last().map(|it| it.stage);
    for (stage, views) in by_stage {
        if Some(stage) == now {
            print_names(&format!("views of the {stage}"), &views);
        } else {
            data(&format!(
                "  {} of the {stage} {} not taken",
                count(views.len(), "view"),
                were(views.len())
            ));
        }
    }
    print_names("views taken, and taken out of the record", &out);
}

/// `1 view of the handover was`.
fn were(views: usize) -> &'static str {
    if views == 1 { "was" } else { "were" }
}
