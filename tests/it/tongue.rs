//! Papers in the reader's language: the commands that write such papers, and how they look.

use std::fs;
use std::path::PathBuf;

use asfound::kit::clock::Day;
use asfound::tongue::Language;
use asfound::tongue::Tongue;
use asfound::tongue::category;
use serde_json::Value;
use serde_json::json;

use crate::photo_reference::reference_folder;
use crate::shop::Shop;
use crate::sidecar::python;

/// Compares with Babel, which holds the data of CLDR: days, numbers and plural categories.
#[test]
fn days_numbers_and_plurals_are_those_of_cldr() {
    let Some(folder) = reference_folder() else {
        crate::shop::say("left out: 1 test against the data of CLDR (ASFOUND_REFERENCE)");
        return;
    };
    let days: Vec<String> = (1..=12)
        .map(|it| format!("2026-{it:02}-{:02}", (it * 7) % 28 + 1))
        .collect();
    let days = [days, vec!["2026-03-01".to_owned(), "1999-12-31".to_owned()]].concat();
    let whole = [
        0_u64, 1, 2, 5, 21, 999, 1000, 1234, 12_345, 1_000_000, 1_234_567, 2_000_000,
    ];
    let decimals = [0.5, 1.0, 1.5, 2.5, 1234.5, 12_345.6];
    let script = "import datetime, json, sys\n\
        from babel import Locale, dates, numbers\n\
        days, whole, decimals = json.load(sys.stdin)\n\
        out = {}\n\
        for code, pattern in (('de', 'd. MMMM y'), ('fr', 'd MMMM y')):\n\
        \x20   locale = Locale.parse(code)\n\
        \x20   long = lambda it: dates.format_date(datetime.date.fromisoformat(it), 'long', locale=locale)\n\
        \x20   out[code] = dict(\n\
        \x20       days=[long(it) for it in days],\n\
        \x20       whole=[numbers.format_decimal(it, locale=locale) for it in whole],\n\
        \x20       decimals=[numbers.format_decimal(it, format='#,##0.0', locale=locale) for it in decimals],\n\
        \x20       plurals=[locale.plural_form(it) for it in whole])\n\
        out['en'] = dict(plurals=[Locale.parse('en').plural_form(it) for it in whole],\n\
        \x20   whole=[numbers.format_decimal(it, locale='en') for it in whole])\n\
        print(json.dumps(out))\n";
    let input = json!([days, whole, decimals]).to_string();
    let theirs: Value =
        serde_json::from_str(&python(&folder.join("python"), script, &input)).unwrap();
    for language in Language::ALL {
        let tongue = Tongue {
            language,
            writer: language,
        };
        let theirs = &theirs[language.code()];
        let plurals: Vec<&str> = { whole.iter() }.map(|it| category(language, *it)).collect();
        assert_eq!(json!(plurals), theirs["plurals"], "{language}");
        let numbers: Vec<String> = whole.iter().map(|it| tongue.number(*it)).collect();
        assert_eq!(json!(numbers), theirs["whole"], "{language}");
        if language == Language::English {
            continue;
        }
        let decimals: Vec<String> = decimals.iter().map(|it| tongue.decimal(*it, 1)).collect();
        assert_eq!(json!(decimals), theirs["decimals"], "{language}");
        for (day, theirs) in days.iter().zip(theirs["days"].as_array().unwrap()) {
            // The first of a month is said `1er` in French; CLDR has it in no pattern of its own.
            let ours = tongue
                .day(day.parse::<Day>().unwrap())
                .replace("1er ", "1 ");
            assert_eq!(json!(ours), *theirs, "{language}");
        }
    }
}

/// A shop with faults, a repair and a note, sealed.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.ready("[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nsize = \"70.5 mm\"\nnote = \"seen at the door\"\nbox = [20.0, 20.0, 30.0, 30.0]\n\n[[mark]]\ntag = \"broken_member\"\npart = \"leg-front-left\"\nlevel = 4\nbox = [60.0, 60.0, 20.0, 20.0]\n");
    shop.run(&["amend", "26-001", "--size", "1900x1050x480.5mm"])
        .code(0);
    shop.run(&["seal"]).code(0);
    shop
}

fn page(shop: &Shop, words: &[&str]) -> (PathBuf, String) {
    let made = shop.run(&[words, &["--json"]].concat()).code(0).json();
    let path = shop.path("book").join(made["path"].as_str().unwrap());
    let text = fs::read_to_string(&path).unwrap();
    (path, text)
}

