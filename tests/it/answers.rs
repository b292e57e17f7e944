//! What a script relies on: an answer that is whole or a code that says it is not, errors as JSON, variables set to nothing,
//! editions that are counted by their content.

use std::fs;
use std::fs::File;
use std::process::Command;
use std::process::Stdio;

use serde_json::Value;
use serde_json::json;

use crate::shop::Ran;
use crate::shop::Shop;

fn asfound(shop: &Shop, words: &[&str]) -> Command {
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command.args(words);
    command
}

#[test]
#[cfg(target_os = "linux")]
fn an_answer_that_could_not_be_written_is_no_success() {
    let shop = Shop::with_piece();
    for words in [
        &["stock", "--json"][..],
        &["stock"],
        &["survey", "26-001"],
        &["words", "faults"],
        &["install", "man"],
        &["--help"],
        &["survey", "26-009", "--json"],
    ] {
        let mut command = asfound(&shop, words);
        command.stdout(File::options().write(true).open("/dev/full").unwrap());
        let ran = Ran::of(&mut command).code(2);
        let end = "could not: the answer could not be written to standard output: No space left on device (os error 28)\n  \
                   what the command was to do it has done, or told above why not; only its answer is not whole\n";
        assert!(ran.err().ends_with(end), "{ran}");
    }
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let shop = Shop::with_piece();
    for words in [
        &["words", "faults"][..],
        &["words", "faults", "--json"],
        &["--help"],
    ] {
        let mut command = asfound(&shop, words);
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        drop(child.stdout.take());
        let ran = Ran::ended(format!("{words:?}"), child.wait_with_output().unwrap());
        ran.code(0).stderr("");
    }
}

#[test]
fn a_variable_that_is_set_to_nothing_is_not_set() {
    let shop = Shop::with_piece();
    let mut command = asfound(&shop, &["stock", "--json"]);
    command.env("ASFOUND_BOOK", "").env("ASFOUND_NOW", "");
    let stock = Ran::of(&mut command).code(0).json();
    assert_eq!(stock[0]["stock_no"], "26-001");
    // A book named by nothing on the command line itself is still a slip.
    let mut command = asfound(&shop, &["stock", "--book", ""]);
    Ran::of(command.env("ASFOUND_BOOK", ""))
        .code(2)
        .says("--book <DIR>");
    let mut command = asfound(&shop, &["seal", "--lock"]);
    Ran::of(command.env("ASFOUND_PASSPHRASE", ""))
        .code(2)
        .says("the book's key wants a passphrase");
}

#[test]
fn every_error_under_json_is_one_object_on_standard_output() {
    let shop = Shop::with_piece();
    let error = |words: &[&str]| -> Value {
        let ran = shop.run(&[words, &["--json"]].concat()).code(2);
        assert!(!ran.err().is_empty(), "people read it too: {ran}");
        ran.json()
    };
    let no_piece = json!({
        "error": "there is no piece 26-009 in this book",
        "because": [],
        "hint": "`asfound stock` lists the pieces",
        "complaints": [],
    });
    assert_eq!(error(&["survey", "26-009"]), no_piece);
    let no_book = error(&["stock", "--book", "nowhere"]);
    let what = "there is no stock book in `nowhere` or any folder above it";
    assert_eq!(no_book["error"], what);
    let no_form = error(&["intake", "a chair", "--form", "throne"]);
    assert_eq!(no_form["error"], "`throne` is not a form of the trade book");
    let nothing = error(&["amend", "26-001"]);
    let what = "nothing to put right was named; `asfound amend --help` lists what can be";
    assert_eq!(nothing["error"], what);
    let no_stage = error(&["shotlist", "26-001", "--stage", "sold"]);
    let what = "invalid value 'sold' for '--stage <STAGE>': `sold` is not a stage; the stages are doorstep, purchase, work, sale, \
                handover, delivery, return";
    assert_eq!(no_stage["error"], what);
    let now = shop.command(env!("CARGO_BIN_EXE_asfound"));
    let mut now = now;
    now.args(["stock", "--json"])
        .env("ASFOUND_NOW", "yesterday");
    let no_moment = Ran::of(&mut now).code(2).json();
    assert!(no_moment["error"].as_str().unwrap().contains("yesterday"));
    fs::write(shop.path("book/book.toml"), "currency = \"EURO\"\n").unwrap();
    let settings = error(&["season", "26-001"]);
    let complaint = &settings["complaints"][0];
    assert_eq!(
        (&complaint["file"], &complaint["line"]),
        (&"book.toml".into(), &1.into())
    );
    assert_eq!(complaint["drawn"], Value::Null, "a drawing is for people");
}

