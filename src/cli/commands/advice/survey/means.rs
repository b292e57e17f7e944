//! What a record means and what to do next, in words.

use crate::cli::output::data;
use crate::cli::output::text::heading;
use crate::cli::output::text::hung;
use crate::cli::output::text::wrapped;
use crate::kit::text::small;
use crate::work::advice::survey::NextStep;
use crate::work::advice::survey::PartAdvice;
use crate::work::advice::survey::PartReport;
use crate::work::advice::survey::PathAdvice;
use crate::work::advice::survey::Survey;
use crate::work::advice::survey::Verdict;

/// Ways that are open for nearly everything.
const ALWAYS: [&str; 3] = ["leave", "specialist", "donor"];

/// Most parts of which an opinion is named before the rest is counted.
const FEW: usize = 3;

/// Most steps printed; the rest is in `--json`.
const MOST: usize = 8;

/// From so many possible materials on, they are not worth naming.
const TOO_MANY: usize = 5;

/// Why thin wood is not sanded whose thickness is not told.
const NOT_MEASURED: &str =
    "the face wood was not measured; measured, its mark says `size = \"0.6 mm\"`";

/// What it is made of, when, and what can still be done with each part.
pub(super) fn print(it: &Survey) {
    data(&heading("What it means"));
    print_materials(it.materials());
    let made = &it.assessment.made;
    if !made.text.is_nothing() {
        data(&hung("  ", &made.text.to_string()));
    }
    // What could be done with a piece that was sold, has left or is finished is no longer to be decided.
    let newest = it.assessment.shoots.last();
    if it.work_over || newest.is_some_and(|it| it.stage.after_sale()) {
        return;
    }
    print_opinions(&it.advice);
    for (parts, advice) in alike(&it.advice) {
        print_paths(&parts, advice);
    }
}

/// What to do next, numbered.
pub(super) fn print_next(next: &[NextStep]) {
    data(&heading("What to do next"));
    for (n, step) in next.iter().take(MOST).enumerate() {
        data(&hung(&format!("  {}. ", n + 1), &step.what));
        if !step.how.is_empty() {
            data(&hung("       ", &step.how));
        }
    }
    if next.len() > MOST {
        data(&format!("  and {} more, in --json", next.len() - MOST));
    }
    if next.is_empty() {
        data("  nothing that the record asks for");
    }
}

/// One line a verdict, with the parts it holds for; what is settled first.
fn print_materials<'a>(parts: impl Iterator<Item = &'a PartReport>) {
    let mut settled: Vec<(String, Vec<&str>)> = Vec::new();
    let mut open: Vec<(String, Vec<&str>)> = Vec::new();
    for it in parts {
        let material = &it.material;
        let over = material
            .core
            .as_ref()
            .filter(|it| material.settled.as_ref() != Some(it));
        let over = over.map_or_else(String::new, |it| format!(" over {it}"));
        let (groups, verdict) = match (&material.settled, material.possible.len()) {
            (Some(class), _) => (&mut settled, format!("{class}{over}")),
            (None, _) if material.woven => (&mut settled, "woven".to_owned()),
            (None, _) if material.covered => (&mut settled, "covered".to_owned()),
            (None, _) if material.likely.is_some() => {
                let class = material.likely.iter().map(|it| it.class.as_str());
                let class: String = class.collect();
                (&mut open, format!("not settled, likely {class}"))
            }
            (None, 0 | TOO_MANY..) => (&mut open, "not settled".to_owned()),
            (None, _) => (
                &mut open,
                format!("not settled: {}", material.possible.join(" or ")),
            ),
        };
        match groups.iter_mut().find(|known| known.0 == verdict) {
            Some((_, parts)) => parts.push(it.part.as_str()),
            None => groups.push((verdict, vec![it.part.as_str()])),
        }
    }

    for (verdict, parts) in settled.into_iter().chain(open) {
        let mut words: Vec<String> = parts.iter().map(|it| (*it).to_owned()).collect();
        words[0] = format!("{verdict}: {}", words[0]);
        data(&wrapped("  ", &words, ", "));
    }
}

