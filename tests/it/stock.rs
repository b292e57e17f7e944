//! The stock list: what it finds, and what it counts of the owner's money.

use serde_json::json;

use crate::shop::Shop;

/// A book of four pieces: taken in, bought, in work, sold.
fn four() -> Shop {
    let shop = Shop::new();
    shop.run_in(shop.path(""), &["new-book", "book", "--currency", "gbp"])
        .code(0);
    let table = ["intake", "oak table, \"good\"", "--form", "side_table"];
    shop.run(&table).code(0);
    let bought = [
        "--bought-for",
        "85",
        "--bought-on",
        "2026-03-14",
        "--asking",
        "190",
    ];
    for title in ["walnut chest", "elm chest, from a farm"] {
        let words = ["intake", title, "--form", "chest_of_drawers"];
        shop.run(&[&words[..], &bought].concat()).code(0);
    }
    let gift = [
        "intake",
        "pine table",
        "--form",
        "side_table",
        "--private-note",
        "from Aunt's farm",
    ];
    shop.run(&gift).code(0);
    let repair = [
        "repair",
        "26-003",
        "--whole-piece",
        "--method",
        "clean",
        "--day",
        "2026-03-20",
    ];
    let spent = ["--minutes", "95", "--cost", "7.40"];
    shop.run(&[&repair[..], &spent].concat()).code(0);
    shop.run(&[
        "repair",
        "26-004",
        "--whole-piece",
        "--method",
        "clean",
        "--day",
        "2026-03-21",
    ])
    .code(0);
    shop.run(&["sold", "26-003", "--on", "2026-04-02", "--price", "210.50"])
        .code(0);
    shop
}

