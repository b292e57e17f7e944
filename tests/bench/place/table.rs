//! The table on the screen.

use lay::Grade;
use lay::Laid;

use crate::book::Book;
use crate::cases::Outcome;
use crate::cases::taken;

pub(crate) fn head() {
    println!(
        "{:<16}{:>5}{:>9}{:>9}{:>9}{:>9}{:>8}{:>8}{:>8}{:>9}{:>9}",
        "",
        "all",
        "< 2 px",
        "median",
        "> 50 px",
        "taken",
        "worst",
        "asked",
        "of 2 px",
        "CPU s",
        "2 sd"
    );
}

pub(crate) fn print(name: &str, all: &[Outcome], each: bool) {
    if each {
        for it in all {
            one(it);
        }
    }
    line(name, all.iter().collect());
    if all.iter().any(|it| it.possible) {
        line("  held back", all.iter().filter(|it| !it.tuned).collect());
    }
}

fn line(name: &str, all: Vec<&Outcome>) {
    let error = |it: &&Outcome| it.error.unwrap_or(9999.0);
    let mut errors: Vec<f64> = all.iter().map(error).collect();
    errors.sort_by(f64::total_cmp);
    let count = |is: &dyn Fn(f64) -> bool| errors.iter().filter(|it| is(**it)).count();
    let possible = all.iter().any(|it| it.possible);
    let is_taken = |it: &&&Outcome| it.laid.as_ref().is_some_and(taken);
    let is_asked = |it: &&&Outcome| {
        it.laid
            .as_ref()
            .is_some_and(|it| matches!(it.grade, Grade::ToConfirm(_)))
    };
    let of_taken: Vec<f64> = all.iter().filter(is_taken).map(error).collect();
    let of_asked: Vec<f64> = all.iter().filter(is_asked).map(error).collect();
    let worst = of_taken.iter().copied().fold(0.0, f64::max);
    let good = of_asked.iter().filter(|it| **it < 2.0).count();
    let ratios = all.iter().filter(|it| is_taken(it) || is_asked(it));
    let mut ratios: Vec<f64> = ratios
        .filter_map(|it| Some(it.error? / it.laid?.error))
        .collect();
    ratios.sort_by(f64::total_cmp);
    let within = ratios.iter().filter(|it| **it < 2.0).count() as f64 / ratios.len().max(1) as f64;
    let top = ratios
        .get((ratios.len() as f64 * 0.95) as usize)
        .copied()
        .unwrap_or(0.0);
    let cpu = all.iter().map(|it| it.cpu).sum::<f64>() / all.len().max(1) as f64;
    let mark = |it: String| if possible { it } else { "-".into() };
    println!(
        "{name:<16}{:>5}{:>9}{:>9}{:>9}{:>9}{:>8}{:>8}{:>8}{cpu:>9.2}{:>9}",
        all.len(),
        mark(count(&|it| it < 2.0).to_string()),
        mark(format!(
            "{:.2}",
            errors.get(errors.len() / 2).unwrap_or(&0.0)
        )),
        mark(count(&|it| it > 50.0).to_string()),
        of_taken.len(),
        mark(format!("{worst:.2}")),
        of_asked.len(),
        mark(good.to_string()),
        mark(format!("{:.0}% {top:.1}", 100.0 * within)),
    );
}

fn one(it: &Outcome) {
    let error = it.error.map_or("none".into(), |it| format!("{it:.2}"));
    let what = it.laid.map_or(String::new(), |it| said(&it));
    println!("  {error:>8} {what} {:.2} s {}", it.cpu, it.name);
}

fn said(it: &Laid) -> String {
    let e = &it.evidence;
    let grade = format!("{:?}", it.grade);
    let source = format!("{:?}", it.source);
    format!(
        "{grade:<20} {:<5} spots {:>3} alike {:>5.2} edges {:>5.2} cells {:.2} seen {:.2} px {:>6.0} error {:>6.2}",
        &source[..4],
        e.spots,
        e.alike,
        e.edges,
        e.cells,
        e.seen,
        e.pixels,
        it.error
    )
}

/// All faces carried into all pictures.
pub(crate) fn book(it: &Book, each: bool) {
    print("book", &it.shown, each);
    print("  not shown", &it.hidden, false);
    let [preparing, comparing, laying] = it.cpu;
    let [pairs, steps] = it.looks;
    println!(
        "s of CPU a picture: {:.2}, of it {preparing:.2} to prepare it, {comparing:.2} to compare it ({pairs} pairs), {laying:.2} to lay faces ({steps} steps)",
        preparing + comparing + laying
    );
}

/// What it takes to prepare a picture.
pub(crate) fn prepared(cpu: &[f64]) {
    let mean = cpu.iter().sum::<f64>() / cpu.len().max(1) as f64;
    println!("{} pictures prepared, {mean:.2} s of CPU each", cpu.len());
}
