//! `asfound estimate`: what is told is kept, what is printed is exact, what is asked wrongly is answered.

use std::fs;

use serde_json::Value;

use crate::shop::Shop;

/// A solid side table in shellac that is not its first coat, with a white ring; all of it seen but the underside.
fn table() -> Shop {
    let shop = Shop::new();
    shop.book();
    shop.run(&[
        "intake",
        "Grandma's walnut table",
        "--form",
        "side_table",
        "--size",
        "700x500x400mm",
        "--worth",
        "ordinary",
    ])
    .code(0);
    let legs = "\"leg-front-left\", \"leg-front-right\", \"leg-back-left\", \"leg-back-right\"";
    let mut marks = format!("view = \"front_whole\"\nsound = [{legs}]\n");
    for part in [
        "top",
        "leg-front-left",
        "leg-front-right",
        "leg-back-left",
        "leg-back-right",
    ] {
        for cue in [
            "end_grain_runs",
            "figure_both_sides",
            "fin_alcohol",
            "refin_drips_hidden",
        ] {
            marks.push_str(&format!("[[mark]]\ntag = \"{cue}\"\npart = \"{part}\"\n"));
        }
    }
    marks.push_str("[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nsize = \"70 mm\"\n");
    shop.photo("IMG_1.jpg", |_| ())
        .file("IMG_1.jpg.toml", marks.as_bytes());
    shop.import();
    shop
}

/// What is printed for it; the reckoning was done by hand too.
const SCREEN: &str = concat!(
    "26-001  Grandma's walnut table\n",
    "  Clean and wax (it is the only way of which you told what it sells for)\n",
    "  hands      3 h 18 min likely, 1 h 56 min to 7 h 36 min; 3 h 47 min expected, give or take 22 min\n",
    "             at the bench 1 h 45 min; the rest is fetching, pictures, report and handing over\n",
    "  materials  EUR 1.63\n",
    "  days       5 working days of 3 h from 2026-06-01: done 2026-06-05, may be wrapped from 2026-06-05\n",
    "             if all takes long: 5 working days, done 2026-06-05, wrapped from 2026-06-06\n",
    "Order of work\n",
    "  2026-06-01   0:12  Pictures and notes before the work\n",
    "  2026-06-01   0:31  Dry and damp clean: 5 parts\n",
    "  2026-06-02   0:25  Remove wax and polish: 5 parts\n",
    "        ! Oily rags catch fire by themselves\n",
    "          Rags, pads and paper wet with drying oil, oil stain or oil varnish: flat outdoors in one\n",
    "          layer until hard, or under water in a closed metal can. Never in a heap or a bin.\n",
    "          No flame, glowing heater or spark near solvents and spray.\n",
    "  2026-06-03   0:24  Draw out a white mark: top\n",
    "  2026-06-04   0:25  Wax: 5 parts\n",
    "  2026-06-05   0:36  Pictures after the work, report, advertisement\n",
    "  besides: fetching and unloading 0:30, handing over to the buyer 0:15\n",
    "  what it waits for:\n",
    "    12 h after dry and damp clean, 4 h after remove wax and polish,\n",
    "    4 h after draw out a white mark, 12 h after wax\n",
    "Money\n",
    "  sale       EUR 228.00: the lowest of 3 sold, 240.00, less 0.00 channel, 12.00 bargaining, 0.00 delivery\n",
    "  cash       EUR 36.63: materials 1.63, fetching 20.00, storage 15.00, open questions 0.00\n",
    "  by margin  EUR 124.39, leaving 66.98\n",
    "  by hours   EUR 158.37, paying 33.00 for 3:18 at 10.00 an hour, the least you work for\n",
    "  highest    EUR 30.00: no more is asked\n",
    "             for its parts 4.00 to 28.00; first bid 30.00\n",
    "  an hour    EUR 48.90 at EUR 30.00 (asked), not below the least you work for\n",
    "  looks: EUR 25.00 if every open question is answered badly, which would leave EUR 99.39\n",
    "  overrun: it may take 4 h 18 min more; half of that at EUR 10.00 an hour is EUR 21.50, which by hours would leave EUR 136.87\n",
    "  risk: 12 % of EUR 228.00 is EUR 27.36; kept back, it would leave EUR 97.03\n",
    "  rule of thumb (old finish kept): 40 to 55 % of the price, EUR 96.00 to EUR 132.00\n",
    "Reasons to stop, or to ask\n",
    "  ask    Not seen yet: the underside. The costly faults are there.\n",
    "         Unless it is looked at before you pay, or before you sell.\n",
    "Look or ask before you pay; what a bad answer would likely cost\n",
    "   EUR 25.00  What does the underside look like? Tip it, or lie down with a lamp.\n",
    "Other ways\n",
    "  leave           1:33  until 2026-06-01  no price told\n",
    "  touch_up        3:54  until 2026-06-07  no price told\n",
    "  revive          3:31  until 2026-06-07  no price told\n",
    "  french_polish   7:56  until 2026-06-12  only part of it: no price of a whole\n",
    "  strip_clear     5:31  until 2026-06-12  only part of it: no price of a whole\n",
    "  strip_stain     5:44  until 2026-06-13  only part of it: no price of a whole\n",
    "  oil_wax         5:15  until 2026-06-17  only part of it: no price of a whole\n",
    "  fill_paint      5:09  until 2026-06-28  no price told\n",
    "  scuff_paint     4:39  until 2026-06-27  no price told\n",
    "At the door\n",
    "  `asfound estimate 26-001 --door` shows what can be said and shown there, and nothing of the above\n",
);

