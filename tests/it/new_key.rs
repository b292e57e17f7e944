//! The book's key through the program: another one, lost, stolen, forgotten; its passphrase; killed in between.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::path::PathBuf;

use serde_json::Value;
use serde_json::json;

use crate::shop::Ran;
use crate::shop::Shop;

/// A sealed book, and the message of its seal.
fn sealed(passphrase: Option<&str>) -> (Shop, String) {
    let shop = Shop::with_piece();
    shop.ready("");
    let words: &[&str] = match passphrase {
        Some(_) => &["seal", "--lock", "--json"],
        None => &["seal", "--json"],
    };
    let it = run(&shop, words, &[("ASFOUND_PASSPHRASE", passphrase)])
        .code(0)
        .json();
    (shop, it["letter"].as_str().unwrap().to_owned())
}

fn run(shop: &Shop, words: &[&str], given: &[(&str, Option<&str>)]) -> Ran {
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command.args(words);
    for (name, value) in given {
        if let Some(value) = value {
            command.env(name, value);
        }
    }
    Ran::of(&mut command)
}

/// Changes the record, so that there is something to seal.
fn note(shop: &Shop, name: &str) {
    shop.file(name, name.as_bytes());
    let paper = shop.card(name).display().to_string();
    shop.run(&["keep", "26-001", &paper]).code(0);
}

/// Makes a dossier and has it checked by the program and, where there is openssl, by `CHECK.txt`; what is said of it.
fn dossier(shop: &Shop, given: &[(&str, Option<&str>)]) -> (Value, Value) {
    let made = run(shop, &["dossier", "26-001", "--folder", "--json"], given)
        .code(0)
        .json();
    let path = PathBuf::from(made["path"].as_str().unwrap());
    let found = shop.run(&["verify".as_ref(), path.as_os_str(), "--json".as_ref()]);
    let found = found.code(0).json();
    if crate::stamp_office::ready() {
        let folder = crate::dossier::Folder(crate::proof::files(&path));
        let said = crate::dossier::run_check_text(&folder, &[]);
        assert!(!said.contains("WRONG"), "{said}");
        assert!(!said.contains("INCOMPLETE"), "{said}");
    }
    (made, found)
}

fn letter_holds(shop: &Shop, letter: &str) {
    fs::write(shop.path("letter.txt"), letter).unwrap();
    let path = shop.path("letter.txt").display().to_string();
    shop.run(&["verify", "--letter", &path])
        .code(0)
        .says("This is the record that the letter of 2026-05-26 names");
}

/// With a clock that went back nothing is sealed, and the key is as it was: not another, not under a passphrase, and none at all
/// where there was none.
#[test]
fn a_clock_that_went_back_is_told_before_anything_changes() {
    let early = [
        ("ASFOUND_NOW", Some("2026-05-20T09:00:00Z")),
        ("ASFOUND_PASSPHRASE", Some("long words in a row")),
    ];
    let held = |shop: &Shop| {
        let names = fs::read_dir(shop.path("book")).unwrap().flatten();
        let names = names.map(|it| it.file_name().into_string().unwrap());
        let mut names: Vec<String> = names.filter(|it| it.starts_with("book.key")).collect();
        names.sort();
        let key = fs::read(shop.path("book/book.key")).ok();
        let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
        let ask = "SELECT count(*) FROM ledger";
        let lines: u64 = db.query_row(ask, [], |row| row.get(0)).unwrap();
        (names, key, lines)
    };
    let (shop, _) = sealed(None);
    let refused = |words: &[&str]| {
        let before = held(&shop);
        run(&shop, words, &early)
            .code(2)
            .says("the clock went back: it says 2026-05-20");
        assert_eq!(held(&shop), before, "{words:?}");
    };
    refused(&["seal", "--new-key"]);
    refused(&["seal", "--new-key", "--old-key-lost"]);
    note(&shop, "listing.html");
    refused(&["seal", "--lock"]);
    refused(&["seal", "--new-key"]);
    shop.run(&["verify"]).code(0);
    let words = ["seal", "--new-key", "--clock-was-ahead"];
    run(&shop, &words, &early[..1]).code(0);
    assert_eq!(held(&shop).0.len(), 2);
    // Before the first seal there is no key, and none is made.
    let shop = Shop::with_piece();
    shop.ready("");
    let before = held(&shop);
    run(&shop, &["seal"], &early)
        .code(2)
        .says("the clock went back");
    assert_eq!((held(&shop), before.1.is_none()), (before, true));
}

