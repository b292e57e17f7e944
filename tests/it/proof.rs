//! Seals, dossiers and their checks, through the program: from an empty book to a carrier's desk.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use asfound::kit::digest::Digest;
use asfound::photo::Limits;
use asfound::photo::PhotoProcessor;
use serde_json::Value;
use walkdir::WalkDir;

use crate::shop::Ran;
use crate::shop::Shop;

/// Words that are the owner's alone, each told in another place.
const PRIVATE: [&str; 4] = [
    "cellar of uncle Franz",
    "paid in coins 4711",
    "83.50",
    "do not tell anybody",
];

/// A book with a piece of an awkward name, four pictures, a repair and a report; not sealed yet.
pub(crate) fn shop() -> Shop {
    let shop = Shop::new();
    shop.book();
    shop.run(&[
        "intake",
        "Müller's \"little\" hall table",
        "--form",
        "side_table",
        "--size",
        "700x500x400mm",
        "--examined-by",
        "A. Tester",
        "--bought-for",
        "83.50",
        "--private-note",
        "paid in coins 4711",
    ])
    .code(0);
    shop.photo("Größe 'vorn' 50%.jpg", |_| ());
    shop.photo("IMG_2.jpg", |_| ());
    shop.photo("IMG_3.jpg", |it| it.place = Some((48.2082, 16.3738, 171.0)));
    shop.photo("IMG_4.jpg", |_| ());
    let legs = "\"leg-front-left\", \"leg-front-right\", \"leg-back-left\", \"leg-back-right\"";
    let ring = "[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nsize = \"70 mm\"\nbox = [20.0, 20.0, 30.0, 30.0]\n";
    shop.file(
        "Größe 'vorn' 50%.jpg.toml",
        format!("view = \"front_whole\"\nsound = [{legs}]\n").as_bytes(),
    );
    shop.file(
        "IMG_2.jpg.toml",
        format!("view = \"identity_mark\"\nparts = [\"top\"]\n\n{ring}").as_bytes(),
    );
    shop.file(
        "IMG_3.jpg.toml",
        b"view = \"top_flat\"\nparts = [\"top\"]\n",
    );
    shop.file(
        "IMG_4.jpg.toml",
        b"view = \"part_whole\"\nparts = [\"top\"]\nprivate_note = \"cellar of uncle Franz\" # uncle Franz again\n",
    );
    shop.import().code(0);
    shop.run(&[
        "repair",
        "26-001",
        "F1",
        "--method",
        "veneer_patch",
        "--day",
        "2026-05-03",
        "--minutes",
        "55",
        "--private-note",
        "do not tell anybody",
    ])
    .code(0);
    shop.photo("../sale/IMG_5.jpg", |_| ());
    shop.file(
        "../sale/IMG_5.jpg.toml",
        b"view = \"part_whole\"\nparts = [\"top\"]\n\n[[mark]]\nfinding = \"F1\"\nstate = \"repaired\"\nbox = [20.0, 20.0, 30.0, 30.0]\n",
    );
    shop.run(&["import", "../sale", "--piece", "26-001", "--stage", "sale"])
        .code(0);
    shop.run(&["report", "26-001"]).code(0);
    shop.run(&["report", "26-001", "--for", "owner"]).code(0);
    shop
}

fn sealed() -> Shop {
    let shop = shop();
    shop.run(&["seal"]).code(0).says("signed, not time-stamped");
    shop
}

/// Makes a dossier with these words, and gives what the program says.
fn made(shop: &Shop, words: &[&str], code: i32) -> Value {
    let all = [&["dossier", "26-001", "--json"], words].concat();
    shop.run(&all).code(code).json()
}

fn path(made: &Value) -> PathBuf {
    PathBuf::from(made["path"].as_str().unwrap())
}

pub(crate) fn folder(shop: &Shop, words: &[&str]) -> PathBuf {
    path(&made(shop, &[&["--folder"], words].concat(), 0))
}

fn verify(shop: &Shop, what: &Path) -> Ran {
    shop.run(&["verify".as_ref(), what.as_os_str()])
}

/// What is not enclosed: name and reason.
fn left_out(made: &Value) -> Vec<(String, String)> {
    let text = |it: &Value| it.as_str().unwrap().to_owned();
    let list = made["left_out"].as_array().unwrap().iter();
    list.map(|it| (text(&it["what"]), text(&it["why"])))
        .collect()
}

pub(crate) fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let all = WalkDir::new(folder).into_iter().map(Result::unwrap);
    let plain = all.filter(|it| it.file_type().is_file());
    plain
        .map(|it| {
            let inside = it.path().strip_prefix(folder).unwrap();
            (
                inside.to_str().unwrap().to_owned(),
                fs::read(it.path()).unwrap(),
            )
        })
        .collect()
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|it| it == text.as_bytes())
}

