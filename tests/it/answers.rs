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
        let words = page
            .split_once("<section id=\"check\"")
            .unwrap()
            .1
            .to_owned();
        (entered, made["digest"].as_str().unwrap().to_owned(), words)
    };
    let lines = || {
        let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
        let mut ask = db.prepare("SELECT line FROM ledger").unwrap();
        let rows = ask.query_map([], |row| row.get::<_, String>(0)).unwrap();
        rows.map(Result::unwrap).collect::<String>()
    };
    for (packing, want) in [
        (&[][..], "This page was itself entered in the record: only"),
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

/// Every option that wants a number says what is wrong, where, and what to write.
#[test]
fn an_option_that_wants_a_number_says_so() {
    let shop = Shop::with_piece();
    let whole = "is not a whole number from 0 up, such as `3`";
    let decimal = "is not a number, such as `45` or `7.5`";
    let drawers = "is not a number of drawers in a row, from 1 to 12; two over three is `2,1,1,1`";
    let port = "is not a port, a number from 1 to 65535";
    let repair = ["repair", "26-001", "F1", "--method", "clean"];
    for (command, option, name, value, why) in [
        (&repair[..], "--minutes", "MINUTES", "soon", whole),
        (&repair, "--minutes", "MINUTES", "-3", whole),
        (&["repair", "26-001"], "--again", "NUMBER", "x", whole),
        (&["keep", "26-001", "a"], "--seal", "NO", "x", whole),
        (
            &["remove", "26-001", "--why", "y"],
            "--photo",
            "NUMBER",
            "x",
            whole,
        ),
        (&["put-back", "26-001"], "--photo", "NUMBER", "x", whole),
        (
            &["clock", "26-001", "--off", "+1h"],
            "--photo",
            "NUMBERS",
            "x",
            whole,
        ),
        (
            &["clock", "26-001", "--off", "+1h"],
            "--shoot",
            "NUMBER",
            "x",
            whole,
        ),
        (&["mark", "26-001"], "--photo", "NUMBER", "x", whole),
        (&["mark", "26-001"], "--port", "PORT", "99999", port),
        (&["season", "26-001"], "--now", "PERCENT", "dry", decimal),
        (&["season", "26-001"], "--winter", "PERCENT", "nan", decimal),
        (&["season", "26-001"], "--summer", "PERCENT", "7,5", decimal),
        (
            &["season", "26-001"],
            "--celsius",
            "DEGREES",
            "warm",
            decimal,
        ),
        (
            &["intake", "x", "--form", "desk"],
            "--drawers",
            "ROWS",
            "300",
            drawers,
        ),
    ] {
        let words = [command, &[option, value]].concat();
        let what = format!("invalid value '{value}' for '{option} <{name}>': `{value}` {why}");
        shop.run(&words).code(2).stdout("").stderr(&format!(
            "error: {what}\n\nFor more information, try '--help'.\n"
        ));
    }
    for (value, why) in [
        (
            "-5",
            "is below 0; what is paid or asked is never less than nothing",
        ),
        ("12..3", "is not an amount; write it like `120` or `120.50`"),
    ] {
        for words in [
            &["amend", "26-001", "--asking", value][..],
            &["amend", "26-001", "--bought-for", value],
            &["sold", "26-001", "--price", value],
            &[
                "repair", "26-001", "--on", "top", "--method", "clean", "--cost", value,
            ],
        ] {
            let option = words[words.len() - 2];
            shop.run(words)
                .code(2)
                .stdout("")
                .stderr(&format!("could not: {option}: `{value}` {why}\n"));
        }
    }
}

#[test]
fn a_report_that_cannot_be_final_is_an_error_like_others() {
    let shop = Shop::with_piece();
    let answer = shop.run(&["report", "26-001", "--json"]).code(2).json();
    assert_eq!(
        answer["error"],
        "the report cannot be final while this is missing"
    );
    assert_eq!(
        answer["hint"],
        "mend what `blocked_by` names, or print it with the gaps marked: --draft"
    );
    let gaps = answer["blocked_by"].as_array().unwrap().iter();
    let gaps: Vec<&Value> = gaps.map(|it| &it["message"]).collect();
    assert!(!gaps.is_empty());
    assert_eq!(answer["because"], json!(gaps));
    let draft = shop.run(&["report", "26-001", "--json", "--draft"]).json();
    assert_eq!(draft.get("error"), None);
}

#[test]
fn several_who_take_in_at_once_get_a_number_each() {
    let shop = Shop::new();
    shop.book();
    let one = |n: usize| {
        let title = format!("stool {n}");
        let mut command = asfound(&shop, &["intake", &title, "--form", "chair", "--json"]);
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        command.spawn().unwrap()
    };
    let all: Vec<_> = (0..6).map(one).collect();
    let mut numbers: Vec<_> = all
        .into_iter()
        .map(|it| Ran::ended("intake".to_owned(), it.wait_with_output().unwrap()).code(0))
        .map(|it| it.json()["stock_no"].as_str().unwrap().to_owned())
        .collect();
    numbers.sort();
    let wanted: Vec<_> = (1..=6).map(|n| format!("26-00{n}")).collect();
    assert_eq!(numbers, wanted);
}

#[test]
fn a_form_put_right_names_what_its_list_has_no_more() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["amend", "26-001", "--form", "chest_of_drawers"])
        .code(1)
        .says("look: `leg-front-left` is not on the list of this piece now, and something is said of it beside picture 1")
        .says("what was read stays in force; a sidecar that is changed can name only parts of the list: add them with --with, or mend the sidecars");
    shop.run(&["amend", "26-001", "--form", "side_table"])
        .code(0)
        .stderr("");
}

