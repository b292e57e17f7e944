//! A book into a backup and back: what comes out is what went in, whatever was cut off, damaged or mixed up in between.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Stdio;
use std::time::Instant;

use samples::Exif;
use serde_json::Value;
use walkdir::WalkDir;

#[cfg(target_os = "linux")]
use crate::bad_input::mounts;
use crate::photo_reference::reference_folder;
use crate::shop::Ran;
use crate::shop::Shop;

/// Kills of a backup in a usual run; `ASFOUND_KILLS=40` makes more.
const KILLS: u32 = 8;

/// A book with all that a book can hold: originals, a removed one, sidecars, a paper, an edition, seals, a dossier, a file of the user's.
pub(crate) fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nbox = [10.0, 10.0, 20.0, 20.0]\nlevel = 2\n");
    shop.file("letter.txt", b"a letter");
    shop.run(&["keep", "26-001", "../card/letter.txt"]).code(0);
    shop.run(&["report", "26-001"]).code(0);
    shop.photo("IMG_3.jpg", |_| ());
    shop.import();
    let out = ["remove", "26-001", "--photo", "3", "--why", "a face in it"];
    shop.run(&out).code(0);
    // One that is not copied when a backup is looked at.
    let large = samples::jpeg_seeded(1600, 1200, 99, &Exif::taken("2026:05:03 12:30:00"));
    assert!(large.len() > 64 * 1024);
    shop.file("IMG_4.jpg", &large);
    shop.import();
    shop.run(&["seal"]).code(0);
    shop.run(&["dossier", "26-001"]);
    let long: Vec<u8> = (0..1_500_000_u32).map(|it| it.to_le_bytes()[1]).collect();
    fs::write(shop.path("book/my own notes, größer.pdf"), long).unwrap();
    shop
}

pub(crate) fn files(root: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for it in WalkDir::new(root).into_iter().map(Result::unwrap) {
        let name = it.path().strip_prefix(root).unwrap();
        let name = name.to_string_lossy().into_owned();
        let is_made_again = name.starts_with("book.db")
            || name.starts_with("previews.db")
            || name.ends_with(".lock");
        if it.file_type().is_file() && !is_made_again {
            files.insert(name, fs::read(it.path()).unwrap());
        }
    }
    files
}

/// Every file of a backup but its lock and the page that says what it is.
fn parts(backup: &Path) -> Vec<PathBuf> {
    let all = WalkDir::new(backup).sort_by_file_name();
    let files = all.into_iter().map(Result::unwrap);
    let files = files.filter(|it| it.file_type().is_file() && it.depth() > 1);
    files.map(walkdir::DirEntry::into_path).collect()
}

fn verified(shop: &Shop, path: &str) -> Value {
    shop.run(&["verify", path, "--json"]).json()
}

/// Without the check that only a backup has.
pub(crate) fn as_book(mut verified: Value) -> Value {
    let checks = verified["checks"].as_array_mut().unwrap();
    let before = checks.len();
    checks.retain(|it| it["code"] != "backup");
    assert_eq!(checks.len() + 1, before, "one line tells of the backup");
    verified
}

#[test]
fn a_book_comes_back_as_it_was() {
    let shop = shop();
    let before = verified(&shop, ".");
    let first = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!((&first["run"], &first["key"]), (&1.into(), &"open".into()));
    assert!(first["new_bytes"].as_u64().unwrap() >= first["bytes"].as_u64().unwrap());
    let second = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!(
        (&second["run"], &second["new_bytes"]),
        (&2.into(), &0.into())
    );
    assert_eq!(as_book(verified(&shop, "../safe")), before);
    let restored = shop
        .run(&["restore", "../safe", "../again", "--json"])
        .code(0)
        .json();
    assert_eq!(restored["verified"], before);
    assert_eq!(restored["amiss"], Value::Array(Vec::new()));
    let (was, is) = (files(&shop.path("book")), files(&shop.path("again")));
    assert_eq!(
        was.keys().collect::<Vec<_>>(),
        is.keys().collect::<Vec<_>>()
    );
    assert!(was == is, "other bytes came back");
    assert!(was.keys().any(|it| it.contains("/removed/")) && was.contains_key("book.key"));
    assert_eq!(verified(&shop, "../again"), before);
    // What was read-only is so again, and the secret is its owner's alone.
    #[cfg(unix)]
    for it in WalkDir::new(shop.path("again"))
        .into_iter()
        .map(Result::unwrap)
    {
        use std::os::unix::fs::PermissionsExt as _;
        let name = it.path().strip_prefix(shop.path("again")).unwrap();
        let was = shop.path("book").join(name);
        if it.file_type().is_file() && was.exists() {
            let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
            assert_eq!(
                mode(it.path()) & 0o277,
                mode(&was) & 0o277,
                "{}",
                name.display()
            );
        }
    }
    shop.run(&["restore", "../safe", "../again"])
        .code(2)
        .stderr("could not: the folder `../again` is not empty\n  name a folder that is empty or not there yet\n");
}