/// Changes one byte in the middle of a file, also of one that is read-only.
fn flip(path: &Path) {
    let mut bytes = fs::read(path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::remove_file(path).unwrap();
    fs::write(path, bytes).unwrap();
}

fn db(shop: &Shop) -> rusqlite::Connection {
    rusqlite::Connection::open(shop.path("book/book.db")).unwrap()
}

#[test]
fn a_dossier_leaves_the_shop_intact_and_tells_what_it_lacks() {
    let shop = sealed();
    let zip = made(&shop, &[], 0);
    assert!(path(&zip).extension().is_some_and(|it| it == "zip"));
    assert_eq!(
        (&zip["seal"], &zip["time_stamp"]),
        (&1.into(), &Value::Null)
    );
    let told = left_out(&zip);
    let has = |what: &str, why: &str| told.iter().any(|it| it.0.contains(what) && it.1 == why);
    assert!(has("photo 3", "place"), "{told:?}");
    assert!(has("sidecar of photo 4", "private"), "{told:?}");
    assert!(has("edition 1 for the owner", "private"), "{told:?}");
    assert_eq!(told.len(), 3, "{told:?}");
    verify(&shop, &path(&zip))
        .code(0)
        .says("intact, not time-stamped");
    // A second one of the same day never takes the place of the first.
    let again = path(&made(&shop, &[], 0));
    assert_ne!(again, path(&zip));
    let first = path(&zip);
    let taken = ["dossier", "26-001", "--out", first.to_str().unwrap()];
    shop.run(&taken).code(2).says("is there already");
    // The zip has one folder at its top, which holds the same files as the folder.
    let folder = folder(&shop, &[]);
    let reader = fs::File::open(path(&zip)).unwrap();
    let zipped = zip::ZipArchive::new(reader).unwrap();
    let top = path(&zip).file_stem().unwrap().to_str().unwrap().to_owned();
    let mut names: Vec<String> = zipped
        .file_names()
        .map(|it| {
            let inside = it.unwrap().strip_prefix(&top).unwrap().to_owned();
            inside.trim_start_matches('/').to_owned()
        })
        .collect();
    names.sort();
    let inside = files(&folder);
    assert_eq!(names, inside.keys().cloned().collect::<Vec<_>>());
    let last = zipped.file_names().last().unwrap().unwrap().into_owned();
    assert!(last.ends_with("tagmanifest-sha256.sig"), "{last}");
    assert!(
        inside.keys().any(|it| it.contains("Größe 'vorn'")),
        "{names:?}"
    );
    let cover = String::from_utf8(inside["data/cover.html"].clone()).unwrap();
    for said in [
        "Müller&#x27;s",
        "F1: ",
        "70 mm, level 2",
        "SHA-256",
        "No authority says",
    ] {
        assert!(cover.contains(said), "{said}");
    }
    for word in ["certified", "guaranteed", "proof of age"] {
        assert!(!cover.to_lowercase().contains(word), "{word}");
    }
}

#[test]
fn nothing_private_is_in_any_byte_unless_asked_for() {
    let shop = sealed();
    let open = files(&folder(&shop, &[]));
    assert!(open.len() > 20);
    let mut processor = PhotoProcessor::new(Limits::default());
    let mut pictures = 0;
    for (name, bytes) in &open {
        for text in PRIVATE
            .iter()
            .chain(&["48.2082", "16.3738", "book.key", "PRIVATE KEY"])
        {
            assert!(!holds(bytes, text), "`{text}` in {name}");
        }
        if name.starts_with("data/originals/") {
            pictures += 1;
            let look = processor.process(bytes).unwrap();
            assert_eq!(look.facts.place, None, "{name}");
        }
    }
    assert_eq!(pictures, 4);
    // Asked for, all of it is there, and the check agrees.
    let all = folder(&shop, &["--with-private"]);
    let whole = files(&all);
    for text in PRIVATE.iter().chain(&["48.2082"]) {
        assert!(whole.values().any(|it| holds(it, text)), "{text}");
    }
    verify(&shop, &all).code(0).says("intact");
    let places = files(&folder(&shop, &["--with-places"]));
    assert!(places.keys().any(|it| it.ends_with("IMG_3.jpg")));
    for text in PRIVATE {
        assert!(!places.values().any(|it| holds(it, text)), "{text}");
    }
}

/// A text that cannot be read may say anything: here the key of the private note is misspelt.
#[test]
fn a_sidecar_with_a_mistake_is_kept_back_and_older_texts_are_replaced() {
    let shop = shop();
    let sidecar = shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml");
    let old = fs::read_to_string(&sidecar).unwrap();
    let slip = old.replacen("\n\n", "\nprivat_note = \"do not tell anybody\"\n\n", 1);
    assert_ne!(slip, old);
    fs::write(&sidecar, slip).unwrap();
    shop.run(&["survey", "26-001"]).code(1);
    shop.run(&["seal"]).code(0);
    let made = made(&shop, &["--folder"], 0);
    let of: Vec<_> = left_out(&made)
        .into_iter()
        .filter(|it| it.0 == "the sidecar of photo 2")
        .map(|it| it.1)
        .collect();
    // The text in force is no later one's, and goes in.
    assert_eq!(of, ["refused"]);
    let inside = files(&path(&made));
    assert!(!inside.values().any(|it| holds(it, "do not tell anybody")));
    verify(&shop, &path(&made)).code(0).says("intact");
}

/// Where the newest text could not be read, the one in force goes in, and the page says of both which they are.
#[test]
fn the_text_in_force_goes_in_where_the_newest_could_not_be_read() {
    let shop = shop();
    let sidecar = shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml");
    let old = fs::read_to_string(&sidecar).unwrap();
    fs::write(&sidecar, format!("{old}\nviiew = \"back_whole\"\n")).unwrap();
    shop.run(&["survey", "26-001"]).code(1);
    shop.run(&["seal"]).code(0);
    let closed = made(&shop, &["--folder"], 0);
    let of = left_out(&closed).into_iter();
    let of: Vec<_> = of.filter(|it| it.0 == "the sidecar of photo 2").collect();
    assert_eq!(of.len(), 1, "{of:?}");
    assert_eq!(of[0].1, "refused");
    let cover = fs::read_to_string(path(&closed).join("data/cover.html")).unwrap();
    let said = cover.split("IMG_2.jpg.toml (line ").nth(1).unwrap();
    assert!(
        said.split_once("), in force; not enclosed: a newer text, not in force")
            .is_some_and(|it| it.0.len() < 5),
        "{said}"
    );
    assert!(cover.contains("Not in force, as it could not be read"));
    verify(&shop, &path(&closed)).code(0).says("intact");
    let open = made(&shop, &["--folder", "--with-private"], 0);
    let texts = files(&path(&open));
    let beside = texts
        .iter()
        .filter(|it| it.0.to_string().contains("IMG_2.jpg.toml"));
    assert_eq!(beside.count(), 2);
    verify(&shop, &path(&open)).code(0).says("intact");
}

#[test]
fn a_changed_dossier_is_altered_and_one_with_a_hole_incomplete() {
    let shop = sealed();
    let dossier = folder(&shop, &[]);
    let original = dossier.join("data/originals/1-purchase/IMG_2.jpg");
    let good = fs::read(&original).unwrap();
    flip(&original);
    verify(&shop, &dossier)
        .code(1)
        .says("altered")
        .says("IMG_2.jpg");
    fs::remove_file(&original).unwrap();
    verify(&shop, &dossier)
        .code(1)
        .says("incomplete")
        .says("IMG_2.jpg");
    fs::write(&original, good).unwrap();
    verify(&shop, &dossier).code(0).says("intact");
    fs::write(dossier.join("data/originals/1-purchase/other.jpg"), b"x").unwrap();
    verify(&shop, &dossier).code(1).says("altered");
}

#[test]
fn a_lost_original_is_named_and_the_rest_still_stands() {
    let shop = sealed();
    flip(&shop.stored("1 purchase 2026-05-03/IMG_2.jpg"));
    let made = made(&shop, &["--folder"], 1);
    let lost: Vec<_> = left_out(&made)
        .into_iter()
        .filter(|it| it.1 == "lost")
        .collect();
    assert_eq!(lost.len(), 1);
    assert!(lost[0].0.contains("IMG_2.jpg"));
    let inside = files(&path(&made));
    assert!(
        !inside
            .keys()
            .any(|it| it.ends_with("originals/1-purchase/IMG_2.jpg"))
    );
    verify(&shop, &path(&made))
        .code(1)
        .says("incomplete")
        .says("1 lost")
        .says("is left out (lost)");
}

#[test]
fn without_a_seal_over_all_lines_there_is_no_dossier() {
    let shop = shop();
    shop.run(&["dossier", "26-001"])
        .code(2)
        .stdout("")
        .stderr("could not: there is no seal yet\n  seal the book first: `asfound seal`\n");
    shop.run(&["seal"]).code(0);
    // An edition alone may be newer; it is told, and not enclosed.
    shop.run(&["repair", "26-001", "--again", "1", "--note", "said anew"])
        .code(0);
    shop.run(&["dossier", "26-001"])
        .code(2)
        .stdout("")
        .stderr(
            "could not: 1 line of 26-001 or of the book's key came into the ledger after the newest seal\n  seal the book first: `asfound seal`\n",
        );
    shop.run(&["seal"]).code(0);
    shop.run(&["report", "26-001"]).code(0);
    let made = made(&shop, &["--folder"], 0);
    let newer = (
        "edition 2 for the buyer".to_owned(),
        "newer than the seal".to_owned(),
    );
    assert!(left_out(&made).contains(&newer), "{made:#}");
    verify(&shop, &path(&made)).code(0).says("intact");
}

#[test]
fn a_locked_key_signs_only_with_its_passphrase() {
    let shop = shop();
    let run = |words: &[&str], passphrase: Option<&str>| {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command.args(words);
        if let Some(it) = passphrase {
            command.env("ASFOUND_PASSPHRASE", it);
        }
        Ran::of(&mut command)
    };
    run(&["seal", "--lock"], Some("long words in a row")).code(0);
    run(&["dossier", "26-001"], Some("other words in a row")).code(2);
    let open = run(&["dossier", "26-001", "--json"], None).code(0).json();
    assert_eq!(open["signed"], false);
    verify(&shop, &path(&open))
        .code(1)
        .says("incomplete")
        .says("sig");
    let signed = run(
        &["dossier", "26-001", "--json"],
        Some("long words in a row"),
    )
    .code(0)
    .json();
    assert_eq!(signed["signed"], true);
    verify(&shop, &path(&signed)).code(0);
    // A book whose key is gone gets no second one behind the owner's back.
    fs::remove_file(shop.path("book/book.key")).unwrap();
    run(
        &["repair", "26-001", "--again", "1", "--note", "anew"],
        None,
    )
    .code(0);
    run(&["seal"], None).code(2).stdout("").stderr(
        "could not: the book has seals, but its key `book.key` is gone\n  put it back from a backup of the book's folder; where there is none, `asfound seal --new-key --old-key-lost` makes another, openly not signed by the old one\n",
    );
}

#[test]
fn a_claim_says_what_answers_it_and_what_is_missing() {
    let shop = sealed();
    shop.run(&["dossier", "26-001", "--claim", "nonsense"])
        .code(2)
        .stdout("")
        .stderr(
            "could not: `nonsense` is no kind of claim\n  the kinds are: transit_break, leg_loosened, hidden_fault, wear_or_damage, \
             swapped_item, not_as_described, restoration_undisclosed, broke_in_use, arrived_dirty_or_smelly, warranty_period, \
             missing_part, our_loss, sold_twice, photo_doubted\n",
        );
    shop.run(&["dossier", "26-001", "--photo", "none.jpg"])
        .code(2)
        .stdout("")
        .stderr(
            "could not: `none.jpg` is no picture of 26-001\n  take it in first: `asfound import FILE --piece NO --stage delivery`\n",
        );
    let claim = made(&shop, &["--claim", "transit_break", "--folder"], 0);
    let missing: Vec<&str> = claim["missing_for_claim"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it.as_str().unwrap())
        .collect();
    for part in [
        "pictures of the handover",
        "pictures of the delivery",
        "(pack_inner)",
        "time stamp",
    ] {
        assert!(
            missing.iter().any(|it| it.contains(part)),
            "{part}: {missing:?}"
        );
    }
    assert!(
        !missing.iter().any(|it| it.contains("(front_whole)")),
        "{missing:?}"
    );
    let cover = fs::read_to_string(path(&claim).join("data/cover.html")).unwrap();
    assert!(cover.contains("Was the damage there when the piece left?"));
    assert!(cover.contains("no legal advice"));
    for said in [
        "Who asks, and for what",
        "Road carrier: pallet, or wrapped in blankets",
        "The delivery note, with the damage written on it at the door.",
        "When somebody claims: what to do, in order",
        "Compare view by view: the same, worse, or cannot be told.",
    ] {
        assert!(cover.contains(said), "{said}");
    }
    assert!(!cover.contains("Bank or payment service"));
    // One picture, by its number, by its name and by its file: the exhibit is the finding in it.
    let file = shop.stored("1 purchase 2026-05-03/IMG_2.jpg");
    for name in ["2", "IMG_2.jpg", file.to_str().unwrap()] {
        let made = made(&shop, &["--photo", name, "--folder"], 0);
        let cover = fs::read_to_string(path(&made).join("data/cover.html")).unwrap();
        assert!(
            cover.contains("Exhibit 1.") && !cover.contains("Exhibit 2."),
            "{name}"
        );
        assert!(cover.contains("class=\"mark\""), "the outline is drawn");
    }
}

/// A view that anybody would take again, and that was taken on one side of the sale only, is an exhibit that says which side lacks.
#[test]
fn a_view_without_its_counterpart_says_which_side_lacks() {
    let shop = sealed();
    let cover = || {
        let made = made(&shop, &["--claim", "transit_break", "--folder"], 0);
        fs::read_to_string(path(&made).join("data/cover.html")).unwrap()
    };
    let lacks = |cover: &str, side: &str| {
        let said = format!("The record has no picture of this view from {side} the piece left.");
        cover.matches(&said).count()
    };
    let first = cover();
    let left = lacks(&first, "after");
    assert!(left > 0, "{first}");
    assert_eq!(lacks(&first, "before"), 0);
    // The front has its counterpart then; the left side has none from before; what is packed is of one side by its nature.
    for (no, view) in [(7, "front_whole"), (8, "left_whole"), (9, "pack_outer")] {
        let name = format!("../door/IMG_{no}.jpg");
        shop.photo(&name, |_| ()).file(
            format!("{name}.toml"),
            format!("view = \"{view}\"\n").as_bytes(),
        );
    }
    let stage = ["--piece", "26-001", "--stage", "delivery"];
    shop.run(&[&["import", "../door"], &stage[..]].concat())
        .code(0);
    shop.run(&["seal"]).code(0);
    let second = cover();
    assert_eq!(lacks(&second, "after"), left - 1);
    assert_eq!(lacks(&second, "before"), 1);
}

/// A time limit never stands alone.
#[test]
fn who_asks_is_listed_and_limits_are_orientation() {
    let shop = shop();
    let words = shop.run(&["words", "askers", "--json"]).code(0).json();
    let words = words.as_array().unwrap();
    assert_eq!(words.len(), 11);
    let mut limits = 0;
    for line in words.iter().flat_map(|it| it["more"].as_array().unwrap()) {
        let line = line.as_str().unwrap();
        if line.starts_with("time limits: ") {
            limits += 1;
            assert!(
                line.ends_with("Orientation; your contract and country decide."),
                "{line}"
            );
        }
    }
    assert_eq!(limits, 8);
    shop.run(&["words", "askers", "removal"])
        .code(0)
        .says("mover  Removal firm");
    let claims = shop.run(&["words", "claims", "--json"]).code(0).json();
    assert_eq!(claims.as_array().unwrap().len(), 14);
}

#[test]
fn other_programs_agree() {
    let shop = sealed();
    let dossier = folder(&shop, &[]);
    if crate::stamp_office::ready() {
        let text = fs::read_to_string(dossier.join("data/CHECK.txt")).unwrap();
        let commands = text.lines().filter_map(|it| it.strip_prefix("    "));
        let script: String = commands.map(|it| format!("{it}\n")).collect();
        let run = Command::new("bash")
            .args(["-c", &script])
            .current_dir(dossier.join("data"))
            .output()
            .unwrap();
        let said = format!(
            "{}{}",
            String::from_utf8_lossy(&run.stdout),
            String::from_utf8_lossy(&run.stderr)
        );
        assert!(!said.contains("WRONG"), "{said}");
        for good in [
            "1 files listed",
            "1 no other files",
            "3 set signed",
            "4 seals/seal-0001.json",
        ] {
            assert!(said.contains(&format!("{good}: good")), "{good}\n{said}");
        }
        let good = |it: &&str| it.starts_with("7 ") && it.ends_with(": good");
        let sevens = said.lines().filter(good).count();
        let named = files(&dossier);
        let named = named.keys().filter(|it| {
            let folders = ["originals", "sidecars", "reports", "kept"];
            folders
                .iter()
                .any(|folder| it.starts_with(&format!("data/{folder}/")))
        });
        assert_eq!(sevens, named.count(), "{said}");
    }
    if let Some(reference) = crate::photo_reference::reference_folder() {
        let run = Command::new("python3")
            .args(["-m", "bagit", "--validate"])
            .arg(&dossier)
            .env("PYTHONPATH", reference.join("python"))
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(run.status.success() && said.contains("is valid"), "{said}");
    }
}

/// A picture that was taken out is not one that is missing.
#[test]
fn a_removed_photo_differs_from_a_missing_one() {
    let shop = shop();
    let out = [
        "remove",
        "26-001",
        "--photo",
        "4",
        "--why",
        "a neighbour's face",
    ];
    let gone = shop.run(&[&out[..], &["--json"]].concat()).code(0).json();
    assert!(Path::new(gone["path"].as_str().unwrap()).is_file());
    shop.run(&out).code(2);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0).says("intact");
    // Its number is never given again, and it is listed nowhere.
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["photos"], 4);
    let dossier = folder(&shop, &[]);
    verify(&shop, &dossier).code(0).says("intact");
    let lines = fs::read_to_string(dossier.join("data/ledger/lines.jsonl")).unwrap();
    assert!(lines.contains("a neighbour's face"));
    fs::remove_file(shop.stored("1 purchase 2026-05-03/IMG_2.jpg")).unwrap();
    shop.run(&["verify"]).code(1).says("incomplete");
}