#[test]
fn what_cannot_help_a_check_is_said() {
    let shop = Shop::with_piece();
    shop.run(&["verify", "--heal", "../nowhere"]).code(2).stderr(
        "could not: `../nowhere` is not a folder\n  `--heal` wants a backup, or a folder in which the same files still lie, such as the camera's \
         card or a copy of the book\n",
    );
    fs::write(shop.path("root.pem"), "no certificate").unwrap();
    shop.run(&["verify", "--root", "../root.pem"]).code(2).stderr(
        "could not: `../root.pem` is not a certificate in PEM or DER\n  `--root` wants the root certificate of the time-stamp authority, as \
         the authority itself publishes it\n",
    );
}

#[test]
fn stages_states_and_levels_are_words_like_others() {
    let shop = Shop::with_piece();
    for (kind, wanted) in [
        (
            "stages",
            &[
                "doorstep", "purchase", "work", "sale", "handover", "delivery", "return",
            ][..],
        ),
        (
            "states",
            &[
                "present",
                "repaired",
                "better",
                "worse",
                "gone",
                "not_visible",
                "not_examined",
            ],
        ),
        ("levels", &["1", "2", "3", "4"]),
    ] {
        let words = shop.run(&["words", kind, "--json"]).json();
        let ids = words.as_array().unwrap().iter();
        let ids: Vec<&str> = ids.map(|it| it["id"].as_str().unwrap()).collect();
        assert_eq!(ids, wanted);
    }
}

/// What people call a command elsewhere is answered with its name here, and each of them exists.
#[test]
fn verbs_of_elsewhere_are_answered() {
    let shop = Shop::new();
    for (typed, verb) in [
        ("list", "stock"),
        ("undo", "put-back"),
        ("rename", "amend"),
        ("delete", "remove"),
    ] {
        let said = shop.run_in(shop.path(""), &[typed]).code(2);
        said.says(&format!("that is `asfound {verb}` here"));
        shop.run_in(shop.path(""), &[verb, "--help"]).code(0);
        let json = shop
            .run_in(shop.path(""), &[typed, "--json"])
            .code(2)
            .json();
        assert_eq!(json["hint"], format!("that is `asfound {verb}` here"));
    }
}
