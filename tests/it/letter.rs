//! The letter is redeemed: a message that named a seal finds out a record that was made anew, with the key and all.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::Command;
use std::process::Stdio;

use asfound::evidence::key::pair::Key;
use asfound::evidence::seal::letter::Letter;
use asfound::evidence::seal::letter::NamedPiece;
use asfound::evidence::seal::statement::Statement;
use asfound::evidence::verify::notes::Outcome;
use asfound::evidence::verify::sealed::letter::Answer;
use asfound::evidence::verify::verdict::Stamping;
use asfound::evidence::verify::verdict::Verdict;
use asfound::evidence::verify::verify_files;
use asfound::kit::digest::Digest;
use asfound::tongue::Language;
use asfound::tongue::Saying;
use asfound::tongue::Tongue;
use serde_json::Value;
use serde_json::json;

use crate::dossier;
use crate::dossier::Book;
use crate::dossier::Folder;
use crate::dossier::Judge;
use crate::shop::Ran;
use crate::shop::Shop;

/// A shop whose piece has two photos, sealed; the change is made to the card before they are taken in.
fn sealed_shop(key_of: Option<&Shop>, before: impl FnOnce(&Shop)) -> (Shop, Value) {
    let shop = Shop::with_piece();
    if let Some(other) = key_of {
        fs::copy(other.path("book/book.key"), shop.path("book/book.key")).unwrap();
    }
    before(&shop);
    shop.ready("");
    let sealed = shop.run(&["seal", "--json"]).code(0).json();
    (shop, sealed)
}

fn verify(shop: &Shop, what: &Path, letter: &Path) -> Ran {
    let words = [
        "verify".as_ref(),
        what.as_os_str(),
        "--letter".as_ref(),
        letter.as_os_str(),
    ];
    shop.run(&[&words[..], &["--json".as_ref()]].concat())
}

fn letter_check(found: &Value) -> &Value {
    let mut all = found["checks"].as_array().unwrap().iter();
    all.find(|it| it["code"] == "letter").unwrap()
}

#[test]
fn a_book_made_anew_with_the_same_key_is_found_out_by_the_letter() {
    let (shop, sealed) = sealed_shop(None, |_| ());
    let mail = sealed["letter"].as_str().unwrap();
    let quoted: String = mail
        .to_uppercase()
        .lines()
        .map(|it| format!("> {it}\n"))
        .collect();
    let letter = shop.path("mail.txt");
    fs::write(
        &letter,
        format!("You wrote on Friday:\n{quoted}\nIs that so?\n"),
    )
    .unwrap();

    let (forged, again) = sealed_shop(Some(&shop), |it| {
        it.photo("IMG_0.jpg", |_| ());
        fs::remove_file(it.card("IMG_0.jpg")).unwrap();
    });
    for what in ["fingerprint", "size", "no"] {
        assert_eq!(
            sealed[what], again[what],
            "made anew, all that is easy to compare is the same"
        );
    }
    for (shop, same) in [(&shop, true), (&forged, false)] {
        shop.run(&["dossier", "26-001", "--out", "../sent.zip"])
            .code(0);
        for what in [shop.path("book"), shop.path("sent.zip")] {
            let alone = shop.run(&["verify".as_ref(), what.as_os_str()]);
            alone.code(0).says("intact, not time-stamped");
            let found = verify(shop, &what, &letter).code(i32::from(!same)).json();
            let want = if same {
                "intact, not time-stamped"
            } else {
                "altered"
            };
            assert_eq!(found["verdict"], want, "{found:#}");
            let check = letter_check(&found);
            assert_eq!(check["ok"], same);
            let begins = match same {
                true => "This is the record that the letter of 2026-05-26 names: seal 1, ",
                false => {
                    "This is not the record that the letter of 2026-05-26 names: no seal here has its root."
                }
            };
            let about = check["about"].as_str().unwrap();
            assert!(about.starts_with(begins), "{about}");
            assert!(found["beside"][0].as_str().unwrap().starts_with(begins));
            let any_time = found["meaning"].as_str().unwrap().contains("at any time");
            assert!(!any_time, "{found:#}");
        }
    }
}