#[test]
fn a_paper_is_written_in_the_language_that_is_asked_for_else_in_that_of_the_book() {
    let shop = shop();
    let sheet = ["handover", "26-001"];
    let (_, english) = page(&shop, &sheet);
    assert!(english.contains("<html lang=\"en\">") && english.contains("White ring or haze"));
    let (_, french) = page(&shop, &[&sheet[..], &["--language", "fr"]].concat());
    assert!(
        french.contains("<html lang=\"fr\">")
            && french.contains("Auréole ou voile blanc, plateau, 70,5 mm, niveau 2"),
        "{french}"
    );
    assert!(
        french.contains("«\u{202f}<span lang=\"en\">seen at the door</span>\u{202f}»"),
        "{french}"
    );
    let settings = shop.path("book/book.toml");
    fs::write(&settings, "language = \"de\"\n").unwrap();
    let (_, german) = page(&shop, &sheet);
    assert!(
        german.contains("<html lang=\"de\">") && german.contains("Weißer Ring oder Schleier"),
        "{german}"
    );
    assert!(german.contains("Notiz: „seen at the door“"), "{german}");
    assert!(
        !german.contains("<span lang="),
        "the user types the language of the book"
    );
    let (_, label) = page(&shop, &["label", "26-001"]);
    assert!(label.contains("1900 × 1050 × 480,5 mm<"), "{label}");
    assert!(
        label.contains("Vor der Reparatur nicht benutzen."),
        "{label}"
    );
    let letter = shop.run(&["seal", "--piece", "26-001"]).code(0);
    assert!(letter.out().contains("Für Ihre Unterlagen, bevor das Stück das Haus verlässt: Die Bilddokumentation von 26-001 ("), "{}", letter.out());
    fs::write(&settings, "language = \"latin\"\n").unwrap();
    let wrong = shop.run(&["label"]);
    assert!(
        wrong
            .err()
            .contains("`latin` is not a language in which papers are written"),
        "{}",
        wrong.err()
    );
}

#[test]
fn a_paper_without_a_translation_says_so_in_one_line() {
    let shop = shop();
    let words = ["dossier", "26-001", "--folder", "--out", "fr"];
    let made = shop
        .run(&[&words[..], &["--language", "fr"]].concat())
        .code(0);
    let line = "is not there in French yet: it is written in English\n";
    assert_eq!(made.err().matches(line).count(), 1, "{}", made.err());
    let report = shop.run(&["report", "26-001", "--draft"]).code(0);
    assert!(!report.err().contains("is not there in"));
}

/// Sections of a report that are not told in its language are English, each marked so, and told in one line.
#[test]
fn a_report_is_written_in_the_language_that_is_asked_for() {
    let shop = shop();
    for (language, name, told) in [
        (
            "de",
            "Zustandsbericht",
            "sind diese Abschnitte auf Englisch: 3, 6",
        ),
        (
            "fr",
            "Constat d’état",
            "ces sections sont en anglais\u{202f}: 3, 6",
        ),
    ] {
        let out = format!("report-{language}.html");
        let words = [
            "report",
            "26-001",
            "--draft",
            "--language",
            language,
            "--out",
            &out,
        ];
        shop.run(&words).code(0);
        let page = [shop.path(&out), shop.path("book").join(&out)];
        let page = page.iter().find(|it| it.exists()).unwrap();
        let html = fs::read_to_string(page).unwrap();
        assert!(html.contains(&format!("<html lang=\"{language}\">")));
        assert!(html.contains(name) && html.contains(told), "{html}");
        assert_eq!(
            html.matches("aria-labelledby=\"made-name\" lang=\"en\">")
                .count(),
            1
        );
        let Some(seen) = crate::browser::look(page) else {
            return;
        };
        for width in ["360", "1280"] {
            assert_eq!(seen["horizontal_overflow"][width]["px"], 0, "{language}");
        }
    }
}

/// A letter in another language is read back by the program, whatever stands around its numbers.
#[test]
fn a_letter_in_another_language_is_read_back() {
    let shop = shop();
    for language in ["de", "fr"] {
        let file = format!("letter-{language}.txt");
        shop.run(&[
            "seal",
            "--language",
            language,
            "--piece",
            "26-001",
            "--letter",
            &file,
        ])
        .code(0);
        shop.run(&["verify", "--letter", &file])
            .code(0)
            .says("This is the record that the letter of 2026-05-26 names");
    }
}

