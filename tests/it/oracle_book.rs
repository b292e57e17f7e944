//! The same random records as books on disk, through the program: what `survey` prints, and what its `--json` says.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::oracle::number_of;
use crate::oracle_program::ask;
use crate::oracle_program::parts;
use crate::oracle_program::trade;
use crate::oracle_reading::Reading;
use crate::oracle_record::Key;
use crate::oracle_record::Maker;
use crate::oracle_record::Record;
use crate::oracle_record::Repair;
use crate::oracle_record::Shoot;
use crate::oracle_record::What;
use crate::shop::Ran;
use crate::shop::Shop;
use samples::Exif;

/// Records of a usual run.
const CASES: u64 = 4;

/// After the last shoot of any record.
const NOW: &str = "2026-12-01T09:00:00Z";

/// What `survey` calls the states of parts.
const LISTS: [(&str, &str); 7] = [
    ("with findings: ", "faults"),
    ("tested or looked at for one thing, not found: ", "silent"),
    ("looked for, nothing found: ", "sound"),
    ("not examined: ", "not_examined"),
    ("absent: ", "absent"),
    ("no word yet of: ", "silent"),
    ("no statement on faults yet of: ", "silent"),
];

/// A piece in a shop.
struct Told {
    shop: Shop,
    photos: u32,
}

impl Told {
    fn run(&self, words: &[&str]) -> Ran {
        let mut command = self.shop.command(env!("CARGO_BIN_EXE_asfound"));
        Ran::of(command.args(words).env("ASFOUND_NOW", NOW))
    }

    fn survey(&self) -> Value {
        self.run(&["survey", "26-001", "--json"]).code(0).json()
    }

    fn of(record: &Record) -> Self {
        let mut told = Self {
            shop: Shop::new(),
            photos: 0,
        };
        told.shop.book();
        let rows: Vec<_> = record.rows.iter().map(ToString::to_string).collect();
        let mut words = vec!["intake", "invented piece", "--form", &record.form];
        let (rows, with) = (rows.join(","), record.with.join(","));
        let absent = record.absent.join(",");
        for (name, value) in [
            ("--drawers", &rows),
            ("--with", &with),
            ("--absent", &absent),
        ] {
            if !value.is_empty() {
                words.extend([name, value]);
            }
        }
        told.run(&words).code(0);
        for (n, shoot) in record.shoots.iter().enumerate() {
            told.import(n, shoot);
            for repair in record.repairs.iter().filter(|it| it.after == n) {
                told.repair(repair);
            }
        }
        told
    }

    fn import(&mut self, n: usize, shoot: &Shoot) {
        for photo in &shoot.photos {
            self.photos += 1;
            let no = self.photos;
            let day = shoot.day.replace('-', ":");
            let exif = Exif::taken(&format!("{day} {:02}:{:02}:00", 8 + no / 12, no % 12 * 5));
            let name = format!("{n}/IMG_{no}.jpg");
            let bytes = samples::jpeg_seeded(96, 64, 7 + 13 * no, &exif);
            self.shop.file(&name, &bytes);
            self.shop
                .file(format!("{name}.toml"), photo.toml().as_bytes());
        }
        if !shoot.photos.is_empty() {
            let card = format!("../card/{n}");
            let words = [
                "import",
                &card,
                "--piece",
                "26-001",
                "--stage",
                &shoot.stage,
            ];
            // The pictures are small, which is told.
            self.run(&words).code(1);
        }
    }

    fn repair(&self, repair: &Repair) {
        let survey = self.survey();
        let number = |key: &Key| {
            let mut all = survey["findings"].as_array().unwrap().iter();
            let it = all.find(|it| key_of(it) == *key).expect("it is named");
            it["id"].as_str().unwrap().to_owned()
        };
        let numbers: Vec<_> = repair.keys.iter().map(number).collect();
        let mut words = vec!["repair", "26-001"];
        words.extend(numbers.iter().map(String::as_str));
        let parts = repair.parts.join(",");
        match (parts.is_empty(), numbers.is_empty()) {
            (true, true) => words.push("--whole-piece"),
            (true, false) => {}
            (false, _) => words.extend(["--on", &parts]),
        }
        words.extend(["--method", &repair.method, "--day", &repair.day]);
        for (name, value) in [
            ("--note", &repair.note),
            ("--new-material", &repair.new_material),
            ("--private-note", &repair.private_note),
        ] {
            if let Some(value) = value {
                words.extend([name, value]);
            }
        }
        // Its day may lie after the sale, which is told.
        self.run(&words).done();
    }
}

fn key_of(finding: &Value) -> Key {
    let text = |name: &str| finding[name].as_str().unwrap().to_owned();
    (text("part"), text("tag"), text("which"))
}

/// What the survey lists after a word, up to the next heading.
fn listed(survey: &str, label: &str) -> Vec<String> {
    let Some((_, rest)) = survey.split_once(&format!("  {label}")) else {
        return Vec::new();
    };
    // A list goes on in lines that hold neither a colon nor a heading.
    let mut lines = rest.lines();
    let mut text = lines.next().unwrap_or_default().to_owned();
    for line in lines.take_while(|it| it.starts_with("  ") && !it.contains(':')) {
        if !text.trim_end().ends_with(',') {
            break;
        }
        text.push_str(line);
    }
    text.split(',').map(|it| it.trim().to_owned()).collect()
}