#[test]
fn an_earlier_run_comes_back_as_the_book_was_then() {
    let shop = shop();
    let before = verified(&shop, ".");
    shop.run(&["backup", "../safe"]).code(0);
    shop.photo("IMG_4.jpg", |_| ());
    shop.import();
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let later = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!(later["run"], 2);
    assert!(later["new_bytes"].as_u64() < later["bytes"].as_u64());
    let first = shop.run(&["restore", "../safe", "../first", "--run", "1", "--json"]);
    assert_eq!(first.code(0).json()["verified"], before);
    shop.run(&["restore", "../safe", "../third", "--run", "3"])
        .code(2)
        .says("the backup has no such run it has these: 1 of 2026-05-26, 2 of 2026-05-26");
}

/// One byte of any file of a backup: a check finds it, a restore gives back all else, and the book mends it.
#[test]
fn a_damaged_byte_is_found_wherever_it_is_and_mended_from_the_book() {
    let shop = shop();
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    shop.run(&["backup", "../safe"]).code(0);
    let safe = shop.path("safe");
    let all = parts(&safe);
    assert!(all.len() > 20, "{all:?}");
    for path in all {
        let right = fs::read(&path).unwrap();
        let mut bytes = right.clone();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        fs::remove_file(&path).unwrap();
        fs::write(&path, &bytes).unwrap();
        let ran = shop.run(&["verify", "../safe"]);
        let said = ran.to_string();
        assert!(
            said.contains("code Some(1)") || said.contains("code Some(2)"),
            "{}: {said}",
            path.display()
        );
        assert!(!said.contains("panicked"), "{said}");
        fs::remove_file(&path).unwrap();
        fs::write(&path, &right).unwrap();
    }
    shop.run(&["verify", "../safe"]).code(0);
    // What every run needs whole is stored again by the next one.
    let database = parts(&safe)
        .into_iter()
        .rev()
        .find(|it| fs::read(it).unwrap().starts_with(b"SQLite"));
    let (path, mut bytes) = (
        database.clone().unwrap(),
        fs::read(database.unwrap()).unwrap(),
    );
    bytes[5000] ^= 1;
    let newest = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!(newest["new_bytes"], 0);
    fs::remove_file(&path).unwrap();
    fs::write(&path, &bytes).unwrap();
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["verify", "../safe", "--heal", "."]);
    shop.run(&["restore", "../safe", "../mended"]).code(0);
}

#[test]
fn a_rotten_backup_gives_back_all_else_and_is_mended_from_the_book() {
    let shop = shop();
    shop.run(&["backup", "../safe"]).code(0);
    let original = fs::read(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let letter = b"a letter".to_vec();
    for (right, wrong) in [(original, Some(b"rot".to_vec())), (letter, None)] {
        let same = |it: &PathBuf| fs::read(it).unwrap() == right;
        let path = parts(&shop.path("safe")).into_iter().find(same).unwrap();
        fs::remove_file(&path).unwrap();
        if let Some(wrong) = &wrong {
            fs::write(&path, wrong).unwrap();
        }
        let verdict = if wrong.is_some() {
            "altered"
        } else {
            "incomplete"
        };
        shop.run(&["verify", "../safe"]).code(1).says(verdict);
        shop.run(&["restore", "../safe", "../half"])
            .code(1)
            .says("is not given back: it is not there, or damaged, in the backup");
        assert!(shop.path("half/book.db").is_file());
        fs::remove_dir_all(shop.path("half")).unwrap();
        shop.run(&["verify", "../safe", "--heal", "."])
            .code(0)
            .says("put back");
        assert!(same(&path));
    }
    // A file that is gone is noticed by the next run without a check. Of an earlier run's list, which lies there under its digest too, no
    // later run could make the same again.
    let letter = |it: &PathBuf| fs::read(it).unwrap() == b"a letter";
    let path = parts(&shop.path("safe")).into_iter().find(letter);
    fs::remove_file(path.unwrap()).unwrap();
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["verify", "../safe"]).code(0);
}

