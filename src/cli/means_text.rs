//! What a record means and what to do next, in words.

use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::wrapped;
use crate::cli::survey_text::word;
use crate::work::means::MaterialLine;
use crate::work::means::PathLine;
use crate::work::means::PathsLine;
use crate::work::survey::Survey;

/// Most steps printed; the rest is in `--json`.
const MOST: usize = 8;

/// What it is made of, when, and what can still be done with each part.
pub(super) fn print(it: &Survey) {
    data(&heading("What it means"));
    print_materials(&it.materials);
    if !it.made.text.is_empty() {
        print_sentence(&it.made.text);
    }
    for (parts, lines) in alike(&it.paths) {
        print_paths(&parts, lines);
    }
}

/// What to do next, numbered.
pub(super) fn print_next(it: &Survey) {
    data(&heading("What to do next"));
    for (n, step) in it.next.iter().take(MOST).enumerate() {
        print_indented(&format!("  {}. ", n + 1), &step.what);
        if !step.how.is_empty() {
            print_indented("       ", &step.how);
        }
    }
    if it.next.len() > MOST {
        data(&format!("  and {} more, in --json", it.next.len() - MOST));
    }
    if it.next.is_empty() {
        data("  nothing: it is all there");
    }
}

/// One line a verdict, with the parts it holds for.
fn print_materials(materials: &[MaterialLine]) {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for it in materials {
        let verdict = match (&it.settled, it.possible.len()) {
            (Some(class), _) => class.clone(),
            (None, 0 | 5..) => "not settled".to_owned(),
            (None, _) => format!("not settled: {}", it.possible.join(" or ")),
        };
        match groups.iter_mut().find(|known| known.0 == verdict) {
            Some((_, parts)) => parts.push(it.part.as_str()),
            None => groups.push((verdict, vec![it.part.as_str()])),
        }
    }
    // What is settled first.
    groups.sort_by_key(|it| it.0.starts_with("not"));
    for (verdict, parts) in groups {
        let mut words: Vec<String> = parts.iter().map(|it| (*it).to_owned()).collect();
        words[0] = format!("{verdict}: {}", words[0]);
        data(&wrapped("  ", &words, ", "));
    }
}

/// Parts with the same verdict on every path, together.
fn alike(paths: &[PathsLine]) -> Vec<(Vec<&str>, &PathsLine)> {
    let same = |a: &PathsLine, b: &PathsLine| {
        let verdicts = |it: &PathsLine| -> Vec<(String, String)> {
            let one = |it: &PathLine| (it.path.clone(), word(&it.verdict));
            it.paths.iter().map(one).collect()
        };
        verdicts(a) == verdicts(b)
    };
    let mut groups: Vec<(Vec<&str>, &PathsLine)> = Vec::new();
    for it in paths {
        match groups.iter_mut().find(|known| same(known.1, it)) {
            Some((parts, _)) => parts.push(it.part.as_str()),
            None => groups.push((vec![it.part.as_str()], it)),
        }
    }
    groups
}

fn print_paths(parts: &[&str], lines: &PathsLine) {
    data(&wrapped(
        "  ",
        &parts.iter().map(|it| (*it).to_owned()).collect::<Vec<_>>(),
        ", ",
    ));
    for (verdict, says) in [
        ("open", "can take"),
        ("after work", "after other work"),
        ("waiting", "not known yet"),
        ("shut", "must not"),
    ] {
        let of = lines.paths.iter().filter(|it| word(&it.verdict) == verdict);
        let mut names: Vec<String> = of.map(|it| it.path.clone()).collect();
        if let Some(first) = names.first_mut() {
            *first = format!("{says}: {first}");
            data(&wrapped("    ", &names, ", "));
        }
    }
    let mut shut = lines.paths.iter().filter(|it| word(&it.verdict) == "shut");
    if let Some(why) = shut.find_map(|it| it.why.first()) {
        print_indented("      ", why);
    }
    if let Some(mm) = lines.sanding_mm {
        let measured = if lines.face_measured {
            "measured"
        } else {
            "not measured, the thinnest is taken"
        };
        data(&format!("    sanding may take off {mm:.2} mm ({measured})"));
    }
}

fn print_sentence(text: &str) {
    print_indented("  ", text);
}

fn print_indented(indent: &str, text: &str) {
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    let blank = " ".repeat(indent.chars().count());
    let lines = wrapped(&blank, &words, " ");
    data(&lines.replacen(&blank, indent, 1));
}
