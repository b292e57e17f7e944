//! The page for the door: what it answers is what `estimate` answers, and what was tapped comes back.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::env;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;
use serde_json::json;

use asfound::advise::doorstep::door::until_repaired;
use asfound::advise::doorstep::rows::rows;
use asfound::advise::doorstep::tabulate::AtTheDoor;
use asfound::advise::doorstep::tabulate::Dice;
use asfound::advise::price::estimate::Estimate;
use asfound::advise::price::estimate::estimate;
use asfound::advise::refinish::paths::paths;
use asfound::kit::money::Currency;
use asfound::kit::money::Money;
use asfound::model::ids::StockNo;
use asfound::model::market::Sold;
use asfound::model::piece::Piece;
use asfound::model::settings::Settings;
use asfound::trade;

use crate::browser;
use crate::shop::Shop;

/// The ways of which a price may be told.
const PRICED: [&str; 3] = ["leave", "clean_wax", "mend"];

/// So many sets of answers by chance: `ASFOUND_CASES` for more.
fn asked_for() -> usize {
    let cases = env::var("ASFOUND_CASES")
        .ok()
        .and_then(|it| it.parse().ok());
    cases.unwrap_or(200)
}

/// A set of answers, and what is asked and told.
struct Case {
    given: Vec<Option<usize>>,
    asks: Option<i64>,
    sold: Vec<(&'static str, i64)>,
}

fn case(door: &AtTheDoor<'_>, dice: &mut Dice) -> Case {
    // From nothing tapped to nearly all of it.
    let often = dice.below(9) + 1;
    let given = (0..door.questions()).map(|row| {
        let choice = dice.below(door.choices(row));
        (dice.below(10) < often).then_some(choice)
    });
    let given = given.collect();
    let price = |dice: &mut Dice| i64::try_from(dice.below(60_000)).unwrap() + 1;
    let asks = (dice.below(3) > 0).then(|| price(dice) / 2);
    let mut sold = Vec::new();
    for path in PRICED {
        if dice.below(4) > 0 {
            sold.push((path, price(dice)));
        }
    }
    Case { given, asks, sold }
}

/// The estimate, and what is not to be done until it is repaired.
fn by_the_rules(door: &AtTheDoor<'_>, case: &Case) -> (Estimate, Vec<String>) {
    let mut record = door.record(&case.given);
    let currency = door.settings.currency;
    let money = |minor: i64| Money { minor, currency };
    record.piece.market.seller_asks = case.asks.map(money);
    let sold = case.sold.iter().map(|(path, minor)| Sold {
        path: (*path).to_owned(),
        price: money(*minor),
    });
    record.piece.market.sold = sold.collect();
    let it = asfound::assess::assess(&record, door.book);
    let found = estimate(
        &it,
        &paths(&it, door.book),
        door.settings,
        door.book,
        door.day,
    );
    (found, until_repaired(&it, door.book))
}

/// What of an estimate the page tells too.
fn told((it, until): &(Estimate, Vec<String>)) -> Value {
    let shown = &it.options[it.shown];
    let priced = shown.offer.sums.is_some();
    let way = match priced {
        true => shown,
        false => it.options.iter().find(|it| it.way.id == "leave").unwrap(),
    };
    let stops = way
        .stops
        .iter()
        .map(|it| json!([it.id, format!("{:?}", it.stop), it.what]));
    let asked = way
        .asked
        .iter()
        .map(|it| json!([it.name, it.look, it.aside.map(|it| it.likely), it.counted]));
    let sums = shown.offer.sums.as_ref().map(|it| {
        json!({
            "highest": it.highest.minor,
            "byMargin": it.by_margin.minor,
            "byHours": it.by_hours.minor,
            "minutes": it.minutes,
            "cash": it.cash_costs.minor,
            "bid": it.first_bid.map(|it| it.map(|it| it.minor)),
            "hour": it.hourly.per_hour.minor,
        })
    });
    json!({
        "until": until,
        // Without a price the page speaks of the piece as it is.
        "words": (priced || shown.way.id == way.way.id).then_some(&it.words),
        "way": priced.then_some(&way.way.id),
        "verdict": way.offer.verdict,
        "sums": sums,
        "stops": stops.collect::<Vec<Value>>(),
        "asked": asked.collect::<Vec<Value>>(),
    })
}

/// The same of an answer of the page.
fn answered(it: &Value) -> Value {
    let list = |name: &str, keys: &[&str]| -> Vec<Value> {
        let all = it[name].as_array().unwrap().iter();
        all.map(|it| keys.iter().map(|key| it[*key].clone()).collect::<Value>())
            .collect()
    };
    let sums = it["sums"].as_object().map(|sums| {
        let keys = [
            "highest", "byMargin", "byHours", "minutes", "cash", "bid", "hour",
        ];
        let kept = keys
            .iter()
            .map(|key| ((*key).to_owned(), sums[*key].clone()));
        Value::Object(kept.collect())
    });
    json!({
        "until": it["until"],
        "words": it["words"],
        "way": it["way"],
        "verdict": it["verdict"],
        "sums": sums,
        "stops": list("stops", &["id", "stop", "what"]),
        "asked": list("asked", &["id", "look", "aside", "counted"]),
    })
}

/// Lets a browser answer the cases and walk through the page; `None` when browser tests are left out.
fn in_a_browser(page: &Path, cases: &[Case]) -> Option<Value> {
    if env::var_os("ASFOUND_BROWSER").is_none() {
        browser::leave_out();
        return None;
    }
    let list = cases.iter().map(|it| {
        let sold = it.sold.iter().map(|(path, minor)| ((*path).to_owned(), json!([minor])));
        json!({"given": it.given, "offer": {"asks": it.asks, "sold": Value::Object(sold.collect())}})
    });
    let list: Vec<Value> = list.collect();
    let path = page.with_extension("cases.json");
    fs::write(&path, serde_json::to_vec(&list).unwrap()).unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("look/doorstep");
    let _one = browser::one_at_a_time();
    let run = Command::new("node")
        .arg(root.join("tests/browser/doorstep.mjs"))
        .args([page, &path, &out])
        .output()
        .expect("node starts: `bash tests/run` brings it");
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    Some(serde_json::from_slice(&run.stdout).unwrap())
}

/// A piece of a form at the door, by the words and terms of the program alone.
fn at_the_door<'a>(form: &str, settings: &'a Settings) -> AtTheDoor<'a> {
    let book = trade::book();
    let taken_in = "2026-05-03T10:00:00Z".parse().unwrap();
    let piece = Piece {
        form: form.to_owned(),
        ..Piece::blank(StockNo::new(2026, 1), taken_in)
    };
    let parts = book.parts_of(&piece.form, &piece.choice());
    AtTheDoor {
        rows: rows(&parts, book),
        piece,
        settings,
        book,
        day: "2026-05-03".parse().unwrap(),
    }
}