/// A report that was made while a picture was in that is out since stays out of the dossier, unless it is asked for; who has it can
/// show that it is the one of the ledger.
#[test]
fn a_report_that_may_show_a_picture_taken_out_is_kept_back() {
    let shop = shop();
    let removed = ["remove", "26-001", "--photo", "4", "--why", "a face"];
    shop.run(&removed).code(0).says("--with-older-reports");
    shop.run(&["seal"]).code(0);
    let kept = |dossier: &Path| {
        let text = fs::read_to_string(dossier.join("data/left-out.txt")).unwrap();
        let cover = fs::read_to_string(dossier.join("data/cover.html")).unwrap();
        (text, cover, dossier.join("data/reports/buyer-01.html"))
    };
    let without = folder(&shop, &[]);
    let (text, cover, report) = kept(&without);
    assert!(!report.exists());
    assert!(cover.contains("Reports that may show a picture that was taken out"));
    assert!(!cover.contains("But these reports are enclosed"));
    verify(&shop, &without).code(0).says("intact");
    let dry = shop.run(&["dossier", "26-001", "--dry-run"]).code(0);
    dry.says("--with-older-reports encloses them");
    let with = folder(&shop, &["--with-older-reports"]);
    let left_out = (text, cover);
    let (_, cover, report) = kept(&with);
    let sum = Digest::of(&fs::read(report).unwrap()).to_string();
    assert!(left_out.0.contains(&sum), "{}", left_out.0);
    assert!(left_out.1.contains(&sum));
    assert!(cover.contains("But these reports are enclosed; they were made while it was in, and may show it and what was written beside it: "));
    verify(&shop, &with).code(0).says("intact");
    // What is made after it is out holds nothing of it, and goes along; a picture that is back hides nothing.
    shop.run(&["put-back", "26-001", "--photo", "4"]).code(0);
    shop.run(&["seal"]).code(0);
    let back = folder(&shop, &[]);
    assert!(back.join("data/reports/buyer-01.html").is_file());
}