fn numbers(shop: &Shop, more: &[&str]) -> Vec<String> {
    let answer = shop
        .run(&[&["stock", "--json"], more].concat())
        .code(0)
        .json();
    let lines = answer.as_array().unwrap().iter();
    lines
        .map(|it| it["stock_no"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn pieces_are_found_by_what_is_told_of_them() {
    let shop = four();
    let all = ["26-001", "26-002", "26-003", "26-004"];
    assert_eq!(numbers(&shop, &[]), all);
    assert_eq!(numbers(&shop, &["--state", "taken_in"]), all[..1]);
    assert_eq!(numbers(&shop, &["--state", "bought"]), all[1..2]);
    assert_eq!(numbers(&shop, &["--state", "in_work"]), all[3..]);
    assert_eq!(numbers(&shop, &["--state", "sold"]), all[2..3]);
    assert_eq!(
        numbers(&shop, &["--form", "side_table"]),
        ["26-001", "26-004"]
    );
    // In the title of one, in the private note of the other; all words must be there.
    assert_eq!(numbers(&shop, &["FARM"]), ["26-003", "26-004"]);
    assert_eq!(numbers(&shop, &["farm", "aunt's"]), ["26-004"]);
    assert_eq!(
        numbers(&shop, &["--sort", "title"]),
        ["26-003", "26-001", "26-004", "26-002"]
    );
    assert_eq!(
        numbers(&shop, &["--sort", "asking"]),
        ["26-002", "26-003", "26-001", "26-004"]
    );
    shop.run(&["stock", "beech"])
        .code(0)
        .stdout("")
        .says("no piece is like that");
    shop.run(&["stock", "--form", "sidetable"])
        .code(2)
        .says("is not a form");
    shop.run(&["stock", "--state", "gone"])
        .code(2)
        .says("for_sale");
}

#[test]
fn what_is_waited_for_stands_under_each_piece() {
    let shop = four();
    let waiting = shop.run(&["stock", "--waiting", "--json"]).code(0).json();
    let of = |no: &str| {
        let lines = waiting.as_array().unwrap().iter();
        lines.filter(|it| it["stock_no"] == no).count()
    };
    // One that is sold asks for nothing but what a sold one asks for; the others have no pictures.
    assert_eq!((of("26-001"), of("26-002")), (1, 1), "{waiting}");
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(waiting[0]["next"], survey["next"]);
}

/// RFC 4180: a line feed after a carriage return, quotes doubled.
#[test]
fn a_spreadsheet_gets_every_field() {
    let shop = four();
    let table = shop.run(&["stock", "--csv"]).code(0);
    table.stdout(
        "stock_no,title,form,state,stage,photos,findings,asking,currency,sold\r\n\
         26-001,\"oak table, \"\"good\"\"\",side_table,taken_in,,0,0,,,\r\n\
         26-002,walnut chest,chest_of_drawers,bought,,0,0,190.00,GBP,\r\n\
         26-003,\"elm chest, from a farm\",chest_of_drawers,sold,,0,0,190.00,GBP,2026-04-02\r\n\
         26-004,pine table,side_table,in_work,,0,0,,,\n",
    );
    shop.run(&["stock", "--csv", "--json"]).code(2);
}

/// Reckoned by hand: 210.50 less 85 less 7.40 is 118.10. 26-004 was repaired, and what that cost was not told: it is no nothing.
#[test]
fn money_is_counted_by_piece_and_by_year() {
    let shop = four();
    shop.run(&["amend", "26-001", "--bought-on", "2026-02-01"])
        .code(0);
    let told = shop.run(&["stock", "--money", "--json"]).code(0).json();
    let pounds = |minor: i64| json!({ "minor": minor, "currency": "GBP" });
    assert_eq!(told["currency"], "GBP");
    assert_eq!(told["pieces"][2]["margin"], pounds(11_810));
    assert_eq!(told["pieces"][0]["bought_for"], json!(null));
    assert_eq!(told["pieces"][3]["material"], json!(null));
    assert_eq!(told["pieces"][3]["repairs_without_cost"], json!([1]));
    let year = &told["years"][0];
    assert_eq!(
        (&year["year"], &year["bought"]),
        (&json!(2026), &pounds(17_000))
    );
    assert_eq!(
        (&year["sold"], &year["margin"]),
        (&pounds(21_050), &pounds(11_810))
    );
    assert_eq!(year["bought_without_price"], json!(["26-001"]));
    for line in [
        "26-003        85.00       7.40          -    1:35     210.50     118.10  elm chest, from a farm",
        "26-004            -          -          -    0:00          -          -  pine table",
        "2026         170.00       7.40       0.00    1:35     210.50     118.10  bought without 26-001",
    ] {
        shop.run(&["stock", "--money"]).code(0).says(line);
    }
    // Without a margin there is none that could be too high.
    let look = "look: 26-004: no cost of material is told of repair 1";
    let told = shop.run(&["stock", "--money"]).code(0);
    assert!(told.err().lines().any(|it| it == look), "{told}");
    shop.run(&["amend", "26-004", "--bought-for", "10"]).code(0);
    shop.run(&["sold", "26-004", "--price", "50"]).code(0);
    let told = shop.run(&["stock", "--money"]).code(0);
    told.says(&format!("{look}, so its margin is at most what is printed"));
}

/// Whoever keeps the books gets every event with its day: what was paid, what material cost, what was taken in.
#[test]
fn money_comes_out_event_by_event() {
    let shop = four();
    let csv = shop.run(&["stock", "--money", "--csv"]).code(0);
    csv.stdout(
        "day,stock_no,title,what,repair,amount,currency,minutes,not_counted,withdrawn_on\r\n\
         2026-03-14,26-002,walnut chest,purchase,,85.00,GBP,,,\r\n\
         2026-03-14,26-003,\"elm chest, from a farm\",purchase,,85.00,GBP,,,\r\n\
         2026-03-20,26-003,\"elm chest, from a farm\",repair,1,7.40,GBP,95,,\r\n\
         2026-03-21,26-004,pine table,repair,1,,GBP,,,\r\n\
         2026-04-02,26-003,\"elm chest, from a farm\",sale,,210.50,GBP,,,\n",
    );
}

/// A return in the new year is an event of its own, and the closed year stays as it was told to the tax office; what was told of a
/// withdrawn piece is listed where no sum takes it.
#[test]
fn a_closed_year_stays_when_a_sale_is_taken_back_or_a_piece_withdrawn() {
    let shop = Shop::new();
    shop.book();
    let words = "intake|oak chair|--form|chair|--bought-on|2025-11-01|--bought-for|30";
    shop.run(&words.split('|').collect::<Vec<_>>()).code(0);
    let words = "sold|26-001|--on|2025-12-20|--price|150|--to|Ann A";
    shop.run(&words.split('|').collect::<Vec<_>>()).code(0);
    let year = |n: usize| shop.run(&["stock", "--money", "--json"]).json()["years"][n].clone();
    let closed = year(0);
    let back = ["sold", "26-001", "--fell-through", "--on"];
    for (day, why) in [
        ("2025-12-19", "lies before the sale"),
        ("2030-01-01", "in the future"),
    ] {
        shop.run(&[&back[..], &[day]].concat()).code(2).says(why);
    }
    let why = ["2026-01-07", "--note", "a loose joint"];
    shop.run(&[&back[..], &why].concat())
        .code(0)
        .says("taken back on 2026-01-07; private: EUR 150.00, Ann A");
    assert_eq!(
        (year(0), year(1)["margin"]["minor"].clone()),
        (closed, json!(-12_000))
    );
    let sold = ["sold", "26-001", "--on", "2026-02-01", "--price"];
    shop.run(&[&sold[..], &["140", "--to", "Bo"]].concat())
        .code(0);
    let right = shop.run(&[&sold[..], &["200"]].concat()).code(0);
    right.says("EUR 140.00, as told before, stays in the ledger");
    shop.run(&["survey", "26-001"])
        .code(0)
        .says("2025-12-20, taken back on 2026-01-07; private: a loose joint, EUR 150.00, Ann A");
    let words = "intake|pine stool|--form|stool|--bought-on|2025-10-01|--bought-for|12";
    shop.run(&words.split('|').collect::<Vec<_>>()).code(0);
    shop.run(&["remove", "26-002", "--piece", "--why", "a double"])
        .code(0)
        .says("EUR 12.00 spent in 2025 counts no more");
    shop.run(&["stock", "--money"])
        .code(0)
        .says("withdrawn, not counted: 26-002 (EUR 12.00 spent in 2025)");
    let csv = shop.run(&["stock", "--money", "--csv"]).code(0);
    csv.stdout(
        "day,stock_no,title,what,repair,amount,currency,minutes,not_counted,withdrawn_on\r\n\
         2025-10-01,26-002,pine stool,purchase,,,EUR,,12.00,2026-05-26\r\n\
         2025-11-01,26-001,oak chair,purchase,,30.00,EUR,,,\r\n\
         2025-12-20,26-001,oak chair,sale,,150.00,EUR,,,\r\n\
         2026-01-07,26-001,oak chair,taken_back,,150.00,EUR,,,\r\n\
         2026-02-01,26-001,oak chair,sale,,200.00,EUR,,,\n",
    );
}

/// Amounts told in one currency are not added to those of another.
#[test]
fn two_currencies_are_not_added() {
    let shop = four();
    let settings = shop.path("book/book.toml");
    let text = std::fs::read_to_string(&settings).unwrap();
    assert!(text.contains("currency = \"GBP\""), "{text}");
    std::fs::write(&settings, text.replace("GBP", "CHF")).unwrap();
    let refused = shop.run(&["stock", "--money"]).code(2);
    refused.says("26-002 has an amount in GBP, and the book's currency is CHF");
    let none = shop
        .run(&["new-book", "other", "--currency", "XYZ"])
        .code(2);
    none.says("ISO 4217 has no currency `XYZ` today");
}

/// A label bears what is told, and the number to scan; without a seal there is no fingerprint on it.
#[test]
fn labels_are_for_what_is_not_sold() {
    let shop = four();
    shop.run(&["amend", "26-002", "--size", "900x1050x480mm"])
        .code(0);
    let done = shop.run(&["label", "--json"]).code(0).json();
    assert_eq!(done["pieces"], json!(["26-001", "26-002", "26-004"]));
    assert_eq!(done["fingerprint"], json!(null));
    let page = std::fs::read_to_string(done["path"].as_str().unwrap()).unwrap();
    assert!(
        page.contains(
            "900 \u{d7} 1050 \u{d7} 480 mm (35 7&#x2f;16 \u{d7} 41 5&#x2f;16 \u{d7} 18 7&#x2f;8 in)"
        ),
        "{page}"
    );
    assert!(
        !page.contains("[claims") && !page.contains("&quot;good&quot;"),
        "{page}"
    );
    assert!(page.contains(">Side or occasional table</p>"), "{page}");
    shop.run(&["seal"]).code(0);
    let sealed = shop
        .run(&["label", "26-003", "--json", "--out", "one.html"])
        .code(0)
        .json();
    let key = shop.run(&["key", "--json"]).code(0).json();
    assert_eq!(sealed["fingerprint"], key["fingerprint"]);
    shop.run(&["label", "26-009"]).code(2);
}

/// Of a set that is sold one by one, the rest knows it.
#[test]
fn a_set_that_is_parted_says_so() {
    let shop = four();
    for no in ["26-002", "26-004"] {
        shop.run(&["amend", no, "--set", "pair of chairs"]).code(0);
    }
    shop.run(&["sold", "26-002", "--on", "2026-05-26"])
        .says("it is one of a set, and 26-004 is not sold");
    shop.run(&["survey", "26-004"])
        .says("of a set: pair of chairs (with 26-002, which is sold)");
    let survey = shop.run(&["survey", "26-004", "--json"]).json();
    assert_eq!(
        survey["piece"]["of_set_sold"],
        serde_json::json!(["26-002"])
    );
}
