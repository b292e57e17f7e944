//! Judgement on cases of the trade: what was said in the sidecars, and what survey and estimate make of it.
//!
//! Each folder below `tests/cases/judgement` is a case. `said.toml` is the sidecar of its only picture (`said_after.toml`, where
//! there is one, that of a picture after the work). `case.toml` says why the trade expects what it expects, how the piece is
//! taken in, and what must and must not come out. Common practice, no source.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::sync::Mutex;

use serde::Deserialize;
use serde_json::Value;

use crate::shop::Shop;

/// A case as it is written down.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    /// What the trade knows.
    why: String,
    /// The form.
    form: String,
    /// What `intake` is told besides.
    #[serde(default)]
    intake: Vec<String>,
    /// Lines for `book.toml`.
    #[serde(default)]
    settings: String,
    /// The content of `words.toml`.
    #[serde(default)]
    words: String,
    /// What `estimate` is told.
    #[serde(default)]
    estimate: Vec<String>,
    /// Repairs, each as the words after `repair 26-001`.
    #[serde(default)]
    repairs: Vec<Vec<String>>,
    #[serde(default)]
    path: Vec<PathCase>,
    #[serde(default)]
    material: Vec<MaterialCase>,
    /// Methods in the plan that is worked out, and such as must not be.
    #[serde(default)]
    plan: Vec<String>,
    #[serde(default)]
    not_in_plan: Vec<String>,
    /// Methods of which the first is planned before the second.
    #[serde(default)]
    before: Vec<[String; 2]>,
    /// Methods of which neither is done while the other has to be left alone.
    #[serde(default)]
    apart: Vec<[String; 2]>,
    /// Methods in no way's plan at all.
    #[serde(default)]
    never_planned: Vec<String>,
    /// Findings left alone, with a piece of the reason.
    #[serde(default)]
    left: BTreeMap<String, String>,
    /// How hard findings are.
    #[serde(default)]
    effort: BTreeMap<String, String>,
    /// Likely minutes of hands at a task, at least and at most.
    #[serde(default)]
    minutes: BTreeMap<String, [i64; 2]>,
    /// Reasons to stop, by id, and such as must not be.
    #[serde(default)]
    stops: Vec<String>,
    #[serde(default)]
    no_stops: Vec<String>,
    /// Sentences that the survey, the estimate or its words for the door print, and such as none of them does.
    #[serde(default)]
    says: Vec<String>,
    #[serde(default)]
    never_says: Vec<String>,
    /// Sentences that the buyer's report prints, and such as it does not.
    #[serde(default)]
    page_says: Vec<String>,
    #[serde(default)]
    page_never_says: Vec<String>,
    /// The stage of the picture after the work; else that of the work.
    after_stage: Option<String>,
    /// Further pictures after that, each of a shoot of its own.
    #[serde(default)]
    later: Vec<LaterCase>,
    /// Other commands, run in this order after all else.
    #[serde(default)]
    print: Vec<PrintCase>,
}

/// A picture of a later shoot, with what is said beside it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LaterCase {
    /// When it was taken, as a camera writes it: `2026:07:20 10:00:00`.
    taken: String,
    stage: String,
    said: String,
}

/// A command, and what it prints, or what a page holds that it writes.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PrintCase {
    run: Vec<String>,
    /// Where the page lies, seen from the folder in which the book's folder lies.
    page: Option<String>,
    #[serde(default)]
    says: Vec<String>,
    #[serde(default)]
    never_says: Vec<String>,
}

/// What is expected of a path on a part.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PathCase {
    part: String,
    paths: Vec<String>,
    is: String,
    /// A piece of one of its reasons, or of what is to be looked at.
    because: Option<String>,
}

/// What is expected of the material of a part.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MaterialCase {
    part: String,
    is: Option<String>,
    core: Option<String>,
    likely: Option<String>,
    /// Nothing is settled.
    #[serde(default)]
    open: bool,
}

/// What came out.
struct Out {
    survey: Value,
    estimate: Value,
    text: String,
    page: String,
    /// What each of the other commands printed.
    printed: Vec<String>,
}