#[test]
fn another_key_is_signed_for_by_the_one_before() {
    let (shop, letter) = sealed(None);
    let old = shop.run(&["key", "--json"]).code(0).json();
    assert_eq!(
        (&old["locked"], &old["before"]),
        (&json!(false), &json!([]))
    );
    let sealed = shop.run(&["seal", "--new-key", "--json"]).code(0).json();
    assert_eq!((&sealed["no"], &sealed["new"]), (&json!(2), &json!(true)));
    assert_ne!(sealed["fingerprint"], old["fingerprint"]);
    let before = &sealed["key"]["before"][0];
    assert_eq!(
        (
            &before["fingerprint"],
            &before["signed"],
            &before["distrust_from"]
        ),
        (&old["fingerprint"], &json!(true), &Value::Null)
    );
    let line = sealed["invoice_line"].as_str().unwrap();
    assert!(line.contains(sealed["fingerprint"].as_str().unwrap()));
    shop.run(&["verify"])
        .code(0)
        .says("intact")
        .says("which signed for it");
    shop.run(&["key"])
        .code(0)
        .says("which signed for the one after it");
    // What was said before it still holds, and so does what comes after.
    letter_holds(&shop, &letter);
    note(&shop, "thread.txt");
    let third = shop.run(&["seal", "--json"]).code(0).json();
    assert_eq!(third["fingerprint"], sealed["fingerprint"]);
    letter_holds(&shop, third["letter"].as_str().unwrap());
    let (made, found) = dossier(&shop, &[]);
    assert_eq!(found["fingerprint"], sealed["fingerprint"]);
    assert!(
        made["key_changes"][0]
            .as_str()
            .unwrap()
            .contains("signed for it")
    );
    let cover = fs::read_to_string(format!(
        "{}/data/cover.html",
        made["path"].as_str().unwrap()
    ));
    assert!(
        cover
            .unwrap()
            .contains(old["fingerprint"].as_str().unwrap())
    );
}

#[test]
fn a_key_that_is_lost_or_stolen_is_openly_replaced() {
    let (shop, letter) = sealed(None);
    fs::remove_file(shop.path("book/book.key")).unwrap();
    note(&shop, "thread.txt");
    shop.run(&["seal"])
        .code(2)
        .says("is gone")
        .says("--old-key-lost");
    shop.run(&["seal", "--new-key"])
        .code(2)
        .says("--old-key-lost");
    shop.run(&["seal", "--new-key", "--old-key-lost"])
        .code(0)
        .says("which did not sign for the one after it");
    shop.run(&["verify"])
        .code(0)
        .says("intact")
        .says("which did not sign for it: nothing in here shows that both are the same owner's");
    letter_holds(&shop, &letter);
    // The second is stolen before seal 3.
    let words = ["seal", "--new-key", "--distrust-from", "3"];
    shop.run(&words)
        .code(0)
        .says("from seal 3 on it is not to be trusted");
    let (made, found) = dossier(&shop, &[]);
    let beside = found["beside"].to_string();
    assert!(
        beside.contains("from seal 3 on, no seal of the key"),
        "{beside}"
    );
    let changes = made["key_changes"].to_string();
    assert!(changes.contains("did not sign for it"), "{changes}");
    assert!(changes.contains("From seal 3 on, no seal of the key before is to be trusted"));
}