/// Parts with the same verdict on every path, together.
fn alike(all: &[PartAdvice]) -> Vec<(Vec<&str>, &PartAdvice)> {
    let same = |a: &PartAdvice, b: &PartAdvice| {
        let verdicts = |it: &PathAdvice| (it.path.clone(), it.verdict, reason(it).to_owned());
        let paths = b.paths.iter().map(verdicts);
        a.warnings() == b.warnings() && a.paths.iter().map(verdicts).eq(paths)
    };
    let mut groups: Vec<(Vec<&str>, &PartAdvice)> = Vec::new();
    for it in all {
        match groups.iter_mut().find(|known| same(known.1, it)) {
            Some((parts, _)) => parts.push(it.part.as_str()),
            None => groups.push((vec![it.part.as_str()], it)),
        }
    }
    groups
}

/// Paths with the same reason, together: why they are shut, what is to be done or looked at first, or why they are preferred.
fn by_reason<'a>(paths: &[&'a PathAdvice]) -> Vec<(&'a str, Vec<&'a str>)> {
    let mut groups: Vec<(&str, Vec<&str>)> = Vec::new();
    for it in paths {
        let why = reason(it);
        match groups.iter_mut().find(|known| known.0 == why) {
            Some((_, paths)) => paths.push(&it.path),
            None => groups.push((why, vec![&it.path])),
        }
    }
    groups
}

/// The reason of a path itself; empty where it has none.
fn reason(it: &PathAdvice) -> &str {
    let why = it.reasons.first().map(|it| it.why.as_str());
    let why = match it.verdict {
        Verdict::Shut | Verdict::Open => why,
        Verdict::AfterWork => it.opened_by.first().map(String::as_str).or(why),
        Verdict::Waiting => it.look.first().map(String::as_str).or(why),
    };
    why.unwrap_or("")
}

/// What was taken from other parts of the piece, each opinion once with the parts it is of.
fn print_opinions(all: &[PartAdvice]) {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for opinion in all.iter().flat_map(|it| &it.opinions) {
        let (part, says) = opinion.split_once(": ").unwrap_or(("", opinion));
        match groups.iter_mut().find(|known| known.0 == says) {
            Some((_, parts)) => parts.push(small(part)),
            None => groups.push((says, vec![small(part)])),
        }
    }
    for (says, parts) in groups {
        let more = parts.len().saturating_sub(FEW);
        let named = parts[..parts.len() - more].join("; ");
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        data(&hung("  ", &format!("{named}{more}: {says}")));
    }
}

/// What can be done with these parts, in a line each; ways that are open for every part are not worth a word.
fn print_paths(parts: &[&str], advice: &PartAdvice) {
    let parts: Vec<String> = parts.iter().map(|it| (*it).to_owned()).collect();
    data(&wrapped("  ", &parts, ", "));
    for (verdict, says) in [
        (Verdict::Open, "can take"),
        (Verdict::AfterWork, "after other work"),
        (Verdict::Waiting, "not known yet"),
        (Verdict::Shut, "must not"),
    ] {
        let of = advice.paths.iter().filter(|it| it.verdict == verdict);
        let told: Vec<&PathAdvice> = of
            .filter(|it| !ALWAYS.contains(&it.path.as_str()))
            .collect();
        for (why, paths) in by_reason(&told) {
            let mut names: Vec<String> = paths.iter().map(|it| (*it).to_owned()).collect();
            names[0] = format!("{says}: {}", names[0]);
            data(&wrapped("    ", &names, ", "));
            // What opens a way is a condition: nobody says that it is met.
            let label = match verdict {
                Verdict::AfterWork => "      only once this is so: ",
                Verdict::Open | Verdict::Waiting | Verdict::Shut => "      ",
            };
            if !why.is_empty() {
                data(&hung(label, why));
            }
        }
    }
    for line in advice.warnings() {
        data(&hung("    ! ", line));
    }
    match &advice.sanding {
        Some(it) if it.lowest_mm.is_some() && it.budget_mm <= 0.0 => {
            data(&hung("    no sanding: ", &it.bears));
        }
        Some(it) if it.lowest_mm.is_some() => {
            data(&format!(
                "    sanding may take off {:.2} mm, by the thinnest place measured",
                it.budget_mm
            ));
        }
        Some(it) => {
            let why = it.at_most_mm.map_or_else(|| NOT_MEASURED.to_owned(), thin);
            data(&hung("    no sanding: ", &why));
        }
        None => {}
    }
}

/// Why wood is not sanded that is known to be thin, and not how thin.
fn thin(at_most_mm: f64) -> String {
    format!(
        "the face wood is {at_most_mm:.1} mm or less, and no number is told; told, its mark says `size = \"0.6 mm\"`"
    )
}