fn folders() -> Vec<PathBuf> {
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/judgement");
    let mut all: Vec<PathBuf> = fs::read_dir(base)
        .unwrap()
        .map(|it| it.unwrap().path())
        .collect();
    all.sort();
    let only = std::env::var("ASFOUND_ONLY").unwrap_or_default();
    all.retain(|it| it.to_string_lossy().contains(&only));
    all
}

#[test]
fn every_case_is_judged_as_the_trade_does() {
    let cases = folders();
    assert!(!cases.is_empty());
    let wrong = Mutex::new(Vec::new());
    let next = Mutex::new(cases.iter());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some(folder) = { next.lock().unwrap().next() } {
                    let found = judged(folder);
                    wrong.lock().unwrap().extend(found);
                }
            });
        }
    });
    let mut wrong = wrong.into_inner().unwrap();
    wrong.sort();
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// Everything that is wrong with a case.
#[allow(
    clippy::print_stderr,
    reason = "what a user reads is shown to whoever asks for it"
)]
fn judged(folder: &Path) -> Vec<String> {
    let name = folder.file_name().unwrap().to_string_lossy().into_owned();
    let text = fs::read_to_string(folder.join("case.toml")).unwrap();
    let case: Case = toml::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(!case.why.is_empty(), "{name}");
    let out = run(folder, &case);
    if is_shown() {
        eprintln!("== {name}\n{}", out.text);
    }
    let mut wrong = Vec::new();
    for it in list(&out.survey, "complaints") {
        wrong.push(format!("does not read: {it}"));
    }
    paths(&case, &out, &mut wrong);
    materials(&case, &out, &mut wrong);
    plans(&case, &out, &mut wrong);
    words(&case, &out, &mut wrong);
    wrong.iter().map(|it| format!("{name}: {it}")).collect()
}

/// Whether what is printed is shown, to be read by a practitioner.
fn is_shown() -> bool {
    std::env::var_os("ASFOUND_SHOW").is_some()
}

fn run(folder: &Path, case: &Case) -> Out {
    let shop = Shop::new();
    shop.book();
    if !case.settings.is_empty() {
        fs::write(shop.path("book/book.toml"), &case.settings).unwrap();
    }
    if !case.words.is_empty() {
        fs::write(shop.path("book/words.toml"), &case.words).unwrap();
    }
    let intake = ["intake", "invented piece", "--form", &case.form];
    let told = case.intake.iter().map(String::as_str);
    shop.run(&intake.into_iter().chain(told).collect::<Vec<_>>())
        .code(0);
    shop.photo("IMG_1.jpg", |_| ());
    shop.file(
        "IMG_1.jpg.toml",
        &fs::read(folder.join("said.toml")).unwrap(),
    );
    shop.import();
    for words in &case.repairs {
        let words = words.iter().map(String::as_str);
        let words: Vec<&str> = ["repair", "26-001"].into_iter().chain(words).collect();
        shop.run(&words).done();
    }
    let after = folder.join("said_after.toml");
    if after.is_file() {
        fs::remove_file(shop.card("IMG_1.jpg")).unwrap();
        fs::remove_file(shop.card("IMG_1.jpg.toml")).unwrap();
        let late = |it: &mut samples::Exif| *it = samples::Exif::taken("2026:05:25 10:00:00");
        shop.photo("IMG_2.jpg", late);
        shop.file("IMG_2.jpg.toml", &fs::read(after).unwrap());
        let stage = case.after_stage.as_deref().unwrap_or("work");
        shop.run(&["import", "../card", "--piece", "26-001", "--stage", stage]);
    }
    for (at, it) in case.later.iter().enumerate() {
        fs::remove_dir_all(shop.path("card")).unwrap();
        let name = format!("IMG_{}.jpg", at + 3);
        shop.photo(&name, |exif| *exif = samples::Exif::taken(&it.taken));
        shop.file(format!("{name}.toml"), it.said.as_bytes());
        shop.run(&[
            "import", "../card", "--piece", "26-001", "--stage", &it.stage,
        ])
        .code(0);
    }
    let estimate = ["estimate", "26-001"].into_iter();
    let estimate: Vec<&str> = estimate
        .chain(case.estimate.iter().map(String::as_str))
        .collect();
    let json = shop.run(&[&estimate[..], &["--json"]].concat()).json();
    let worded = !case.says.is_empty() || !case.never_says.is_empty() || is_shown();
    let printed = worded.then(|| {
        let (survey, estimate) = (["survey", "26-001"], ["estimate", "26-001"]);
        let (survey, estimate) = (shop.run(&survey), shop.run(&estimate));
        let door = shop.run(&["estimate", "26-001", "--door"]);
        let printed = [&survey, &estimate, &door].map(|it| [it.out(), it.err()].concat());
        printed.concat()
    });
    let text = printed.unwrap_or_default();
    let paged = !case.page_says.is_empty() || !case.page_never_says.is_empty();
    let page = paged.then(|| {
        let report = shop.run(&["report", "26-001", "--draft", "--json"]);
        let answer = report.code(0).json();
        fs::read_to_string(answer["path"].as_str().unwrap()).unwrap()
    });
    let printed = |it: &PrintCase| {
        let args: Vec<&str> = it.run.iter().map(String::as_str).collect();
        let ran = shop.run(&args);
        match &it.page {
            Some(page) => fs::read_to_string(shop.path(page))
                .unwrap_or_else(|error| panic!("{args:?}: {error}: {}", ran.err())),
            None => [ran.out(), ran.err()].concat(),
        }
    };
    Out {
        printed: case.print.iter().map(printed).collect(),
        survey: shop.run(&["survey", "26-001", "--json"]).json(),
        estimate: json,
        text,
        page: page.unwrap_or_default(),
    }
}