#[test]
fn a_rotten_book_is_mended_from_its_backup_and_never_spoils_it() {
    let shop = shop();
    let before = verified(&shop, ".");
    shop.run(&["backup", "../safe"]).code(0);
    let original = shop.stored("1 purchase 2026-05-03/IMG_1.jpg");
    let bytes = fs::read(&original).unwrap();
    let paper = shop.stored("kept/letter.txt");
    fs::remove_file(&original).unwrap();
    fs::write(&original, "rot").unwrap();
    fs::remove_file(&paper).unwrap();
    let ran = shop.run(&["backup", "../safe"]).code(1);
    let ran =
        ran.says("IMG_1.jpg has other bytes than the record names; the backup has the right one");
    ran.says("letter.txt is not there");
    assert_eq!(
        as_book(verified(&shop, "../safe")),
        before,
        "the backup is right"
    );
    shop.run(&["verify", "--heal", "../safe"])
        .code(0)
        .says("put back");
    assert_eq!(fs::read(&original).unwrap(), bytes);
    let rotten = original.with_file_name("IMG_1.jpg.rotten");
    assert_eq!(
        fs::read(rotten).unwrap(),
        b"rot",
        "what lay there is kept beside it"
    );
    // What rotted before it was ever stored is kept as it lies there, and told.
    shop.photo("IMG_5.jpg", |_| ());
    shop.import();
    let new = shop.stored("1 purchase 2026-05-03/IMG_5.jpg");
    let mut bytes = fs::read(&new).unwrap();
    bytes[700] ^= 1;
    fs::remove_file(&new).unwrap();
    fs::write(&new, &bytes).unwrap();
    shop.run(&["backup", "../safe"])
        .code(1)
        .says("IMG_5.jpg has other bytes than the record names");
    shop.run(&["verify", "../safe"]).code(1).says("altered");
}

/// Turns one byte of a file over; its length stays.
fn rot(path: &Path, at: usize) {
    let mut bytes = fs::read(path).unwrap();
    bytes[at] ^= 1;
    fs::remove_file(path).unwrap();
    fs::write(path, &bytes).unwrap();
}

#[test]
fn an_original_that_rots_at_its_length_is_told_at_every_run_and_what_was_not_read_is_said() {
    let shop = shop();
    let first = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!(
        (&first["not_read_again"], &first["amiss"]),
        (&0.into(), &Value::Array(Vec::new()))
    );
    shop.run(&["backup", "../safe"]).code(0).says(
        "not compared again with the backup, as time and size show no change; some not since 2026-05-26; `asfound verify` reads",
    );
    let original = shop.stored("1 purchase 2026-05-03/IMG_1.jpg");
    let (right, time) = (
        fs::read(&original).unwrap(),
        fs::metadata(&original).unwrap(),
    );
    // A time that was set back does not hide it.
    rot(&original, 700);
    let file = fs::File::options().write(true).open(&original).unwrap();
    file.set_modified(time.modified().unwrap()).unwrap();
    for _ in 0..2 {
        let run = shop.run(&["backup", "../safe"]).code(1);
        run.says("IMG_1.jpg has other bytes than the record names; the backup has the right one");
    }
    let same = |it: &PathBuf| fs::read(it).unwrap() == right;
    let stored = parts(&shop.path("safe")).into_iter().find(same).unwrap();
    rot(&stored, 700);
    shop.run(&["backup", "../safe"])
        .code(1)
        .says("the backup has no right one either");
    rot(&stored, 700);
    shop.run(&["verify", "--heal", "../safe"]).code(0);
    shop.run(&["backup", "../safe"]).code(0);
    // What rots in the backup and is whole in the book is stored again.
    rot(&stored, 700);
    shop.run(&["backup", "../safe"])
        .code(1)
        .says("IMG_1.jpg had other bytes in the backup, and was stored there again");
    assert_eq!(fs::read(&stored).unwrap(), right);
    let last = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!(last["not_read_again"], last["files"]);
}

