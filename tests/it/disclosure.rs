//! What a dossier tells beside what its pictures show: said before it is written, and kept back unless it is asked for.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::proof::files;
use crate::proof::folder;
use crate::shop::Shop;

const PLACE: Option<(f64, f64, f64)> = Some((48.2082, 16.3738, 171.0));

/// A sealed book: three photos of the owner, one with a place, and two of the time after the sale with a place, of which the
/// second is by the owner's own camera.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    let own = |it: &mut samples::Exif| {
        it.model = Some("Box 2".to_owned());
        it.serial = Some("A-77".to_owned());
    };
    shop.photo("IMG_1.jpg", |it| {
        own(it);
        it.artist = Some("Ann Ohm".to_owned());
    });
    shop.photo("IMG_2.jpg", |it| {
        own(it);
        it.place = PLACE;
        it.orientation = Some(6);
    });
    shop.photo("IMG_3.jpg", |it| {
        it.changed = Some("2026:05:09 10:00:00".to_owned())
    });
    shop.file(
        "IMG_1.jpg.toml",
        b"view = \"front_whole\" # ask Ann about the key\n",
    );
    shop.import();
    shop.run(&[
        "remove",
        "26-001",
        "--photo",
        "3",
        "--why",
        "uncle Franz in the mirror",
    ])
    .code(0);
    shop.photo("../back/IMG_4.jpg", |it| {
        it.model = Some("Other 1".to_owned());
        it.place = PLACE;
    });
    shop.photo("../back/IMG_5.jpg", |it| {
        own(it);
        it.place = PLACE;
    });
    shop.run(&[
        "import", "../back", "--piece", "26-001", "--stage", "return",
    ]);
    let paper = samples::with_segment(
        &samples::jpeg_bare(64, 48),
        0xe1,
        &samples::xmp("photoshop:City=\"Linz\""),
    );
    shop.file("../paper.jpg", &paper);
    shop.run(&["keep", "26-001", "../paper.jpg"]).code(0);
    shop.run(&["seal"]).code(0);
    shop
}

/// Four pictures were entered and one was taken out: the first page named three, as if there had been no other.
#[test]
fn the_first_page_names_what_was_taken_out() {
    let shop = shop();
    let made = folder(&shop, &[]);
    let cover = fs::read_to_string(made.join("data/cover.html")).unwrap();
    for said in [
        "Picture 3 (purchase, IMG_3.jpg) was taken out of the record on 26 May 2026 (line ",
        "The reason that the owner gave: \u{201c}uncle Franz in the mirror\u{201d}. Its file and its sidecar are not enclosed.",
        "Purchase: 3 pictures taken into the book, 1 of which taken out of the record later",
        "Picture 3 (purchase) taken out of the record",
        "Written beside a picture that was taken out of the record (1): the sidecar of photo 3 (line ",
    ] {
        assert!(cover.contains(said), "`{said}` is not in {cover}");
    }
    shop.run(&["verify".as_ref(), made.as_os_str()])
        .says("intact");
}

fn whats(list: &Value) -> Vec<&str> {
    let list = list.as_array().unwrap().iter();
    list.map(|it| it["what"].as_str().unwrap()).collect()
}

fn dry(shop: &Shop, words: &[&str]) -> Value {
    let all = [&["dossier", "26-001", "--dry-run", "--json"], words].concat();
    shop.run(&all).code(0).json()
}

#[test]
fn what_it_tells_is_said_before_it_is_written() {
    let shop = shop();
    let told = dry(&shop, &[]);
    let it = &told["discloses"];
    // The buyer's own picture stays; what the owner's camera wrote at the buyer's does not go out.
    assert_eq!(whats(&it["places"]), ["photo 4, IMG_4.jpg"]);
    assert_eq!(it["names"][0]["says"][0], "Ann Ohm");
    assert_eq!(whats(&it["serials"]), ["photo 1, IMG_1.jpg"]);
    assert_eq!(it["comments"][0]["says"][0], "ask Ann about the key");
    assert_eq!(it["removals"][0]["says"][0], "uncle Franz in the mirror");
    let out = ["photo 2, IMG_2.jpg", "photo 5, IMG_5.jpg", "paper.jpg"];
    let places = told["left_out"].as_array().unwrap().iter();
    let places: Vec<&str> = places
        .filter(|it| it["why"] == "place")
        .map(|it| it["what"].as_str().unwrap())
        .collect();
    assert_eq!(places, out);
    assert!(
        !shop.piece_folder().join("dossiers").exists(),
        "nothing is written"
    );
    let mut said = shop.run(&["dossier", "26-001", "--dry-run"]).code(0);
    for words in [
        "Ann Ohm",
        "A-77",
        "ask Ann about the key",
        "uncle Franz",
        "kept back",
    ] {
        said = said.says(words);
    }
    let all = dry(&shop, &["--with-places"]);
    assert_eq!(whats(&all["discloses"]["places"]).len(), 4);
}