/// The listing as it stood and the thread with the buyer go along, byte for byte, and a changed one is found.
#[test]
fn kept_papers_go_into_the_dossier() {
    let shop = shop();
    for (name, text) in [
        ("listing.html", "<p>for 390</p>"),
        ("O'Hara.txt", "Is it solid?"),
    ] {
        shop.file(name, text.as_bytes());
    }
    let card = |name: &str| shop.card(name).display().to_string();
    let (listing, thread) = (card("listing.html"), card("O'Hara.txt"));
    shop.run(&["keep", "26-001", &listing, &thread]).code(0);
    let again = shop
        .run(&["keep", "26-001", &listing, "--json"])
        .code(0)
        .json();
    assert_eq!(again[0]["already"], true);
    // Another paper of the same name does not take its place.
    shop.file("listing.html", b"<p>for 350</p>");
    let other = shop
        .run(&["keep", "26-001", &listing, "--json"])
        .code(0)
        .json();
    assert_eq!(other[0]["name"], "listing (2).html");
    shop.run(&["seal"]).code(0);
    let dossier = folder(&shop, &[]);
    for (name, text) in [
        ("listing.html", "<p>for 390</p>"),
        ("listing (2).html", "<p>for 350</p>"),
        ("O'Hara.txt", "Is it solid?"),
    ] {
        let path = dossier.join("data/kept").join(name);
        assert_eq!(fs::read_to_string(&path).unwrap(), text, "{name}");
    }
    verify(&shop, &dossier).code(0).says("intact");
    flip(&dossier.join("data/kept/O'Hara.txt"));
    verify(&shop, &dossier).code(1).says("altered");
    // A book tells of the dossiers that lie in it.
    shop.run(&["verify"])
        .code(1)
        .says("altered")
        .says("is altered: `data/kept/O'Hara.txt`");
    flip(&dossier.join("data/kept/O'Hara.txt"));
    // In the book a rotten one is named and put back, and a row without its line is found.
    shop.run(&["verify"]).code(0);
    flip(&shop.stored("kept/O'Hara.txt"));
    shop.run(&["verify"])
        .code(1)
        .says("altered")
        .says("/kept/O'Hara.txt` has other bytes");
    shop.run(&["verify", "--heal", "../card"])
        .code(0)
        .says("put back");
    fs::remove_file(shop.stored("kept/O'Hara.txt")).unwrap();
    shop.run(&["verify"]).code(1).says("incomplete");
    shop.run(&["verify", "--heal", "../card"]).code(0);
    db(&shop)
        .execute("DELETE FROM kept_file WHERE name = 'listing.html'", [])
        .unwrap();
    shop.run(&["verify"])
        .code(1)
        .says("the kept paper `listing.html` of the ledger is not in the record");
}

