//! A book and a dossier made by an earlier version of the program still open, verify, and can be added to.
//!
//! `tests/data/made-by-0.1.0/README.md` says how they were made. They lie in a zip, so that no setting of git changes a
//! line end in them; unpacked they have, as after a clone, new file times and the usual modes.

use std::fs;
use std::io;
use std::path::Path;
use std::path::PathBuf;

use serde_json::Value;
use serde_json::json;

use crate::shop::Ran;
use crate::shop::Shop;

const BOOK: &[u8] = include_bytes!("../data/made-by-0.1.0/book.zip");

/// Fingerprint of the book's key, as its owner prints it on invoices.
const KEY: &str = "9e9b 66ae 4833 02c8 ca63";

/// The dossier inside the book.
const DOSSIER: &str = "book/26-001 walnut side table/dossiers/26-001 dossier 2026-05-16.zip";

fn unpack(from: impl io::Read + io::Seek, to: &Path) {
    let mut zip = zip::ZipArchive::new(from).unwrap();
    for n in 0..zip.len() {
        let mut file = zip.by_index(n).unwrap();
        let path = to.join(file.enclosed_name().expect("a name inside"));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        io::copy(&mut file, &mut fs::File::create(path).unwrap()).unwrap();
    }
}

fn book() -> Shop {
    let shop = Shop::new();
    unpack(io::Cursor::new(BOOK), &shop.path(""));
    shop
}

/// A key that others may read is refused; git keeps no such mode.
fn key_to_oneself(shop: &Shop) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let own = fs::Permissions::from_mode(0o600);
        fs::set_permissions(shop.path("book/book.key"), own).unwrap();
    }
}

fn verify(shop: &Shop, what: &Path) -> Ran {
    shop.run(&["verify".as_ref(), what.as_os_str()])
}

fn states(list: &Value, name: &str) -> Vec<(String, String)> {
    let text = |it: &Value| it.as_str().unwrap().to_owned();
    let all = list.as_array().unwrap().iter();
    all.map(|it| (text(&it[name]), text(&it["state"])))
        .collect()
}

fn pairs(list: &[(&str, &str)]) -> Vec<(String, String)> {
    let own = |it: &(&str, &str)| (it.0.to_owned(), it.1.to_owned());
    list.iter().map(own).collect()
}

#[test]
fn an_earlier_book_opens_and_says_what_it_said() {
    let shop = book();
    // Before anything else has read it, and after.
    shop.run(&["verify"]).code(0).says("intact").says(KEY);
    shop.run(&["stock"]).code(0).stdout(
        "26-001  sold          5 photos   2 numbers   walnut side table, sold 2026-05-16\n",
    );
    shop.run(&["survey", "26-001"]).code(0);
    let it = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    assert_eq!(
        states(&it["findings"], "id"),
        pairs(&[("F1", "repaired"), ("F2", "open")])
    );
    assert_eq!(it["findings"][0]["size"], "70 mm");
    assert_eq!(it["findings"][0]["which"], "left ring");
    assert_eq!(
        states(&it["parts"], "part"),
        pairs(&[
            ("top", "faults"),
            ("leg-front-left", "sound"),
            ("leg-front-right", "sound"),
            ("leg-back-left", "faults"),
            ("leg-back-right", "sound"),
        ])
    );
    assert_eq!(
        it["sold"],
        json!({"day": "2026-05-16", "price": {"minor": 14000, "currency": "EUR"},
            "to": "the couple with the estate car", "note": null})
    );
    assert_eq!(it["complaints"], json!([]));
    assert_eq!(it["missing_sidecars"], json!([]));
    shop.run(&["verify"]).code(0).says("intact").says(KEY);
}

#[test]
fn an_earlier_dossier_verifies_as_zip_and_as_folder() {
    let shop = book();
    let zip = shop.path(DOSSIER);
    verify(&shop, &zip).code(0).says("intact").says(KEY);
    let folder = shop.path("unpacked");
    unpack(fs::File::open(&zip).unwrap(), &folder);
    let mut tops = fs::read_dir(&folder).unwrap();
    let top = tops.next().unwrap().unwrap().path();
    assert!(tops.next().is_none(), "it has one folder at its top");
    verify(&shop, &top).code(0).says("intact").says(KEY);
    // The same bytes, one of them changed: what is checked is the dossier, not its name.
    let original = top.join("data/originals/1-purchase/IMG_0102.jpg");
    let mut bytes = fs::read(&original).unwrap();
    *bytes.last_mut().unwrap() ^= 1;
    fs::write(&original, bytes).unwrap();
    verify(&shop, &top).code(1).says("altered").says("IMG_0102");
}

#[test]
fn an_earlier_book_is_added_to_and_verifies_again() {
    let shop = book();
    key_to_oneself(&shop);
    let note = "Filled by hand, ledger line after the second seal.";
    shop.run(&[
        "repair",
        "26-001",
        "F2",
        "--method",
        "hard_fill",
        "--day",
        "2026-05-20",
        "--note",
        note,
    ])
    // It is told as done after the sale.
    .code(1);
    let later = || {
        let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
        let ask = "SELECT count(*) FROM ledger WHERE line LIKE '%\"later\":true%'";
        db.query_row(ask, [], |row| row.get::<_, u32>(0)).unwrap()
    };
    // Shoots, findings and stamps got their lines once.
    let first = later();
    assert!(first > 2, "{first}");
    let seal = shop.run(&["seal", "--json"]).code(0).json();
    assert_eq!(seal["no"], 3, "{seal}");
    assert_eq!(later(), first);
    shop.run(&["verify"]).code(0).says("intact").says(KEY);
    let it = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    assert_eq!(
        states(&it["findings"], "id"),
        pairs(&[("F1", "repaired"), ("F2", "repair_unseen")])
    );
    let made = shop.run(&["dossier", "26-001", "--json"]).code(0).json();
    let made = PathBuf::from(made["path"].as_str().unwrap());
    assert_ne!(made, shop.path(DOSSIER));
    verify(&shop, &made).code(0).says("intact").says(KEY);
    verify(&shop, &shop.path(DOSSIER)).code(0).says("intact");
    let page = ["report", "26-001", "--draft", "--json"];
    let page = shop.run(&page).code(0).json();
    let page = fs::read_to_string(page["path"].as_str().unwrap()).unwrap();
    for said in [note, "Rubbed out with polish in two goes", "70 mm"] {
        assert!(page.contains(said), "{said}");
    }
    assert!(!page.contains("the window was behind me"));
}