#[test]
fn a_book_without_a_seal_comes_back_whole_and_the_runs_have_days() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ());
    shop.import();
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["restore", "../safe", "../again"])
        .code(0)
        .says("every file is there; the book has no seal yet");
    let runs = shop.run(&["restore", "../safe", "--runs"]).code(0);
    runs.says("1  2026-05-26").says("2  2026-05-26");
    shop.run(&["restore", "../safe", "../other", "--run", "77"])
        .code(2)
        .says("it has these: 1 of 2026-05-26, 2 of 2026-05-26");
    for inside in ["../safe/in", "../safe"] {
        shop.run(&["restore", "../safe", inside]).code(2);
    }
    assert!(!shop.path("safe/in").exists());
    // What is missing is told beside what is not sealed.
    let original = fs::read(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let same = |it: &PathBuf| fs::read(it).unwrap() == original;
    let stored = parts(&shop.path("safe")).into_iter().find(same).unwrap();
    fs::remove_file(stored).unwrap();
    shop.run(&["restore", "../safe", "../half"])
        .code(1)
        .says("is not given back");
}

/// What stands in the way is said in words of this program, with what to do.
#[test]
fn what_stands_in_the_way_is_said_with_what_to_do() {
    let shop = shop();
    shop.file("../a file", b"mine");
    let hint = |words: &[&str], said: &str| {
        shop.run(words).code(2).says(said);
    };
    hint(
        &["backup", "../a file"],
        "a file stands where a folder is wanted",
    );
    hint(
        &["backup", "../enc", "--encrypt"],
        "`--encrypt` wants a passphrase",
    );
    hint(&["restore", "../a file", "../x"], "is no backup");
    hint(&["put-back", "26-001", "--photo", "99"], "taken out are 3");
    hint(
        &["remove", "26-001", "--photo", "77", "--why", "x"],
        "from 1 to 4",
    );
    hint(
        &["put-back", "26-001", "--piece"],
        "stock --state withdrawn",
    );
    hint(
        &["sold", "26-001", "--fell-through"],
        "`asfound sold 26-001`",
    );
}

#[test]
fn what_is_no_backup_of_this_book_is_left_alone() {
    let shop = shop();
    shop.run(&["backup", "../card"]).code(2).stderr(
        "could not: the folder `../card` is not empty, and no backup\n  name a folder that is empty, not there yet, or a backup of this book\n",
    );
    shop.run(&["backup", "inside/it"])
        .code(2)
        .says("a backup inside the book is lost with the book");
    assert!(!shop.path("book/inside").exists());
    shop.run(&["backup", "../safe"]).code(0);
    shop.run_in(shop.path(""), &["new-book", "other"]).code(0);
    shop.run_in(shop.path("other"), &["backup", "../safe"])
        .code(2)
        .says("`../safe` is the backup of another book: `book`, not `other`");
    shop.run(&["restore", "../card", "../new"])
        .code(2)
        .says("`../card` is no backup");
}

