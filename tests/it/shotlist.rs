//! Which pictures to take: text, JSON and the page, through the real program.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::env;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;
use serde_json::json;

use crate::browser;
use crate::shop::Shop;

const STAGES: [&str; 7] = [
    "doorstep", "purchase", "work", "sale", "handover", "delivery", "return",
];

#[test]
fn the_list_for_the_doorstep_fits_a_screen_and_needs_no_book() {
    let shop = Shop::new();
    let words = ["shotlist", "--form", "nightstand", "--stage", "doorstep"];
    shop.run_in(shop.path(""), &words)
        .code(0)
        .stdout(include_str!("../cases/shotlist/nightstand_doorstep.txt"))
        .stderr(
            "mind: Unknown paint may hold lead: do not scrape, rub or sand it.\n\
             mind: Dust, powder and droppings: do not blow or brush. Wash your hands before you eat.\n\
             mind: Lift and turn nothing large or heavy alone, and nothing by the edge of a top.\n\
             with parts, reasons and boxes to tick, for the phone or on paper: add --page\n",
        );
}

#[test]
fn a_form_or_a_piece_is_named_but_not_both() {
    let shop = Shop::with_piece();
    let forms: Vec<_> = asfound::trade::book()
        .forms
        .iter()
        .map(|it| it.id.as_str())
        .collect();
    shop.run(&["shotlist", "--stage", "sale"])
        .code(2)
        .stdout("")
        .stderr("error: the following required arguments were not provided:\n  <NO>\n\nUsage: asfound shotlist --stage <STAGE> <NO>\n\nFor more information, try '--help'.\n");
    shop.run(&["shotlist", "26-001", "--form", "bed", "--stage", "sale"])
        .code(2)
        .stdout("")
        .stderr("error: the argument '[NO]' cannot be used with '--form <FORM>'\n\nUsage: asfound shotlist --stage <STAGE> <NO>\n\nFor more information, try '--help'.\n");
    shop.run(&["shotlist", "--form", "sledge", "--stage", "sale"])
        .code(2)
        .stdout("")
        .stderr(&format!(
            "could not: `sledge` is not a form of the trade book\n  the forms are {}\n",
            forms.join(", ")
        ));
    shop.run(&["shotlist", "26-009", "--stage", "sale"])
        .code(2)
        .stdout("")
        .stderr("could not: there is no piece 26-009 in this book\n  `asfound stock` lists the pieces\n");
}

#[test]
fn intake_and_shotlist_name_the_same_views() {
    let shop = Shop::new();
    shop.book();
    let words = ["intake", "oak bed", "--form", "bed", "--json"];
    let taken = shop.run(&words).code(0).json();
    let list = shop
        .run(&["shotlist", "26-001", "--stage", "purchase", "--json"])
        .code(0)
        .json();
    assert_eq!(taken["shot_list"], list["views"]);
    shop.run(&["intake", "elm bed", "--form", "bed"])
        .code(0)
        .says("asfound shotlist 26-002 --stage purchase --page");
}

