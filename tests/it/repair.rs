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
    .stdout("repair 1 of 26-001: Oil or wax finish, 2026-05-20, on Top; Leg, front left\n")
    .says("take a picture of what was done, and name the part beside it");
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["repairs"][0]["findings"], json!([]));
    assert_eq!(
        survey["repairs"][0]["parts"],
        json!(["top", "leg-front-left"])
    );
    assert_eq!(survey["repairs"][0]["whole_piece"], json!(false));
    shop.run(&["survey", "26-001"])
        .says("1 2026-05-20: Oil or wax finish, on top, leg-front-left two coats of oil new material: hard oil");
    let page = draft(&shop);
    assert!(page.contains("Repair 1: Oil or wax finish , 20 May 2026 Done on Top Leg, front left What was done Two coats of oil."), "{page}");
    assert!(page.contains("New material is recorded on 2 of"), "{page}");
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
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
    .stdout("repair 1 of 26-001: Dry and damp clean, 2026-05-20, on the piece as a whole\n");
    shop.run(&["survey", "26-001"])
        .says("1 2026-05-20: Dry and damp clean, on the piece as a whole");
    assert!(draft(&shop).contains("Done on The piece as a whole."));
    shop.run(&["repair", "26-001", "--again", "1", "--on", "top"])
        .code(0)
        .stdout("repair 1 of 26-001: Dry and damp clean, 2026-05-20, on Top\n");
    shop.run(&["repair", "26-001", "--again", "1", "--whole-piece"])
        .code(0)
        .stdout("repair 1 of 26-001: Dry and damp clean, 2026-05-20, on the piece as a whole\n");
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    shop.run(&["repair", "26-001", "--on", "tpo", "--method", "clean"])
        .code(2)
        .stderr("could not: `tpo` is not a part of this piece\n  the parts are `top`, `leg-front-left`, `leg-front-right`, `leg-back-left`, `leg-back-right`\n");
    shop.run(&["repair", "26-001", "--method", "clean"])
        .code(2)
        .stderr("could not: nothing says what the repair was done on\n  name its findings, such as F3 F4, or the parts with `--on PARTS`; for the piece as a whole give `--whole-piece`\n");
}

/// Gilding bears no water and no wiping (common practice, no source): who tells of such work on it hears so.
#[test]
fn a_method_that_the_recorded_coat_does_not_bear_is_warned_of() {
    let shop = Shop::with_piece();
    shop.ready("\n[[mark]]\ntag = \"fin_gilt_water\"\npart = \"top\"\n");
    let ran = shop.run(&["repair", "26-001", "--whole-piece", "--method", "clean"]);
    let said = ran.code(0);
    let warned = said
        .err()
        .lines()
        .filter(|it| it.contains("Gilding is ruined"));
    assert_eq!(warned.count(), 1, "{}", said.err());
    assert!(
        said.err().contains("mind: top: Gilding is ruined"),
        "{}",
        said.err()
    );
    let ran = shop.run(&[
        "repair",
        "26-001",
        "--on",
        "leg-front-left",
        "--method",
        "clean",
    ]);
    assert!(!ran.code(0).err().contains("Gilding"));
}

/// What is to be told next hangs on what the method does: no test, treatment or watch is followed by "repaired".
#[test]
fn only_what_mends_is_followed_by_repaired() {
    let shop = Shop::with_piece();
    let told = |method: &str| {
        let words = ["repair", "26-001", "--whole-piece", "--method", method];
        shop.run(&[&words[..], &["--json"]].concat()).code(0).json()["then"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    for (method, says) in [
        ("insect_freeze", "not the end of it"),
        ("quarantine", "`state = \"gone\"`"),
        (
            "lead_test",
            "`tag = \"lead_paint\"` and `level = 1` (tested, no lead found in that test) or `level = 4`",
        ),
        ("clean", "take a picture of what was done"),
    ] {
        let then = told(method);
        assert!(
            then.contains(says) && !then.contains("repaired"),
            "{method}: {then}"
        );
    }
}

/// A cost told by mistake is taken back; thousands have no sign.
#[test]
fn a_cost_is_taken_back() {
    let shop = Shop::with_piece();
    let words = [
        "repair",
        "26-001",
        "--whole-piece",
        "--method",
        "clean",
        "--cost",
    ];
    shop.run(&[&words[..], &["1,500"]].concat())
        .code(2)
        .says("thousands are written without a sign, such as `1500`");
    shop.run(&[&words[..], &["15"]].concat()).code(0);
    let spent =
        || shop.run(&["stock", "--money", "--json"]).json()["pieces"][0]["material"].clone();
    let with = spent();
    shop.run(&["repair", "26-001", "--again", "1", "--cost", "none"])
        .code(0);
    assert_ne!(spent(), with);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).says("intact");
}

/// A repair is of one day: more minutes than a day has are refused, with how several days are told.
#[test]
fn more_minutes_than_a_day_has_are_refused() {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"gouge\"\npart = \"top\"\nlevel = 2\n");
    let repair = [
        "repair",
        "26-001",
        "F1",
        "--method",
        "wax_fill",
        "--minutes",
    ];
    let with = |minutes: &str| shop.run(&[&repair[..], &[minutes]].concat());
    let refused = with("1441").code(2);
    let refused = refused.says("1441 minutes on 2026-05-26: a day has 1440");
    refused.says("tell each day by itself: `asfound repair 26-001 F1 --method wax_fill --day DAY --minutes N`");
    with("1440").code(0);
}