#[test]
fn a_rotten_original_is_named_and_healed() {
    let shop = sealed();
    shop.run(&["verify"])
        .code(0)
        .says("intact, not time-stamped");
    let path = shop.stored("1 purchase 2026-05-03/IMG_2.jpg");
    let good = fs::read(&path).unwrap();
    flip(&path);
    shop.run(&["verify"])
        .code(1)
        .says("altered")
        .says("1 purchase 2026-05-03/IMG_2.jpg")
        .says("`asfound verify --heal DIR` puts back what is gone or rotten");
    // What could not be put back is said, and where it was looked for.
    fs::create_dir(shop.path("none")).unwrap();
    shop.run(&["verify", "--heal", "../none"])
        .code(1)
        .says("IMG_2.jpg: `../none` does not have its bytes");
    let none = shop.run(&["verify", "--heal", "../none", "--json"]);
    assert_eq!(none.json()["lost"].as_array().unwrap().len(), 1);
    shop.run(&["verify", "--heal", "../card"])
        .code(0)
        .says("put back")
        .says("IMG_2.jpg.rotten` now: no backup and no import takes it");
    assert_eq!(fs::read(&path).unwrap(), good);
    shop.run(&["verify"]).code(0);
    fs::remove_file(&path).unwrap();
    shop.run(&["verify"]).code(1).says("incomplete");
    shop.run(&["verify", "--heal", "../card"])
        .code(0)
        .says("intact");
    assert_eq!(Digest::of(&fs::read(&path).unwrap()), Digest::of(&good));
    // What was set aside comes back neither as a photo nor out of a backup.
    let folder = path.parent().unwrap().to_str().unwrap().to_owned();
    let again = [
        "import", &folder, "--piece", "26-001", "--stage", "purchase",
    ];
    let again = shop.run(&[&again[..], &["--json"]].concat()).json();
    assert_eq!(
        (&again["taken"], &again["refused"]),
        (&0.into(), &serde_json::json!([]))
    );
    shop.run(&["backup", "../safe"]).code(0);
    shop.run(&["restore", "../safe", "../again"]).code(0);
    let restored = walkdir::WalkDir::new(shop.path("again")).into_iter();
    let rotten = |it: walkdir::DirEntry| it.path().to_string_lossy().contains("rotten");
    assert!(!restored.map(Result::unwrap).any(rotten));
}

#[test]
fn a_row_changed_behind_the_programs_back_is_altered() {
    for change in [
        "UPDATE repair SET told = json_set(told, '$.method', 'french_polish')",
        "UPDATE repair SET told = json_set(told, '$.minutes', 5)",
        "DELETE FROM repair",
        "UPDATE piece SET told = json_set(told, '$.title', 'oak table')",
        "UPDATE photo SET clock_off = 86400 WHERE no = 1",
        "UPDATE edition SET digest = zeroblob(32)",
        "DELETE FROM photo WHERE no = 4",
        "UPDATE shoot SET stage = 'handover' WHERE no = 2",
        "UPDATE photo SET facts = json_set(facts, '$.camera', 'another') WHERE no = 2",
        "UPDATE photo SET facts = '{' WHERE no = 2",
        "UPDATE repair SET told = 'nothing'",
        "UPDATE sidecar_text SET content = '[]'",
        "UPDATE shoot SET day = '2026-05-09' WHERE no = 1",
        "UPDATE finding SET part = 'drawer-9'",
        "UPDATE edition SET made = '2026-01-01' WHERE reader = 'buyer'",
        "UPDATE edition_stated SET stated = '{}' WHERE reader = 'buyer'",
        "UPDATE seal SET stamped = '2026-05-03T00:00:00Z'",
    ] {
        let shop = sealed();
        {
            let db = db(&shop);
            db.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
            assert!(db.execute(change, []).unwrap() > 0, "{change}");
        }
        let said = shop.run(&["verify"]).code(1);
        assert!(said.out().contains("altered"), "{change}: {said}");
    }
}