#[test]
fn a_letter_is_read_from_what_is_piped_in_and_a_text_without_one_is_refused() {
    let (shop, sealed) = sealed_shop(None, |_| ());
    let mail = sealed["letter"].as_str().unwrap();
    let piped = |text: &str| {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command.args(["verify", "--letter", "-"]);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut run = command.spawn().unwrap();
        run.stdin
            .take()
            .unwrap()
            .write_all(text.as_bytes())
            .unwrap();
        Ran::ended(format!("{text} |"), run.wait_with_output().unwrap())
    };
    piped(mail)
        .code(0)
        .says("This is the record that the letter of 2026-05-26 names");
    piped("how is the table?")
        .code(2)
        .says("no letter can be read in it");
    let cut = &mail[..mail.find("root").unwrap() + 45];
    piped(cut).code(2).says("has 40 digits, not 64");
    // What comes after the letter is told apart from what it covers.
    shop.file("listing.html", b"for 390");
    let paper = shop.card("listing.html").display().to_string();
    shop.run(&["keep", "26-001", &paper]).code(0);
    shop.run(&["seal"]).code(0).says("for your invoices");
    piped(mail)
        .code(0)
        .says("of the lines here about a piece are among them, 1 came after it (line ")
        .says("After the letter came: 26-001: `listing.html` (line ");
    // A book that was set back to before the letter is not what it names.
    let text = shop.run(&["seal", "--json"]).json()["letter"]
        .as_str()
        .unwrap()
        .to_owned();
    piped(&text).code(0);
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    db.execute_batch("DROP TRIGGER IF EXISTS seal_stays; DROP TRIGGER ledger_stays; DROP TRIGGER ledger_keeps; DELETE FROM seal WHERE no = 2; DELETE FROM ledger WHERE no = (SELECT max(no) FROM ledger)").unwrap();
    piped(&text)
        .code(1)
        .says("This is not the record that the letter of 2026-05-26 names");
}

/// The texts beside a picture that were sealed and changed since are told in words, and a seal that is gone is called gone.
#[test]
fn what_was_taken_back_after_the_letter_is_named() {
    let (shop, sealed) = sealed_shop(None, |_| ());
    let letter = shop.path("mail.txt");
    fs::write(&letter, sealed["letter"].as_str().unwrap()).unwrap();
    let beside = |name: &str| {
        let folders = fs::read_dir(shop.piece_folder()).unwrap();
        let mut paths = folders.map(|it| it.unwrap().path().join(name));
        paths.find(|it| it.is_file()).unwrap()
    };
    let (one, two) = (beside("IMG_1.jpg.toml"), beside("IMG_2.jpg.toml"));
    let [first, second] = [&one, &two].map(|it| fs::read_to_string(it).unwrap());
    fs::write(&one, &second).unwrap();
    fs::write(&two, &first).unwrap();
    let changed = shop.run(&["verify"]).code(0);
    changed.says("the texts beside pictures 1 and 2 are each other's, word for word");
    // One text put right, the other with less in it than was sealed.
    fs::write(&one, &first).unwrap();
    fs::write(&two, "view = \"identity_mark\"\nparts = [\"top\"]\n").unwrap();
    shop.run(&["seal"]).code(0);
    let again = verify(&shop, &shop.path("book"), &letter).code(0);
    assert!(again.out().contains("After the letter came: 26-001: "));
    assert!(again.out().contains("beside picture 2 changed"));
    let made = shop.run(&["dossier", "26-001", "--folder", "--json"]);
    let made = made.code(0).json();
    let folder = Path::new(made["path"].as_str().unwrap());
    let cover = fs::read_to_string(folder.join("data/cover.html")).unwrap();
    let row = "The text beside picture 2 changed (line ";
    assert!(cover.contains(row), "{cover}");
    assert!(cover.contains("Until seal 1 it said: "), "{cover}");
    // The first seal taken away, and another in its place.
    let db = rusqlite::Connection::open(shop.path("book/book.db")).unwrap();
    db.execute_batch("DROP TRIGGER IF EXISTS seal_stays; DELETE FROM seal;")
        .unwrap();
    let seals = fs::read_dir(shop.path("book/seals")).unwrap();
    for path in seals.map(|it| it.unwrap().path()) {
        if path.to_string_lossy().contains("seal-0") {
            fs::remove_file(path).unwrap();
        }
    }
    shop.run(&["seal"]).code(0);
    let other = verify(&shop, &shop.path("book"), &letter).code(1);
    let about = "is not in this book; another seal 1, over ";
    assert!(other.out().contains(about), "{}", other.out());
}

