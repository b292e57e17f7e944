//! A later edition says what changed since the one before, and its foot says what was sealed when it was made.

use std::fs;

use serde_json::Value;

use crate::oracle_page::unlinked;
use crate::shop::Shop;

/// What stands under the heading about changes, a text for each item.
fn since(page: &str, edition: u32) -> Vec<String> {
    let heading = format!("<h3>What changed since edition {edition}</h3>");
    let (_, rest) = page
        .split_once(&heading)
        .unwrap_or_else(|| panic!("no `{heading}`"));
    let list = rest.split_once("</ul>").unwrap().0;
    let items = list.split("<li dir=\"auto\">").skip(1);
    items
        .map(|it| unlinked(it.split_once("</li>").unwrap().0))
        .collect()
}

/// What the page says of its edition and of the seal: from the section that says how to check it, to its foot.
fn foot(page: &str) -> &str {
    let foot = page.split_once("<section id=\"check\"").unwrap().1;
    foot.split_once("</footer>").unwrap().0
}

struct Page {
    edition: Value,
    text: String,
}

fn report(shop: &Shop, words: &[&str]) -> Page {
    let all = [&["report", "26-001", "--json"], words].concat();
    let made = shop.run(&all).code(0).json();
    let text = fs::read_to_string(made["path"].as_str().unwrap()).unwrap();
    Page {
        edition: made["edition"].clone(),
        text,
    }
}

fn rewrite(shop: &Shop, name: &str, from: &str, to: &str) {
    let path = shop.stored(&format!("1 purchase 2026-05-03/{name}.toml"));
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains(from), "{text}");
    fs::write(&path, text.replacen(from, to, 1)).unwrap();
}

const RING: &str = "\n[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nsize = \"70 mm\"\nbox = [20.0, 20.0, 30.0, 30.0]\n";

#[test]
fn each_edition_says_what_changed_since_the_one_before() {
    let shop = Shop::with_piece();
    shop.ready("");
    let first = report(&shop, &[]);
    assert_eq!(first.edition, 1);
    assert!(first.text.contains("Edition 1, made on "));
    assert!(!first.text.contains("What changed since"));
    // A finding, a picture that shows it, and what the piece weighs.
    shop.photo("IMG_3.jpg", |_| ());
    shop.file(
        "IMG_3.jpg.toml",
        format!("view = \"part_whole\"\nparts = [\"top\"]\n{RING}").as_bytes(),
    );
    shop.import();
    shop.run(&["amend", "26-001", "--weight", "about 12 kg"])
        .code(0);
    let second = report(&shop, &[]);
    assert_eq!(second.edition, 2);
    assert_eq!(
        since(&second.text, 1),
        [
            "New findings: F1 White ring or haze, Top, 70 mm, level 2 (visible); still there.",
            "Pictures added: 3 (1 in all).",
            "Parts: Top: with findings, was looked for faults, found none.",
            "Counted: 1 finding, still there, was no finding.",
            "Stated now: Weight: about 12 kg.",
        ]
    );
    // Measured and weighed anew.
    rewrite(&shop, "IMG_3.jpg", "70 mm", "75 mm");
    shop.run(&["amend", "26-001", "--weight", "12.4 kg"])
        .code(0);
    let third = report(&shop, &[]);
    assert_eq!(
        since(&third.text, 2),
        [
            "Another level or measure: F1 White ring or haze, Top: 75 mm, level 2 (visible), was 70 mm, level 2 (visible).",
            "Weight: 12.4 kg, was about 12 kg.",
        ]
    );
    // Repaired and seen so; another fault beside it.
    shop.run(&[
        "repair",
        "26-001",
        "F1",
        "--method",
        "veneer_patch",
        "--day",
        "2026-05-03",
    ])
    .code(0);
    let repaired =
        "[[mark]]\nfinding = \"F1\"\nstate = \"repaired\"\nbox = [20.0, 20.0, 30.0, 30.0]\n";
    shop.photo("../sale/IMG_4.jpg", |_| ());
    shop.file(
        "../sale/IMG_4.jpg.toml",
        format!("view = \"part_whole\"\nparts = [\"top\"]\n\n{repaired}").as_bytes(),
    );
    shop.photo("../sale/IMG_5.jpg", |_| ());
    shop.file(
        "../sale/IMG_5.jpg.toml",
        b"view = \"part_whole\"\nparts = [\"top\"]\n\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nlevel = 1\nsize = \"4 mm\"\n",
    );
    shop.run(&["import", "../sale", "--piece", "26-001", "--stage", "sale"])
        .code(0);
    let fourth = report(&shop, &[]);
    let lines = since(&fourth.text, 3);
    for line in [
        "New findings: F2 Gouge, Top, 4 mm, level 1 (trace); still there.",
        "Repaired or gone: F1 White ring or haze, Top, repaired, no level given.",
        "Counted: 2 findings: 1 still there; 1 repaired, no level given, was 1 finding, still there.",
        "Pictures added: 4, 5 (2 in all).",
        "Repairs added: 1 (Patch with matching veneer).",
    ] {
        assert!(lines.iter().any(|it| it == line), "{line}\n{lines:#?}");
    }
    assert!(!lines.iter().any(|it| it.starts_with("Another level")));
    // A picture taken out, and with it the finding that only it showed.
    let out = [
        "remove",
        "26-001",
        "--photo",
        "5",
        "--why",
        "a neighbour is in it",
    ];
    shop.run(&out).code(0);
    shop.run(&["repair", "26-001", "--again", "1", "--note", "done"])
        .code(0);
    let fifth = report(&shop, &[]);
    assert_eq!(fifth.edition, 5);
    let lines = since(&fifth.text, 4);
    for line in [
        "No longer stated, as no mark names them any more: F2 Gouge, Top.",
        "Pictures taken out: 5 (1 in all).",
        "Repairs told anew: 1 (Patch with matching veneer).",
    ] {
        assert!(lines.iter().any(|it| it == line), "{line}\n{lines:#?}");
    }
    assert!(!fifth.text.contains("neighbour"));
}

