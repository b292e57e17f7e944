//! Words that entered the book after the pictures of a claim: the first page of a dossier tells them with their own time, and never as old.

use std::fs;

use crate::shop::Ran;
use crate::shop::Shop;

/// The cover's words between two of its headings.
fn part<'a>(cover: &'a str, from: &str, to: &str) -> &'a str {
    let from = cover
        .find(from)
        .unwrap_or_else(|| panic!("{from}: {cover}"));
    let rest = &cover[from..];
    &rest[..rest.find(to).unwrap_or_else(|| panic!("{to}: {rest}"))]
}

/// The first page without its tags, each run of blanks one.
fn cover(shop: &Shop, name: &str) -> String {
    let out = format!("../{name}");
    let words = [
        "dossier",
        "26-001",
        "--claim",
        "transit_break",
        "--folder",
        "--out",
        &out,
    ];
    shop.run(&words).code(0);
    let html = fs::read_to_string(shop.path(name).join("data/cover.html")).unwrap();
    let body = html.split("<body>").nth(1).unwrap();
    let bare = body
        .split('<')
        .map(|it| it.split_once('>').map_or(it, |it| it.1));
    let bare: Vec<&str> = bare.flat_map(str::split_whitespace).collect();
    bare.join(" ").replace("&#x27;", "'")
}

/// A table whose leg splits on the way; `sale` stands beside the picture of the sale from the first.
fn sent(sale: &str) -> Shop {
    let shop = Shop::with_piece();
    shop.photo("../sale/S_1.jpg", |_| ());
    shop.file("../sale/S_1.jpg.toml", sale.as_bytes());
    shop.run(&["import", "../sale", "--piece", "26-001", "--stage", "sale"])
        .code(0);
    shop.run(&["seal"]).code(0);
    shop.photo("../delivery/D_1.jpg", |it| {
        it.time = Some("2026:05:20 10:00:00".to_owned())
    });
    shop.file(
        "../delivery/D_1.jpg.toml",
        b"view = \"part_whole\"\n[[mark]]\ntag = \"split_through\"\npart = \"leg-front-left\"\nbox = [20.0, 20.0, 30.0, 30.0]\n",
    );
    shop.run(&[
        "import",
        "../delivery",
        "--piece",
        "26-001",
        "--stage",
        "delivery",
    ])
    .code(0);
    shop
}

const VIEW: &str = "view = \"part_whole\"\nparts = [\"leg-front-left\"]\n";

fn with_sound() -> String {
    format!("{VIEW}sound = [\"leg-front-left\"]\n")
}

#[test]
fn what_was_written_in_time_answers_the_claim() {
    let shop = sent(&with_sound());
    shop.run(&["seal"]).code(0);
    let cover = cover(&shop, "sent");
    let claim = part(&cover, "Was the damage", "What is missing for an answer");
    assert!(
        claim.contains("says that the leg, front left was sound"),
        "{claim}"
    );
    assert!(!cover.contains("Said later"), "{cover}");
    assert!(!cover.contains("came in ("), "{cover}");
    assert!(
        cover.contains("Words entered 26 May 2026 (line "),
        "{cover}"
    );
}

#[test]
fn what_was_written_after_the_delivery_pictures_does_not_answer_as_if_it_were_old() {
    let shop = sent(VIEW);
    let text = format!("note = \"a late note\"\n{}", with_sound());
    let place = fs::read_dir(shop.piece_folder()).unwrap();
    let mut place = place.map(|it| it.unwrap().path());
    let folder = place.find(|it| it.join("S_1.jpg").is_file()).unwrap();
    fs::write(folder.join("S_1.jpg.toml"), text).unwrap();
    shop.run(&[
        "repair",
        "26-001",
        "--on",
        "top",
        "--method",
        "clean",
        "--day",
        "2026-05-04",
    ])
    .code(0);
    shop.run(&["seal"]).code(0);
    let cover = cover(&shop, "sent");
    let claim = part(&cover, "Was the damage", "What is missing for an answer");
    assert!(
        !claim.contains("says that the leg, front left was sound"),
        "{claim}"
    );
    let later = "Said later, beside picture 1: sound, leg, front left; written into the book on 26 May 2026 (line ";
    assert!(claim.contains(later), "{claim}");
    let after = ", seal 2), after the pictures of the delivery came in (26 May 2026, line ";
    assert!(claim.contains(after), "{claim}");
    assert!(
        cover.contains("The record says so only since the pictures of the claim came into the book: see Said later"),
        "{cover}"
    );
    let beside = part(&cover, "Words entered", "SHA-256");
    assert!(beside.contains("the view: 26 May 2026 (line "), "{beside}");
    assert!(beside.contains("seal 1)."), "{beside}");
    assert!(
        beside.contains("the note; sound, leg, front left: 26 May 2026 (line "),
        "{beside}"
    );
    let dates = part(&cover, "Each with whose word it is", "How to check");
    assert!(
        dates.contains("entered, after the pictures of the delivery came in"),
        "{dates}"
    );
    let told = "; entered on 26 May 2026 (line ";
    let repair = part(dates, "Repair 1: ", "the owner's statement");
    assert!(repair.contains(told) && repair.contains(after), "{repair}");
}

