//! A sale: told, put right, shown to whom it concerns and to nobody else.

use std::fs;

use serde_json::Value;
use serde_json::json;

use crate::shop::Shop;

/// Words that are the owner's alone.
const PRIVATE: [&str; 3] = ["420.50", "the couple from the mill", "paid in two parts"];

fn sold() -> Shop {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&[
        "sold",
        "26-001",
        "--on",
        "2026-05-26",
        "--price",
        "420.50",
        "--to",
        "the couple from the mill",
        "--note",
        "paid in two parts",
    ])
    .code(0)
    .stdout("26-001 sold on 2026-05-26; private: EUR 420.50, the couple from the mill, paid in two parts\n");
    shop
}

fn ledger(shop: &Shop) -> Vec<(Value, Option<String>)> {
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    let mut ask = db
        .prepare("SELECT line, private FROM ledger ORDER BY no")
        .unwrap();
    let rows = ask.query_map([], |row| {
        let line: String = row.get(0)?;
        Ok((line, row.get(1)?))
    });
    let line = |it: rusqlite::Result<(String, Option<String>)>| {
        let (line, private) = it.unwrap();
        (serde_json::from_str(&line).unwrap(), private)
    };
    rows.unwrap().map(line).collect()
}

/// Whoever takes a piece on which somebody may come to harm is told so: by the label on it, and by who sells it.
#[test]
fn what_is_not_to_be_used_is_sold_and_labelled_as_such() {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"broken_member\"\npart = \"leg-front-left\"\nlevel = 4\n");
    let labels = shop.run(&["label", "26-001", "--out", "-"]).code(0);
    let labels = labels.out();
    assert!(
        labels.contains("Not to be used until it is repaired"),
        "{labels}"
    );
    let sold = ["sold", "26-001", "--on", "2026-05-26"];
    let told = shop.run(&sold).code(0);
    let told = told.err();
    assert!(
        told.contains("Not to be used until it is repaired"),
        "{told}"
    );
    assert!(told.contains("level 4, seen once, "), "{told}");
}

/// Lead, a live beetle and a part that fails: the label says all three in full, on the size that is cut; and a sale reads the sidecar
/// that was just written.
#[test]
fn a_label_and_a_sale_tell_all_that_a_buyer_has_to_know() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["amend", "26-001", "--size", "900x1050x480mm"])
        .code(0);
    let photo = shop
        .stored_names()
        .into_iter()
        .find(|it| it.ends_with("IMG_1.jpg.toml"));
    let sidecar = shop.stored(&photo.unwrap());
    let mut text = fs::read_to_string(&sidecar).unwrap();
    let sound = text.find("sound = [").unwrap();
    let end = sound + text[sound..].find('\n').unwrap();
    text.replace_range(sound..end, "sound = [\"leg-back-left\"]");
    for (tag, part, level) in [
        ("broken_member", "leg-front-left", 4),
        ("lead_paint", "top", 4),
        ("worm_active", "leg-front-right", 3),
    ] {
        let mark = format!("\n[[mark]]\ntag = \"{tag}\"\npart = \"{part}\"\nlevel = {level}\n");
        text.push_str(&mark);
    }
    fs::write(&sidecar, text).unwrap();
    let sold = shop.run(&["sold", "26-001", "--on", "2026-05-26"]).code(0);
    let told = sold.err().to_lowercase();
    for said in [
        "Not to be used until it is repaired:",
        "Lead was found in the paint:",
        "Wood-boring insects:",
        "Live beetle attack, ",
    ] {
        assert!(told.contains(&said.to_lowercase()), "{said}: {told}");
    }
    let next = shop.run(&["survey", "26-001"]).code(0);
    let next = next.out();
    assert_eq!(next.matches("Tell who has it: ").count(), 3, "{next}");
    shop.run(&["seal"]).code(0);
    shop.run(&["label", "26-001", "--out", "label.html"])
        .code(0);
    let Some(seen) = crate::browser::labels(&shop.path("book/label.html")) else {
        return;
    };
    let label = &seen["labels"][0];
    assert_eq!(label["cut"], json!([]));
    let height = label["height_mm"].as_f64().unwrap();
    assert!((height - 52.0).abs() < 0.5, "{height}");
}

