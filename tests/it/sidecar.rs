//! Data cases of sidecars and settings: `tests/cases/sidecar/NAME/` holds `in.toml` (or `book.toml`) and `expected.txt`.
//!
//! `ASFOUND_ACCEPT=1` writes what is expected; read it before it is committed.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::process::Stdio;

use asfound::mark;
use asfound::mark::TradeWords;
use asfound::mark::Words;
use asfound::model::complaint::Complaint;
use asfound::model::finding::FindingKey;
use asfound::model::finding::NumberedFinding;
use asfound::model::ids::FindingNo;

use crate::photo_reference::reference_folder;

#[test]
fn every_case_gives_what_is_expected() {
    let accept = std::env::var_os("ASFOUND_ACCEPT").is_some_and(|it| it == "1");
    let mut wrong = Vec::new();
    for folder in folders() {
        let found = outcome(&folder);
        let expected = folder.join("expected.txt");
        if accept {
            fs::write(&expected, &found).unwrap();
        }
        let wanted = fs::read_to_string(&expected).unwrap_or_default();
        if found != wanted {
            wrong.push(format!("{}:\n{found}", folder.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What reading the one input of a case gives: complaints as drawn, or the value as JSON.
fn outcome(folder: &Path) -> String {
    let names = fs::read_dir(folder)
        .unwrap()
        .map(|it| it.unwrap().file_name().into_string().unwrap());
    let names: Vec<_> = names.filter(|it| it != "expected.txt").collect();
    let [name] = names.as_slice() else {
        panic!("{} must hold one input, not {names:?}", folder.display());
    };
    let text = fs::read_to_string(folder.join(name)).unwrap();
    match name.as_str() {
        "in.toml" => shown(mark::read("IMG_1.jpg.toml", &text, &words())),
        "book.toml" => shown(mark::settings("book.toml", &text, &trade_words())),
        other => panic!("{}: `{other}` is left over", folder.display()),
    }
}

/// The words of the trade book that the cases may name.
fn trade_words() -> TradeWords {
    let list = |words: &[&str]| words.iter().map(|it| (*it).to_owned()).collect();
    TradeWords {
        methods: list(&["strip", "sand", "topcoat"]),
        channels: list(&["own_sale", "marketplace"]),
    }
}

fn shown<T: serde::Serialize>(read: Result<T, Vec<Complaint>>) -> String {
    match read {
        Ok(value) => format!("{:#}\n", serde_json::to_value(value).unwrap()),
        Err(complaints) => {
            let drawn = complaints.iter().map(|it| {
                let plain = anstream::adapter::strip_str(&it.drawn).to_string();
                let place = format!("{}:{}:{}", it.file, it.line, it.column);
                assert!(plain.contains(&place), "{place} is not in\n{plain}");
                assert!(plain.contains(&it.message), "{plain}");
                format!("{plain}\n")
            });
            drawn.collect::<Vec<_>>().join("\n")
        }
    }
}

/// Compares with Python's own TOML reader (`tomllib`, from 3.11 on) and with the `jsonschema` package.
#[test]
fn other_readers_agree() {
    let Some(folder) = reference_folder() else {
        let note = "left out: 1 test against other readers of sidecars (ASFOUND_REFERENCE)\n";
        // Not by `eprintln`, which the test harness swallows.
        let _ = std::io::stderr().write_all(note.as_bytes());
        return;
    };
    let packages = folder.join("python");
    let script = "import json, sys, tomllib, jsonschema\n\
        schema, texts = json.load(sys.stdin)\n\
        schema = json.loads(schema)\n\
        jsonschema.Draft7Validator.check_schema(schema)\n\
        fits = jsonschema.Draft7Validator(schema).is_valid\n\
        def said(text):\n\
        \x20   try: return 'fine' if fits(tomllib.loads(text)) else 'not by the schema'\n\
        \x20   except tomllib.TOMLDecodeError: return 'no toml'\n\
        print('\\n'.join(map(said, texts)))\n";
    // Wrong by what the schema cannot say, or sees as right: the reader is stricter.
    let beyond = [
        "absent_with_fault",
        "absent_with_place",
        "marked_twice",
        "marked_twice_of_a_number",
        "outside_picture_edge",
        "part_missing_of_none",
        "part_missing_of_two",
        "said_twice_in_two_lists",
        "scale_corners_crossed",
        "scale_two_ends",
        "size_without_unit",
        "sound_with_fault",
        "sound_with_state",
    ];
    let cases = folders().into_iter().filter_map(|folder| {
        let text = fs::read_to_string(folder.join("in.toml")).ok()?;
        Some((folder, text))
    });
    let (folders, texts): (Vec<_>, Vec<_>) = cases.unzip();
    let input = serde_json::json!([mark::schema(&words()), texts]);
    let answer = python(&packages, script, &input.to_string());
    let said: Vec<_> = answer.lines().collect();
    assert_eq!(said.len(), folders.len());
    for ((folder, text), found) in folders.iter().zip(&texts).zip(said) {
        let name = folder.file_name().unwrap().to_str().unwrap();
        let ours = match mark::read("a.toml", text, &words()) {
            Ok(_) => "fine",
            Err(_) if beyond.contains(&name) => "fine",
            Err(_) if name.starts_with("syntax_") && found == "no toml" => "no toml",
            Err(_) => "not by the schema",
        };
        assert_eq!(found, ours, "{name}");
    }
}

pub(crate) fn python(packages: &Path, script: &str, input: &str) -> String {
    let mut child = Command::new("python3")
        .args(["-c", script])
        .env("PYTHONPATH", packages)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(input.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success());
    String::from_utf8(output.stdout).unwrap().trim().to_owned()
}

fn folders() -> Vec<PathBuf> {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/sidecar");
    let folders = fs::read_dir(cases).unwrap().map(|it| it.unwrap().path());
    let mut folders: Vec<_> = folders.collect();
    folders.sort();
    assert!(folders.len() > 20, "the cases are gone");
    folders
}

fn words() -> Words {
    let list = |words: &str| words.split_whitespace().map(str::to_owned).collect();
    Words {
        views: list("front back top top_raking drawer_inside"),
        parts: list(
            "top back carcass drawer-1 drawer-2 drawer-1/bottom drawer-2/bottom leg-front-left leg-front-right",
        ),
        faces: list("top front back drawer-1/front"),
        faults: list("white_mark black_stain veneer_loss veneer_bubble worm_holes scratch"),
        absences: list("veneer_loss"),
        few_levels: vec![(
            "worm_holes".to_owned(),
            vec![
                (2, "some holes".to_owned()),
                (4, "the wood crumbles".to_owned()),
            ],
        )],
        observations: list("grain_wraps_edge hand_cut_dovetails"),
        findings: (1..)
            .zip([
                ("top", "white_mark"),
                ("back", "scratch"),
                ("drawer-1", "worm_holes"),
            ])
            .map(|(no, (part, tag))| NumberedFinding {
                no: FindingNo(no),
                key: FindingKey {
                    part: part.parse().unwrap(),
                    tag: tag.to_owned(),
                    which: String::new(),
                },
            })
            .collect(),
        synonyms: vec![
            ("ring".to_owned(), "white_mark".to_owned()),
            ("blister".to_owned(), "veneer_bubble".to_owned()),
            ("stain".to_owned(), "white_mark".to_owned()),
            ("stain".to_owned(), "black_stain".to_owned()),
        ],
        optional: Vec::new(),
    }
}
