//! Work that was done: for findings, on parts, or on the piece as a whole.

use std::fs;

use serde_json::json;

use crate::shop::Shop;

/// Page of a draft for the buyer, without its tags.
fn draft(shop: &Shop) -> String {
    let ran = shop.run(&["report", "26-001", "--draft"]);
    let path = shop.path("book").join(ran.out().trim());
    let html = fs::read_to_string(path).unwrap();
    let mut text = String::new();
    let mut inside = false;
    for letter in html.chars() {
        match letter {
            '<' => inside = true,
            '>' => (inside, text) = (false, text + " "),
            _ if !inside => text.push(letter),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A frame was gilt anew before anybody marked a fault on it, and no repair could be told without a finding.
#[test]
fn work_from_before_the_first_mark_is_told_of_its_part() {
    let shop = Shop::with_piece();
    shop.run(&[
        "repair",
        "26-001",
        "--on",
        "top,leg-front-left",
        "--method",
        "oil_wax",
        "--day",
        "2026-05-20",
        "--note",
        "two coats of oil",
        "--new-material",
        "hard oil",
    ])
    .code(0)
    .stdout("repair 1 of 26-001: Hard oil, oil and wax, 2026-05-20, on Top; Front left leg\n")
    .says("take a picture of what was done, and name the part beside it");
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["repairs"][0]["findings"], json!([]));
    assert_eq!(
        survey["repairs"][0]["parts"],
        json!(["top", "leg-front-left"])
    );
    assert_eq!(survey["repairs"][0]["whole_piece"], json!(false));
    shop.run(&["survey", "26-001"])
        .says("1 2026-05-20: Hard oil, oil and wax, on top, leg-front-left two coats of oil new material: hard oil");
    let page = draft(&shop);
    assert!(page.contains("Repair 1: Hard oil, oil and wax , 20 May 2026 Done on Top Front left leg What was done Two coats of oil."), "{page}");
    assert!(
        page.contains("New material is recorded on 2 of"),
        "{page}"
    );
    shop.run(&["verify"]).code(0);
}

/// What was done counts: the coat that a part has now is the one that the work gave it.
#[test]
fn the_last_coat_is_the_one_that_the_work_on_a_part_left() {
    let shop = Shop::with_piece();
    shop.ready("");
    let coat = |shop: &Shop| {
        let survey = shop.run(&["survey", "26-001", "--json"]).json();
        let parts = survey["advice"].as_array().unwrap().clone();
        let top = parts.iter().find(|it| it["part"] == "top").unwrap().clone();
        top["facts"]["finish"].clone()
    };
    let before = coat(&shop);
    shop.run(&["repair", "26-001", "--on", "top", "--method", "paint"])
        .code(0);
    assert_ne!(coat(&shop), before);
    assert_eq!(coat(&shop), json!(["paint"]));
}

#[test]
fn work_on_the_whole_piece_and_putting_it_right() {
    let shop = Shop::with_piece();
    shop.run(&[
        "repair",
        "26-001",
        "--whole-piece",
        "--method",
        "clean",
        "--day",
        "2026-05-20",
    ])
    .code(0)
    .stdout("repair 1 of 26-001: Dry and damp cleaning, 2026-05-20, on the piece as a whole\n");
    shop.run(&["survey", "26-001"])
        .says("1 2026-05-20: Dry and damp cleaning, on the piece as a whole");
    assert!(draft(&shop).contains("Done on The piece as a whole."));
    shop.run(&["repair", "26-001", "--again", "1", "--on", "top"])
        .code(0)
        .stdout("repair 1 of 26-001: Dry and damp cleaning, 2026-05-20, on Top\n");
    shop.run(&["repair", "26-001", "--again", "1", "--whole-piece"])
        .code(0)
        .stdout("repair 1 of 26-001: Dry and damp cleaning, 2026-05-20, on the piece as a whole\n");
    shop.run(&["verify"]).code(0);
    shop.run(&["repair", "26-001", "--on", "tpo", "--method", "clean"])
        .code(2)
        .stderr("could not: `tpo` is not a part of this piece\n  did you mean `top`?\n");
    shop.run(&["repair", "26-001", "--method", "clean"])
        .code(2)
        .says("required");
}
