//! Photos into the book and a report out of it, through the real program.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::io::Cursor;
use std::io::Write as _;

use asfound::kit::digest::Digest;
use image::ExtendedColorType;
use image::ImageEncoder as _;
use image::codecs::png::PngEncoder;
use jpeg_encoder::ColorType;
use jpeg_encoder::Encoder;
use serde_json::Value;
use serde_json::json;

use crate::shop::Ran;
use crate::shop::SIZE;
use crate::shop::Shop;
use samples::Exif;

/// The names of an object, as they stand.
fn names(value: &Value) -> Vec<&str> {
    let object = value.as_object().expect("an object");
    object.keys().map(String::as_str).collect()
}

#[track_caller]
fn has_names(value: &Value, wanted: &[&str]) {
    let found = names(value);
    for name in wanted {
        assert!(found.contains(name), "no `{name}` in {found:?}");
    }
}

#[test]
fn the_names_of_json_are_those_promised() {
    let shop = Shop::new();
    shop.book();
    let words = ["intake", "oak table", "--form", "side_table", "--json"];
    let taken = shop.run(&words).code(0).json();
    has_names(&taken, &["stock_no", "folder"]);
    assert_eq!(taken["stock_no"], "26-001");
    let mark =
        "[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [10, 10, 20, 20]\n";
    shop.photo("a.jpg", |_| ())
        .file(
            "a.jpg.toml",
            format!("view = \"top_flat\"\n{mark}").as_bytes(),
        )
        .file("b.jpg", b"no picture");
    let imported = shop.import_json().code(1).json();
    has_names(
        &imported,
        &["shoot", "taken", "already", "refused", "warnings"],
    );
    has_names(&imported["refused"][0], &["file", "reason"]);
    assert_eq!(
        (&imported["taken"], &imported["already"]),
        (&json!(1), &json!(0))
    );
    let stock = shop.run(&["stock", "--json"]).code(0).json();
    has_names(
        &stock[0],
        &["stock_no", "title", "form", "photos", "findings"],
    );
    assert_eq!(
        (&stock[0]["photos"], &stock[0]["findings"]),
        (&json!(1), &json!(1))
    );
    fs::write(
        shop.stored("1 purchase 2026-05-03/a.jpg.toml"),
        format!("vew = 1\n{mark}"),
    )
    .unwrap();
    let survey = shop.run(&["survey", "26-001", "--json"]).code(1).json();
    let all = [
        "piece",
        "shoots",
        "photos",
        "findings",
        "missing_views",
        "complaints",
    ];
    has_names(&survey, &all);
    has_names(
        &survey["findings"][0],
        &["id", "part", "tag", "level", "state", "origin", "history"],
    );
    has_names(
        &survey["complaints"][0],
        &["file", "line", "column", "message"],
    );
    assert_eq!(survey["complaints"][0]["line"], 1);
    let report = shop.run(&["report", "26-001", "--json"]).code(2).json();
    has_names(&report, &["path", "edition", "bytes", "blocked_by"]);
    assert_eq!(report["path"], Value::Null);
    assert!(!report["blocked_by"].as_array().unwrap().is_empty());
}

#[test]
fn a_day_of_work_is_told_in_few_words() {
    let shop = Shop::new();
    shop.book();
    shop.run(&["stock"])
        .code(0)
        .stdout("")
        .stderr("the book is empty; take in a piece with `asfound intake`\n");
    shop.piece("walnut table").photo("IMG_1.jpg", |_| ());
    shop.import()
        .code(0)
        .stdout("1 photo taken to shoot `1 purchase 2026-05-03`, 0 in the book already, 0 kept out\n")
        .stderr(
            "now say what they show, on a page or in the .toml file beside each photo; then ask what is missing\n  asfound mark 26-001\n  asfound survey 26-001\nto show later that these pictures were in the book today: a seal whose letter you mail, or a time stamp\n  asfound seal\n  asfound seal --authority URL --root AUTHORITY-ROOT.pem\n",
        );
    shop.import()
        .code(0)
        .stdout("0 photos taken, 1 in the book already, 0 kept out\n")
        .stderr("in the book already, shoot 1: picture 1\n");
    shop.run(&["stock"])
        .code(0)
        .stdout("26-001  bought        1 photo    0 numbers   walnut table\n")
        .stderr("as last read; numbers: given to findings, to clean tests, to what was not found, and to what was withdrawn since; `asfound survey NO` says what became of each\n");
}

