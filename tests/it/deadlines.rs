//! The days by which a claim wants to be told, and the calendar file that holds them.

use std::fs;
use std::process::Command;

use serde_json::Value;
use serde_json::json;

use crate::photo_reference::reference_folder;
use crate::shop::Shop;

/// One with a sale; a delivery two days later is in its pictures.
fn sold() -> Shop {
    let shop = Shop::with_piece();
    shop.run(&["sold", "26-001", "--on", "2026-05-01"]).code(1);
    shop
}

#[test]
fn days_are_counted_from_the_delivery_else_from_the_sale() {
    let shop = Shop::with_piece();
    let none = shop.run(&["deadlines", "26-001"]).code(2);
    none.says("no delivery and no sale of 26-001 is on record");
    let shop = sold();
    let parcel = ["deadlines", "26-001", "--asker", "parcel", "--json"];
    let days = |it: &Value| {
        let all = it["deadlines"].as_array().unwrap().iter();
        all.map(|it| it["day"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    let of_sale = shop.run(&parcel).code(0).json();
    assert_eq!(days(&of_sale), ["2026-05-01", "2026-05-15"]);
    assert_eq!(of_sale["from_what"], "sale");
    shop.photo("IMG_1.jpg", |_| ());
    shop.run(&[
        "import", "../card", "--piece", "26-001", "--stage", "delivery",
    ])
    .code(0);
    let of_delivery = shop.run(&parcel).code(0).json();
    assert_eq!(days(&of_delivery), ["2026-05-03", "2026-05-17"]);
    assert_eq!(of_delivery["from_what"], "delivery");
    let told = [&parcel[..], &["--from", "2026-05-20"]].concat();
    assert_eq!(
        days(&shop.run(&told).code(0).json()),
        ["2026-05-20", "2026-06-03"]
    );
    let nobody = shop
        .run(&["deadlines", "26-001", "--asker", "post"])
        .code(2);
    nobody.says("name one of parcel, road_carrier");
}

/// The icalendar package (RFC 5545) reads the same days and texts back.
#[test]
fn the_calendar_file_is_read_by_another_program() {
    let Some(reference) = reference_folder() else {
        return;
    };
    let shop = sold();
    shop.run(&["amend", "26-001", "--title", "Küche; table, \"old\""])
        .code(0);
    let told = shop
        .run(&["deadlines", "26-001", "--json", "--out", "d.ics"])
        .code(0)
        .json();
    let file = shop.path("book/d.ics");
    let script = "import icalendar, json, sys\n\
        it = icalendar.Calendar.from_ical(open(sys.argv[1], 'rb').read())\n\
        print(json.dumps([[str(e.decoded('dtstart')), str(e['summary']), str(e['description']), str(e['uid'])] for e in it.walk('VEVENT')]))";
    let read = Command::new("python3")
        .env("PYTHONPATH", reference.join("python"))
        .args(["-c", script])
        .arg(&file)
        .output()
        .unwrap();
    assert!(
        read.status.success(),
        "{}",
        String::from_utf8_lossy(&read.stderr)
    );
    let read: Vec<[String; 4]> = serde_json::from_slice(&read.stdout).unwrap();
    let wanted = told["deadlines"].as_array().unwrap();
    assert_eq!(read.len(), wanted.len());
    for ([day, title, text, _], wanted) in read.iter().zip(wanted) {
        assert_eq!(json!(day), wanted["day"]);
        let (label, said) = (
            wanted["label"].as_str().unwrap(),
            wanted["text"].as_str().unwrap(),
        );
        assert_eq!(*title, format!("26-001, {label}: {said}"));
        assert!(text.starts_with("Küche; table, \"old\". Day "), "{text}");
        assert!(
            text.ends_with("Orientation; your contract and country decide."),
            "{text}"
        );
    }
    let ids: std::collections::BTreeSet<&String> = read.iter().map(|it| &it[3]).collect();
    assert_eq!(ids.len(), read.len());
    let out = shop.run(&["deadlines", "26-001", "--out", "-"]).code(0);
    assert_eq!(out.out().as_bytes(), fs::read(file).unwrap());
}
