//! The survey of a piece: what is recorded, what is missing, what it means, what to do next.
//!
//! In: a piece. Out: its survey, printed.

mod means;
mod missing;
mod said;

use std::collections::BTreeMap;

use clap::Args;

use crate::cli::context::Context;
use crate::cli::exit::Exit;
use crate::cli::output::data;
use crate::cli::output::json;
use crate::cli::output::talk;
use crate::cli::output::text::count;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::cli::output::text::word;
use crate::cli::output::text::wrapped;
use crate::kit::measure::with_mm;
use crate::kit::text::listed;
use crate::kit::text::small;
use crate::model::ids::StockNo;
use crate::work::WorkError;
use crate::work::advice::survey::Finding;
use crate::work::advice::survey::Outcome;
use crate::work::advice::survey::PartReport;
use crate::work::advice::survey::PartState;
use crate::work::advice::survey::Survey;
use crate::work::advice::survey::survey;

/// Most lines of one kind before the rest is counted.
const MOST: usize = 12;
/// Most lines where a line is only a hint.
const FEW: usize = 4;

/// Say what is recorded of a piece, and what is missing
#[derive(Args, Debug)]
pub(in crate::cli) struct SurveyArgs {
    /// Stock number
    no: StockNo,
}

pub(in crate::cli) fn run(context: &Context, args: &SurveyArgs) -> Result<Exit, WorkError> {
    let mut book = context.open_to_read()?;
    let it = survey(&mut book, &args.no)?;
    if context.json {
        json(&it);
    } else {
        print(&it);
    }
    let clean = it.assessment.complaints.is_empty()
        && it.assessment.places.conflicts.is_empty()
        && it.assessment.places.unused.is_empty()
        && it.missing_sidecars.is_empty()
        && it.unread_sidecars.is_empty();
    Ok(Exit::clean(clean))
}

/// Prints a survey.
fn print(it: &Survey) {
    print_piece(it);
    data(&heading("Recorded"));
    print_shoots(it);
    print_findings(it);
    print_failing(it);
    let never_had = it.assessment.piece.never_had.iter();
    let never_had: Vec<String> = never_had.map(ToString::to_string).collect();
    print_parts(&it.assessment.parts, &never_had);
    said::print(it);
    missing::print_missing(it);
    means::print(it);
    means::print_next(&it.next);
    let complaints = &it.assessment.complaints;
    for complaint in complaints {
        talk(&complaint.drawn);
    }
    if !complaints.is_empty() {
        talk(
            "until this is put right, the last good text of each stays in force; where there was none, nothing is read",
        );
    }
    for it in &it.assessment.places.unused {
        talk(&format!(
            "the {} laid in picture {} is not used: {}",
            it.face, it.photo, it.why
        ));
    }
    print_sidecars(it, &it.assessment.piece.stock_no);
}

fn print_piece(it: &Survey) {
    let piece = &it.assessment.piece;
    data(&heading(&format!("{}  {}", piece.stock_no, piece.title)));
    let size = match piece.size {
        Some(it) => format!(
            "{} high x {} wide x {} deep, mm",
            it.height_mm, it.width_mm, it.depth_mm
        ),
        None => "size not recorded".to_owned(),
    };
    let taken = piece.size_taken.as_ref();
    let taken = taken.map_or_else(String::new, |it| format!(", {it}"));
    data(&format!("  {}, {size}{taken}", it.assessment.form_label));
    if let Some(form) = &it.form_before {
        data(&format!("  when it was bought: {form}"));
    }
    if let Some(set) = &piece.set {
        let one = |no: &StockNo| match it.of_set_sold.contains(no) {
            true => format!("{no}, which is sold"),
            false => no.to_string(),
        };
        let others: Vec<String> = it.of_set.iter().map(one).collect();
        let others = match others.is_empty() {
            true => "no other of it is in the book".to_owned(),
            false => format!("with {}", listed(&others)),
        };
        data(&hung("  of a set: ", &format!("{set} ({others})")));
    }
    if let Some(weight) = &piece.weight {
        data(&hung("  weight: ", weight));
    }
    for sale in &it.fell_through {
        let words = sale.why.iter().cloned().chain(sale.private());
        let words: Vec<String> = words.collect();
        let private = match words.is_empty() {
            true => String::new(),
            false => format!("; private: {}", words.join(", ")),
        };
        let text = format!("{}, taken back on {}{private}", sale.day, sale.taken_back);
        data(&hung("  a sale fell through: ", &text));
    }
    if let Some(gone) = &it.withdrawn {
        let day = gone.at.local_day();
        data(&hung("  withdrawn: ", &format!("{day}, {}", gone.why)));
    }
    if let Some(sale) = &it.sold {
        data(&format!("  sold on {}", sale.day));
    }
}

fn print_shoots(it: &Survey) {
    let shoots: Vec<String> = it
        .shoots()
        .map(|(shoot, photos)| {
            format!(
                "{} {} ({})",
                shoot.stage.word(),
                shoot.day,
                count(photos, "photo")
            )
        })
        .collect();
    if shoots.is_empty() {
        data("  no photos yet");
    } else {
        data(&wrapped("  ", &shoots, ", "));
    }
}

