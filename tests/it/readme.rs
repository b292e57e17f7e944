//! The commands in README and in the guide are commands of the program.

use std::path::Path;
use std::process::Command;

fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

/// Every line of a code block that calls the program, with its continuation lines joined.
fn calls(path: &str) -> Vec<String> {
    let text = read(path).replace("\\\n", " ");
    let lines = text.lines().map(str::trim);
    lines
        .filter_map(|it| {
            it.strip_prefix("$ asfound ")
                .or_else(|| it.strip_prefix("asfound "))
        })
        .map(str::to_owned)
        .collect()
}

/// Splits as a shell would, for the quotes that README uses.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            c => words.last_mut().unwrap().push(c),
        }
    }
    words.retain(|it| !it.is_empty());
    words
}

#[test]
fn every_command_in_readme_and_guide_is_understood() {
    let [readme, guide] = ["README.md", "demo/guide.md"].map(calls);
    assert!(
        readme.len() >= 6,
        "README shows the first report: {readme:?}"
    );
    assert!(
        guide.len() >= 40,
        "the guide shows the whole way: {guide:?}"
    );
    let calls = [readme, guide].concat();
    for call in &calls {
        let words = words(call);
        let nowhere = tempfile::tempdir().unwrap();
        let done = Command::new(env!("CARGO_BIN_EXE_asfound"))
            .args(&words)
            .env_clear()
            .env("ASFOUND_BOOK", nowhere.path().join("none"))
            .current_dir(nowhere.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&done.stderr);
        // Without a book a command may fail, but never for its words.
        assert!(!said.contains("Usage:"), "asfound {call}\n{said}");
        assert!(!said.contains("error:"), "asfound {call}\n{said}");
    }
}

#[test]
fn readme_opens_with_the_two_commands() {
    let text = read("README.md");
    let start: String = text.lines().take(30).collect::<Vec<_>>().join("\n");
    assert!(start.contains("cargo run --release -- demo") && start.contains("bash tests/run"));
}

fn guide(args: &[&str]) -> (i32, String, String) {
    let nowhere = tempfile::tempdir().unwrap();
    let done = Command::new(env!("CARGO_BIN_EXE_asfound"))
        .arg("guide")
        .args(args)
        .env_clear()
        .current_dir(nowhere.path())
        .output()
        .unwrap();
    let text = |it: Vec<u8>| String::from_utf8(it).unwrap();
    let code = done.status.code().unwrap();
    (code, text(done.stdout), text(done.stderr))
}

#[test]
fn the_guide_is_printed_whole_or_by_a_word_of_its_headings() {
    let spaced = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (code, whole, _) = guide(&[]);
    let file = read("demo/guide.md");
    let parts: Vec<&str> = file.split("\n## ").skip(1).collect();
    assert_eq!(code, 0);
    assert_eq!(spaced(&whole), spaced(&parts.join("\n")));

    let (code, claim, _) = guide(&["Claim"]);
    assert_eq!(code, 0);
    assert!(claim.starts_with("Answer a claim\n"), "{claim}");
    assert!(claim.contains("    asfound dossier 26-001 --claim transit_break\n"));
    assert!(!claim.contains("asfound new-book"));

    let (code, _, why) = guide(&["zeppelin"]);
    assert_eq!(code, 2);
    assert!(
        why.contains("no part of the guide is about `zeppelin`"),
        "{why}"
    );
    assert!(why.contains("Take a piece in; Import its photos;"), "{why}");

    let (_, json, _) = guide(&["repair", "--json"]);
    let found: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(found[0]["heading"], "Repair");
}
