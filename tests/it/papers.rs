//! What a shop prints: its name, address, telephone number and logo on every paper, and the report as PDF.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::process::Command;

use samples::Exif;

use crate::browser::leave_out;
use crate::browser::one_at_a_time;
use crate::shop::Ran;
use crate::shop::Shop;

/// A shop with a piece that is ready for a report.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nsize = \"70 mm\"\nbox = [20.0, 20.0, 30.0, 30.0]\n");
    shop
}

#[test]
fn the_shops_own_words_and_logo_are_on_every_paper() {
    let shop = shop();
    let book = shop.path("book/book.toml");
    let text = "trading_name = \"The Shed\"\naddress = \"1 Example Street, Exampletown\"\nphone = \"+00 000 0000\"\ncontact = \"shed@example.org\"\n";
    fs::write(&book, text).unwrap();
    fs::write(
        shop.path("book/logo.png"),
        samples::png(400, 200, &Exif::default()),
    )
    .unwrap();
    shop.run(&["seal"]).code(0);
    let read =
        |answer: serde_json::Value| fs::read_to_string(answer["path"].as_str().unwrap()).unwrap();
    let report = read(shop.run(&["report", "26-001", "--json"]).code(0).json());
    let sheet = read(shop.run(&["handover", "26-001", "--json"]).code(0).json());
    shop.run(&["dossier", "26-001", "--folder", "--out", "../sent"]);
    let cover = fs::read_to_string(shop.path("sent/data/cover.html")).unwrap();
    for (name, page) in [("report", report), ("sheet", sheet), ("cover", cover)] {
        let shown = page.split_once("<div class=\"shop\">").map(|it| it.1);
        let shown = shown.unwrap_or_else(|| panic!("no shop on the {name}"));
        let shown = shown.split_once("</div>").unwrap().0;
        for text in [
            "The Shed",
            "1 Example Street, Exampletown",
            "+00 000 0000",
            "shed@example.org",
            "<img src=\"data:image/jpeg;base64,",
        ] {
            assert!(shown.contains(text), "{text} is not on the {name}: {shown}");
        }
    }
}

#[test]
fn the_sheet_draws_the_faults_that_it_lists() {
    let shop = shop();
    shop.run(&["seal"]).code(0);
    let sheet = shop.run(&["handover", "26-001", "--json"]).code(0).json();
    let page = fs::read_to_string(sheet["path"].as_str().unwrap()).unwrap();
    assert!(page.contains("<li id=\"finding-1\""));
    assert!(
        page.contains("<a href=\"#finding-1\" aria-label=\"1: "),
        "{page}"
    );
    assert_eq!(page.matches("<p class=\"blank\">Place</p>").count(), 2);
}

#[test]
fn where_no_browser_is_found_one_line_says_how_to_print() {
    let shop = shop();
    let mut call = shop.command(env!("CARGO_BIN_EXE_asfound"));
    call.current_dir(shop.path("book"))
        .env("PATH", "")
        .args(["report", "26-001", "--pdf"]);
    // Where one lies in a usual place without PATH, there is nothing to see.
    let ran = Ran::of(&mut call);
    if ran.err().contains("was found") {
        ran.code(1).says("choose Print");
    }
}

/// The title, the language and the tags that a reader's machine reads aloud by (ISO 32000-1, 14.3.3, 14.8 and 14.9.2).
#[test]
fn the_pdf_has_title_language_and_tags() {
    if std::env::var_os("ASFOUND_BROWSER").is_none() {
        leave_out();
        return;
    }
    let shop = shop();
    let _one = one_at_a_time();
    let made = shop
        .run(&["report", "26-001", "--pdf", "--json"])
        .code(0)
        .json();
    let pdf = made["pdf"].as_str().unwrap();
    let told = Command::new("pdfinfo").arg(pdf).output().unwrap();
    let told = String::from_utf8_lossy(&told.stdout).into_owned();
    assert!(told.contains("Condition report 26-001"), "{told}");
    let tagged = told
        .lines()
        .any(|it| it.starts_with("Tagged:") && it.ends_with("yes"));
    assert!(tagged, "{told}");
    let bytes = fs::read(pdf).unwrap();
    assert!(bytes.windows(8).any(|it| it == b"/Lang (e"), "no language");
    let folder = std::path::Path::new(pdf).parent().unwrap();
    let left = fs::read_dir(folder)
        .unwrap()
        .map(|it| it.unwrap().file_name());
    let left: Vec<_> = left
        .filter(|it| it.to_string_lossy().ends_with(".browser"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}