#[test]
fn an_older_or_another_copy_of_the_book_is_told() {
    let shop = shop();
    let copy = |to: &str| {
        shop.run(&["backup", "../copies"]).code(0);
        shop.run(&["restore", "../copies", to]).code(0);
    };
    copy("../old");
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    shop.run(&["backup", "../safe"]).code(0);
    let old = shop
        .run_in(shop.path("old"), &["backup", "../safe"])
        .code(1);
    old.says("a newer copy of the book is in the backup")
        .says("--run 1`");
    shop.run_in(shop.path("old"), &["amend", "26-001", "--weight", "13 kg"])
        .code(0);
    let newer = shop
        .run_in(shop.path("old"), &["backup", "../safe", "--json"])
        .code(1)
        .json();
    assert_eq!(newer["other_copy"]["run"], 1);
    for turn in 0..2 {
        let again = shop.run_in(shop.path("old"), &["backup", "../safe", "--json"]);
        assert_eq!(again.code(1).json()["other_copy"]["run"], 1, "{turn}");
    }
    shop.run(&["verify", "../safe"])
        .code(1)
        .says("each has what the other lacks")
        .says("from the copy that goes on, `asfound backup BACKUP --set-aside 1`");
    let restored = shop.run(&["restore", "../safe", "../third"]).code(1);
    restored
        .says("run 1 of")
        .says("each has what the other lacks");
    let first = shop.run(&["restore", "../safe", "../fourth", "--run", "1", "--json"]);
    assert_eq!(first.code(1).json()["other_copy"]["run"], 5);
    let other = shop.run(&["backup", "../safe", "--json"]).code(1).json();
    let other = &other["other_copy"];
    assert_eq!(other["run"], 5);
    assert_eq!(other["its_lines"], other["lines"]);
    let same = other["same_lines"].as_u64().unwrap();
    assert_eq!(same + 1, other["lines"].as_u64().unwrap());
    // The person decides: this copy goes on, and the other stays as it is.
    for no in ["1", "4", "77"] {
        let words = ["backup", "../safe", "--set-aside", no];
        shop.run(&words).code(2).says("run 5 is");
    }
    let aside = ["backup", "../safe", "--set-aside", "5", "--json"];
    let done = shop.run(&aside).code(0).json();
    assert_eq!(done["other_copy"], Value::Null);
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["verify", "../safe"])
        .code(0)
        .says("Run 5 is of another copy of the book, which was set aside by run 7 of");
    shop.run(&["restore", "../safe", "../fifth"]).code(0);
    let words = ["restore", "../safe", "../sixth", "--run", "5"];
    shop.run(&words).code(1).says("run 8 of");
    shop.run(&["backup", "../safe", "--set-aside", "5"])
        .code(2)
        .says("nothing was stored: no run is");
    // The other is told of this one, and, when it goes on all the same, this one of it.
    let words = ["backup", "../safe", "--json"];
    let other = shop.run_in(shop.path("old"), &words).code(1).json();
    assert_eq!(other["other_copy"]["run"], 8);
    shop.run(&words).code(0);
    shop.run_in(shop.path("old"), &["amend", "26-001", "--weight", "14 kg"])
        .code(0);
    shop.run_in(shop.path("old"), &words).code(1);
    let again = shop.run(&words).code(1).json();
    assert_eq!(again["other_copy"]["run"], 11);
}

#[test]
fn a_key_that_was_locked_leaves_nothing_open_behind() {
    let shop = shop();
    let open = fs::read_to_string(shop.path("book/book.key")).unwrap();
    let seed = open
        .lines()
        .find_map(|it| it.strip_prefix("seed: "))
        .unwrap();
    let holds = || {
        let holds = |it: &PathBuf| String::from_utf8_lossy(&fs::read(it).unwrap()).contains(seed);
        parts(&shop.path("safe")).iter().any(holds)
    };
    let ran = shop.run(&["backup", "../safe"]).code(0);
    ran.says("book.key is in it without a passphrase");
    assert!(holds());
    let mut lock = shop.command(env!("CARGO_BIN_EXE_asfound"));
    lock.args(["key", "--set-passphrase"])
        .env("ASFOUND_NEW_PASSPHRASE", "long words in a row");
    Ran::of(&mut lock).code(0);
    let locked = shop.run(&["backup", "../safe", "--json"]).code(0).json();
    assert_eq!(locked["key"], "locked");
    assert!(!holds(), "the open key still lies in the backup");
    shop.run(&["restore", "../safe", "../again", "--run", "1"])
        .code(0);
    let key = fs::read(shop.path("again/book.key")).unwrap();
    assert_eq!(key, fs::read(shop.path("book/book.key")).unwrap());
}