/// What came after the newest seal is told, and not said to be sealed.
#[test]
fn lines_that_no_seal_covers_are_told() {
    let shop = sealed();
    let codes = |found: &Value| -> Vec<String> {
        let checks = found["checks"].as_array().unwrap().iter();
        checks
            .map(|it| it["code"].as_str().unwrap().to_owned())
            .collect()
    };
    let found = shop.run(&["verify", "--json"]).code(0).json();
    assert!(!codes(&found).contains(&"unsealed".to_owned()));
    shop.run(&["amend", "26-001", "--weight", "12 kg"]).code(0);
    let found = shop.run(&["verify", "--json"]).code(0).json();
    assert!(codes(&found).contains(&"unsealed".to_owned()));
    assert_eq!(found["verdict"], "intact, not time-stamped");
    shop.run(&["verify"])
        .code(0)
        .says("lines after the newest seal: 1;");
    // What was changed since is named by piece and file, and never said to be unchanged.
    let slip = shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml");
    let text = fs::read_to_string(&slip).unwrap();
    fs::write(&slip, format!("{text}\n# looked at again\n")).unwrap();
    let found = shop.run(&["verify", "--json"]).code(0).json();
    let told = |code: &str| -> String {
        let checks = found["checks"].as_array().unwrap().iter();
        let these = checks.filter(|it| it["code"] == code);
        these.map(|it| it["about"].as_str().unwrap()).collect()
    };
    let unsealed = told("unsealed");
    for want in [
        "lines after the newest seal: 2;",
        "They tell of 26-001: what was told of the piece changed (line ",
        "`IMG_2.jpg.toml` beside picture ",
        " changed (line ",
    ] {
        assert!(unsealed.contains(want), "{want}: {unsealed}");
    }
    assert!(told("unread").contains("1 sidecar was changed since"));
    assert!(found["beside"].to_string().contains("IMG_2.jpg.toml"));
}

/// The page of an edition is what a reader was given: without it a book and a dossier lack something.
#[test]
fn a_lost_edition_is_incomplete_and_can_be_put_back() {
    let shop = shop();
    shop.run(&["report", "26-001"]).code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    let reports = shop.stored("reports");
    let page = fs::read_dir(&reports).unwrap().flatten();
    let page = page.map(|it| it.path());
    let page = page.filter(|it| it.display().to_string().ends_with("buyer edition 1.html"));
    let page = page.max().unwrap();
    let safe = shop.path("safe");
    fs::create_dir(&safe).unwrap();
    fs::rename(&page, safe.join("page.html")).unwrap();
    shop.run(&["verify"]).code(1).says("incomplete");
    let dossier = path(&made(&shop, &["--folder"], 1));
    verify(&shop, &dossier).code(1).says("incomplete");
    let safe = safe.display().to_string();
    shop.run(&["verify", "--heal", &safe])
        .code(0)
        .says("intact");
    assert!(page.is_file());
}

/// Where a dossier is opened first, a file says with what to begin; it is a tag file, and is checked as they all are.
#[test]
fn a_dossier_says_at_its_top_where_to_begin() {
    let shop = sealed();
    let dossier = folder(&shop, &[]);
    let start = dossier.join("START-HERE.txt");
    let text = fs::read_to_string(&start).unwrap();
    assert!(text.contains("data/cover.html") && text.contains("data/check.html"));
    verify(&shop, &dossier).code(0);
    fs::write(&start, "send money").unwrap();
    verify(&shop, &dossier).code(1).says("altered");
    fs::remove_file(&start).unwrap();
    verify(&shop, &dossier).code(1).says("incomplete");
}

/// What the paths and the words of a command are, an error says.
#[test]
fn what_is_no_dossier_is_called_so() {
    let shop = sealed();
    shop.run(&["verify", "nofolder"])
        .code(2)
        .says("there is no `nofolder`");
    let text = shop.path("readme");
    fs::write(&text, "a text").unwrap();
    shop.run(&["verify".as_ref(), text.as_os_str()])
        .code(2)
        .says("is no dossier");
    shop.run(&["import", "none", "--piece", "26-001", "--stage", "purchase"])
        .code(2)
        .says("there is no `none`");
    shop.run(&["repair", "26-001", "--method", "clean"])
        .code(2)
        .says("--whole-piece");
    shop.run(&[
        "repair",
        "26-001",
        "--whole-piece",
        "--method",
        "clean",
        "--day",
        "2026-02-30",
    ])
    .code(2)
    .says("there is no day `2026-02-30`");
}

/// A key that is gone is told as gone, whatever is asked.
#[test]
fn a_key_that_is_gone_is_told() {
    let shop = sealed();
    shop.run(&["key"]).code(0).says("state  open");
    let key = shop.path("book/book.key");
    fs::write(&key, "garbage").unwrap();
    shop.run(&["verify"]).code(1).says("`book.key`");
    fs::remove_file(&key).unwrap();
    shop.run(&["key"]).code(1).says("state  gone");
}

/// A picture that was taken out does not come back by a row that is gone.
#[test]
fn a_removal_that_was_undone_is_altered() {
    let shop = shop();
    shop.run(&["remove", "26-001", "--photo", "4", "--why", "a neighbour"])
        .code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    let gone = db(&shop).execute("DELETE FROM removed_photo", []).unwrap();
    assert_eq!(gone, 1);
    shop.run(&["verify"])
        .code(1)
        .says("altered")
        .says("picture 4 was taken out");
}

/// What the record reads in a sidecar is worked out from its text; a row that was changed to read otherwise is found by it.
#[test]
fn a_text_that_is_read_as_something_else_is_altered() {
    let newest = "(SELECT max(id) FROM sidecar_text)";
    for change in [
        "UPDATE sidecar_text SET content = replace(content, '\"level\":2', '\"level\":1') WHERE content LIKE '%white_mark%'".to_owned(),
        "UPDATE sidecar_text SET content = json_set(content, '$.view', 'top_raking') WHERE content LIKE '%top_flat%'".to_owned(),
        "UPDATE sidecar_text SET text = replace(text, 'level = 2', 'level = 1') WHERE text LIKE '%white_mark%'".to_owned(),
        format!("INSERT INTO sidecar_text (photo, absorbed, text, content) SELECT photo, absorbed, text, content FROM sidecar_text WHERE id = {newest}"),
    ] {
        let shop = sealed();
        assert_eq!(db(&shop).execute(&change, []).unwrap(), 1, "{change}");
        let found = shop.run(&["verify", "--json"]).code(1).json();
        assert_eq!(found["verdict"], "altered", "{change}");
        let bad: Vec<&Value> = found["checks"].as_array().unwrap().iter().filter(|it| it["ok"] == false).map(|it| &it["code"]).collect();
        assert!(bad.iter().all(|it| *it == "sidecars"), "{change}: {bad:?}");
    }
    // An older text put in force again.
    let shop = shop();
    let sidecar = shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml");
    let old = fs::read_to_string(&sidecar).unwrap();
    fs::write(&sidecar, old.replace("level = 2", "level = 3")).unwrap();
    shop.run(&["survey", "26-001"]).code(0);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    let back = "UPDATE sidecar_seen SET in_force = (SELECT min(id) FROM sidecar_text WHERE text LIKE '%white_mark%') WHERE in_force IN (SELECT id FROM sidecar_text WHERE text LIKE '%level = 3%')";
    assert_eq!(db(&shop).execute(back, []).unwrap(), 1);
    shop.run(&["verify"])
        .code(1)
        .says("26-001: of picture 2 another text is in force than the newest good one");
}