#[test]
fn what_the_book_holds_is_left_out_and_faults_come_back_at_the_sale() {
    let shop = Shop::with_piece();
    let ring =
        "[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [10, 10, 20, 20]\n";
    shop.photo("a.jpg", |_| ())
        .file(
            "a.jpg.toml",
            format!("view = \"top_flat\"\n{ring}").as_bytes(),
        )
        .photo("b.jpg", |_| ());
    shop.import();
    let list = |stage: &str| {
        let words = ["shotlist", "26-001", "--stage", stage, "--json"];
        shop.run(&words).code(0).json()
    };
    let bought = list("purchase");
    assert_eq!(bought["held"], json!(["top_flat"]));
    assert_eq!(bought["faults"], json!([]));
    assert_eq!(bought["photos_without_view"], 1);
    let names = |it: &Value| -> Vec<String> {
        let views = it["views"].as_array().unwrap().iter();
        views
            .map(|it| it["view"].as_str().unwrap().to_owned())
            .collect()
    };
    assert!(!names(&bought).contains(&"top_flat".to_owned()));
    let sale = list("sale");
    assert!(names(&sale).contains(&"top_flat".to_owned()));
    let fault = &sale["faults"][0];
    assert_eq!(
        (&fault["finding"], &fault["part"]),
        (&json!("F1"), &json!("top"))
    );
    assert_eq!(
        fault["earlier"],
        json!({"photo": 1, "name": "a.jpg", "view": "top_flat", "stage": "purchase", "day": "2026-05-03"})
    );
    shop.run(&["shotlist", "26-001", "--stage", "sale"])
        .code(0)
        .says("[ ] F1 White ring or haze, top: as picture 1 (top_flat, purchase 2026-05-03)\n");
    // The sale shows it again: nothing more is asked of it.
    shop.photo("after.jpg", |_| ()).file(
        "after.jpg.toml",
        b"view = \"top_flat\"\n[[mark]]\nfinding = \"F1\"\nstate = \"repaired\"\n",
    );
    let card = shop.card("after.jpg");
    let card = card.to_str().unwrap();
    shop.run(&["import", card, "--piece", "26-001", "--stage", "sale"])
        .code(0);
    shop.run(&["shotlist", "26-001", "--stage", "sale"])
        .code(0)
        .says("in the book already: 1 view, F1\n");
    assert_eq!(list("sale")["faults"], json!([]));
}

#[test]
fn the_page_lies_with_the_piece_or_where_it_was_told() {
    let shop = Shop::with_piece();
    let at = |words: &[&str]| {
        let page = shop
            .run(&[&["shotlist"], words, &["--json"]].concat())
            .code(0)
            .json();
        PathBuf::from(page["page"].as_str().unwrap())
    };
    let page = at(&["26-001", "--stage", "sale", "--page"]);
    assert_eq!(page, shop.stored("shot list sale.html"));
    let text = fs::read_to_string(&page).unwrap();
    assert!(text.len() < 60_000, "{}", text.len());
    assert!(text.contains("default-src 'none'") && !text.contains("://"));
    assert!(text.contains("<b>26-001</b> <bdi>walnut table</bdi>"));
    let told = at(&["26-001", "--stage", "sale", "--page", "out/mine.html"]);
    assert_eq!(
        fs::read_to_string(shop.path("book").join(told)).unwrap(),
        text
    );
    let in_folder = at(&["26-001", "--stage", "work", "--page", "out"]);
    assert_eq!(in_folder, Path::new("out/shot list work.html"));
    let bare = at(&["--form", "chair", "--stage", "doorstep", "--page"]);
    assert_eq!(bare, Path::new("shot list doorstep.html"));
    assert!(shop.path("book/shot list doorstep.html").is_file());
    // The page among the shoots is nothing the book trips over.
    shop.run(&["survey", "26-001"]).code(0);
}

#[test]
fn a_title_cannot_act_on_the_page() {
    let shop = Shop::new();
    shop.book().piece("</title><script>alert(1)</script>");
    shop.run(&["shotlist", "26-001", "--stage", "sale", "--page", "x.html"])
        .code(0);
    let text = fs::read_to_string(shop.path("book/x.html")).unwrap();
    assert_eq!(text.matches("<script").count(), 1);
    assert!(!text.contains("alert(1)</script>"));
}

/// The page of a form at a stage.
fn page(shop: &Shop, form: &str, stage: &str) -> PathBuf {
    let name = format!("{form} {stage}.html");
    let words = [
        "shotlist", "--form", form, "--stage", stage, "--page", &name,
    ];
    // One that lies there is left alone.
    let _ = fs::remove_file(shop.path(&name));
    shop.run_in(shop.path(""), &words).code(0);
    shop.path(&name)
}