/// The owner's day of a sale is no day of entry.
#[test]
fn a_sale_has_the_day_on_which_it_was_told() {
    let shop = sent(VIEW);
    // Told after that day: it asks to look, and takes it.
    shop.run(&["sold", "26-001", "--on", "2026-05-10"]).code(1);
    shop.run(&["seal"]).code(0);
    let cover = cover(&shop, "sent");
    let sale = part(
        &cover,
        "Sold, as told by the owner",
        "the owner's statement",
    );
    assert!(sale.contains("; entered on 26 May 2026 (line "), "{sale}");
    assert!(
        sale.contains("after the pictures of the delivery came in"),
        "{sale}"
    );
}

fn seal_at(shop: &Shop, now: &str, more: &[&str]) -> Ran {
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    Ran::of(command.arg("seal").args(more).env("ASFOUND_NOW", now))
}

#[test]
fn a_seal_that_would_be_dated_before_what_it_covers_is_asked_about() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["seal"]).code(0);
    shop.photo("../sale/S_1.jpg", |_| ());
    shop.run(&["import", "../sale", "--piece", "26-001", "--stage", "sale"])
        .code(0);
    let early = "2026-03-01T09:00:00Z";
    seal_at(&shop, early, &[])
        .code(2)
        .says("the clock went back: it says 2026-03-01")
        .says("--clock-was-ahead");
    seal_at(&shop, early, &["--clock-was-ahead"]).code(0);
    let cover = cover(&shop, "sent");
    assert!(
        cover.contains("the maker's clock was set back between them"),
        "{cover}"
    );
}

#[test]
fn a_dossier_is_not_written_into_another_and_leaves_out_or_puts_in() {
    let shop = sent(VIEW);
    shop.run(&["seal"]).code(0);
    let words = ["dossier", "26-001", "--folder", "--out", "../sent"];
    shop.run(&words).code(0);
    shop.run(&words)
        .code(2)
        .says("which any new file would spoil");
    shop.run(&["verify", "../sent"]).code(0).says("intact");
    let both = ["dossier", "26-001", "--stripped", "--with-private"];
    shop.run(&both)
        .code(2)
        .says("only one of them can be meant");
}

/// A report from before a picture came in cannot hold it.
#[test]
fn who_takes_a_picture_out_hears_of_the_reports_that_can_hold_it() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["report", "26-001"]).code(0);
    shop.photo("../sale/S_1.jpg", |_| ());
    shop.run(&["import", "../sale", "--piece", "26-001", "--stage", "sale"])
        .code(0);
    let out = |no: &str| {
        let words = [
            "remove", "26-001", "--photo", no, "--why", "a face", "--json",
        ];
        shop.run(&words).code(0).json()
    };
    assert_eq!(out("3")["editions"], serde_json::json!([]));
    assert_eq!(out("2")["editions"], serde_json::json!([1]));
}

/// What the newest line of a kind tells anybody.
fn newest_line(shop: &Shop, what: &str) -> serde_json::Value {
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    let mut ask = db
        .prepare("SELECT line FROM ledger ORDER BY no DESC")
        .unwrap();
    let rows = ask.query_map([], |row| row.get::<_, String>(0)).unwrap();
    let mut all = rows.map(|it| serde_json::from_str::<serde_json::Value>(&it.unwrap()).unwrap());
    let line = all.find(|it| it["what"] == what).unwrap();
    line["open"].clone()
}