#[test]
fn a_passphrase_is_changed_removed_and_may_be_forgotten() {
    let (first, second) = (
        ("ASFOUND_PASSPHRASE", Some("long words in a row")),
        ("ASFOUND_PASSPHRASE", Some("other words in a row")),
    );
    let (shop, _) = sealed(Some("long words in a row"));
    let text = || fs::read_to_string(shop.path("book/book.key")).unwrap();
    let before = text();
    shop.run(&["key"]).code(0).says("under a passphrase");
    // Nothing is changed without the passphrase so far, and a new one.
    run(&shop, &["key", "--set-passphrase"], &[first])
        .code(2)
        .says("ASFOUND_NEW_PASSPHRASE");
    let new = ("ASFOUND_NEW_PASSPHRASE", Some("other words in a row"));
    run(&shop, &["key", "--set-passphrase"], &[second, new])
        .code(2)
        .says("the passphrase does not open this key file");
    run(&shop, &["key", "--remove-passphrase"], &[])
        .code(2)
        .says("wants a passphrase");
    let slip = ("ASFOUND_NEW_PASSPHRASE", Some("ab"));
    run(&shop, &["key", "--set-passphrase"], &[first, slip])
        .code(2)
        .says("a new passphrase needs at least 15 characters; this one has 2");
    assert_eq!(text(), before);
    run(&shop, &["key", "--set-passphrase"], &[first, new]).code(0);
    note(&shop, "a.txt");
    run(&shop, &["seal"], &[first]).code(2);
    run(&shop, &["seal"], &[second]).code(0);
    run(&shop, &["key", "--remove-passphrase"], &[second])
        .code(0)
        .says("state  open");
    note(&shop, "b.txt");
    shop.run(&["seal"]).code(0);
    // Set again, and forgotten: another key needs no passphrase of the old one, and is openly not signed for.
    run(&shop, &["key", "--set-passphrase"], &[new]).code(0);
    shop.run(&["seal"]).code(2).says("wants a passphrase");
    let again = ("ASFOUND_NEW_PASSPHRASE", Some("third words in a row"));
    let words = ["seal", "--new-key", "--old-key-lost", "--json"];
    let sealed = run(&shop, &words, &[again]).code(0).json();
    assert_eq!(
        (
            &sealed["key"]["locked"],
            &sealed["key"]["before"][0]["signed"]
        ),
        (&json!(true), &json!(false))
    );
    let third = ("ASFOUND_PASSPHRASE", Some("third words in a row"));
    dossier(&shop, &[third]);
    // Another key is kept as the one before was.
    let sealed = run(&shop, &["seal", "--new-key", "--json"], &[third]);
    assert_eq!(sealed.code(0).json()["key"]["locked"], true);
    dossier(&shop, &[third]);
    shop.run(&["verify"]).code(0).says("intact");
}

/// Killed between any two steps, the book has a key that it can be sealed with.
#[test]
fn a_book_that_was_killed_while_it_got_another_key_has_one() {
    let (shop, _) = sealed(None);
    let at = |name: &str| shop.path(&format!("book/{name}"));
    let old = fs::read(at("book.key")).unwrap();
    // The next key lies there, and no line names it.
    fs::copy(at("book.key"), at("book.key.next")).unwrap();
    let stranger = asfound::evidence::key::pair::Key::from_seed(&[7; 32]);
    let text = asfound::evidence::key::file::write_plain(&stranger);
    fs::write(at("book.key.next"), text.as_bytes()).unwrap();
    dossier(&shop, &[]);
    note(&shop, "a.txt");
    shop.run(&["seal"]).code(0);
    assert!(!at("book.key.next").exists());
    assert_eq!(fs::read(at("book.key")).unwrap(), old);
    // A line names it, and it is not yet in its place; then the old one is aside already.
    let now = shop.run(&["seal", "--new-key", "--json"]).code(0).json();
    let aside = fs::read_dir(shop.path("book")).unwrap().flatten();
    let mut aside = aside.map(|it| it.path());
    let aside = aside
        .find(|it| it.display().to_string().contains("book.key.before-"))
        .unwrap();
    assert_eq!(fs::read(&aside).unwrap(), old);
    for old_is_there in [true, false] {
        fs::rename(at("book.key"), at("book.key.next")).unwrap();
        if old_is_there {
            fs::rename(&aside, at("book.key")).unwrap();
        }
        dossier(&shop, &[]);
        let it = shop.run(&["key", "--json"]).code(0).json();
        assert_eq!(it["fingerprint"], now["fingerprint"]);
        note(&shop, &format!("b {old_is_there}.txt"));
        let it = shop.run(&["seal", "--json"]).code(0).json();
        assert_eq!(it["fingerprint"], now["fingerprint"]);
        assert!(!at("book.key.next").exists() && aside.exists());
    }
    shop.run(&["verify"]).code(0).says("intact");
    // The key before, put back by hand, is refused.
    fs::copy(&aside, at("book.key")).unwrap();
    note(&shop, "c.txt");
    shop.run(&["seal"]).code(2).says("is not the key that line");
}