/// The commonest event of a shop: the buyer does not come back. What was told stays in the ledger, and nothing is amiss.
#[test]
fn a_sale_that_fell_through_is_taken_back() {
    let shop = sold();
    shop.run(&["seal"]).code(0);
    let nothing = shop
        .run(&["sold", "26-001", "--to", "none", "--note", "none"])
        .code(0);
    nothing.stdout("26-001 sold on 2026-05-26; private: EUR 420.50\n");
    let back = [
        "sold",
        "26-001",
        "--fell-through",
        "--note",
        "they never came",
    ];
    shop.run(&back)
        .code(0)
        .says("26-001 is not sold: the sale told for 2026-05-26 is taken back");
    shop.run(&back).code(2).says("no sale of 26-001 is told");
    assert_eq!(
        shop.run(&["survey", "26-001", "--json"]).json()["sold"],
        json!(null)
    );
    assert_eq!(shop.run(&["stock", "--json"]).json()[0]["state"], "bought");
    let survey = shop.run(&["survey", "26-001"]).code(0);
    survey.says("2026-05-26, taken back on 2026-05-26; private: they never came, EUR 420.50");
    shop.run(&["verify"]).code(0).says("intact");
    let last = ledger(&shop).pop().unwrap();
    assert_eq!(
        (&last.0["what"], &last.0["open"]),
        (
            &json!("unsold"),
            &json!({"day": "2026-05-26", "on": "2026-05-26"})
        )
    );
    assert!(last.1.unwrap().contains("they never came"));
    // A row that comes back without a line is named.
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    db.execute("INSERT INTO sale (piece, day, told) SELECT id, '2026-05-26', '{\"day\":\"2026-05-26\",\"price\":null,\"to\":null,\"note\":null}' FROM piece", [])
        .unwrap();
    shop.run(&["verify"])
        .code(1)
        .says("what was told of its sale is not what the ledger says");
    db.execute("DELETE FROM sale", []).unwrap();
    shop.run(&["sold", "26-001", "--on", "2026-05-26"]).code(0);
    shop.run(&["verify"]).code(0);
    shop.run(&["seal"]).code(0);
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let folder = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let cover = fs::read_to_string(format!("{folder}/data/cover.html")).unwrap();
    // The ledger in it has the line of the sale that fell through, and so does the page of dates.
    assert_eq!(cover.matches("Told as sold; taken back on").count(), 1);
    assert_eq!(cover.matches("Sold, as told by the owner").count(), 1);
}

/// It has a day of its own, which the page of dates tells as told, beside the day on which that was entered.
#[test]
fn a_sale_that_fell_through_has_the_day_that_was_told() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["sold", "26-001", "--on", "2026-05-08"]);
    let back = ["sold", "26-001", "--fell-through", "--on", "2026-05-20"];
    shop.run(&back).code(0).says("2026-05-20");
    let line = ledger(&shop).pop().unwrap();
    assert_eq!(
        line.0["open"],
        json!({"day": "2026-05-08", "on": "2026-05-20"})
    );
    shop.run(&["seal"]).code(0);
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let folder = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let cover = fs::read_to_string(format!("{folder}/data/cover.html")).unwrap();
    assert_eq!(
        cover.matches("taken back on 20 May 2026").count(),
        1,
        "{cover}"
    );
    let row = cover.find("Sale taken back, as told by the owner; entered on 26 May 2026 (line ");
    let row = row.expect("a row of its own");
    let before = &cover[..row];
    assert!(
        before[before.len() - 100..].contains("20 May 2026"),
        "{cover}"
    );
    shop.run(&["verify", &folder]).code(0);
}