/// The cautions on faults on which somebody may come to harm, and on what a test found.
fn print_failing(survey: &Survey) {
    for caution in survey.assessment.warnings() {
        data(&format!("  {}:", caution.title));
        for line in caution.told() {
            data(&hung("    ", &line));
        }
    }
}

/// How many there are; those that are not repaired or gone with their lines, of the others the numbers by group.
fn print_findings(survey: &Survey) {
    let it = &survey.assessment;
    if it.counts.findings.all() > 0 {
        data(&wrapped("  ", &[it.counts.findings.text().to_string()], ""));
    }
    let closed = |it: &&Finding| it.outcome.is_none_or(|it| it.is_closed() || !it.is_fault());
    let open: Vec<&Finding> = it.findings.iter().filter(|it| !closed(it)).collect();
    for finding in open.iter().take(MOST) {
        print_finding(finding);
        said::print_since(finding);
        said::print_words(finding);
        said::print_dispute(finding);
    }
    if open.len() > MOST {
        data(&format!("  and {} more of these", open.len() - MOST));
    }
    let mut by_group: BTreeMap<_, Vec<String>> = BTreeMap::new();
    for it in it.findings.iter().filter(closed) {
        let group = (it.outcome.is_none(), it.outcome);
        let named = match it.outcome {
            Some(outcome) if outcome.is_test() => tested(it),
            _ => it.no.to_string(),
        };
        by_group.entry(group).or_default().push(named);
    }
    for ((_, outcome), numbers) in &by_group {
        let group = outcome.map_or_else(|| "withdrawn".to_owned(), |it| it.words().to_string());
        let words = [vec![format!("{group}: ")], joined(numbers)].concat();
        data(&wrapped("  ", &words, ""));
    }
    for it in it.findings.iter().filter(closed) {
        said::print_closed_words(it);
        said::print_heavy_remains(it);
    }
    let quiet = it.findings.iter().filter(closed);
    for it in quiet.filter(|it| it.not_told_since().is_some()) {
        said::print_closed_since(it);
    }
}

/// A clean test with its part, its day and its words: `F4 (front frame, 2026-09-12: swab, negative)`.
fn tested(it: &Finding) -> String {
    let part = small(&it.part_label);
    let Some(last) = it.history.last() else {
        return format!("{} ({part})", it.no);
    };
    let words = last.words().join("; ");
    let words = match words.is_empty() {
        true => words,
        false => format!(": {words}"),
    };
    format!("{} ({part}, {}{words})", it.no, last.day)
}

fn print_finding(it: &Finding) {
    let which = if it.which.is_empty() {
        String::new()
    } else {
        format!(" ({})", it.which)
    };
    let of = it.size_of.map_or_else(String::new, |it| format!(" ({it})"));
    let size = it.size.as_deref().map(|it| format!("{}{of}", with_mm(it)));
    let size = size.unwrap_or_else(|| "not measured".to_owned());
    let level = it.level_there().map_or("-".to_owned(), |it| it.to_string());
    let effort = it
        .effort
        .map_or_else(String::new, |it| format!(", {}", word(&it)));
    let treated = it.dealt_with(|day| day.to_string().into()).into_iter();
    let treated: String = treated.map(|it| format!(", {it}")).collect();
    data(&format!(
        "  {:<4} {:<46} {size:<16} level {level}  {}{treated}, {}{effort}",
        it.no.to_string(),
        format!("{}{which}, {}", it.term, it.part),
        state(it),
        word(&it.origin),
    ));
}

/// What became of it, in a word; of one that a repair left, with the repair.
fn state(it: &Finding) -> String {
    match (it.outcome, it.still_after) {
        (Some(it @ (Outcome::NotSeenSince | Outcome::Cleared | Outcome::ClearedInPart)), _) => {
            word(&it)
        }
        (Some(it @ Outcome::Hidden), _) => it.words().to_string(),
        (_, Some(no)) => format!("still there after repair {no}"),
        _ => word(&it.state),
    }
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

fn print_parts(parts: &[PartReport], never_had: &[String]) {
    let of = |is_it: fn(&PartReport) -> bool| -> Vec<String> {
        let these = parts.iter().filter(|it| is_it(it));
        these.map(|it| it.part.to_string()).collect()
    };
    let faults = of(|it| it.state == PartState::Faults);
    print_names("with findings", &faults);
    print_names(
        "tested or looked at for one thing, not found",
        &of(PartReport::is_tested_clean),
    );
    let otherwise = of(|it| it.otherwise.is_some());
    print_names("of these otherwise not examined", &otherwise);
    let sound = of(|it| matches!(it.state, PartState::Sound { .. }));
    print_names("looked for, nothing found", &sound);
    let not_examined = of(|it| matches!(it.state, PartState::NotExamined { .. }));
    print_names("not examined", &not_examined);
    let absent = of(|it| matches!(it.state, PartState::Absent { .. }));
    print_names("absent", &absent);
    print_names("never had", never_had);
}

fn print_names(label: &str, names: &[String]) {
    if names.is_empty() {
        return;
    }
    let mut names = names.to_vec();
    names[0] = format!("{label}: {}", names[0]);
    data(&wrapped("  ", &names, ", "));
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
    for name in &it.unread_sidecars {
        talk(&format!(
            "the sidecar `{name}` was changed and is not taken in: the book cannot be written to here"
        ));
    }
}
