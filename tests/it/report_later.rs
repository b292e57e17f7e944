//! A report that is made after the pictures of the delivery came in: what was told only then is named on its first page, in its language.

use std::fs;

use crate::shop::Shop;

const TABLE: &str =
    "view = \"front_whole\"\n[[mark]]\ntag = \"split_through\"\npart = \"top\"\nlevel = 2\n";

/// A table pictured for the sale, and by its buyer.
fn sent() -> Shop {
    let shop = Shop::with_piece();
    shop.photo("../sale/S_1.jpg", |_| ());
    shop.file("../sale/S_1.jpg.toml", TABLE.as_bytes());
    shop.run(&["import", "../sale", "--piece", "26-001", "--stage", "sale"])
        .code(0);
    shop.photo("../delivery/D_1.jpg", |it| {
        it.time = Some("2026:05:20 10:00:00".to_owned());
    });
    shop.file("../delivery/D_1.jpg.toml", b"view = \"part_whole\"\n");
    let words = ["import", "../delivery", "--piece", "26-001", "--stage"];
    shop.run(&[&words[..], &["delivery"]].concat()).code(0);
    shop
}

fn page(shop: &Shop, language: &str) -> String {
    let out = format!("../{language}.html");
    let words = ["report", "26-001", "--draft", "--language", language];
    shop.run(&[&words[..], &["--out", &out]].concat());
    let html = fs::read_to_string(shop.path(&out[3..])).unwrap();
    fs::remove_file(shop.path(&out[3..])).unwrap();
    html.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn beside_sale(shop: &Shop, text: &str) {
    let mut folders = fs::read_dir(shop.piece_folder()).unwrap();
    let folder = folders.find_map(|it| {
        let path = it.unwrap().path();
        path.join("S_1.jpg").is_file().then_some(path)
    });
    fs::write(folder.unwrap().join("S_1.jpg.toml"), text).unwrap();
}

#[test]
fn what_was_told_after_the_delivery_is_named_on_the_first_page() {
    let shop = sent();
    let said = "Entered or changed only after the pictures of the delivery had come in";
    assert!(!page(&shop, "en").contains(said));
    beside_sale(&shop, &format!("{TABLE}note = \"shown to the buyer\"\n"));
    let clean = ["repair", "26-001", "--on", "top", "--method", "clean"];
    shop.run(&[&clean[..], &["--day", "2026-05-04"]].concat());
    shop.run(&["amend", "26-001", "--title", "table with an old split"]);
    let html = page(&shop, "en");
    // The mark was told in its time; only its note is new.
    assert!(html.contains("were changed on 26 May 2026"));
    assert!(!html.contains("That first look"));
    let told = "words beside picture 1; repair 1; the title (entered on 26 May 2026).";
    let line = html.split(said).nth(1).unwrap();
    let line = line.split("</p>").next().unwrap();
    let line: String = line
        .split('<')
        .map(|it| it.split_once('>').map_or(it, |it| it.1))
        .collect();
    assert!(
        line.starts_with(" (26 May 2026)") && line.ends_with(told),
        "{line}"
    );
    assert!(page(&shop, "de").contains("Erst eingetragen oder geändert, nachdem die Bilder"));
    assert!(page(&shop, "fr").contains("Inscrit ou modifié seulement après l’arrivée des images"));
}

/// A note that is added to an old mark makes no new mark of it.
#[test]
fn a_late_note_is_late_and_its_mark_is_not() {
    let shop = sent();
    shop.run(&["seal"]).code(0);
    beside_sale(&shop, &format!("{TABLE}note = \"shown to the buyer\"\n"));
    shop.run(&["survey", "26-001"]);
    shop.run(&["seal"]).code(0);
    let words = ["dossier", "26-001", "--claim", "hidden_fault", "--folder"];
    shop.run(&[&words[..], &["--out", "../bag"]].concat());
    let html = fs::read_to_string(shop.path("bag/data/cover.html")).unwrap();
    let bare: Vec<&str> = html
        .split('<')
        .filter_map(|it| it.split_once('>'))
        .map(|it| it.1)
        .collect();
    let bare = bare.join(" ");
    let bare = bare.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        !bare.contains("Said later, beside picture 1: F1, split"),
        "{bare}"
    );
    assert!(
        !bare.contains("Said later, beside picture 1: split"),
        "{bare}"
    );
    assert!(
        bare.contains("Said later, beside picture 1: the note of"),
        "{bare}"
    );
}