#[test]
fn the_ledger_refuses_to_be_changed() {
    let shop = sealed();
    let db = db(&shop);
    for (change, why) in [
        ("UPDATE ledger SET line = 'x' WHERE no = 3", "never changes"),
        ("UPDATE ledger SET private = NULL", "never changes"),
        ("DELETE FROM ledger", "never goes"),
    ] {
        let error = db.execute(change, []).unwrap_err().to_string();
        assert!(error.contains(why), "{error}");
    }
    // Who takes the guard away is found out by the seal.
    db.execute_batch(
        "DROP TRIGGER ledger_stays; UPDATE ledger SET line = replace(line, '2026-05-03', '2026-05-02') WHERE line LIKE '%\"photo\":2,%'",
    )
    .unwrap();
    drop(db);
    shop.run(&["verify"])
        .code(1)
        .says("altered")
        .says("not those of seal 1");
    shop.run(&["dossier", "26-001"])
        .code(2)
        .says("asfound verify");
}

#[test]
fn an_older_book_gets_its_ledger_once_and_says_so() {
    let shop = shop();
    db(&shop)
        .execute_batch(
            "DROP TABLE moved_photo; DROP TABLE withdrawn_piece; DROP TABLE edition_stated; DROP TABLE sale; DROP TABLE ledger; DROP TABLE seal; DROP TABLE removed_photo; DROP TABLE kept_file; PRAGMA user_version = 1",
        )
        .unwrap();
    let lines = || -> Vec<String> {
        let db = db(&shop);
        let mut ask = db.prepare("SELECT line FROM ledger ORDER BY no").unwrap();
        let rows = ask.query_map([], |it| it.get(0)).unwrap();
        rows.map(Result::unwrap).collect()
    };
    shop.run(&["stock"]).code(0);
    let first = lines();
    assert!(first[0].contains("\"built_later\":true"), "{}", first[0]);
    let kinds = |what: &str| {
        let what = format!("\"what\":\"{what}\"");
        first.iter().filter(|it| it.contains(&what)).count()
    };
    let count = ["piece", "photo", "sidecar", "repair", "edition"].map(kinds);
    assert_eq!(count, [1, 5, 5, 1, 2], "{first:#?}");
    shop.run(&["stock"]).code(0);
    assert_eq!(lines(), first);
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0).says("intact");
    let dossier = folder(&shop, &[]);
    verify(&shop, &dossier).code(0).says("held entries before");
    let cover = fs::read_to_string(dossier.join("data/cover.html")).unwrap();
    assert!(cover.contains("older than its ledger"));
}

/// Seen in a real browser: WCAG 2.2 AA by axe-core, nothing sideways at 360 px, no figure cut on paper.
#[test]
fn cover_and_statement_hold_in_a_browser_and_on_paper() {
    let book = &crate::demo::demo().book;
    let mut pages: Vec<PathBuf> = WalkDir::new(book)
        .into_iter()
        .map(|it| it.unwrap().into_path())
        .filter(|it| it.ends_with("data/cover.html") || it.ends_with("data/statement.html"))
        .collect();
    pages.sort();
    assert_eq!(pages.len(), 2, "the demo has a dossier");
    for page in pages {
        let Some(seen) = crate::browser::look(&page) else {
            return;
        };
        for list in ["violations", "requests", "console_errors"] {
            assert_eq!(seen[list], serde_json::json!([]), "{list}");
        }
        for width in ["360", "1280"] {
            assert_eq!(seen["horizontal_overflow"][width]["px"], 0, "at {width} px");
        }
        assert_eq!(
            (&seen["h1"], &seen["broken_images"]),
            (&1.into(), &0.into())
        );
        for paper in ["A4", "Letter"] {
            for list in ["cut", "unseen"] {
                assert_eq!(seen["paper"][paper][list], serde_json::json!([]), "{paper}");
            }
        }
    }
}

