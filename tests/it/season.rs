//! How much wood moves with the seasons, through the real program.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use serde_json::json;

use crate::shop::Shop;

/// 450 mm of flat-sawn walnut: 0.00274 a percent (table 13-5), from 6.9 to 12.0 % (35 and 65 %, table 4-2 at 70 F).
#[test]
fn a_quick_question_needs_no_book() {
    let shop = Shop::new();
    let ask = |more: &[&str]| {
        let words = ["season", "--wood", "black_walnut", "--width", "450mm"];
        shop.run_in(shop.path(""), &[&words[..], more].concat())
    };
    ask(&["--grain", "flat"])
        .code(0)
        .stdout(
            "Black walnut, 450 mm across the grain, flat-sawn\n  \
             winter 35 % humidity, wood at 6.9 %; summer 65 % humidity, wood at 12.0 %; 21 C\n  \
             About 6 mm wider in summer (65 % humidity) than in winter (35 %).\n",
        )
        .stderr("advice, not a measurement; figures: GTR-190 table 4-3; movement table 13-5\n");
    let quarter = ask(&["--grain", "quarter", "--now", "45", "--json"])
        .code(0)
        .json();
    assert_eq!(quarter["wood"], "black_walnut");
    assert_eq!(quarter["grain"], "quarter");
    assert_eq!(
        quarter["swing"],
        json!({
            "winter_to_summer_mm": 4, "now_to_winter_mm": -1, "now_to_summer_mm": 3, "needs_mm": 3,
            "basis": "coefficient"
        })
    );
    let unknown = ask(&["--json"]).code(0).json();
    assert_eq!(
        unknown["swing"]["winter_to_summer_mm"], 6,
        "the larger where the cut is not known"
    );
    ask(&["--winter", "15"])
        .code(0)
        .says("the wood comes to 3.5 % moisture (winter), outside 6 to 14 %: there the figures are rough\n");
}

#[test]
fn what_cannot_be_is_refused() {
    let shop = Shop::new();
    let ask = |words: &[&str]| {
        shop.run_in(shop.path(""), &[&["season"], words].concat())
            .code(2)
    };
    let help = "\n\nFor more information, try '--help'.\n";
    let lacks = "error: the following required arguments were not provided:\n  ";
    ask(&[]).stderr(&format!("{lacks}<NO>\n\nUsage: asfound season <NO>{help}"));
    ask(&["--wood", "teak"]).stderr(&format!(
        "{lacks}--width <LENGTH>\n\nUsage: asfound season --wood <WOOD> --width <LENGTH> [NO]{help}"
    ));
    ask(&["--wood", "black_wallnut", "--width", "450 mm"]).stderr(
        "could not: there are no figures for the wood `black_wallnut`\n  did you mean black_walnut?\n",
    );
    ask(&["--wood", "teak", "--width", "450"]).stderr(&format!(
        "error: invalid value '450' for '--width <LENGTH>': `450` is not a length; write a number and its unit, \
        such as `70 mm`, `7 cm` or `2 3/4 in`{help}"
    ));
    ask(&["--wood", "teak", "--width", "9 m"])
        .stderr("could not: a width across the grain lies between 1 mm and 3 m\n");
    ask(&["--wood", "teak", "--width", "9 mm", "--now", "120"]).stderr(
        "could not: humidity lies between 1 and 95 %, and temperature between -1 and 55 degrees Celsius\n",
    );
    let folder = shop.path("");
    let folder = folder.components().as_path().display();
    ask(&["26-001"]).stderr(&format!(
        "could not: there is no stock book in `{folder}` or any folder above it\n  \
        go to your book's folder, name it with --book, or start one with `asfound new-book DIR`\n"
    ));
}

#[test]
fn a_piece_tells_part_by_part() {
    let shop = Shop::with_piece();
    shop.run(&["season", "26-001"])
        .code(0)
        .says("no wood is recorded; mark a part `looks_like_wood`");
    let marks = "[[mark]]\ntag = \"looks_like_wood\"\npart = \"top\"\nwhich = \"teak\"\n";
    shop.photo("a.jpg", |_| ()).file(
        "a.jpg.toml",
        format!("view = \"top_flat\"\nparts = [\"top\"]\n{marks}").as_bytes(),
    );
    shop.import();
    // 400 mm of teak by equation 13-3 from 5.8 % (from memory): 400 x 5.02 / (3000 / 5.8 - 30 + 6.94) = 4.1 mm.
    shop.run(&["season", "26-001"]).code(0).says(
        "  Top, Teak by its look, an opinion: 400 mm across the grain by the size of the piece, cut not",
    );
    let it = shop.run(&["season", "26-001", "--json"]).code(0).json();
    let top = &it["parts"][0];
    assert_eq!(
        (&top["part"], &top["moves"], &top["width_mm"]),
        (&json!("top"), &json!("if_solid"), &json!(400.0))
    );
    assert_eq!(top["swing"]["winter_to_summer_mm"], 4);
    assert_eq!(top["swing"]["basis"], "shrinkage");
    assert_eq!(
        it["air"]["winter"],
        json!({"humidity": 35.0, "moisture": 6.9})
    );
}
