//! The commands in README are commands of the program.

use std::path::Path;
use std::process::Command;

fn readme() -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap()
}

/// Every line of a code block that calls the program, with its continuation lines joined.
fn calls() -> Vec<String> {
    let text = readme().replace("\\\n", " ");
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
fn every_command_in_readme_is_understood() {
    let calls = calls();
    assert!(calls.len() >= 8, "README shows the day's work: {calls:?}");
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
    let text = readme();
    let start: String = text.lines().take(30).collect::<Vec<_>>().join("\n");
    assert!(start.contains("cargo run --release -- demo") && start.contains("bash tests/run"));
}