#[test]
fn a_letter_is_written_where_it_is_wanted_and_its_day_is_held_to() {
    let (shop, sealed) = sealed_shop(None, |_| ());
    let mail = sealed["letter"].as_str().unwrap();
    assert!(
        mail.contains("before the piece leaves") && mail.contains("record of 26-001 ("),
        "{mail}"
    );
    // A second seal of the same lines is none; the letter is the same.
    shop.run(&["seal", "--letter", "../letter.txt"]).code(0);
    let written = fs::read_to_string(shop.path("letter.txt")).unwrap();
    assert_eq!(written.trim_end(), mail);
    shop.run(&["seal", "--letter", "../letter.txt"])
        .code(2)
        .says("is there already");
    shop.run(&["seal", "--letter", "-"])
        .code(0)
        .stdout(&format!("{mail}\n"));
    let letter = shop.path("other.txt");
    fs::write(&letter, mail.replace("of 2026-05-26,", "of 2026-01-27,")).unwrap();
    let book = shop.path("book");
    let found = verify(&shop, &book, &letter).code(1).json();
    assert_eq!(found["verdict"], "altered");
    let about = letter_check(&found)["about"].as_str().unwrap();
    assert!(
        about.contains("it is of 2026-01-27, but the seal of that root is of 2026-05-26"),
        "{about}"
    );
    fs::write(&letter, mail.replace("pieces 26-001", "pieces 26-007")).unwrap();
    let found = verify(&shop, &book, &letter).code(1).json();
    assert_eq!(found["verdict"], "altered");
    fs::write(&letter, "").unwrap();
    verify(&shop, &book, &letter).code(2).says("it is empty");
}

/// A letter in this language, of a seller who types English.
fn of(language: Language) -> Tongue {
    Tongue {
        language,
        writer: Language::English,
    }
}

fn letter_of(book: &Book, nth: usize) -> Letter {
    let statement = Statement::read(&book.seals[nth].statement).unwrap();
    Letter::of(book.seals[nth].no, &statement, &book.key.public())
}

fn piece(no: &str) -> NamedPiece {
    NamedPiece {
        stock_no: no.parse().unwrap(),
        title: Saying::Own("oak table".to_owned()),
        has_left: Some(false),
    }
}