#[test]
fn nothing_of_a_place_leaves_the_book_unasked() {
    let shop = shop();
    for (path, bytes) in files(&folder(&shop, &[])) {
        let found = asfound::photo::disclosed(&bytes);
        let buyers = path.ends_with("IMG_4.jpg");
        assert_eq!(found.may_hold_a_place(), buyers, "{path}: {found:?}");
    }
}

#[test]
fn copies_without_camera_facts_stand_beside_the_digest_of_their_originals() {
    let shop = shop();
    let made = folder(&shop, &["--stripped"]);
    let copy = made.join("data/copies/1-purchase/IMG_2.jpg.copy.jpg");
    let bytes = fs::read(copy).unwrap();
    let original = shop.stored("1 purchase 2026-05-03/IMG_2.jpg");
    assert_eq!(pixels(&bytes), pixels(&fs::read(original).unwrap()));
    assert_eq!(
        asfound::photo::disclosed(&bytes),
        asfound::photo::Disclosed::default()
    );
    let about = fs::read_to_string(made.join("data/copies/about.txt")).unwrap();
    assert!(
        about.contains(
            "a copy of photo 2, IMG_2.jpg, without all that its file holds beside the picture"
        ),
        "{about}"
    );
    let cover = fs::read_to_string(made.join("data/cover.html")).unwrap();
    let cover = cover.replace("&#x2f;", "/");
    assert!(cover.contains("copies/1-purchase/IMG_2.jpg.copy.jpg"));
    let verify = |path: &Path| shop.run(&["verify".as_ref(), path.as_os_str()]);
    let found = verify(&made).code(0);
    found
        .says("No line vouches for these")
        .says("data/copies/1-purchase/IMG_2.jpg.copy.jpg");
}

fn pixels(jpeg: &[u8]) -> Vec<u8> {
    let picture = image::load_from_memory(jpeg).unwrap();
    picture.into_rgb8().into_raw()
}

#[test]
fn contradictions_are_told_at_import_and_on_the_cover() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |it| {
        it.satellite = Some(("2026:05:09".to_owned(), [8, 0, 0]));
        it.software = Some("paint box".to_owned());
    });
    let words = [
        "the camera's date is 3 May 2026, 10:00, the satellites' date is 9 May 2026, 08:00 (UTC)",
        "a program that is not the camera's own is named in it: paint box",
    ];
    let mut imported = shop.import();
    for it in words {
        imported = imported.says(it);
    }
    shop.run(&["seal"]).code(0);
    let cover = folder(&shop, &[]).join("data/cover.html");
    let cover = fs::read_to_string(cover)
        .unwrap()
        .replace("&#x27;", "'")
        .replace("&#39;", "'");
    for it in words {
        assert!(cover.contains(it), "{it}");
    }
}

/// A paper with what was paid and the buyer's name in it, and the reason of a withdrawal, went out without a word in the list.
#[test]
fn papers_reports_and_withdrawals_are_listed_before_a_dossier_is_written() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["report", "26-001"]).code(0);
    shop.file("../said.md", b"paid 85 to Ann A");
    shop.run(&["keep", "26-001", "../said.md"]).code(0);
    let why = ["remove", "26-001", "--piece", "--why", "a double of Ann's"];
    shop.run(&why).code(0);
    shop.run(&["put-back", "26-001", "--piece"]).code(0);
    shop.run(&["seal"]).code(0);
    let told = shop.run(&["dossier", "26-001", "--dry-run", "--json"]);
    let told = told.code(0).json()["discloses"].clone();
    assert_eq!(told["kept"][0]["says"], serde_json::json!(["kept/said.md"]));
    assert_eq!(
        told["withdrawals"][0]["says"],
        serde_json::json!(["a double of Ann's"])
    );
    assert_eq!(told["reports"].as_array().unwrap().len(), 1);
    let words = shop.run(&["dossier", "26-001", "--dry-run"]).code(0);
    for said in [
        "said.md (kept/said.md)",
        "a double of Ann's",
        "earlier reports",
    ] {
        assert!(words.err().contains(said), "{said}: {words}");
    }
    // Every paper that is in is named.
    let made = folder(&shop, &[]);
    let papers = files(&made);
    let papers = papers.keys().filter(|it| it.contains("/kept/")).count();
    assert_eq!(papers, told["kept"].as_array().unwrap().len());
}

/// With `--stripped` no name, serial number or comment goes out with a picture or beside it, and the first page says so.
#[test]
fn stripped_takes_out_names_serial_numbers_and_comments_too() {
    let shop = shop();
    let made = folder(&shop, &["--stripped", "--with-places"]);
    for (path, bytes) in files(&made) {
        let found = asfound::photo::disclosed(&bytes);
        let is_paper = path.contains("/kept/");
        assert!(is_paper || !found.tells(), "{path}: {found:?}");
        let text = String::from_utf8_lossy(&bytes);
        assert!(!text.contains("ask Ann about the key"), "{path}");
    }
    // No list of what may name somebody is whole: no original goes out, whatever was found in it.
    let originals = files(&made);
    let originals = originals.keys().filter(|it| it.contains("data/originals/"));
    assert_eq!(originals.count(), 0);
    let text = fs::read_to_string(made.join("data/left-out.txt")).unwrap();
    let copies = files(&made);
    let copies = copies.keys().filter(|it| it.ends_with(".copy.jpg")).count();
    let kept = format!(
        "Kept back with all that its file holds beside the picture ({copies}):\n- photo 1, IMG_1.jpg (line "
    );
    assert!(copies > 0 && text.contains(&kept), "{text}");
    // What no look found may be there all the same.
    assert!(!text.contains("was found"), "{text}");
    shop.run(&["verify".as_ref(), made.as_os_str()]).code(0);
}