/// That a part is not there can be told of the piece at any time: it has the day and the line of that time everywhere.
#[test]
fn what_is_told_absent_after_the_complaint_is_not_told_as_old() {
    let shop = sent(&with_sound());
    shop.run(&["sold", "26-001", "--on", "2026-05-10"]);
    let told = [
        "amend",
        "26-001",
        "--absent",
        "leg-front-left,leg-back-left",
    ];
    shop.run(&told)
        .code(1)
        .stdout("26-001  walnut table\n")
        .says("told as not there now: leg-front-left, leg-back-left")
        .says("`leg-front-left` is told not to be there, and picture 1 of 3 May 2026 says that `leg-front-left` was sound")
        .says("and F1 is marked on it in picture 2 of 20 May 2026")
        .says("that is told after it was sold on 2026-05-10");
    let open = newest_line(&shop, "piece");
    assert_eq!(
        open["absent"],
        serde_json::json!(["leg-front-left", "leg-back-left"])
    );
    assert_eq!(open["never_had"], serde_json::json!([]));
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    let cover = cover(&shop, "sent");
    assert!(!cover.contains("when the piece came in"), "{cover}");
    let claim = part(&cover, "Was the damage", "What is missing for an answer");
    let later = "Said later, beside no picture: not there: Leg, front left; written into the book on 26 May 2026 (line ";
    assert!(claim.contains(later), "{claim}");
    assert!(
        claim.contains("after the pictures of the delivery came in"),
        "{claim}"
    );
    let dates = part(&cover, "Each with whose word it is", "How to check");
    let row = "Told of the piece, beside no picture: not there: Leg, front left; Leg, back left; entered on 26 May 2026 (line ";
    let row = part(dates, row, "the clock of the owner");
    assert!(
        row.contains("after the pictures of the delivery came in"),
        "{row}"
    );
    assert!(
        cover.contains(
            "Of these as told of the piece, beside no picture: Leg, back left on 26 May 2026 (line "
        ),
        "{cover}"
    );
    shop.run(&["verify", "../sent"]).code(0);
    let page = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(page["path"].as_str().unwrap()).unwrap();
    assert!(
        page.contains("as told of the piece on 26 May 2026 (line "),
        "{page}"
    );
    // The list is told as a whole: what is no more on it is named, and the page of dates has it.
    let again = shop.run(&["amend", "26-001", "--absent", "leg-back-left"]);
    again
        .says("told as not there now: leg-back-left")
        .says("no more told as lacking: leg-front-left");
    shop.run(&["amend", "26-001", "--never-had", "leg-back-right"])
        .says("told as never had now: leg-back-right");
    shop.run(&["seal"]).code(0);
    let cover = self::cover(&shop, "again");
    for row in [
        "no more told as not there: Leg, front left; entered on 26 May 2026",
        "beside no picture: never had: leg-back-right; entered on 26 May 2026",
    ] {
        assert!(cover.contains(row), "{row}: {cover}");
    }
    shop.run(&["verify"]).code(0);
}

/// What was told at intake has the day of that, and a later word about something else leaves it.
#[test]
fn what_was_told_absent_at_intake_keeps_its_line() {
    let shop = Shop::new();
    shop.book();
    let words = [
        "intake",
        "a table",
        "--form",
        "side_table",
        "--absent",
        "leg-back-left",
    ];
    shop.run(&words).code(0);
    shop.ready("");
    shop.run(&["amend", "26-001", "--weight", "9 kg"])
        .code(0)
        .stderr("");
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    let parts = survey["parts"].as_array().unwrap();
    let leg = parts
        .iter()
        .find(|it| it["part"] == "leg-back-left")
        .unwrap();
    assert_eq!(
        leg["said"][0]["told"],
        serde_json::json!({"on": "2026-05-26", "line": 1}),
        "{leg:#}"
    );
}

/// A dossier of copies says that no original is in it, on its first page and when it is checked; a paper is never copied.
#[test]
fn a_stripped_dossier_does_not_claim_originals() {
    let shop = sent(VIEW);
    shop.photo("../paper/P_1.jpg", |it| {
        it.place = Some((48.2082, 16.3738, 171.0))
    });
    let paper = shop.path("paper/P_1.jpg").display().to_string();
    shop.run(&["keep", "26-001", &paper]).code(0);
    shop.run(&["seal"]).code(0);
    let words = [
        "dossier",
        "26-001",
        "--folder",
        "--stripped",
        "--out",
        "../stripped",
    ];
    let said = shop.run(&words).code(0);
    assert!(
        !said.err().contains("--stripped copies without it"),
        "{said}"
    );
    said.says("no copy of one is ever made: take the place out of it yourself");
    let cover = fs::read_to_string(shop.path("stripped/data/cover.html")).unwrap();
    assert!(!cover.contains("original files"), "{cover}");
    assert!(
        cover.contains("No original file is enclosed; the copy in its place is named under each.")
    );
    shop.run(&["verify", "../stripped"])
        .code(0)
        .says("0 of 2 originals enclosed, 2 kept back.");
    let words = ["dossier", "26-001", "--folder", "--out", "../whole"];
    shop.run(&words).code(0);
    let cover = fs::read_to_string(shop.path("whole/data/cover.html")).unwrap();
    assert!(cover.contains("The original files are those named under each."));
}