#[test]
fn two_backups_at_once_both_come_to_an_end() {
    let shop = shop();
    let start = || {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command
            .args(["backup", "../safe"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command.spawn().unwrap()
    };
    let both = [start(), start()];
    for it in both {
        Ran::ended("backup".to_owned(), it.wait_with_output().unwrap()).code(0);
    }
    let told = shop.run(&["verify", "../safe"]).code(0);
    told.says("This is run 2 of");
}

/// Killed at any moment, a backup leaves the runs before as they were, and the next run is whole.
#[test]
fn a_killed_backup_leaves_the_earlier_runs_whole() {
    let shop = shop();
    shop.run(&["backup", "../safe"]).code(0);
    let before = verified(&shop, "../safe");
    for n in 6..9 {
        shop.photo(&format!("IMG_{n}.jpg"), |_| ());
    }
    shop.import();
    let clean = Instant::now();
    shop.run(&["backup", "../clean"]).code(0);
    let took = clean.elapsed();
    let told = std::env::var("ASFOUND_KILLS").ok();
    let kills = told.and_then(|it| it.parse().ok()).unwrap_or(KILLS);
    let mut killed = 0;
    for turn in 0..kills {
        for target in ["safe", "new"] {
            let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
            command.args(["backup", &format!("../{target}")]);
            let command = command.stdout(Stdio::null()).stderr(Stdio::null());
            let mut child = command.spawn().unwrap();
            std::thread::sleep(took * turn / kills);
            child.kill().unwrap();
            killed += u32::from(child.wait().unwrap().code().is_none());
            let runs = fs::read_dir(shop.path(target).join("runs")).map_or(0, Iterator::count);
            if runs == 0 {
                continue;
            }
            let found = verified(&shop, &format!("../{target}"));
            assert!(
                found["checks"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .all(|it| it["ok"] == true),
                "{found:#}"
            );
            if target == "safe" && runs == 1 {
                assert_eq!(found, before);
            }
        }
        fs::remove_dir_all(shop.path("new")).unwrap_or(());
    }
    assert!(killed >= kills, "{killed} were killed in time");
    for target in ["safe", "new"] {
        let (target, again) = (format!("../{target}"), format!("../{target} again"));
        shop.run(&["backup", &target]).code(0);
        shop.run(&["restore", &target, &again]).code(0);
        let again = shop.path(&again["../".len()..]);
        assert!(files(&again) == files(&shop.path("book")), "{target}");
        let litter = |it: &PathBuf| it.display().to_string().contains("unfinished");
        let left: Vec<_> = fs::read_dir(shop.path(&target["../".len()..]))
            .unwrap()
            .map(|it| it.unwrap().path())
            .collect();
        assert!(!left.iter().any(litter), "{left:?}");
    }
}

/// Killed at any moment, a restore leaves no half book under the name that was asked for.
#[test]
fn a_killed_restore_leaves_no_half_book() {
    let shop = shop();
    shop.run(&["backup", "../safe"]).code(0);
    let begun = Instant::now();
    shop.run(&["restore", "../safe", "../clean"]).code(0);
    let took = begun.elapsed();
    for turn in 0..KILLS {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command.args(["restore", "../safe", "../again"]);
        let command = command.stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        std::thread::sleep(took * turn / KILLS);
        child.kill().unwrap();
        child.wait().unwrap();
        if shop.path("again").exists() {
            assert!(
                files(&shop.path("again")) == files(&shop.path("book")),
                "{turn}"
            );
            fs::remove_dir_all(shop.path("again")).unwrap();
        }
    }
    let ran = shop.run(&["restore", "../safe", "../again"]).code(0);
    let unfinished = |it: &fs::DirEntry| it.file_name().to_string_lossy().contains("unfinished");
    let beside = fs::read_dir(shop.path("")).unwrap().map(Result::unwrap);
    for left in beside.filter(unfinished) {
        let name = left.file_name().to_string_lossy().into_owned();
        assert!(ran.err().contains(&name), "{name} is told: {ran}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_and_leaves_the_earlier_run_whole() {
    let shop = shop();
    let Some(way) = mounts(&shop) else {
        crate::shop::say("no disk of its own can be mounted here: left out");
        return;
    };
    let backup = format!("{} backup ../small", env!("CARGO_BIN_EXE_asfound"));
    let verify = format!("{} verify ../small", env!("CARGO_BIN_EXE_asfound"));
    let grow = "head -c 2500000 /dev/urandom > more.bin";
    let script = format!(
        "mkdir ../small && mount -t tmpfs -o size=4m none ../small || exit 99; {backup} || exit 98; {grow}; {backup}; \
         code=$?; {verify} >&2 || exit 97; mv ../small/.asfound* . 2>/dev/null; exit $code"
    );
    let mut command = shop.command("unshare");
    let ran = Ran::of(command.args(way).args(["sh", "-c", &script])).code(2);
    ran.says(
        "the disk is full; what was taken in is whole: make room and run the same command again",
    )
    .says("This is run 1 of");
}

/// Runs a command with the passphrase of a backup.
fn with(shop: &Shop, passphrase: &str, words: &[&str]) -> Ran {
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command.args(words).env("ASFOUND_PASSPHRASE", passphrase);
    Ran::of(&mut command)
}

/// Nothing of the book can be read in it without the passphrase, and with it all is as in a plain one.
#[test]
fn an_encrypted_backup_gives_nothing_away_and_everything_back() {
    let shop = shop();
    let before = verified(&shop, ".");
    let begin = ["backup", "../safe", "--encrypt", "--json"];
    shop.run(&begin)
        .code(2)
        .says("`--encrypt` wants a passphrase");
    with(&shop, "ab", &begin)
        .code(2)
        .says("needs at least 15 characters; this one has 2");
    let first = with(&shop, "long words in a row", &begin).code(0).json();
    assert_eq!(
        (&first["encrypted"], &first["run"]),
        (&true.into(), &1.into())
    );
    let open = fs::read_to_string(shop.path("book/book.key")).unwrap();
    let seed = open
        .lines()
        .find_map(|it| it.strip_prefix("seed: "))
        .unwrap();
    let known = [
        "SQLite format 3",
        "IMG_1",
        "walnut table",
        "a letter",
        "<!doctype html>",
        "white_mark",
        "PK\u{3}\u{4}",
        seed,
    ];
    for path in parts(&shop.path("safe")) {
        let bytes = fs::read(&path).unwrap();
        assert!(
            bytes.starts_with(b"age-encryption.org/v1\n"),
            "{}",
            path.display()
        );
        for it in known {
            assert!(
                !bytes.windows(it.len()).any(|part| part == it.as_bytes()),
                "{it}: {}",
                path.display()
            );
        }
    }
    // A backup stays as it was begun, and the same files are known again.
    let second = with(
        &shop,
        "long words in a row",
        &["backup", "../safe", "--json"],
    )
    .code(0)
    .json();
    assert_eq!(
        (&second["new_bytes"], &second["other_copy"]),
        (&0.into(), &Value::Null)
    );
    let checked = with(
        &shop,
        "long words in a row",
        &["verify", "../safe", "--json"],
    )
    .code(0)
    .json();
    assert_eq!(as_book(checked), before);
    shop.run(&["verify", "../safe"])
        .code(2)
        .says("the backup is under a passphrase");
    with(
        &shop,
        "other words in a row",
        &["restore", "../safe", "../again"],
    )
    .code(2)
    .says("the passphrase does not open it")
    .says("put ASFOUND_PASSPHRASE right");
    let restored = with(
        &shop,
        "long words in a row",
        &["restore", "../safe", "../again", "--json"],
    );
    assert_eq!(restored.code(0).json()["verified"], before);
    assert!(
        files(&shop.path("again")) == files(&shop.path("book")),
        "other bytes came back"
    );
    // What rots in either is put back from the other.
    let original = shop.stored("1 purchase 2026-05-03/IMG_1.jpg");
    let digest = asfound::kit::digest::Digest::of(&fs::read(&original).unwrap()).to_string();
    let object = parts(&shop.path("safe"))
        .into_iter()
        .find(|it| it.ends_with(&digest))
        .unwrap();
    let mut bytes = fs::read(&object).unwrap();
    let last = bytes.len() - 1;
    bytes[last] ^= 1;
    fs::remove_file(&object).unwrap();
    fs::write(&object, bytes).unwrap();
    with(&shop, "long words in a row", &["verify", "../safe"])
        .code(1)
        .says("altered");
    with(
        &shop,
        "long words in a row",
        &["verify", "../safe", "--heal", "."],
    )
    .code(0)
    .says("put back");
    fs::remove_file(&original).unwrap();
    with(
        &shop,
        "long words in a row",
        &["verify", "--heal", "../safe"],
    )
    .code(0)
    .says("put back");
    shop.run(&["backup", "../plain"]).code(0);
    with(
        &shop,
        "long words in a row",
        &["backup", "../plain", "--encrypt"],
    )
    .code(2)
    .says("this backup was begun without a passphrase");
}

/// The age library of another author (rage) opens the secret by the passphrase, and every file by the secret; each has the bytes that
/// its name tells.
#[test]
fn another_program_opens_an_encrypted_backup() {
    let Some(folder) = reference_folder() else {
        crate::shop::say("left out: 1 test against another reader of age (ASFOUND_REFERENCE)");
        return;
    };
    let shop = shop();
    with(
        &shop,
        "long words in a row",
        &["backup", "../safe", "--encrypt"],
    )
    .code(0);
    let script = "import sys, os, hashlib\n\
        from pyrage import passphrase as age\n\
        root = sys.argv[1]\n\
        secret = age.decrypt(open(root + '/secret.age', 'rb').read(), 'long words in a row').decode()\n\
        for at, _, names in os.walk(root):\n\
        \x20   for name in names:\n\
        \x20       if at != root:\n\
        \x20           data = age.decrypt(open(os.path.join(at, name), 'rb').read(), secret)\n\
        \x20           print(name, hashlib.sha256(data).hexdigest(), len(data))\n";
    let read = std::process::Command::new("python3")
        .args(["-c", script])
        .arg(shop.path("safe"))
        .env("PYTHONPATH", folder.join("python"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&read.stderr).into_owned();
    assert!(read.status.success(), "{said}");
    let lines = String::from_utf8(read.stdout).unwrap();
    let (mut by_name, mut long) = (0, 0);
    for line in lines.lines() {
        let words: Vec<&str> = line.split(' ').collect();
        if !words[0].ends_with(".key") {
            assert!(words[0].contains(words[1]), "{line}");
            by_name += 1;
        }
        long = long.max(words[2].parse().unwrap());
    }
    assert_eq!(
        lines.lines().count(),
        by_name + 1,
        "one key, all others by their digest"
    );
    assert!(by_name > 10 && long == 1_500_000, "{lines}");
}

/// Another passphrase opens all that was stored; the old one nothing of it, and a short one is refused before anything is written.
#[test]
fn an_encrypted_backup_is_kept_under_another_passphrase() {
    let shop = shop();
    let anew = |old: &str, new: &str, target: &str| {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command
            .args(["backup", target, "--new-passphrase"])
            .env("ASFOUND_PASSPHRASE", old)
            .env("ASFOUND_NEW_PASSPHRASE", new);
        Ran::of(&mut command)
    };
    let (old, new) = ("long words in a row", "other words in a row");
    with(&shop, "too short", &["backup", "../safe", "--encrypt"])
        .code(2)
        .says("a new passphrase needs at least 15 characters; this one has 9 take four words");
    with(&shop, old, &["backup", "../safe", "--encrypt"]).code(0);
    let secret = || fs::read(shop.path("safe/secret.age")).unwrap();
    let before = secret();
    anew(old, "too short", "../safe").code(2);
    anew(new, new, "../safe").code(2).says("does not open");
    with(&shop, old, &["backup", "../safe", "--new-passphrase"])
        .code(2)
        .says("there is no new passphrase");
    assert_eq!(secret(), before);
    anew(old, new, "../safe")
        .code(0)
        .says("opens by the new passphrase now a copy of it that was made before still opens by the old one");
    with(&shop, old, &["verify", "../safe"]).code(2);
    with(&shop, new, &["verify", "../safe"]).code(0);
    let next = with(&shop, new, &["backup", "../safe", "--json"]).code(0);
    assert_eq!(next.json()["new_bytes"], 0);
    shop.run(&["backup", "../plain"]).code(0);
    anew(old, new, "../plain")
        .code(2)
        .says("this backup was begun without a passphrase");
}