/// The list comes from the record alone, however many sidecars there are; a survey reads what changed in its piece.
#[test]
fn the_stock_list_is_as_last_read() {
    let shop = Shop::with_piece();
    shop.ready("");
    let path = shop.stored("1 purchase 2026-05-03/IMG_1.jpg.toml");
    let mark = "[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [1, 1, 9, 9]\n";
    fs::write(&path, format!("view = \"front_whole\"\n{mark}")).unwrap();
    let findings = || {
        let answer = shop.run(&["stock", "--json"]).code(0).stderr("").json();
        answer[0]["findings"].as_u64().unwrap()
    };
    assert_eq!(findings(), 0);
    shop.run(&["survey", "26-001"]).code(0);
    assert_eq!(findings(), 1);
    fs::rename(shop.piece_folder(), shop.path("away")).unwrap();
    assert_eq!(findings(), 1);
}

#[test]
fn every_coding_of_a_photo_is_taken_in_and_kept_as_it_is() {
    let shop = Shop::with_piece();
    let (width, height) = SIZE;
    let exif = Exif::taken("2026:05:03 10:00:00");
    let rgb = samples::pixels(width, height, 1);
    let mut progressive = Vec::new();
    let mut encoder = Encoder::new(&mut progressive, 90);
    encoder.set_progressive(true);
    encoder
        .encode(&rgb, width as u16, height as u16, ColorType::Rgb)
        .unwrap();
    let grey: Vec<u8> = rgb.chunks(3).map(|it| it[1]).collect();
    let mut grey_jpeg = Vec::new();
    Encoder::new(&mut grey_jpeg, 90)
        .encode(&grey, width as u16, height as u16, ColorType::Luma)
        .unwrap();
    let deep: Vec<u8> = rgb
        .iter()
        .flat_map(|it| u16::to_ne_bytes(u16::from(*it) * 257))
        .collect();
    let mut deep_png = Vec::new();
    PngEncoder::new(Cursor::new(&mut deep_png))
        .write_image(&deep, width, height, ExtendedColorType::Rgb16)
        .unwrap();
    let files = [
        (
            "baseline.jpg",
            samples::jpeg_seeded(width, height, 2, &exif),
        ),
        ("progressive.jpg", progressive),
        ("grey.jpg", grey_jpeg),
        (
            "eight.png",
            samples::png_of(width, height, &samples::pixels(width, height, 3), &exif),
        ),
        ("sixteen.png", deep_png),
        (
            "one.webp",
            samples::webp_of(width, height, &samples::pixels(width, height, 4), &exif),
        ),
        (
            "one.tif",
            samples::tiff_of(width, height, &samples::pixels(width, height, 5), &exif),
        ),
    ];
    for (name, bytes) in &files {
        shop.file(name, bytes);
    }
    let answer = shop.import_json().json();
    assert_eq!(answer["taken"], 7, "{answer}");
    assert_eq!(answer["refused"], json!([]));
    for (name, bytes) in &files {
        let stored = shop.stored(&format!("1 purchase 2026-05-03/{name}"));
        assert!(fs::read(&stored).unwrap() == *bytes, "{name} was changed");
        assert!(
            fs::metadata(&stored).unwrap().permissions().readonly(),
            "{name}"
        );
        assert!(
            fs::read(shop.card(name)).unwrap() == *bytes,
            "{name} on the card was changed"
        );
    }
}