/// Two days of one piece that cannot both be right are told by whichever command tells the second of them.
#[test]
fn days_that_cannot_be_are_told_by_every_command() {
    let shop = Shop::with_piece();
    shop.ready("");
    let repair = |day: &str| {
        let words = ["repair", "26-001", "--whole-piece", "--method", "clean"];
        shop.run(&[&words[..], &["--day", day]].concat())
    };
    shop.run(&["amend", "26-001", "--bought-on", "2026-05-01"])
        .code(0);
    repair("2026-04-20").says("repair 1 is dated 2026-04-20, before it was bought on 2026-05-01");
    repair("2026-05-25").code(0);
    shop.run(&["sold", "26-001", "--on", "2026-05-24"])
        .code(1)
        .says("repair 2 is dated 2026-05-25, after it was sold on 2026-05-24");
    shop.run(&["amend", "26-001", "--bought-on", "2026-05-25"])
        .code(1)
        .says("sold on 2026-05-24, before it was bought on 2026-05-25")
        .says("repair 1 is dated 2026-04-20")
        .says("pictures are of");
    let late = |it: &mut samples::Exif| {
        *it = samples::Exif::taken("2026:05:26 10:00:00");
    };
    shop.photo("LATE.jpg", late);
    shop.run(&["import", "../card", "--piece", "26-001", "--stage", "sale"])
        .says("the sale pictures are of 2026-05-26, after it was sold on 2026-05-24");
}

#[test]
fn a_sale_is_shown_where_it_belongs_and_nowhere_else() {
    let shop = sold();
    shop.run(&["survey", "26-001"])
        .code(0)
        .says("sold on 2026-05-26");
    let survey = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    assert_eq!(
        survey["sold"],
        json!({"day": "2026-05-26", "price": {"minor": 42050, "currency": "EUR"},
            "to": "the couple from the mill", "note": "paid in two parts"})
    );
    shop.run(&["stock"]).code(0).says(", sold 2026-05-26");
    let stock = shop.run(&["stock", "--json"]).code(0).json();
    assert_eq!(stock[0]["sold"], "2026-05-26");
    let page = |words: &[&str]| {
        let made = shop.run(&[&["report", "26-001", "--json"], words].concat());
        let path = made.code(0).json()["path"].as_str().unwrap().to_owned();
        fs::read_to_string(path).unwrap()
    };
    let (buyer, owner) = (page(&[]), page(&["--for", "owner"]));
    for text in PRIVATE {
        assert!(owner.contains(text), "{text}");
        assert!(!buyer.contains(text), "{text}");
    }
    assert!(owner.contains("26 May 2026"));
    shop.run(&["seal"]).code(0);
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let folder = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let cover = fs::read_to_string(format!("{folder}/data/cover.html")).unwrap();
    assert!(cover.contains("Sold, as told by the owner"));
    for file in walkdir::WalkDir::new(&folder) {
        let file = file.unwrap();
        if file.file_type().is_file() {
            let bytes = fs::read(file.path()).unwrap();
            for text in PRIVATE {
                let holds = bytes.windows(text.len()).any(|it| it == text.as_bytes());
                assert!(!holds, "{text} in {}", file.path().display());
            }
        }
    }
    shop.run(&["verify"]).code(0);
}

#[test]
fn said_again_it_is_put_right_and_the_former_words_stay_in_the_ledger() {
    let shop = sold();
    shop.run(&["sold", "26-001"])
        .code(2)
        .stdout("")
        .stderr("could not: that is what was told of the sale of 26-001 before\n  give what is to be put right: --on, --price, --to or --note\n");
    shop.run(&["sold", "26-001", "--on", "2026-05-27"])
        .code(2)
        .stdout("")
        .stderr("could not: 2026-05-27 lies in the future: today is 2026-05-26\n  tell the sale when it is done\n");
    let again = ["sold", "26-001", "--price", "400", "--json"];
    let done = shop.run(&again).code(0).json();
    assert_eq!(done["day"], "2026-05-26");
    assert_eq!(done["to"], "the couple from the mill");
    assert_eq!(done["price"]["minor"], 40000);
    let lines = ledger(&shop);
    let sales: Vec<_> = lines.iter().filter(|it| it.0["what"] == "sale").collect();
    assert_eq!(sales.len(), 2);
    for (sale, price) in sales.iter().zip([42050, 40000]) {
        assert_eq!(sale.0["open"], json!({"day": "2026-05-26"}));
        let private: Value = serde_json::from_str(sale.1.as_ref().unwrap()).unwrap();
        assert_eq!(private["told"]["price"]["minor"], price);
        assert_eq!(private["salt"].as_str().unwrap().len(), 32);
    }
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
}