#[test]
fn the_way_in_which_pictures_come_makes_no_edition() {
    let shop = Shop::with_piece();
    shop.ready("");
    let edition = |words: &[&str]| -> Value {
        let all = [&["report", "26-001", "--json"], words].concat();
        shop.run(&all).code(0).json()["edition"].clone()
    };
    assert_eq!(edition(&[]), 1);
    assert_eq!(edition(&["--folder"]), 1);
    assert_eq!(edition(&[]), 1);
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    assert_eq!(edition(&["--folder"]), 2);
    assert_eq!(edition(&[]), 2);
    assert_eq!(edition(&["--folder"]), 2);
}

/// A page that says it was entered is the one whose digest a line has.
#[test]
fn a_page_says_that_it_was_entered_only_where_a_line_names_it() {
    let shop = Shop::with_piece();
    shop.ready("");
    let made = |words: &[&str]| -> (bool, String, String) {
        let all = [&["report", "26-001", "--json"], words].concat();
        let made = shop.run(&all).code(0).json();
        let page = std::fs::read_to_string(made["path"].as_str().unwrap()).unwrap();
        let entered = page.contains("This page was itself entered in the record");
        let words = page.split_once("<footer>").unwrap().1.to_owned();
        (entered, made["digest"].as_str().unwrap().to_owned(), words)
    };
    let lines = || {
        let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
        let mut ask = db.prepare("SELECT line FROM ledger").unwrap();
        let rows = ask.query_map([], |row| row.get::<_, String>(0)).unwrap();
        rows.map(Result::unwrap).collect::<String>()
    };
    for (packing, want) in [
        (
            &[][..],
            "This page was itself entered in the record when it was made: only",
        ),
        (&["--folder"], "was entered in the record as one file"),
    ] {
        let (entered, digest, words) = made(packing);
        assert_eq!(entered, lines().contains(&digest), "{words}");
        assert!(words.contains(want), "{words}");
    }
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    for (packing, want) in [
        (&["--folder"][..], "without the pictures that lie beside it"),
        (&[], "as a page with its pictures beside it"),
        (&["--folder"], "without the pictures that lie beside it"),
    ] {
        let (entered, digest, words) = made(packing);
        assert_eq!(entered, lines().contains(&digest), "{words}");
        assert!(words.contains(want), "{words}");
    }
    shop.run(&["verify"]).code(1).says("there is no seal yet");
}

#[test]
fn a_draft_has_no_number() {
    let shop = Shop::with_piece();
    shop.ready("");
    let made = shop
        .run(&["report", "26-001", "--draft", "--json"])
        .code(0)
        .json();
    assert_eq!(made["edition"], Value::Null);
    let path = made["path"].as_str().unwrap();
    assert!(path.ends_with("26-001 buyer draft.html"), "{path}");
    let page = fs::read_to_string(path).unwrap();
    assert!(page.contains("Draft, made on 26 May 2026"), "its head");
    for number in ["Edition 0", "edition 0", "<dd dir=\"auto\">0</dd>"] {
        assert!(!page.contains(number), "{number}");
    }
    shop.run(&["report", "26-001", "--draft"])
        .code(0)
        .says("draft, ");
}