#[test]
fn folders_files_and_zips_with_sidecars_are_taken() {
    let shop = Shop::with_piece();
    shop.photo("DCIM/101/IMG_1.jpg", |_| ())
        .photo("IMG_2.jpg", |_| ())
        .photo("IMG_3.jpg", |_| ());
    let mut zip = zip::ZipWriter::new(fs::File::create(shop.path("card/shared.zip")).unwrap());
    let options = zip::write::SimpleFileOptions::default();
    let said = "# my own words, kept\nview   =  \"back_whole\"\n";
    for (name, bytes) in [
        ("phone/IMG_3.jpg", fs::read(shop.card("IMG_3.jpg")).unwrap()),
        ("phone/IMG_3.jpg.toml", said.as_bytes().to_vec()),
        ("__MACOSX/phone/._IMG_3.jpg", b"dropping".to_vec()),
    ] {
        zip.start_file(name, options).unwrap();
        zip.write_all(&bytes).unwrap();
    }
    zip.finish().unwrap();
    fs::remove_file(shop.card("IMG_3.jpg")).unwrap();
    let words = [
        "import",
        "../card/DCIM",
        "../card/IMG_2.jpg",
        "../card/shared.zip",
    ];
    let rest = ["--piece", "26-001", "--stage", "purchase"];
    shop.run(&[&words[..], &rest[..]].concat()).code(0).stdout(
        "3 photos taken to shoot `1 purchase 2026-05-03`, 0 in the book already, 0 kept out\n",
    );
    let text = fs::read_to_string(shop.stored("1 purchase 2026-05-03/IMG_3.jpg.toml")).unwrap();
    assert_eq!(text, said);
    shop.run(&[&words[..], &rest[..]].concat())
        .code(0)
        .stdout("0 photos taken, 3 in the book already, 0 kept out\n");
}

#[test]
fn a_wildcard_that_names_sidecars_too_is_no_fault() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", b"view = \"back_whole\"\n");
    let rest = ["--piece", "26-001", "--stage", "purchase"];
    shop.run(
        &[
            &["import", "../card/a.jpg", "../card/a.jpg.toml"][..],
            &rest,
        ]
        .concat(),
    )
    .code(0)
    .stdout("1 photo taken to shoot `1 purchase 2026-05-03`, 0 in the book already, 0 kept out\n");
    shop.file("lone.jpg.toml", b"view = \"back_whole\"\n");
    shop.run(&[&["import", "../card/lone.jpg.toml"][..], &rest].concat())
        .code(1)
        .says(
            "lone.jpg.toml: is a sidecar; it is taken along with its photo when the photo is named",
        );
}

#[test]
fn a_sidecar_beside_a_photo_is_taken_along_word_for_word() {
    let shop = Shop::with_piece();
    let said =
        b"# kept, with    its spaces\nview = \"back_whole\"\r\n\n\nparts = [ \"top\" ]".as_slice();
    shop.photo("a.jpg", |_| ())
        .photo("b.jpg", |_| ())
        .file("a.jpg.toml", said);
    shop.import().code(0);
    assert_eq!(
        fs::read(shop.stored("1 purchase 2026-05-03/a.jpg.toml")).unwrap(),
        said
    );
    let fresh = fs::read_to_string(shop.stored("1 purchase 2026-05-03/b.jpg.toml")).unwrap();
    assert!(fresh.contains("\nview = \"\"\n"), "{fresh}");
}

#[test]
fn mistakes_in_a_sidecar_brought_along_are_told_at_once() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", b"view = \"front_hole\"\n");
    let answer = shop.import_json().code(1).json();
    let warning = answer["warnings"][0].as_str().unwrap();
    assert!(
        warning.starts_with("1 purchase 2026-05-03/a.jpg.toml:1:8: "),
        "{warning}"
    );
}

#[test]
fn a_sidecar_that_changed_at_its_source_is_told_and_the_one_in_the_book_stands() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", b"view = \"back_whole\"\n");
    shop.import().code(0);
    shop.import()
        .code(0)
        .stderr("in the book already, shoot 1: picture 1\n");
    shop.file("a.jpg.toml", b"view = \"left_whole\"\n");
    let answer = shop.import_json().code(1).json();
    let warning = answer["warnings"][0].as_str().unwrap();
    assert!(
        warning.contains("a.jpg.toml") && warning.contains("differs"),
        "{warning}"
    );
    let text = fs::read_to_string(shop.stored("1 purchase 2026-05-03/a.jpg.toml")).unwrap();
    assert_eq!(text, "view = \"back_whole\"\n");
}

#[test]
fn the_shoot_has_the_corrected_day_of_its_photos() {
    for (off, day) in [
        ("+1d1h", "2026-05-04"),
        ("-11h", "2026-05-02"),
        ("+0h", "2026-05-03"),
    ] {
        let shop = Shop::with_piece();
        shop.photo("a.jpg", |_| ());
        let words = [
            "import", "../card", "--piece", "26-001", "--stage", "purchase", "--json",
        ];
        let answer = shop
            .run(&[&words[..], &["--clock-off", off]].concat())
            .code(0)
            .json();
        assert_eq!(answer["shoot"]["day"], day, "{off}");
    }
}