#[test]
fn the_same_record_gives_the_same_bytes_with_or_without_the_former_pages() {
    let shop = Shop::with_piece();
    shop.ready("");
    report(&shop, &[]);
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let second = report(&shop, &[]);
    assert_eq!(since(&second.text, 1), ["Stated now: Weight: 12 kg."]);
    fs::remove_dir_all(shop.stored("reports")).unwrap();
    let again = report(&shop, &[]);
    assert_eq!(
        (&again.edition, &again.text),
        (&second.edition, &second.text)
    );
    // Nor does a seal alone make another edition.
    shop.run(&["seal"]).code(0);
    let again = report(&shop, &[]);
    assert_eq!(
        (&again.edition, &again.text),
        (&second.edition, &second.text)
    );
    // The page of the first edition is gone, which is told.
    shop.run(&["verify"]).code(1).says("incomplete");
}

#[test]
fn the_foot_names_the_seal_that_there_was_and_says_that_it_is_an_earlier_one() {
    let shop = Shop::with_piece();
    shop.ready("");
    let first = report(&shop, &[]);
    assert!(foot(&first.text).contains("Edition 1, made on 26 May 2026."));
    assert!(foot(&first.text).contains("Not sealed yet when this edition was made"));
    let sealed = shop.run(&["seal", "--json"]).code(0).json();
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let second = report(&shop, &[]);
    let (root, size) = (sealed["root"].as_str().unwrap(), &sealed["size"]);
    let groups = [&root[..4], &root[4..8], &root[8..12], &root[12..16]].join(" ");
    for said in [
        format!(
            "seal 1, made on 26 May 2026 by the owner&#x27;s clock, over the first {size} lines"
        ),
        format!("root {groups} ..., signed"),
        "not time-stamped".to_owned(),
        "7 of the 8 lines about this piece".to_owned(),
        "This page was itself entered in the record: only a later seal covers it".to_owned(),
        "asfound verify".to_owned(),
        "CHECK.txt".to_owned(),
    ] {
        assert!(
            foot(&second.text).contains(&said),
            "{said}\n{}",
            foot(&second.text)
        );
    }
    let draft = report(&shop, &["--draft"]);
    assert!(foot(&draft.text).contains("A draft is not entered in the record"));
    for page in [&first, &second, &draft] {
        for word in ["certified", "guaranteed", "proof of age"] {
            assert!(!page.text.to_lowercase().contains(word), "{word}");
        }
    }
    // A seal that is older than the piece says nothing about it.
    shop.run(&["intake", "oak stool", "--form", "side_table"])
        .code(0);
    let made = shop.run(&["report", "26-002", "--draft", "--json"]);
    let path = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let other = fs::read_to_string(path).unwrap();
    assert!(foot(&other).contains("no seal covered anything about this piece"));
}

#[test]
fn what_an_edition_stated_is_kept_and_checked() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["amend", "26-001", "--private-note", "cellar of uncle Franz"])
        .code(0);
    report(&shop, &["--for", "owner"]);
    shop.run(&["amend", "26-001", "--private-note", "attic of aunt Olga"])
        .code(0);
    let owners = report(&shop, &["--for", "owner"]);
    let only = "No finding, picture, repair or statement; only wording, layout or what is the owner&#x27;s alone.";
    assert_eq!(since(&owners.text, 1), [only]);
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    let kept = |no: u32| -> String {
        let ask = "SELECT stated FROM edition_stated WHERE reader = 'owner' AND no = ?1";
        db.query_row(ask, [no], |row| row.get(0)).unwrap()
    };
    for text in ["Franz", "Olga", "note"] {
        assert!(!kept(1).contains(text) && !kept(2).contains(text), "{text}");
    }
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    let change =
        "UPDATE edition_stated SET stated = replace(stated, 'A. Tester', 'B. Tester') WHERE no = 1";
    assert_eq!(db.execute(change, []).unwrap(), 1);
    shop.run(&["verify"])
        .code(1)
        .says("altered")
        .says("26-001: what owner edition 1 stated is not what the ledger says");
    // Of an edition that an older version of the program made nothing was kept.
    db.execute("DELETE FROM edition_stated", []).unwrap();
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let third = report(&shop, &["--for", "owner"]);
    let lost = "What edition 2 stated was not kept, so that what changed since cannot be listed.";
    assert_eq!(since(&third.text, 2), [lost]);
}