/// What may be a person's name and left the files does not come out by the pages.
#[test]
fn no_page_for_others_names_a_program() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |it| {
        it.software = Some("Ann Oke's phone".to_owned())
    });
    shop.import().says("Ann Oke's phone");
    let page = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(page["path"].as_str().unwrap()).unwrap();
    shop.run(&["seal"]).code(0);
    let made = files(&folder(&shop, &["--stripped"]));
    let pages = made.iter().filter(|it| !it.0.contains("sidecars"));
    let mut pages: Vec<String> = pages
        .map(|it| String::from_utf8_lossy(it.1).into_owned())
        .collect();
    pages.push(page);
    assert!(pages.iter().all(|it| !it.contains("Ann Oke")));
    let told = pages.iter().filter(|it| it.contains("own is named in it"));
    assert!(told.count() >= 2, "that there is one is told");
}

/// One value says what is left out: the first page, the text and the list that a check reads name the same things.
#[test]
fn what_is_left_out_is_told_alike_everywhere() {
    let shop = shop();
    let made = folder(&shop, &[]);
    let read = |path: &str| fs::read_to_string(made.join(path)).unwrap();
    let cover = read("data/cover.html").replace("&#x2f;", "/");
    let (text, list) = (read("data/left-out.txt"), read("data/ledger/left-out.json"));
    let list: Value = serde_json::from_str(&list).unwrap();
    let files = list["files"].as_array().unwrap();
    assert!(!files.is_empty());
    assert_eq!(text.matches(", SHA-256 ").count(), files.len(), "{text}");
    for file in files {
        assert!(text.contains(file["sha256"].as_str().unwrap()), "{text}");
    }
    for row in text.lines().filter_map(|it| it.strip_prefix("- ")) {
        let (what, _) = row.split_once(", SHA-256").unwrap();
        assert!(cover.contains(what), "{what}");
    }
    let parts = "Private parts of lines, kept back (";
    assert!(cover.contains(parts) && text.contains(parts), "{text}");
}

/// What a dossier would tell can be read before the book is sealed; nothing is written before.
#[test]
fn a_dry_run_needs_no_seal() {
    let shop = shop();
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let told = dry(&shop, &[]);
    assert!(
        told["unsealed"]
            .as_str()
            .unwrap()
            .contains("1 line of 26-001")
    );
    shop.run(&["dossier", "26-001", "--dry-run"])
        .code(0)
        .says("`asfound seal` before it is written");
    shop.run(&["dossier", "26-001"])
        .code(2)
        .says("seal the book first");
    assert!(!shop.piece_folder().join("dossiers").exists());
    let new = Shop::with_piece();
    new.photo("IMG_1.jpg", |_| {});
    new.import();
    assert_eq!(dry(&new, &[])["unsealed"], "there is no seal yet");
}

/// A paper that was kept stands among the exhibits with its digest, also where it is not enclosed.
#[test]
fn a_kept_paper_is_an_exhibit() {
    let shop = shop();
    shop.file("../terms.txt", b"delivery to the kerb");
    shop.run(&["keep", "26-001", "../terms.txt"]).code(0);
    shop.run(&["seal"]).code(0);
    let made = folder(&shop, &[]);
    let cover = fs::read_to_string(made.join("data/cover.html")).unwrap();
    let cover = cover.replace("&#x2f;", "/");
    let of = |name: &str| {
        let from = cover
            .find(&format!("<bdi>Paper or message kept: {name}"))
            .unwrap();
        cover[from..].split("</article>").next().unwrap().to_owned()
    };
    let sum = asfound::kit::digest::Digest::of(b"delivery to the kerb").to_string();
    let terms = of("terms.txt");
    for said in [sum.as_str(), "kept/terms.txt", "26 May 2026", "seal 2"] {
        assert!(terms.contains(said), "{said}: {terms}");
    }
    assert!(of("paper.jpg").contains("not enclosed"));
}

/// A letter to a buyer names the piece; it does not accuse its sender of a word that the record does not bear.
#[test]
fn a_letter_names_a_piece_by_its_form_where_the_title_claims_too_much() {
    let shop = shop();
    shop.run(&["amend", "26-001", "--title", "solid oak chest"])
        .code(0);
    let said = shop.run(&["seal", "--letter", "-"]).code(0);
    let text = said.out();
    assert!(text.contains("26-001 ("), "{text}");
    assert!(!text.contains("claims what the record"), "{text}");
    assert!(!text.contains("solid oak"), "{text}");
}
