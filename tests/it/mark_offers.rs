//! What the program finds in a picture and offers on the marking page: a card by its outline, a side that was laid in another picture.
//! Held against the demo's own corners, which come from what rendered its pictures; nothing is said before a nod.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::path::Path;
use std::path::PathBuf;

use asfound::work::marking::MarkingSession;
use serde_json::Value;
use serde_json::json;

use crate::demo::asfound;
use crate::demo::demo;
use crate::mark_page::walk;

const NOW: &str = "2026-05-26T09:00:00Z";
const PHOTOS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/photos");
/// Where the renderer has the top in the two pictures, and the card in the third, percent.
const LAID: [[f64; 2]; 4] = [[13.8, 27.8], [87.1, 30.2], [94.0, 76.1], [5.0, 72.7]];
const TOP: [[f64; 2]; 4] = [[18.1, 27.1], [91.1, 28.6], [96.9, 75.2], [11.0, 70.8]];
const CARD: [[f64; 2]; 4] = [[28.2, 41.3], [45.6, 44.1], [42.8, 54.8], [23.2, 51.3]];
/// A book with three pictures of a chest: its top, laid by hand; the top at the sale; a card on it.
fn book(folder: &Path) -> PathBuf {
    let book = folder.join("book");
    let shoots = ["purchase", "sale"].map(|it| (it, folder.join(it)));
    for (shoot, file, name) in [
        (&shoots[0], "K2_20260314_100515.jpg", "a.jpg"),
        (&shoots[1], "K2_20260502_182330.jpg", "b.jpg"),
        (&shoots[0], "K2_20260314_101144.jpg", "c.jpg"),
    ] {
        fs::create_dir_all(&shoot.1).unwrap();
        let from = Path::new(PHOTOS).join(shoot.0).join(file);
        fs::copy(from, shoot.1.join(name)).unwrap();
    }
    let laid = format!("[[face]]\nface = \"top\"\ncorners = {LAID:?}\nhow = \"by hand\"\n");
    fs::write(shoots[0].1.join("a.jpg.toml"), laid).unwrap();
    let run = |words: &[&str]| assert_eq!(asfound(Some(&book), words).0, 0, "{words:?}");
    run(&["new-book", book.to_str().unwrap()]);
    let chest = ["intake", "chest", "--form", "chest_of_drawers", "--size"];
    run(&[&chest[..], &["900x1050x480mm"]].concat());
    for (stage, from) in &shoots {
        let taken = ["import", from.to_str().unwrap(), "--piece", "26-001"];
        run(&[&taken[..], &["--stage", stage, "--no-lay"]].concat());
    }
    book
}

/// The numbers of the pictures by their names.
fn number(book: &Path, name: &str) -> u32 {
    let walk = session(book).walk(NOW.parse().unwrap()).unwrap();
    walk.photos.iter().find(|it| it.name == name).unwrap().no
}

fn session(book: &Path) -> MarkingSession {
    MarkingSession {
        root: book.to_owned(),
        stock_no: "26-001".parse().unwrap(),
    }
}

/// How far the farthest corner lies from its own, px of 1600 x 1200; a thing turned by half lies as well where `turned`.
fn off(corners: &Value, wanted: &[[f64; 2]], turned: bool) -> f64 {
    let corners: Vec<[f64; 2]> = serde_json::from_value(corners.clone()).unwrap();
    let far = |by: usize| {
        let each = (0..4).map(|n| {
            let (a, b) = (corners[(n + by) % 4], wanted[n]);
            (16.0 * (a[0] - b[0])).hypot(12.0 * (a[1] - b[1]))
        });
        each.fold(0.0, f64::max)
    };
    if turned { far(0).min(far(2)) } else { far(0) }
}

/// The demo says which of its 34 pictures show a card, and where, to a tenth of a percent.
#[test]
fn cards_are_found_in_the_demos_pictures_and_nowhere_else() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    crate::mark_page::copy(&demo().book, &book);
    let walk = session(&book).walk(NOW.parse().unwrap()).unwrap();
    let (mut found, mut wrong, mut bare) = (Vec::new(), Vec::new(), 0);
    for photo in &walk.photos {
        let said = photo.said.scale.clone();
        let sidecar = session(&book);
        let offer = sidecar
            .look_for_card(NOW.parse().unwrap(), photo.no)
            .unwrap();
        match (said, offer) {
            (Some(said), Some(it)) => {
                let corners = json!(it.scale.corners);
                found.push((photo.no, off(&corners, &said.corners, true)));
            }
            (None, it) => {
                bare += 1;
                wrong.extend(it.map(|_| photo.no));
            }
            (Some(_), None) => {}
        }
    }
    let right = found.iter().filter(|it| it.1 < 3.0).count();
    assert_eq!((right, found.len(), bare), (6, 6, 28), "{found:?}");
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
fn what_is_found_in_a_picture_is_offered_and_never_taken() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(folder.path());
    let [laid, side, card] = ["a.jpg", "b.jpg", "c.jpg"].map(|it| number(&book, it));
    let wishes = folder.path().join("wishes.json");
    let wanted = json!({"laid": laid, "side": side, "card": card});
    fs::write(&wishes, wanted.to_string()).unwrap();
    let Some(it) = walk("mark_offers.mjs", &book, &[wishes.to_str().unwrap()]) else {
        return;
    };
    let on_card = &it["card"];
    assert!(
        on_card["bar"]
            .as_str()
            .unwrap()
            .starts_with("Is this a bank card?"),
        "{on_card}"
    );
    assert_eq!(
        (&on_card["before"], &on_card["undone"]),
        (&Value::Null, &Value::Null),
        "{on_card}"
    );
    for scale in [&on_card["after"], &it["phone"]["said"]] {
        assert_eq!(
            (&scale["width_mm"], &scale["height_mm"]),
            (&json!(85.6), &json!(53.98))
        );
        assert!(off(&scale["corners"], &CARD, true) < 3.0, "{scale}");
    }
    assert_eq!(
        it["no"],
        json!({"bars": [0, 0], "said": null}),
        "what was refused stays so"
    );
    let on_side = &it["side"];
    assert!(
        on_side["bar"]
            .as_str()
            .unwrap()
            .starts_with("Is this the top?"),
        "{on_side}"
    );
    assert_eq!(
        (&on_side["before"], &on_side["undone"]),
        (&json!([]), &json!([])),
        "{on_side}"
    );
    let after = &on_side["after"][0];
    assert_eq!(after["how"], format!("from picture {laid}"), "{on_side}");
    assert!(
        off(&after["lie"]["corners"], &TOP, false) < 3.0,
        "{on_side}"
    );
    assert_eq!(
        it["right"],
        json!({"how": "by hand", "said": 0}),
        "a corner that a person pulled"
    );
    let late = &it["late"];
    assert_eq!(
        (&late["late"], &late["bars"], &late["said"]["width_mm"]),
        (&json!(1), &json!(0), &json!(100)),
        "what a person said meanwhile stays: {late}"
    );
    let phone = &it["phone"];
    assert_eq!(phone["inSight"], true, "{phone}");
    assert!(
        phone["smallest"]["px"].as_f64().unwrap() >= 44.0,
        "WCAG 2.2, 2.5.5: {phone}"
    );
    assert!(phone["covers"].as_f64().unwrap() < 0.5, "{phone}");
    for size in it["sizes"].as_array().unwrap() {
        assert_eq!(
            (&size["axe"], &size["overflow"]),
            (&json!([]), &json!(0)),
            "{size}"
        );
    }
    assert_eq!(it["errors"], json!([]));
}