/// Under which word a survey puts a finding: the heading of its list, or what ends its line.
fn word_of(survey: &str, no: &str) -> Option<String> {
    for line in survey.lines() {
        let line = line.trim();
        if let Some(rest) = line.strip_prefix(&format!("{no} ")) {
            let after = rest.split("level ").nth(1)?;
            return Some(after.split_once("  ")?.1.split(',').next()?.to_owned());
        }
        let list = line
            .split_once(": F")
            .map(|it| (it.0, format!("F{}", it.1)));
        if let Some((word, list)) = list
            && list.split(", ").any(|it| it == no)
        {
            return Some(word.to_owned());
        }
    }
    None
}

/// What the survey says of a repair before the next one.
fn repair_line(survey: &str, no: u64) -> String {
    let list = survey.split_once("Repairs, as told").map_or("", |it| it.1);
    let own = list
        .split_once(&format!("\n  {no} 20"))
        .map_or("", |it| it.1);
    let end = own.find(&format!("\n  {} 20", no + 1));
    let own = end.map_or(own, |it| &own[..it]);
    own.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn fits(word: &str, group: &str) -> bool {
    let words: &[&str] = match group {
        "open" => &["open", "worse", "better", "reopened"],
        "since" => &["not seen since"],
        "cleared" => &["tested, nothing found"],
        "not_found" => &["looked for, not found"],
        "repaired" => &["repaired, no level given", "repaired, can still be seen"],
        "gone" => &["gone"],
        "unseen" => &["repair unseen"],
        _ => &["not visible"],
    };
    words.contains(&word)
}

/// Each line says what of a survey is not true of the record.
fn false_lines(record: &Record, survey: &str, json: &Value) -> Vec<String> {
    let trade = trade();
    let reading = Reading {
        record,
        trade: &trade,
    };
    let mut lines = Vec::new();
    for (label, state) in LISTS {
        for part in listed(survey, label) {
            let (allowed, _) = reading.state(&part);
            if !allowed.contains(state) {
                lines.push(format!("`{label}{part}`; true is {allowed:?}"));
            }
        }
    }
    for it in json["findings"].as_array().unwrap() {
        let (no, key) = (it["id"].as_str().unwrap(), key_of(it));
        let allowed = reading.group(&key);
        let word = word_of(survey, no).unwrap_or_default();
        if !allowed.iter().any(|it| fits(&word, it)) {
            lines.push(format!("`{word}: {no}`; true is {allowed:?}"));
        }
        let traces = word == "repaired, no level given" && reading.leaves_traces(&key);
        if traces && allowed.len() == 1 {
            lines.push(format!("`{word}: {no}`; it can still be seen"));
        }
    }
    let repairs = json["repairs"].as_array().unwrap();
    for (it, line) in record.repairs.iter().zip(repairs) {
        let on = (line["parts"].clone(), line["whole_piece"].clone());
        let whole = it.keys.is_empty() && it.parts.is_empty();
        let no = line["no"].as_u64().unwrap();
        if on != (it.parts.clone().into(), whole.into()) {
            lines.push(format!(
                "repair {no} was done on {on:?}; true is {:?}",
                it.parts
            ));
        }
        let told = repair_line(survey, no);
        let mut places = it.parts.clone();
        places.extend(whole.then(|| "the piece as a whole".to_owned()));
        for place in places {
            if !told.contains(&format!("on {place}")) {
                lines.push(format!("`{told}`, and it was done on {place}"));
            }
        }
    }
    let lower = survey.to_lowercase();
    for (_, no, _, say) in record.says() {
        let told = [&say.which, &say.size, &say.note].into_iter().flatten();
        for word in told.filter(|_| matches!(say.what, What::Cue(_))) {
            if !lower.contains(word) {
                let tag = say.tag();
                lines.push(format!(
                    "`{word}` of {tag} on {}, picture {no}, is not told",
                    say.part
                ));
            }
        }
    }
    lines
}

/// State of each part, and of each finding by its key.
type States = (BTreeMap<String, String>, BTreeMap<Key, String>);

fn states_in(json: &Value) -> States {
    let text = |it: &Value| it.as_str().unwrap().to_owned();
    let parts = json["parts"].as_array().unwrap().iter();
    let findings = json["findings"].as_array().unwrap().iter();
    (
        parts
            .map(|it| (text(&it["part"]), text(&it["state"])))
            .collect(),
        findings
            .map(|it| (key_of(it), text(&it["state"])))
            .collect(),
    )
}

#[test]
fn survey_text_and_json_say_what_was_said() {
    let trade = trade();
    let first = number_of("ASFOUND_SEED", 1);
    let mut wrong = String::new();
    for seed in first..first + number_of("ASFOUND_BOOKS", CASES) {
        let record = Maker::new(&trade, &parts, seed).record();
        let told = Told::of(&record);
        let json = told.survey();
        assert_eq!(json["complaints"], Value::Array(Vec::new()), "{record}");
        let answer = ask(&record);
        let parts = answer.parts.into_iter().map(|it| (it.id, it.state));
        let findings = answer.findings.into_iter().map(|it| (it.key, it.state));
        assert_eq!(
            states_in(&json),
            (parts.collect(), findings.collect()),
            "the book is not assessed as the record itself, seed {seed}\n{record}"
        );
        let survey = told.run(&["survey", "26-001"]).code(0);
        let lines = false_lines(&record, survey.out(), &json);
        if !lines.is_empty() {
            let (lines, out) = (lines.join("\n  "), survey.out());
            wrong += &format!("\nseed {seed}\n  {lines}\n{record}\n{out}");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