fn names(list: &Value, key: &str) -> Vec<String> {
    let list = list.as_array().expect("a list");
    list.iter()
        .map(|it| it[key].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn an_estimate_fits_a_screen_and_keeps_what_is_told() {
    let shop = table();
    shop.run(&[
        "estimate",
        "26-001",
        "--sold",
        "clean_wax=240,260",
        "--sold",
        "clean_wax=250",
        "--seller-asks",
        "30",
        "--from",
        "2026-06-01",
    ])
    .code(1)
    .stderr(
        "kept with 26-001: the seller asks EUR 30.00\n\
         kept with 26-001: sold after clean_wax: EUR 240.00\n\
         kept with 26-001: sold after clean_wax: EUR 260.00\n\
         kept with 26-001: sold after clean_wax: EUR 250.00\n",
    )
    .stdout(SCREEN);
    // 240 - 12 = 228, less 36.63 it is 191.37; less 35 % of that, 66.98, it is 124.39, less 3.3 h x 10 it is 158.37; 161.37 / 3.3 h = 48.90.
    // What was told need not be told again.
    let again = shop.run(&["estimate", "26-001", "--from", "2026-06-01"]);
    again.code(1).stderr("").stdout(SCREEN);
}

#[test]
fn json_has_the_names_that_are_promised() {
    let shop = table();
    let it = shop
        .run(&["estimate", "26-001", "--sold", "clean_wax=240", "--json"])
        .code(1)
        .stderr("")
        .json();
    for name in [
        "tasks",
        "hours",
        "days",
        "cost",
        "offers",
        "options",
        "stops",
        "questions",
        "words",
        "refused",
        "left",
        "assumed",
    ] {
        assert!(!it[name].is_null(), "{name}");
    }
    assert_eq!(it["title"], "Grandma's walnut table");
    assert_eq!(it["option"], "clean_wax");
    assert_eq!(it["cost"]["currency"], "EUR");
    assert_eq!(it["days"]["from"], "2026-05-26");
    assert_eq!(names(&it["questions"], "id"), ["underside_not_seen"]);
    let tasks = it["tasks"].as_array().unwrap();
    let minutes = |task: &Value| task["minutes"]["likely"].as_i64().unwrap();
    let sum: i64 = tasks.iter().map(minutes).sum();
    assert_eq!(it["hours"]["minutes"]["likely"].as_i64(), Some(sum));
    let offers = it["offers"].as_array().unwrap();
    assert_eq!(offers.len(), it["options"].as_array().unwrap().len());
    let offer = offers
        .iter()
        .find(|it| it["option"] == "clean_wax")
        .unwrap();
    let sums = &offer["sums"];
    assert_eq!(sums["lowest_sold"]["minor"], 24_000);
    assert_eq!(sums["lowest_sold"]["currency"], "EUR");
    let lower = [&sums["by_margin"], &sums["by_hours"]].map(|it| it["minor"].as_i64().unwrap());
    assert_eq!(sums["highest"]["minor"].as_i64(), lower.into_iter().min());
    assert!(
        offer["notes"][0]
            .as_str()
            .unwrap()
            .starts_with("1 of at least 3")
    );
}

#[test]
fn a_word_that_is_not_known_is_answered_and_nothing_is_kept() {
    let shop = table();
    let before = shop.run(&["estimate", "26-001", "--json"]).code(1).json();
    for (words, said) in [
        (
            vec!["--path", "clean_wx", "--worth", "fine"],
            "could not: `clean_wx` is not a path of the trade book\n  did you mean `clean_wax`?\n",
        ),
        (
            vec!["--path", "tpo=leave"],
            "could not: `tpo` is not a part of this piece\n  the parts are `top`, `leg-front-left`, `leg-front-right`, `leg-back-left`, `leg-back-right`\n",
        ),
        (
            vec!["--sold", "clean=20"],
            "could not: `clean` is not a path of the trade book\n  did you mean `clean_wax`?\n",
        ),
        (
            vec!["--sold", "clean_wax=0"],
            "could not: what a piece was sold for must be above 0, not EUR 0.00\n",
        ),
        (
            vec!["--sold", "clean_wax=20.005"],
            "could not: --sold: `20.005` has more decimals than EUR counts (2)\n",
        ),
        (
            vec!["--channel", "own_sales"],
            "could not: `own_sales` is not a channel of the trade book\n  did you mean `own_sale`?\n",
        ),
    ] {
        let all = [vec!["estimate", "26-001"], words].concat();
        shop.run(&all).code(2).stdout("").stderr(said);
    }
    let after = shop.run(&["estimate", "26-001", "--json"]).code(1).json();
    assert_eq!(before, after);
    shop.run(&["estimate", "26-009"]).code(2).stdout("").stderr(
        "could not: there is no piece 26-009 in this book\n  `asfound stock` lists the pieces\n",
    );
    shop.run(&["estimate", "26-001", "--worth", "rare"])
        .code(2)
        .stdout("")
        .stderr("error: invalid value 'rare' for '--worth <WORTH>': `rare` is none of fine, good, ordinary\n\nFor more information, try '--help'.\n");
}

#[test]
fn a_choice_that_is_shut_is_refused_with_its_reason() {
    let shop = table();
    // A ring in the coat is no reason to strip: the trade book shuts that way on the top.
    let words = ["estimate", "26-001", "--path", "strip_stain"];
    let it = shop.run(&[&words[..], &["--json"]].concat()).code(1).json();
    assert_eq!(it["option"], "chosen", "{:#}", it["refused"]);
    assert_eq!(names(&it["refused"], "part"), ["top"]);
    assert_eq!(it["refused"][0]["reasons"][0]["rule"], "mark_in_the_coat");
    let parts = it["options"][0]["parts"].as_array().unwrap();
    let path = |part: &str| {
        let found = parts.iter().find(|it| it["part"] == part).unwrap();
        found["path"].as_str().unwrap().to_owned()
    };
    assert_eq!(path("leg-front-left"), "strip_stain");
    assert_ne!(path("top"), "strip_stain");
    assert!(it["options"][0]["two_tone"].is_string());
    let why = it["refused"][0]["reasons"][0]["why"].as_str().unwrap();
    shop.run(&words)
        .code(1)
        .says(&format!("  strip_stain on top: {why}\n"));
    let none = ["estimate", "26-001", "--path", "none", "--json"];
    let it = shop.run(&none).code(1).json();
    assert_eq!(it["kept"][0], "no path is chosen any more");
    assert_eq!(it["refused"].as_array().unwrap().len(), 0);
}

#[test]
fn an_order_of_ones_own_is_checked() {
    let shop = table();
    let file = shop.path("order.txt");
    fs::write(
        &file,
        "# my way\nrecord\nwax_polish top\nwhite_mark top   # the ring\nclean\n",
    )
    .unwrap();
    let file = file.to_str().unwrap();
    let words = ["estimate", "26-001", "--path", "clean_wax", "--order", file];
    let it = shop.run(&[&words[..], &["--json"]].concat()).code(1).json();
    assert_eq!(
        names(&it["order"]["broken"], "id"),
        ["wax_last", "clean_before_glue"]
    );
    shop.run(&words)
        .code(1)
        .says("white_mark top must come before wax_polish top. Wax and rubbing out come after every coat.")
        .says("Nothing sticks on wax.");
    fs::write(file, "record\nwax_polsh top\n").unwrap();
    shop.run(&words).code(2).stdout("").stderr(&format!(
        "could not: {file}:2: `wax_polsh` is not a method\n  did you mean `wax_polish`?\n"
    ));
    fs::write(file, "wax_polish top twice\n").unwrap();
    shop.run(&words).code(2).stdout("").stderr(&format!(
        "could not: {file}:1: `twice` is too much: a line is `method` or `method part`\n"
    ));
    fs::remove_file(file).unwrap();
    let why = fs::read(file).unwrap_err();
    shop.run(&words).code(2).stdout("").stderr(&format!(
        "could not: could not read `{file}`\n  because {why}\n  nothing lies there: look how it is spelt, and whether its disk is there\n"
    ));
}

/// What is right in its sequence may still be work that is kept from the part.
#[test]
fn an_order_of_ones_own_is_held_against_what_may_not_be_done() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ());
    let said = "view = \"front_whole\"\n[[mark]]\ntag = \"hidden_decoration\"\npart = \"top\"\n[[mark]]\ntag = \"fin_paint\"\npart = \"top\"\n";
    shop.file("IMG_1.jpg.toml", said.as_bytes());
    shop.run(&[
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ])
    .code(0);
    let file = shop.path("order.txt");
    fs::write(&file, "strip top\n").unwrap();
    let words = ["estimate", "26-001", "--order", file.to_str().unwrap()];
    let run = shop.run(&words).code(1);
    run.says("strip top may not be done there: ");
    let it = shop.run(&[&words[..], &["--json"]].concat()).json();
    assert_eq!(it["order"]["not_allowed"][0]["line"], "strip top");
}