/// The page of a form, written by the program; `ASFOUND_PAGE` names one that is written already.
fn page(shop: &Shop, form: &str) -> PathBuf {
    if let Some(page) = env::var_os("ASFOUND_PAGE") {
        return page.into();
    }
    let page = shop.path("doorstep.html");
    let words = ["doorstep", "--form", form, "--page", page.to_str().unwrap()];
    shop.run_in(shop.path(""), &words).code(0);
    page
}

#[test]
fn the_page_of_a_stool_answers_as_estimate_does() {
    answers_as_estimate_does("stool");
}

#[test]
fn the_page_of_a_chair_answers_as_estimate_does() {
    answers_as_estimate_does("chair");
}

/// Of any other form: `ASFOUND_FORM=desk ASFOUND_CASES=10000`; a form with many parts takes minutes without optimisation.
#[test]
fn the_page_of_a_form_that_is_named_answers_as_estimate_does() {
    if let Ok(form) = env::var("ASFOUND_FORM") {
        answers_as_estimate_does(&form);
    }
}

fn answers_as_estimate_does(form: &str) {
    if env::var_os("ASFOUND_BROWSER").is_none() {
        return browser::leave_out();
    }
    let number = asked_for();
    let settings = Settings::usual("EUR".parse::<Currency>().unwrap());
    let door = at_the_door(form, &settings);
    let mut dice = Dice(11);
    let cases: Vec<Case> = (0..number).map(|_| case(&door, &mut dice)).collect();
    let shop = Shop::new();
    let found = in_a_browser(&page(&shop, form), &cases).unwrap();
    assert_eq!(found["requests"], json!([]));
    assert_eq!(found["console_errors"], json!([]));
    let mut wrong = Vec::new();
    for (case, answer) in cases.iter().zip(found["answers"].as_array().unwrap()) {
        let (rules, mut page) = (told(&by_the_rules(&door, case)), answered(answer));
        if rules["words"].is_null() {
            page["words"] = Value::Null;
        }
        if rules != page {
            wrong.push(format!(
                "{:?} asks {:?} sold {:?}\n rules {rules}\n page  {page}",
                case.given, case.asks, case.sold
            ));
        }
    }
    let few: Vec<&String> = wrong.iter().take(3).collect();
    assert!(
        wrong.is_empty(),
        "{} of {number} differ, such as\n{few:#?}",
        wrong.len()
    );
    // What the walk taps: the second answer of every row.
    let walked = Case {
        given: vec![Some(1); door.questions()],
        asks: None,
        sold: Vec::new(),
    };
    let (_, until) = by_the_rules(&door, &walked);
    for screen in found["screens"].as_array().unwrap() {
        assert_eq!(
            (&screen["small"], &screen["wide"]),
            (&json!([]), &json!(0)),
            "{}",
            screen["name"]
        );
        let seller = screen["seller"].as_str().unwrap();
        for private in ["220", "Ceiling", "An hour"] {
            assert!(!seller.contains(private), "{private}: {seller}");
        }
        for text in [seller, screen["mine"].as_str().unwrap()] {
            assert!(until.iter().all(|it| text.contains(it)), "{until:?} {text}");
        }
        let forgotten = screen["forgotten"].as_str().unwrap();
        assert!(
            forgotten.ends_with(&format!("form = \"{form}\"\n")),
            "{forgotten}"
        );
        assert_eq!(screen["kept"], true);
    }
}