/// Name, dossier, message, and what all three must find: the verdict of the whole, and how the letter fares.
fn cases() -> Vec<(&'static str, Folder, String, Outcome)> {
    let book = dossier::good();
    let good = book.dossier();
    let forged = dossier::book(1, &|no| dossier::small(no + 10), Some(&dossier::toy_stamp));
    let newest = letter_of(&book, 2);
    let with = |change: &dyn Fn(&mut Letter)| {
        let mut it = newest.clone();
        change(&mut it);
        it.text(&[], Tongue::ENGLISH)
    };
    let stranger = Key::from_seed(&[9; 32])
        .public()
        .fingerprint()
        .replace(' ', "");
    vec![
        (
            "newest",
            good.clone(),
            newest.text(&[], Tongue::ENGLISH),
            Outcome::Good,
        ),
        (
            "in German",
            good.clone(),
            newest.text(&[], of(Language::German)),
            Outcome::Good,
        ),
        (
            "in French",
            good.clone(),
            newest.text(&[], of(Language::French)),
            Outcome::Good,
        ),
        (
            "oldest",
            good.clone(),
            letter_of(&book, 0).text(&[], Tongue::ENGLISH),
            Outcome::Good,
        ),
        ("one-line", good.clone(), newest.line(), Outcome::Good),
        (
            "both",
            good.clone(),
            format!(
                "{}\n\n> {}",
                newest.text(&[], Tongue::ENGLISH),
                letter_of(&book, 0).text(&[], Tongue::ENGLISH)
            ),
            Outcome::Good,
        ),
        (
            "root-alone",
            good.clone(),
            format!("root: {}", newest.root),
            Outcome::Good,
        ),
        (
            "other-root",
            good.clone(),
            with(&|it| it.root = Digest::of(b"other")),
            Outcome::Wrong,
        ),
        (
            "other-key",
            good.clone(),
            with(&|it| it.key = Some(stranger.clone())),
            Outcome::Wrong,
        ),
        (
            "other-number",
            good.clone(),
            with(&|it| it.seal = Some((2, it.seal.unwrap().1))),
            Outcome::Wrong,
        ),
        (
            "other-size",
            good.clone(),
            with(&|it| it.seal = Some((3, 1))),
            Outcome::Wrong,
        ),
        (
            "other-day",
            good.clone(),
            with(&|it| it.day = Some("2026-01-27".parse().unwrap())),
            Outcome::Wrong,
        ),
        (
            "this-piece",
            good.clone(),
            newest.text(&[piece("26-002"), piece(dossier::PIECE)], Tongue::ENGLISH),
            Outcome::Good,
        ),
        (
            "other-piece",
            good.clone(),
            newest.text(&[piece("26-009")], Tongue::ENGLISH),
            Outcome::Wrong,
        ),
        (
            "later",
            good.clone(),
            with(&|it| (it.root, it.seal) = (Digest::of(b"later"), Some((4, 900)))),
            Outcome::Missing,
        ),
        (
            "made-anew",
            forged.dossier(),
            newest.text(&[], Tongue::ENGLISH),
            Outcome::Wrong,
        ),
        (
            "garbage",
            good.clone(),
            "how is the table?".to_owned(),
            Outcome::Told,
        ),
        (
            "cut-off",
            good,
            newest.text(&[], Tongue::ENGLISH)
                [..newest.text(&[], Tongue::ENGLISH).find("root").unwrap() + 45]
                .to_owned(),
            Outcome::Told,
        ),
    ]
}

#[test]
fn what_is_said_of_a_letter_rests_on_the_checked_one() {
    let book = dossier::good();
    let judge = Judge {
        letters: vec![letter_of(&book, 2)],
        ..Judge::default()
    };
    let unstamped = |mut book: Book| {
        for seal in &mut book.seals {
            (seal.query, seal.reply) = (None, None);
        }
        book.dossier()
    };
    let found = verify_files(&mut unstamped(book.clone()), &judge).unwrap();
    let [Answer::Same(same)] = &found.letters[..] else {
        panic!("{found:#?}")
    };
    assert_eq!(found.verdict, Verdict::Intact(Stamping::Letter(*same)));
    assert_eq!(found.beside[0], same.sentence());
    let stamped = Judge {
        root: Some(dossier::authority().public()),
        ..judge
    };
    let found = verify_files(&mut book.dossier(), &stamped).unwrap();
    assert_eq!(found.verdict.word(), "proven");
    assert!(
        found.beside[0].contains("the record that the letter of"),
        "{:?}",
        found.beside
    );
    // The root alone is no proof where what leads from it to the lines was tampered with.
    let mut broken = book.dossier();
    broken.set(asfound::evidence::dossier::package::CONSISTENCY, "[]");
    let found = verify_files(&mut broken.listed_anew(Some(&book.key)), &stamped).unwrap();
    assert!(found.letters.iter().all(|it| {
        !matches!(it, Answer::Same(_))
            || found
                .checks
                .iter()
                .any(|it| it.code == "consistency" && !it.ok())
    }));
    let older = Judge {
        letters: vec![letter_of(&book, 0)],
        root: None,
    };
    let found = verify_files(&mut broken.listed_anew(Some(&book.key)), &older).unwrap();
    assert!(
        matches!(found.letters[..], [Answer::Open(_)]),
        "{:#?}",
        found.letters
    );
}