/// What a claim lacks is measured against the day of the sale that is in force, and is told before anything is written.
#[test]
fn a_dossier_goes_by_the_sale_that_was_told_last() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["report", "26-001"]).code(0);
    // The day before the piece came is a slip, of which the program tells, and which is put right.
    for (day, code) in [("2026-05-04", 1), ("2026-05-26", 0)] {
        shop.run(&["sold", "26-001", "--on", day]).code(code);
    }
    shop.run(&["seal"]).code(0);
    let asked = ["dossier", "26-001", "--claim", "hidden_fault", "--dry-run"];
    let said = shop.run(&asked).code(0);
    said.says("still missing for this claim");
    let missing = shop.run(&[&asked[..], &["--json"]].concat()).code(0).json();
    let missing = missing["missing_for_claim"].to_string();
    assert!(!missing.contains("4 May 2026"), "{missing}");
}

#[test]
fn a_sale_before_the_piece_came_is_told() {
    let shop = Shop::with_piece();
    shop.run(&["sold", "26-001", "--on", "2026-05-25"])
        .code(1)
        .says("sold on 2026-05-25, before it was entered in the book on 2026-05-26");
    shop.run(&["amend", "26-001", "--bought-on", "2026-05-20"])
        .code(0);
    // Of a piece that was entered late, the day of purchase counts.
    shop.run(&["sold", "26-001", "--on", "2026-05-22"])
        .code(0)
        .says("2026-05-25, as told before, stays in the ledger");
    shop.run(&["sold", "26-001", "--on", "2026-05-19"])
        .code(1)
        .says("before it was bought on 2026-05-20");
    // The dates of a dossier show the last word as the sale, and that there was another.
    shop.run(&["seal"]).code(0);
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let folder = made.code(0).json()["path"].as_str().unwrap().to_owned();
    let cover = fs::read_to_string(format!("{folder}/data/cover.html")).unwrap();
    assert_eq!(cover.matches("Sold, as told by the owner").count(), 1);
    assert_eq!(cover.matches("Told as the day of the sale").count(), 2);
}

/// A line of the ledger never goes: what has not happened yet gets none.
#[test]
fn a_repair_that_is_not_done_yet_is_refused() {
    let shop = Shop::with_piece();
    shop.run(&["repair", "26-001", "F1", "--method", "key", "--day", "2026-05-27"])
        .code(2)
        .stdout("")
        .stderr("could not: 2026-05-27 lies in the future: today is 2026-05-26\n  tell the repair when it is done\n");
}

#[test]
fn a_sale_that_the_ledger_does_not_know_is_noticed() {
    let shop = sold();
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    let change = |sql: &str| {
        assert_eq!(db.execute(sql, []).unwrap(), 1);
        shop.run(&["verify"])
            .code(1)
            .says("altered")
            .says("26-001: what was told of its sale is not what the ledger says");
    };
    change("UPDATE sale SET told = replace(told, '42050', '52050')");
    change("DELETE FROM sale");
}

/// An occasion that does not go with its day is told when a shoot is put right.
#[test]
fn a_shoot_is_not_called_what_its_day_cannot_be() {
    let shop = Shop::with_piece();
    shop.ready("");
    let call = |stage: &str| {
        let words = ["amend", "26-001", "--shoot", "1", "--stage", stage];
        shop.run(&words)
    };
    call("delivery")
        .code(1)
        .says("delivery pictures, and no sale is told: `asfound sold 26-001` tells it");
    call("purchase").code(0);
    shop.run(&["amend", "26-001", "--bought-on", "2026-05-01"])
        .code(0);
    call("doorstep")
        .code(1)
        .says("the doorstep pictures are of 2026-05-03, after it was bought on 2026-05-01");
    call("purchase").code(0);
    let repair = ["repair", "26-001", "--whole-piece", "--method", "clean"];
    shop.run(&[&repair[..], &["--day", "2026-05-02"]].concat());
    call("purchase")
        .code(1)
        .says("the purchase pictures are of 2026-05-03, after repair 1 of 2026-05-02");
    shop.run(&["sold", "26-001", "--on", "2026-05-20"]);
    for stage in ["handover", "delivery", "return"] {
        call(stage)
            .code(2)
            .says("of 2026-05-03 by its camera, before it was sold on 2026-05-20");
    }
}