#[test]
fn at_the_doorstep_without_a_photo_it_says_what_it_rests_on() {
    let shop = Shop::new();
    shop.book();
    shop.run(&[
        "intake",
        "oak chest",
        "--form",
        "chest_of_drawers",
        "--sold",
        "strip_stain=340",
        "--sold",
        "leave=120",
        "--seller-asks",
        "60",
    ])
    .code(0);
    shop.run(&["estimate", "26-001"])
        .code(1)
        .says("Leave it as it is")
        .says("mind: no photo is recorded: this rests only on what was told, and counts no fault\n")
        .says("What does the underside look like?")
        .says("Do all drawers come out");
    let it = shop.run(&["estimate", "26-001", "--json"]).code(1).json();
    // Nothing is planned for which it would have to be taken apart, or its drawers handled.
    assert_eq!(it["tasks"].as_array().unwrap().len(), 4);
    // It is reckoned for the way it was told of, and nothing of the surface is planned.
    let offer = &it["offers"][0];
    assert_eq!(
        (
            &offer["path"],
            offer["sums"]["lowest_sold"]["minor"].as_i64()
        ),
        (&Value::from("leave"), Some(12_000))
    );
    shop.run(&["amend", "26-001", "--sold", "leave=150,140"])
        .code(0);
    let it = shop.run(&["estimate", "26-001", "--json"]).code(1).json();
    assert_eq!(it["offers"][0]["sums"]["lowest_sold"]["minor"], 14_000);
    let piece = shop
        .run(&[
            "amend",
            "26-001",
            "--meant-for",
            "child",
            "--wish",
            "lighter",
            "--json",
        ])
        .code(0)
        .json();
    assert_eq!(piece["market"]["meant_for"], "child");
}

#[test]
fn in_yen_nothing_of_the_book_s_own_amounts_is_used() {
    let shop = Shop::new();
    shop.book();
    fs::write(shop.path("book/book.toml"), "currency = \"JPY\"\n").unwrap();
    shop.piece("walnut table").ready("");
    let words = ["estimate", "26-001", "--sold", "leave=30000"];
    let it = shop.run(&[&words[..], &["--json"]].concat()).code(1).json();
    assert_eq!(it["cost"]["currency"], "JPY");
    let offers = it["offers"].as_array().unwrap();
    let offer = offers.iter().find(|it| it["path"] == "leave").unwrap();
    assert!(offer["sums"].is_null());
    assert_eq!(
        offer["tell"][0],
        "in book.toml: hourly_rate, [terms] pickup, [terms] storage_week"
    );
    shop.run(&words)
        .code(1)
        .says("kept with 26-001: sold after leave: JPY 30000")
        .says("no offer yet; tell in book.toml: hourly_rate");
}