#[test]
fn photos_of_three_days_are_one_shoot_and_later_ones_another() {
    let shop = Shop::with_piece();
    let taken = |name: &str, day: &str, more: &[&str]| {
        let folder = format!("{name}-card");
        let exif = Exif::taken(&format!("2026:05:{day} 10:00:00"));
        let seed = day.parse().unwrap();
        shop.file(
            format!("../{folder}/{name}"),
            &samples::jpeg_seeded(SIZE.0, SIZE.1, seed, &exif),
        );
        let path = format!("../{folder}");
        let words = ["import", &path, "--piece", "26-001", "--json", "--stage"];
        let answer = shop.run(&[&words[..], more].concat()).json();
        answer["shoot"]["no"].as_u64().unwrap()
    };
    assert_eq!(taken("a.jpg", "03", &["purchase"]), 1);
    assert_eq!(taken("b.jpg", "06", &["purchase"]), 1);
    assert_eq!(taken("c.jpg", "07", &["purchase"]), 2);
    assert_eq!(taken("d.jpg", "08", &["work"]), 3);
    assert_eq!(taken("e.jpg", "09", &["work", "--new-shoot"]), 4);
}

#[test]
fn the_same_bytes_are_taken_once() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    let bytes = fs::read(shop.card("a.jpg")).unwrap();
    shop.file("b.jpg", &bytes).file("deeper/a.jpg", &bytes);
    shop.import().code(0).stdout(
        "1 photo taken to shoot `1 purchase 2026-05-03`, 2 in the book already, 0 kept out\n",
    );
    assert_eq!(shop.stored_names().len(), 2);
}

#[test]
fn two_photos_of_one_name_are_both_kept() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ())
        .photo("more/IMG_1.jpg", |_| ());
    shop.import().says("2 photos taken");
    let names = shop.stored_names();
    assert_eq!(names.len(), 4, "{names:?}");
    assert!(
        names.contains(&"1 purchase 2026-05-03/IMG_1 (2).jpg".to_owned()),
        "{names:?}"
    );
}

/// A file that cannot be read again is not read again: the source is replaced by bytes of the same length and time.
#[test]
fn an_unchanged_folder_is_not_read_again() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    shop.import().code(0);
    let path = shop.card("a.jpg");
    let time = fs::metadata(&path).unwrap().modified().unwrap();
    let bytes = fs::metadata(&path).unwrap().len();
    fs::write(&path, vec![0; bytes as usize]).unwrap();
    fs::File::options()
        .write(true)
        .open(&path)
        .unwrap()
        .set_modified(time)
        .unwrap();
    shop.import()
        .code(0)
        .stdout("0 photos taken, 1 in the book already, 0 kept out\n");
    fs::File::options()
        .write(true)
        .open(&path)
        .unwrap()
        .set_modified(std::time::SystemTime::now())
        .unwrap();
    shop.import().code(1).says("1 kept out");
}

#[test]
fn the_same_record_gives_the_same_report() {
    let shop = Shop::with_piece();
    shop.ready("");
    let first = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(first["edition"], 1, "{first}");
    let page = fs::read(first["path"].as_str().unwrap()).unwrap();
    assert_eq!(first["bytes"], page.len());
    assert_eq!(first["digest"], Digest::of(&page).to_string());
    for name in ["previews.db", "previews.db-wal", "previews.db-shm"] {
        let _ = fs::remove_file(shop.path("book").join(name));
    }
    let again = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(
        (&again["edition"], &again["digest"]),
        (&json!(1), &first["digest"])
    );
    assert!(fs::read(first["path"].as_str().unwrap()).unwrap() == page);
    let sidecar = shop.stored("1 purchase 2026-05-03/IMG_2.jpg.toml");
    fs::write(
        &sidecar,
        "view = \"identity_mark\"\nparts = [\"top\"]\nnote = \"a knot by the edge\"\n\n[[mark]]\ntag = \"looks_like_wood\"\npart = \"top\"\nwhich = \"walnut\"\n",
    )
    .unwrap();
    let next = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(next["edition"], 2);
    assert_ne!(next["path"], first["path"], "the first edition is kept");
    assert!(fs::read(first["path"].as_str().unwrap()).unwrap() == page);
}