#[test]
fn the_page_reads_on_a_phone_and_on_a_desk() {
    let shop = Shop::new();
    let page = page(&shop, "dresser_mirror", "purchase");
    let Some(seen) = browser::look(&page) else {
        return;
    };
    for list in ["violations", "requests", "console_errors"] {
        assert_eq!(seen[list], json!([]), "{list}");
    }
    for width in ["360", "1280"] {
        assert_eq!(seen["horizontal_overflow"][width]["px"], 0);
    }
    // All that scripts add is the count and where the ticks are kept.
    assert!(seen["without_script"]["words_only_with_script"].as_u64() < Some(20));
    assert_eq!(seen["h1"], 1);
}

/// What `tests/browser/ticks.mjs` sees.
pub(crate) fn ticks(pages: &[PathBuf]) -> Option<Value> {
    // The look leaves out, or says why not; this is the same browser.
    env::var_os("ASFOUND_BROWSER")?;
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let run = Command::new("node")
        .arg(root.join("tests/browser/ticks.mjs"))
        .args(pages)
        .output()
        .expect("node starts: `bash tests/run` brings it");
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{said}");
    Some(serde_json::from_slice(&run.stdout).expect("one JSON object"))
}

#[test]
fn ticks_stay_and_every_list_prints_on_one_sheet() {
    let shop = Shop::new();
    let forms = shop
        .run_in(shop.path(""), &["words", "forms", "--json"])
        .json();
    let mut pages = vec![page(&shop, "dresser_mirror", "purchase")];
    for form in forms.as_array().unwrap() {
        for stage in STAGES {
            pages.push(page(&shop, form["id"].as_str().unwrap(), stage));
        }
    }
    let Some(seen) = ticks(&pages) else { return };
    let of_ticks = &seen["ticks"];
    assert_eq!(of_ticks["after_tap"], json!(["front_open"]));
    assert_eq!(of_ticks["after_reload"], json!(["front_open"]));
    assert_eq!(of_ticks["count"], "1 of 23 ticked");
    assert!(
        of_ticks["kept"]
            .as_str()
            .unwrap()
            .contains("are kept in this browser")
    );
    assert_eq!(
        of_ticks["other_page"],
        json!([]),
        "each list keeps its own ticks"
    );
    assert_eq!(of_ticks["after_clear"], json!([]));
    let without = &seen["without_storage"];
    assert_eq!(without["after_tap"], json!(["front_open"]));
    assert!(
        without["kept"]
            .as_str()
            .unwrap()
            .contains("does not keep the ticks")
    );
    assert!(seen["smallest_target_px"].as_f64() >= Some(24.0), "{seen}");
    let paper = seen["paper"].as_array().unwrap();
    assert_eq!(paper.len(), pages.len());
    for sheet in paper {
        assert_eq!(
            (&sheet["A4"], &sheet["Letter"]),
            (&json!(1), &json!(1)),
            "{sheet}"
        );
        assert!(sheet["smallest_pt"].as_f64() >= Some(7.99), "{sheet}");
        assert!(sheet["boxes"].as_u64() >= Some(2), "{sheet}");
    }
}

/// A bookcase was said to have a lock, and no list asked for a picture of it.
#[test]
fn a_part_that_was_named_is_asked_for() {
    let shop = Shop::new();
    shop.book();
    let views = |title: &str, with: &[&str]| -> Vec<String> {
        let words = [&["intake", title, "--form", "bookcase", "--json"], with].concat();
        let list = shop.run(&words).code(0).json()["shot_list"].clone();
        let list = list.as_array().unwrap().iter();
        list.map(|it| it["view"].as_str().unwrap().to_owned())
            .collect()
    };
    let plain = views("glazed bookcase", &["--with", "door"]);
    assert!(!plain.contains(&"lock_close".to_owned()), "{plain:?}");
    let mut locked = views("locked bookcase", &["--with", "door,lock"]);
    let asked = locked.iter().filter(|it| *it == "lock_close").count();
    assert_eq!(asked, 1, "{locked:?}");
    locked.retain(|it| it != "lock_close");
    assert_eq!(locked, plain);
    shop.run(&["intake", "open bookcase", "--form", "bookcase", "--with", "lock"])
        .code(2)
        .stderr("could not: no part on the list of this piece has a `lock`\n  name the part that it is on too: `--with door,lock` or `--with drawer,lock`\n");
}