/// The command that brings pictures in, with what was tapped.
fn import<'a>(card: &'a Path, file: &'a str) -> [&'a str; 9] {
    let card = card.to_str().unwrap();
    [
        "import",
        card,
        "--piece",
        "26-001",
        "--stage",
        "doorstep",
        "--doorstep",
        file,
        "--json",
    ]
}

/// What the page writes for a stool with a loose and a firm leg.
const FILE: &str = r#"version = 1
form = "stool"
title = "oak stool"
seller_asks = "60"
note = "It was \"my aunt's\" \\ stool,\nshe said"

[sold]
leave = "140"
clean_wax = "220.50"
mend = "not known"

[taps]
"seat" = "sound"
"coat" = "grain"
"legs/leg-front-left" = "loose"
"legs/leg-front-right" = "firm"
"bottom" = "soft"
"#;

#[test]
fn what_was_tapped_comes_into_the_book_and_is_estimated_alike() {
    let shop = Shop::new();
    shop.book();
    shop.photo("a.jpg", |_| ()).photo("b.jpg", |_| ());
    let file = shop.path("doorstep.toml");
    fs::write(&file, FILE).unwrap();
    let file = file.to_str().unwrap();
    shop.run(&["intake", "--doorstep", file]).code(0);
    let card = shop.path("card");
    let words = import(&card, file);
    let done = shop.run(&words).code(0).json();
    assert_eq!(
        (&done["taken"], &done["doorstep"]["photo"]),
        (&json!(2), &json!(1))
    );
    // Said again it changes nothing.
    let again = shop.run(&words).code(0).json();
    assert_eq!(again["doorstep"]["photo"], Value::Null);
    // What another file says of the same shoot is not mixed with it.
    let other = shop.path("other.toml");
    fs::write(&other, FILE.replacen("\"loose\"", "\"firm\"", 1)).unwrap();
    shop.run(&import(&card, other.to_str().unwrap()))
        .code(2)
        .says("what was tapped at the door stands beside photo 1 of this shoot");
    let findings = shop.run(&["survey", "26-001", "--json"]).json()["findings"].to_string();
    assert_eq!(
        findings.matches("tapped at the door, not measured").count(),
        2
    );
    let settings = Settings::usual("EUR".parse::<Currency>().unwrap());
    let door = at_the_door("stool", &settings);
    let tapped = [
        ("seat", 0),
        ("coat", 0),
        ("legs/leg-front-left", 1),
        ("legs/leg-front-right", 0),
        ("bottom", 1),
    ];
    let given = door
        .rows
        .iter()
        .map(|row| tapped.iter().find(|it| it.0 == row.id).map(|it| it.1));
    let (rules, _) = by_the_rules(
        &door,
        &Case {
            given: given.collect(),
            asks: Some(6000),
            sold: vec![("leave", 14_000), ("clean_wax", 22_050)],
        },
    );
    let found = shop.run(&["estimate", "26-001", "--json"]).json();
    let shown = &rules.options[rules.shown];
    assert_eq!(found["option"], json!(shown.way.id));
    let sums = serde_json::to_value(shown.offer.sums.as_ref().unwrap()).unwrap();
    assert_eq!(found["offers"][rules.shown]["sums"], sums);
    assert_eq!(found["words"], json!(rules.words));
    // Nobody said which leg is soft: neither the book nor what is said to the seller names one.
    let rotten = rules
        .words
        .iter()
        .find(|it| it.starts_with("Soft or rotten wood"));
    let rotten = rotten.expect("a danger is told");
    assert!(
        rotten.starts_with("Soft or rotten wood (somewhere below)"),
        "{rotten}"
    );
    // Every word that was typed is in the book: also a price that is none.
    let db = fs::read(shop.path("book/book.db")).unwrap();
    let db = String::from_utf8_lossy(&db);
    for typed in ["she said", "my aunt's", "not known"] {
        assert!(db.contains(typed), "{typed}");
    }
}

#[test]
fn a_damaged_file_is_refused_and_changes_nothing() {
    let shop = Shop::new();
    shop.book();
    let file = shop.path("doorstep.toml");
    let path = file.to_str().unwrap().to_owned();
    for (from, to, says) in [
        (
            "\"loose\"",
            "\"lose\"",
            "`lose` is no answer of `legs/leg-front-left`",
        ),
        (
            "version = 1",
            "version = 7",
            "this version of the file is not known",
        ),
        (
            "\"stool\"",
            "\"sledge\"",
            "`sledge` is not a form of the trade book",
        ),
        ("[taps]", "[taps", "doorstep.toml:"),
    ] {
        fs::write(&file, FILE.replacen(from, to, 1)).unwrap();
        shop.run(&["intake", "--doorstep", &path])
            .code(2)
            .says(says);
    }
    fs::write(&file, FILE).unwrap();
    shop.run(&["intake", "a table", "--form", "side_table"])
        .code(0);
    shop.photo("a.jpg", |_| ());
    let card = shop.path("card");
    let words = import(&card, &path);
    shop.run(&words).code(2).says("26-001 has no such part");
    assert!(!shop.stored_names().iter().any(|it| it.ends_with(".jpg")));
}