#[test]
fn previews_that_are_broken_are_made_again() {
    let shop = Shop::with_piece();
    shop.ready("");
    let first = shop.run(&["report", "26-001", "--json"]).code(0).json();
    let path = shop.path("book/previews.db");
    let whole = fs::read(&path).unwrap();
    let mut holed = whole.clone();
    holed[4096..].fill(0x5a);
    for broken in [
        b"not a database, but long enough to look at".repeat(30),
        holed,
        Vec::new(),
    ] {
        fs::write(&path, broken).unwrap();
        let again = shop.run(&["report", "26-001", "--json"]).code(0).json();
        assert_eq!(again["digest"], first["digest"]);
    }
}

#[test]
fn a_deleted_sidecar_is_put_back_word_for_word() {
    let shop = Shop::with_piece();
    let said = "# my words\nview =   \"back_whole\" # so\n";
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", said.as_bytes());
    shop.import().code(0);
    let path = shop.stored("1 purchase 2026-05-03/a.jpg.toml");
    fs::remove_file(&path).unwrap();
    shop.run(&["survey", "26-001"])
        .code(1)
        .stderr(
            "the sidecar `1 purchase 2026-05-03/a.jpg.toml` is gone; its last good text stays in force\n\
            write them again with `asfound put-back 26-001`\n",
        );
    shop.run(&["put-back", "26-001"])
        .code(0)
        .stdout("1 purchase 2026-05-03/a.jpg.toml\n")
        .stderr("");
    assert_eq!(fs::read_to_string(&path).unwrap(), said);
    shop.run(&["put-back", "26-001"])
        .code(0)
        .stdout("")
        .stderr("no sidecar is missing\n");
}

#[test]
fn the_book_is_found_by_option_by_environment_and_from_below() {
    let shop = Shop::with_piece();
    let line = "26-001  taken in      0 photos   0 numbers   walnut table\n";
    let book = shop.path("book");
    let book = book.to_str().unwrap();
    shop.run_in(shop.path(""), &["stock", "--book", book])
        .code(0)
        .stdout(line);
    let mut by_environment = shop.command(env!("CARGO_BIN_EXE_asfound"));
    by_environment
        .arg("stock")
        .current_dir(shop.path("card"))
        .env("ASFOUND_BOOK", book);
    crate::shop::Ran::of(&mut by_environment)
        .code(0)
        .stdout(line);
    shop.run_in(shop.piece_folder(), &["stock"])
        .code(0)
        .stdout(line);
    shop.run_in(shop.path("card"), &["stock"])
        .code(2)
        .stdout("")
        .stderr(&format!(
            "could not: there is no stock book in `{}` or any folder above it\n  \
            go to your book's folder, name it with --book, or start one with `asfound new-book DIR`\n",
            shop.path("card").display()
        ));
    shop.run(&["new-book", "."])
        .code(2)
        .stdout("")
        .stderr("could not: there is a stock book in `.` already\n");
}

#[test]
fn completions_and_the_man_page_are_printed() {
    let shop = Shop::new();
    for (what, holds) in [
        ("bash", "complete -F _asfound"),
        ("zsh", "#compdef asfound"),
        ("fish", "complete -c asfound"),
        ("man", ".TH asfound 1"),
    ] {
        shop.run_in(shop.path(""), &["install", what])
            .code(0)
            .says(holds)
            .stderr("");
    }
}

/// Where bash-completion and `man` look for a user's own files (XDG base directories).
#[test]
fn completions_and_man_pages_are_put_where_they_are_found() {
    let shop = Shop::new();
    let put = |what: &str| {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command
            .env("HOME", shop.path(""))
            .current_dir(shop.path(""));
        Ran::of(command.args(["install", what, "--put"]))
    };
    put("bash").code(0);
    let bash = shop.path(".local/share/bash-completion/completions/asfound");
    let bash = fs::read_to_string(bash).unwrap();
    for word in [
        "doorstep",
        "chest_of_drawers",
        "veneer_patch",
        "road_carrier",
    ] {
        assert!(bash.contains(word), "{word} is not completed");
    }
    put("man").code(0);
    for page in ["asfound.1", "asfound-import.1", "asfound-put-back.1"] {
        let page = shop.path(&format!(".local/share/man/man1/{page}"));
        assert!(fs::read_to_string(page).unwrap().contains(".SH NAME"));
    }
    put("zsh").code(2).says("leave out --put");
}

