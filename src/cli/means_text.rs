//! What a record means and what to do next, in words.

use crate::cli::say::data;
use crate::cli::say::heading;
use crate::cli::say::wrapped;
use crate::cli::survey_text::word;
use crate::work::advice::interpretation::MaterialLine;
use crate::work::advice::interpretation::PathLine;
use crate::work::advice::interpretation::PathsLine;
use crate::work::advice::survey::Survey;

/// Ways that are open for nearly everything.
const ALWAYS: [&str; 3] = ["leave", "specialist", "donor"];

/// Most steps printed; the rest is in `--json`.
const MOST: usize = 8;

/// What it is made of, when, and what can still be done with each part.
pub(super) fn print(it: &Survey) {
    data(&heading("What it means"));
    print_materials(&it.materials);
    if !it.made.text.is_empty() {
        print_sentence(&it.made.text);
    }
    // What could be done with a piece that was sold, has left or is finished is no longer to be decided.
    if it.work_over || it.shoots.last().is_some_and(|it| it.stage.after_sale()) {
        return;
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

/// What can be done with these parts, in a line each; ways that are open for every part are not worth a word.
fn print_paths(parts: &[&str], lines: &PathsLine) {
    let parts: Vec<String> = parts.iter().map(|it| (*it).to_owned()).collect();
    data(&wrapped("  ", &parts, ", "));
    for (verdict, says) in [
        ("open", "can take"),
        ("after work", "after other work"),
        ("waiting", "not known yet"),
        ("shut", "must not"),
    ] {
        let of = lines.paths.iter().filter(|it| word(&it.verdict) == verdict);
        let told: Vec<&PathLine> = of
            .filter(|it| !ALWAYS.contains(&it.path.as_str()))
            .collect();
        let Some(first) = told.first() else {
            continue;
        };
        let mut names: Vec<String> = told.iter().map(|it| it.path.clone()).collect();
        names[0] = format!("{says}: {}", names[0]);
        data(&wrapped("    ", &names, ", "));
        let why = match verdict {
            "shut" => first.why.first(),
            "after work" => first.opened_by.first(),
            _ => None,
        };
        if let Some(why) = why {
            print_indented("      ", why);
        }
    }
    match lines.sanding_mm {
        Some(mm) if lines.face_measured => {
            data(&format!(
                "    sanding may take off {mm:.2} mm, by the thinnest place measured"
            ));
        }
        Some(_) => data("    no sanding: the face wood was not measured"),
        None => {}
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