#[test]
fn program_and_check_text_agree_about_letters() {
    let dir = tempfile::tempdir().unwrap();
    for (name, folder, mail, want) in cases() {
        let file = dir.path().join(name);
        fs::write(&file, &mail).unwrap();
        let said = dossier::run_check_text(&folder, &[("10. ", "letter.txt", &file)]);
        let about: Vec<&str> = said.lines().filter(|it| it.starts_with("10 ")).collect();
        let any = |word: &str| about.iter().any(|it| it.contains(word));
        let has = match (
            any("WRONG"),
            any("INCOMPLETE"),
            any("no letter can be read"),
        ) {
            (true, ..) => Outcome::Wrong,
            (_, _, true) => Outcome::Told,
            (_, true, _) => Outcome::Missing,
            _ if any("root of the letter: good") => Outcome::Good,
            _ => panic!("{name}: {said}"),
        };
        assert_eq!(has, want, "{name}: {about:#?}");
        let others = said
            .lines()
            .filter(|it| !it.starts_with("10 ") && !it.starts_with("8 "));
        assert!(
            others.clone().all(|it| !it.contains("WRONG")),
            "{name}: {said}"
        );
        let read = Letter::read(&mail);
        if want == Outcome::Told {
            assert!(read.is_err(), "{name}");
            continue;
        }
        let judge = Judge {
            letters: read.unwrap(),
            root: None,
        };
        let found = verify_files(&mut folder.clone(), &judge).unwrap();
        let of_letter = found.checks.iter().filter(|it| it.code == "letter");
        assert_eq!(
            of_letter.map(|it| it.outcome).max(),
            Some(want),
            "{name}: {found:#?}"
        );
    }
}

#[test]
fn the_checking_page_says_of_letters_what_the_program_says() {
    if std::env::var_os("ASFOUND_BROWSER").is_none() {
        crate::browser::leave_out();
        return;
    }
    let cases = cases();
    let dir = tempfile::tempdir().unwrap();
    let mut told = Vec::new();
    for (name, folder, mail, _) in &cases {
        folder.write_out(&dir.path().join(name));
        told.push(json!({"folder": dir.path().join(name), "letter": mail}));
    }
    let list = dir.path().join("cases.json");
    fs::write(&list, json!(told).to_string()).unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let run = Command::new("node")
        .arg(root.join("tests/browser/check_letter.mjs"))
        .arg(dir.path().join("newest/data/check.html"))
        .arg(&list)
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let seen: Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(seen["requests"], json!([]));
    assert_eq!(seen["console_errors"], json!([]));
    for ((name, folder, mail, want), seen) in cases.iter().zip(seen["cases"].as_array().unwrap()) {
        let read = Letter::read(mail);
        let judge = Judge {
            letters: read.clone().unwrap_or_default(),
            root: None,
        };
        let found = verify_files(&mut folder.clone(), &judge).unwrap();
        for when in ["before", "after"] {
            let seen = &seen[when];
            assert_eq!(seen["verdict"], found.verdict.word(), "{name}: {seen:#}");
            assert_eq!(seen["beside"], json!(found.beside), "{name}");
            match read {
                Ok(_) => assert_eq!(
                    seen["letter"],
                    json!(format!("{want:?}").to_lowercase()),
                    "{name}"
                ),
                Err(why) => {
                    let said = seen["said"]
                        .as_str()
                        .unwrap()
                        .replace(['“', '”'], "`")
                        .to_lowercase();
                    assert_eq!(said.trim_end_matches('.'), why.to_string().to_lowercase());
                    assert_eq!(seen["letter"], Value::Null);
                }
            }
        }
    }
}
