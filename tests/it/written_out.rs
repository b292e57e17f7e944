//! What is written where the user says leaves alone what lies there, and what belongs to a book.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use walkdir::WalkDir;

use crate::shop::Shop;

fn files(shop: &Shop) -> BTreeMap<PathBuf, Vec<u8>> {
    let all = WalkDir::new(shop.path("")).into_iter();
    let all = all.filter(|it| it.as_ref().unwrap().file_type().is_file());
    let all = all.map(|it| it.unwrap().into_path());
    // Previews are worked out again whenever they are wanted.
    let all = all.filter(|it| !it.ends_with("previews.db"));
    all.map(|it| (it.clone(), fs::read(&it).unwrap())).collect()
}

#[test]
fn nothing_that_lies_there_is_written_over_by_any_verb() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["sold", "26-001", "--price", "150"]).code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["survey", "26-001"]);
    fs::write(shop.path("mine.txt"), "mine").unwrap();
    let original = shop.stored("1 purchase 2026-05-03/IMG_1.jpg");
    let sidecar = shop.stored("1 purchase 2026-05-03/IMG_1.jpg.toml");
    let new = shop.stored("1 purchase 2026-05-03/IMG_9.jpg.toml");
    let inside = [
        "book.db",
        "book.key",
        "book.toml",
        "previews.db",
        "seals/seal-0001.txt",
        "book-key.pem",
        "new.toml",
    ];
    let inside = inside.map(|it| shop.path("book").join(it));
    let others = [
        original,
        sidecar,
        new,
        shop.path("mine.txt"),
        shop.path("book/../mine.txt"),
    ];
    let before = files(&shop);
    for verb in [
        &["export", "26-001", "--findings", "--out"][..],
        &["export", "26-001", "--marks", "--out"],
        &["label", "26-001", "--out"],
        &["deadlines", "26-001", "--from", "2026-05-20", "--out"],
        &["handover", "26-001", "--out"],
        &["report", "26-001", "--out"],
        &["report", "26-001", "--draft", "--out"],
        &["report", "26-001", "--draft", "--folder", "--out"],
        &["dossier", "26-001", "--out"],
        &["dossier", "26-001", "--folder", "--out"],
        &["seal", "--letter"],
        &["export", "26-001", "--photos"],
        &["shotlist", "26-001", "--stage", "sale", "--page"],
        &["doorstep", "--form", "stool", "--page"],
    ] {
        for path in inside.iter().chain(&others) {
            let words = [verb, &[path.to_str().unwrap()]].concat();
            let ran = shop.run(&words).code(2);
            let why = [
                "lies among the files of the stock book",
                "is there already",
                "is not empty",
            ];
            assert!(why.iter().any(|it| ran.err().contains(it)), "{ran}");
        }
    }
    // Outside of a book such a file would be taken for one.
    shop.run(&["label", "26-001", "--out", "../book.db"])
        .code(2)
        .says("would be taken for a stock book");
    let after = files(&shop);
    let other = |it: &&PathBuf| before.get(*it) != after.get(*it);
    let changed: Vec<&PathBuf> = before.keys().chain(after.keys()).filter(other).collect();
    assert!(changed.is_empty(), "{changed:?}");
    shop.run(&["label", "26-001", "--out", "labels.html"])
        .code(0);
    shop.run(&["label", "26-001", "--out", "labels.html"])
        .code(0);
    shop.run(&["label", "26-001", "--out", "../labels.html"])
        .code(0);
    shop.run(&["label", "26-001", "--out", "../labels.html"])
        .code(2)
        .says("is there already")
        .says("give another name");
}