fn list<'a>(it: &'a Value, key: &str) -> &'a [Value] {
    it[key].as_array().map_or(&[], Vec::as_slice)
}

fn paths(case: &Case, out: &Out, wrong: &mut Vec<String>) {
    for expected in &case.path {
        let part = list(&out.survey, "paths")
            .iter()
            .find(|it| it["part"] == *expected.part);
        let Some(part) = part else {
            wrong.push(format!("no advice on {}", expected.part));
            continue;
        };
        for name in &expected.paths {
            let path = list(part, "paths").iter().find(|it| it["path"] == **name);
            let Some(path) = path else {
                wrong.push(format!("{name} is no path"));
                continue;
            };
            let said = format!("{} {} {}", path["why"], path["look"], path["opened_by"]);
            let because = expected.because.as_deref().unwrap_or("");
            if path["verdict"] != *expected.is || !said.contains(because) {
                let verdict = &path["verdict"];
                wrong.push(format!("{} {name} is {verdict}: {said}", expected.part));
            }
        }
    }
}

fn materials(case: &Case, out: &Out, wrong: &mut Vec<String>) {
    for expected in &case.material {
        let part = list(&out.survey, "parts")
            .iter()
            .find(|it| it["part"] == *expected.part);
        let Some(part) = part else {
            wrong.push(format!("no part {}", expected.part));
            continue;
        };
        let is = |key: &str, wanted: &Option<String>, got: &Value| {
            let differs = wanted.as_ref().is_some_and(|it| *got != **it);
            differs.then(|| format!("{} {key} is {got}", expected.part))
        };
        wrong.extend(is("material", &expected.is, &part["material"]));
        wrong.extend(is("core", &expected.core, &part["core"]));
        wrong.extend(is("likely", &expected.likely, &part["likely"]["class"]));
        if expected.open && !part["material"].is_null() {
            wrong.push(format!(
                "{} is settled: {}",
                expected.part, part["material"]
            ));
        }
    }
}

