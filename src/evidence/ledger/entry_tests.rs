use serde_json::Value;
use serde_json::json;

use super::Entry;
use super::EntryKind;
use super::KINDS;
use crate::evidence::ledger::entry_rows::TakenIn;
use crate::evidence::ledger::line::LedgerLine;

fn line(what: &str, open: Value) -> LedgerLine {
    LedgerLine {
        v: 1,
        no: 4,
        in_piece: None,
        at: "2026-05-03T10:02:11Z".parse().unwrap(),
        what: what.to_owned(),
        piece: "26-001".to_owned(),
        open,
        private: None,
    }
}

fn photo() -> Value {
    json!({"photo": 3, "shoot": 1, "stage": "purchase", "name": "50%.jpg", "sha256": "ab".repeat(32), "bytes": 9,
        "camera_time": "2026-05-03T10:02:11+02:00", "clock_off": -3600, "imported": "2026-05-03T20:00:00Z"})
}

#[test]
fn every_kind_reads_back_to_what_was_written() {
    let sum = "cd".repeat(32);
    let opens = [
        json!({"book": "Brandt & Ohm", "built_later": true}),
        json!({"title": "walnut chest", "form": "chest_of_drawers"}),
        photo(),
        json!({"photo": 3, "sha256": sum}),
        json!({"no": 1, "findings": ["F3", "F4"], "method": "glue_block", "day": "2026-05-20", "new_material": "beech block",
            "hides": null, "note": null}),
        json!({"reader": "buyer", "no": 2, "sha256": sum, "made": "2026-06-21"}),
        json!({"photos": [3, 4], "clock_off": 90000}),
        json!({"photo": 3, "sha256": sum, "why": "a person in it"}),
        json!({"name": "listing.html", "sha256": sum}),
        json!({"day": "2026-06-30"}),
        json!({"day": "2026-06-30"}),
        json!({"finding": "F3", "part": "top", "tag": "white_mark", "which": "left ring", "later": false}),
        json!({"shoot": 1, "stage": "purchase", "day": "2026-05-03", "folder": "1 purchase 2026-05-03", "later": false}),
        json!({"seal": 2, "at": "2026-05-03T10:02:11Z", "sha256": sum, "later": true}),
        json!({"photo": 3, "sha256": sum}),
        json!({"by": "carrier", "how": "paper", "sha256": sum, "seal": 3, "size": 41, "root": sum}),
        json!({"why": "the same as 26-001"}),
        json!({}),
        json!({"old": sum, "new": sum, "signature": null, "distrust_from": 3}),
        json!({"photo": 3, "sha256": sum, "shoot": 2}),
    ];
    assert_eq!(KINDS.len(), opens.len());
    for (what, open) in KINDS.into_iter().zip(opens) {
        let read = Entry::read(&line(what, open.clone())).unwrap();
        assert!(matches!(read, Entry::Known(_)), "{what}");
        assert_eq!((read.kind().as_str(), read.public()), (what, open));
    }
}

#[test]
fn an_unknown_kind_is_kept_as_it_is() {
    let open = json!({"degrees": [1, 2.5], "x": null});
    let read = Entry::read(&line("moisture", open.clone())).unwrap();
    assert!(matches!(read, Entry::Other { .. }));
    assert_eq!(
        (read.kind(), read.public()),
        ("moisture".to_owned(), open.clone())
    );
}

#[test]
fn a_known_kind_says_just_what_its_kind_says() {
    let change = |key: &str, value: Value| {
        let mut open = photo();
        open[key] = value;
        Entry::read(&line("photo", open))
    };
    assert!(change("photo", json!(4)).is_ok());
    for (key, value) in [
        ("colour", json!("brown")),
        ("photo", json!("3")),
        ("bytes", json!(9.0)),
        ("sha256", json!("AB".repeat(32))),
        ("imported", json!("2026-05-03T20:00:00.5Z")),
        ("stage", json!("elsewhere")),
    ] {
        assert!(change(key, value).is_err(), "{key}");
    }
    let wrong = Entry::read(&line("sale", json!({}))).unwrap_err();
    assert!(wrong.to_string().contains("`sale`"), "{wrong}");
}

#[test]
fn places_of_photos() {
    let Ok(Entry::Known(EntryKind::Photo(it))) = Entry::read(&line("photo", photo())) else {
        panic!()
    };
    assert_eq!(it.place(), "1-purchase/50%.jpg");
    assert_eq!(it.numbered_place(), "1-purchase/0003 50_.jpg");
}

/// What a piece lacks was private in lines from before it was told to anybody: these say nothing against a row. One that tells it, does.
#[test]
fn an_older_line_of_a_piece_does_not_say_what_it_lacks() {
    let parts = |all: &[&str]| Some(all.iter().map(|it| it.parse().unwrap()).collect());
    let piece = |absent, never_had| TakenIn {
        title: "chest".to_owned(),
        form: "chest_of_drawers".to_owned(),
        absent,
        never_had,
    };
    let row = piece(parts(&["drawer-2"]), parts(&[]));
    assert!(piece(None, None).is_told_by(&row));
    assert!(row.is_told_by(&row));
    assert!(!piece(parts(&[]), parts(&[])).is_told_by(&row));
    assert!(!piece(parts(&["drawer-2"]), parts(&["top"])).is_told_by(&row));
    let other = TakenIn {
        title: "table".to_owned(),
        ..piece(None, None)
    };
    assert!(!other.is_told_by(&row));
    let open = json!({"title": "chest", "form": "chest_of_drawers", "absent": ["drawer-2"], "never_had": []});
    let read = Entry::read(&line("piece", open.clone())).unwrap();
    assert_eq!(
        (&read, read.public()),
        (&Entry::Known(EntryKind::Piece(row)), open)
    );
}