/// German words are longer: on a phone and on paper nothing sticks out, and no label is cut.
#[test]
fn longer_words_find_room() {
    let shop = shop();
    for language in ["de", "fr"] {
        let (sheet, _) = page(&shop, &["handover", "26-001", "--language", language]);
        let Some(seen) = crate::browser::look(&sheet) else {
            return;
        };
        for width in ["360", "1280"] {
            assert_eq!(
                seen["horizontal_overflow"][width]["px"], 0,
                "{language}: {seen}"
            );
        }
        assert_eq!(seen["violations"], json!([]), "{language}");
        assert!(
            seen["paper"]["A4"]["pages"].as_u64() <= Some(2),
            "{}",
            seen["paper"]
        );
        let (label, _) = page(&shop, &["label", "26-001", "--language", language]);
        let labels = crate::browser::labels(&label).unwrap();
        assert_eq!(labels["labels"][0]["cut"], json!([]), "{language}");
    }
}

/// A shot list is a page in the language that is asked for, on one sheet of A4 with its longer words (the German one is two of Letter); what the command line
/// prints stays English, and says so.
#[test]
fn a_shot_list_is_a_page_in_the_language_that_is_asked_for() {
    let shop = shop();
    let list = [
        "shotlist",
        "--form",
        "dresser_mirror",
        "--stage",
        "purchase",
    ];
    let pages = [("de", "abgehakt"), ("fr", "cochées")].map(|(language, ticked)| {
        let name = format!("{language}.html");
        let page = ["--page", &name, "--language", language];
        shop.run_in(shop.path(""), &[&list[..], &page].concat())
            .code(0);
        let text = fs::read_to_string(shop.path(&name)).unwrap();
        assert!(text.contains(&format!("<html lang=\"{language}\">")));
        assert!(text.contains(ticked), "{text}");
        shop.path(&name)
    });
    let text = shop.run_in(shop.path(""), &[&list[..], &["--language", "de"]].concat());
    let line = "what the command line prints is English: the page is in German, add --page\n";
    assert_eq!(text.code(0).err().matches(line).count(), 1);
    let words = [
        "shotlist",
        "26-001",
        "--stage",
        "sale",
        "--page",
        "--language",
        "fr",
        "--json",
    ];
    let made = shop.run(&words).code(0).json();
    let path = made["page"].as_str().unwrap();
    assert!(path.ends_with("shot list sale, fr.html"), "{path}");
    let text = fs::read_to_string(shop.path("book").join(path)).unwrap();
    assert!(
        text.contains("«\u{202f}<span lang=\"en\">walnut table</span>\u{202f}»"),
        "{text}"
    );
    let Some(seen) = crate::shotlist::ticks(&pages) else {
        return;
    };
    assert_eq!(seen["ticks"]["count"], "1 von 23 abgehakt");
    for sheet in seen["paper"].as_array().unwrap() {
        assert_eq!(sheet["A4"], 1, "{sheet}");
    }
    for page in &pages {
        let Some(seen) = crate::browser::look(page) else {
            return;
        };
        for width in ["360", "1280"] {
            assert_eq!(seen["horizontal_overflow"][width]["px"], 0, "{seen}");
        }
        assert_eq!(seen["violations"], json!([]), "{page:?}");
    }
}

/// The commands of `CHECK.txt` are the same in every language, and the program knows each of the texts for its own.
#[test]
fn a_dossier_says_in_the_language_that_is_asked_for_how_to_check_it() {
    let shop = shop();
    for (language, begins) in [
        ("de", "SO WIRD DIESES DOSSIER OHNE DAS PROGRAMM GEPRÜFT"),
        ("fr", "COMMENT VÉRIFIER CE DOSSIER SANS LE PROGRAMME"),
    ] {
        let out = format!("dossier-{language}");
        let words = [
            "dossier",
            "26-001",
            "--folder",
            "--language",
            language,
            "--out",
            &out,
        ];
        shop.run(&words).code(0);
        let folder = shop.path("book").join(&out);
        let folder = if folder.is_dir() {
            folder
        } else {
            shop.path(&out)
        };
        let text = fs::read_to_string(folder.join("data/CHECK.txt")).unwrap();
        assert!(text.starts_with(begins), "{text}");
        assert!(text.contains("\n    found=$(mktemp)"), "{text}");
        let told = shop.run(&["verify", folder.to_str().unwrap()]);
        let said = format!("{}{}", told.out(), told.err());
        assert!(
            !said.contains("is not the text that this program"),
            "{said}"
        );
    }
}

#[test]
fn a_sheet_is_printed_where_standard_output_is_asked_for() {
    let shop = shop();
    let printed = shop.run(&["handover", "26-001", "--out", "-"]).code(0);
    assert!(
        printed.out().starts_with("<!DOCTYPE html>"),
        "{}",
        printed.out()
    );
    assert!(!shop.path("book/-").exists());
}