/// Two windows that seal a fresh book at once make one key, and every seal is by it.
#[test]
fn two_seals_at_once_make_one_key() {
    let shop = shop();
    let command = || {
        let mut it = shop.command(env!("CARGO_BIN_EXE_asfound"));
        it.args(["seal", "--json"]);
        it
    };
    let windows: Vec<_> = (0..6)
        .map(|_| {
            command()
                .stdout(std::process::Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    let mut keys: Vec<String> = Vec::new();
    for window in windows {
        let done = window.wait_with_output().unwrap();
        assert!(done.status.success());
        let said: Value = serde_json::from_slice(&done.stdout).unwrap();
        keys.push(said["fingerprint"].as_str().unwrap().to_owned());
    }
    keys.dedup();
    assert_eq!(keys.len(), 1, "{keys:?}");
    let found = shop.run(&["verify", "--json"]).code(0).json();
    assert_eq!(
        (&found["verdict"], &found["fingerprint"]),
        (&"intact, not time-stamped".into(), &keys[0].clone().into())
    );
}

/// A key that did not make the newest seal is not used, and the book stays as it was.
#[test]
fn a_foreign_key_is_refused() {
    let (shop, other) = (sealed(), sealed());
    let foreign = other.path("book/book.key");
    fs::remove_file(shop.path("book/book.key")).unwrap();
    fs::copy(foreign, shop.path("book/book.key")).unwrap();
    shop.run(&["repair", "26-001", "--again", "1", "--note", "anew"])
        .code(0);
    shop.run(&["seal"])
        .code(2)
        .says("is not the key that made seal 1")
        .says("backup");
    shop.run(&["verify"])
        .code(1)
        .says("`book.key` is not the key that made seal 1")
        .says("lines after the newest seal: 1;");
}

/// Two files of one name in a zip are two dossiers: what one program unpacks, another does not.
#[test]
fn a_zip_with_repeated_names_is_refused() {
    let shop = sealed();
    let zip = path(&made(&shop, &[], 0));
    let bytes = fs::read(&zip).unwrap();
    // One of two names of the same length is changed into the other, where it stands beside its file and in the list at the end.
    let (from, to) = ("data/cover.html", "data/check.html");
    let twice = zip.with_file_name("twice.zip");
    let mut changed = bytes.clone();
    for at in 0..changed.len() - from.len() {
        let header = changed[..at].ends_with(b"/") && changed[at..].starts_with(from.as_bytes());
        if header {
            changed[at..at + from.len()].copy_from_slice(to.as_bytes());
        }
    }
    assert_ne!(changed, bytes);
    fs::write(&twice, changed).unwrap();
    verify(&shop, &twice).code(2).says("have the same name");
}

/// Where somebody got it to and how does not matter: a link to it, a zip that another system packed anew.
#[test]
fn harmless_wrapping_raises_no_alarm() {
    let shop = sealed();
    let dossier = folder(&shop, &[]);
    #[cfg(unix)]
    {
        let link = shop.path("link");
        std::os::unix::fs::symlink(&dossier, &link).unwrap();
        verify(&shop, &link).code(0).says("intact");
        let link = shop.path("link.zip");
        std::os::unix::fs::symlink(path(&made(&shop, &[], 0)), &link).unwrap();
        verify(&shop, &link).code(0).says("intact");
    }
    let target = shop.path("anew.zip");
    let mut anew = zip::ZipWriter::new(fs::File::create(&target).unwrap());
    let plain = zip::write::SimpleFileOptions::default();
    for (name, bytes) in files(&dossier) {
        for (path, bytes) in [
            (format!("d/{name}"), bytes),
            (format!("__MACOSX/d/._{name}"), b"x".to_vec()),
        ] {
            anew.start_file(path, plain).unwrap();
            std::io::Write::write_all(&mut anew, &bytes).unwrap();
        }
    }
    anew.finish().unwrap();
    verify(&shop, &target).code(0).says("intact");
}

/// What stands beside the verdict, wherever it is shown.
#[test]
fn how_much_is_enclosed_stands_beside_the_verdict() {
    let shop = sealed();
    let found = shop
        .run(&[
            "verify".as_ref(),
            folder(&shop, &[]).as_os_str(),
            "--json".as_ref(),
        ])
        .code(0)
        .json();
    let beside: Vec<&str> = found["beside"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it.as_str().unwrap())
        .collect();
    assert_eq!(beside[0], "4 of 5 originals enclosed, 1 kept back.");
    assert_eq!(beside[1], "4 of 5 sidecars enclosed, 1 kept back.");
    assert_eq!(beside[2], "1 of 2 reports enclosed, 1 kept back.");
    assert!(
        beside[3].starts_with("No seal covers these 7 files: data/CHECK.txt, "),
        "{beside:?}"
    );
    assert!(!found["meaning"].as_str().unwrap().contains("Every file"));
}

/// What a picture said counts no more when it is out: the answer names the findings that are counted otherwise.
#[test]
fn who_takes_a_picture_out_is_told_what_it_said() {
    let shop = shop();
    let words = ["remove", "26-001", "--photo", "5", "--why", "a face"];
    let ran = shop.run(&words).code(0);
    let ran = ran.says("F1 White ring or haze, Top: was “repaired, no level given” (repaired on ");
    let ran = ran.says("is now “repaired, no mark since” (there on 3 May 2026, level 2, 70 mm)");
    ran.says("asfound put-back 26-001 --photo 5");
    shop.run(&["put-back", "26-001", "--photo", "5"]).code(0);
    let again = shop.run(&[&words[..], &["--json"]].concat()).json();
    assert_eq!(again["recounted"][0]["id"], "F1");
    assert_eq!(again["recounted"][0]["is"], "repair_unseen");
}

/// A picture that takes the newest look at a fault with it is told, also where the fault is counted as before; and the next report
/// names the finding.
#[test]
fn a_later_look_that_goes_is_told_where_the_count_stays() {
    let shop = shop();
    let text =
        "view = \"part_whole\"\nparts = [\"top\"]\n\n[[mark]]\nfinding = \"F1\"\nlevel = 1\n";
    for (stage, time) in [
        ("delivery", "2026:05:10 10:00:00"),
        ("return", "2026:05:20 10:00:00"),
    ] {
        let name = format!("../{stage}/{stage}.jpg");
        shop.photo(&name, |it| it.time = Some(time.to_owned()));
        shop.file(format!("{name}.toml"), text.as_bytes());
        let folder = format!("../{stage}");
        shop.run(&["import", &folder, "--piece", "26-001", "--stage", stage])
            .code(0);
    }
    let words = ["remove", "26-001", "--photo", "7", "--why", "blurred"];
    shop.run(&words).code(0).says(
        "F1 White ring or haze, Top: was “still there” (there on 20 May 2026, level 1), is now “still there” (there on 10 May 2026, level 1)",
    );
    let page = shop.run(&["report", "26-001", "--draft"]).code(0);
    let html = fs::read_to_string(page.out().lines().next().unwrap()).unwrap();
    assert!(
        html.contains("it told of <a href=\"#finding-1\">F1</a> (there)"),
        "{html}"
    );
}

/// Beside each picture stands where the text lies that says what it shows, or that it is not enclosed; within one day the dates
/// stand in the order of the ledger.
#[test]
fn the_cover_tells_where_the_words_are_and_what_came_first() {
    let shop = sealed();
    shop.run(&["remove", "26-001", "--photo", "3", "--why", "a face"])
        .code(0);
    shop.photo("signed.jpg", |_| ());
    let card = shop.card("signed.jpg").display().to_string();
    shop.run(&[
        "keep",
        "26-001",
        &card,
        "--signed-by",
        "carrier",
        "--seal",
        "1",
    ])
    .code(0);
    shop.run(&["seal"]).code(0);
    let dossier = folder(&shop, &["--photo", "4", "--photo", "2"]);
    verify(&shop, &dossier).code(0).says("intact");
    let cover = fs::read_to_string(dossier.join("data/cover.html")).unwrap();
    assert!(cover.contains("not enclosed: it holds a private note (line "));
    assert!(cover.contains("a copy without it: copies&#x2f;1-purchase&#x2f;IMG_4.jpg.copy.toml"));
    let copy = fs::read_to_string(dossier.join("data/copies/1-purchase/IMG_4.jpg.copy.toml"));
    let copy = copy.unwrap();
    assert!(
        copy.contains("view = \"part_whole\"\nparts = [\"top\"]\n"),
        "{copy}"
    );
    assert!(
        !copy.contains("rivate") && !copy.contains("Franz"),
        "{copy}"
    );
    assert!(cover.contains("IMG_2.jpg.toml"));
    let rows = [
        "Purchase: 4 pictures taken into the book, 1 of which taken out of the record later",
        "Condition report for the buyer, edition 1",
        "Seal 1 over the first",
        "Picture 3 (purchase) taken out of the record",
        "Paper or message of the carrier about seal 1 entered (line ",
        "Seal 2 over the first",
    ];
    let table = cover.split("<table class=\"dates\">").nth(1).unwrap();
    let at = rows.map(|it| {
        table
            .find(it)
            .unwrap_or_else(|| panic!("`{it}` is not in {table}"))
    });
    assert!(at.is_sorted(), "{at:?}");
}