#[test]
fn nothing_is_coloured_where_nobody_watches() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ())
        .file("b.jpg", b"text")
        .file("a.jpg.toml", b"view = \"x\"\n");
    for ran in [
        shop.import(),
        shop.run(&["survey", "26-001"]),
        shop.run(&["report", "26-001"]),
        shop.run(&["words", "forms"]),
        shop.run(&["--help"]),
        shop.run(&["survey", "26-999"]),
        shop.run(&["surveyy"]),
    ] {
        assert!(!ran.to_string().contains('\x1b'), "{ran}");
    }
}

#[test]
fn a_command_line_that_makes_no_sense_is_code_two() {
    let shop = Shop::with_piece();
    for words in [
        vec!["surveyy", "26-001"],
        vec!["survey"],
        vec!["survey", "chest"],
        vec![
            "import", "../card", "--piece", "26-001", "--stage", "wedding",
        ],
        vec![
            "import",
            "../card",
            "--piece",
            "26-001",
            "--stage",
            "sale",
            "--clock-off",
            "soon",
        ],
        vec!["intake", "", "--form", "side_table"],
        vec!["intake", "x", "--form", "boat"],
    ] {
        let ran = shop.run(&words).code(2).stdout("");
        assert!(!ran.to_string().contains("panicked"), "{ran}");
    }
}

#[test]
fn pictures_without_a_word_come_before_what_seems_to_be_missing() {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ());
    shop.import();
    let survey = shop.run(&["survey", "26-001", "--json"]).code(0).json();
    let codes = survey["next"].as_array().unwrap().iter();
    let codes: Vec<&str> = codes.map(|it| it["code"].as_str().unwrap()).collect();
    assert_eq!(codes[0], "say_view", "{codes:?}");
    assert!(codes.contains(&"look") && codes.contains(&"take_views"));
}

/// One phone of two had the wrong day: only its photos are put right, and what stands in the shoot is in order.
#[test]
fn one_camera_of_a_folder_is_put_right() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |it| it.model = Some("Box 2".to_owned()))
        .photo("b.jpg", |it| {
            it.model = Some("Tin 7".to_owned());
            it.time = Some("2026:05:01 10:00:00".to_owned());
        });
    let words = [
        "import", "../card", "--piece", "26-001", "--stage", "purchase",
    ];
    let off = ["--clock-off", "+2d", "--camera", "tin"];
    let done = shop
        .run(&[&words[..], &off, &["--json"]].concat())
        .code(0)
        .json();
    assert_eq!(done["warnings"], json!([]), "{done}");
    assert_eq!(done["shoot"]["day"], "2026-05-03", "{done}");
    for (off, photo) in [("+0s", "1"), ("+2d", "2")] {
        let again = ["clock", "26-001", "--off", off, "--photo", photo];
        shop.run(&again).code(0).says("corrected so already");
    }
    // Said again, nothing is asked for: the other camera was not meant.
    shop.run(&[&words[..], &off].concat()).code(0);
    shop.photo("c.jpg", |it| it.model = Some("Box 2".to_owned()));
    let none = shop.run(&[&words[..], &off].concat()).code(1);
    none.says("none of the photos taken in is of a camera `tin`");
    shop.run(&[&words[..], &["--camera", "tin"]].concat())
        .code(2);
}

/// Two phones on two sides of a time zone: where both say how far from UTC they stand, the instant counts.
#[test]
fn photos_stand_in_the_order_of_their_instants_where_all_are_known() {
    let at = |time: &str, offset: Option<&str>| {
        let (time, offset) = (time.to_owned(), offset.map(str::to_owned));
        move |it: &mut Exif| (it.time, it.offset) = (Some(time), offset)
    };
    let order = |second: Option<&str>| {
        let shop = Shop::with_piece();
        shop.photo("a.jpg", at("2026:05:03 10:00:00", Some("+01:00")))
            .photo("b.jpg", at("2026:05:03 09:30:00", second));
        shop.import().code(0);
        let survey = shop.run(&["survey", "26-001", "--json"]).json();
        let photos = survey["photos_without_view"].as_array().unwrap().iter();
        photos
            .map(|it| it["no"].as_u64().unwrap())
            .collect::<Vec<_>>()
    };
    // 09:00 and 10:30 UTC.
    assert_eq!(order(Some("-01:00")), [1, 2]);
    assert_eq!(order(None), [2, 1]);
}