fn plans(case: &Case, out: &Out, wrong: &mut Vec<String>) {
    let tasks = list(&out.estimate, "tasks");
    let methods: Vec<&str> = tasks
        .iter()
        .map(|it| it["method"].as_str().unwrap())
        .collect();
    let planned = |it: &String| methods.contains(&it.as_str());
    let lacks = case.plan.iter().filter(|it| !planned(it));
    wrong.extend(lacks.map(|it| format!("{it} is not in the plan: {methods:?}")));
    let bad = case
        .not_in_plan
        .iter()
        .chain(&case.never_planned)
        .filter(|it| planned(it));
    wrong.extend(bad.map(|it| format!("{it} is in the plan")));
    let place = |it: &String| methods.iter().position(|known| known == it);
    for [first, then] in &case.before {
        if place(first).zip(place(then)).is_none_or(|(a, b)| a >= b) {
            wrong.push(format!("{first} is not before {then}: {methods:?}"));
        }
    }
    wrong.extend(case.apart.iter().filter_map(|it| meets(it, out)));
    let left = list(&out.estimate, "left");
    for (finding, why) in &case.left {
        let found = left.iter().find(|it| it["finding"] == **finding);
        let said = found.map_or("", |it| it["why"].as_str().unwrap());
        if found.is_none() || !said.contains(why) {
            wrong.push(format!(
                "{finding} is left for: {said}; the plan is {methods:?}"
            ));
        }
    }
    for (method, [least, most]) in &case.minutes {
        let of = tasks.iter().filter(|it| it["method"] == **method);
        let sum: i64 = of.map(|it| it["minutes"]["likely"].as_i64().unwrap()).sum();
        if !(*least..=*most).contains(&sum) {
            wrong.push(format!("{method} takes {sum} minutes"));
        }
    }
    let stops: Vec<&str> = list(&out.estimate, "stops")
        .iter()
        .map(|it| it["id"].as_str().unwrap())
        .collect();
    let lacks = case.stops.iter().filter(|it| !stops.contains(&it.as_str()));
    wrong.extend(lacks.map(|it| format!("no stop {it}: {stops:?}")));
    let bad = case
        .no_stops
        .iter()
        .filter(|it| stops.contains(&it.as_str()));
    wrong.extend(bad.map(|it| format!("stop {it}")));
}

/// Whether one of two methods is done while the other has to be left alone.
fn meets([a, b]: &[String; 2], out: &Out) -> Option<String> {
    let days = list(&out.estimate["days"], "tasks");
    let of = |method: &String| {
        let mut tasks = list(&out.estimate, "tasks").iter();
        let task = tasks.find(|it| it["method"] == **method)?;
        let on = days.iter().find(|it| it["task"] == task["id"])?;
        let day = |key: &str| -> jiff::civil::Date { on[key].as_str().unwrap().parse().unwrap() };
        let waits = task["wait_minutes"]["likely"].as_i64().unwrap() / (24 * 60);
        let free = day("done")
            .checked_add(jiff::Span::new().days(waits))
            .unwrap();
        Some((day("start"), free))
    };
    let (Some(one), Some(two)) = (of(a), of(b)) else {
        return Some(format!("{a} or {b} has no day"));
    };
    let apart = one.1 <= two.0 || two.1 <= one.0;
    (!apart).then(|| format!("{a} {one:?} and {b} {two:?} meet"))
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn words(case: &Case, out: &Out, wrong: &mut Vec<String>) {
    for (finding, effort) in &case.effort {
        let found = list(&out.survey, "findings")
            .iter()
            .find(|it| it["id"] == **finding);
        let got = found.map_or(&Value::Null, |it| &it["effort"]);
        if *got != **effort {
            wrong.push(format!("{finding} is {got}"));
        }
    }
    for (it, text) in case.print.iter().zip(&out.printed) {
        let (command, text) = (it.run.join(" "), one_line(text));
        let lacks = it.says.iter().filter(|it| !text.contains(*it));
        wrong.extend(lacks.map(|it| format!("`{command}` does not say `{it}`: {text}")));
        let bad = it.never_says.iter().filter(|it| text.contains(*it));
        wrong.extend(bad.map(|it| format!("`{command}` says `{it}`")));
    }
    let text = one_line(&out.text);
    let lacks = case.says.iter().filter(|it| !text.contains(*it));
    wrong.extend(lacks.map(|it| format!("does not say `{it}`")));
    let bad = case.never_says.iter().filter(|it| text.contains(*it));
    wrong.extend(bad.map(|it| format!("says `{it}`")));
    let page = &out.page;
    let lacks = case.page_says.iter().filter(|it| !page.contains(*it));
    wrong.extend(lacks.map(|it| format!("the report does not say `{it}`")));
    let bad = case.page_never_says.iter().filter(|it| page.contains(*it));
    wrong.extend(bad.map(|it| format!("the report says `{it}`")));
}
