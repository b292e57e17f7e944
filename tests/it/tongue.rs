//! Papers in the reader's language: the words of the trade, the commands that write such papers, and how they look.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use asfound::kit::clock::Day;
use asfound::tongue::Kind;
use asfound::tongue::Language;
use asfound::tongue::Tongue;
use asfound::tongue::category;
use asfound::tongue::entries;
use asfound::trade::book;
use serde_json::Value;
use serde_json::json;

use crate::photo_reference::reference_folder;
use crate::shop::Shop;
use crate::sidecar::python;

const OTHERS: [Language; 2] = [Language::German, Language::French];

/// The labels of parts of which all others are made: those of kinds, of their instances and of parts of parts.
fn parts() -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for kind in &book().kinds {
        all.insert(kind.label.clone());
        all.extend(kind.inner.iter().map(|it| it.label.clone()));
        if let Some(each) = &kind.each {
            all.insert(each.split(", ").next().unwrap().replace(" {n}", ""));
        }
    }
    // `{Where} side` and its like stand with the words that fill them.
    all.retain(|it| !it.contains('{'));
    let placed = [
        "Left side",
        "Right side",
        "Front side",
        "Back side",
        "Left door",
        "Right door",
    ];
    let corners = [
        "Left",
        "Right",
        "Front left",
        "Front right",
        "Back left",
        "Back right",
    ];
    let round = [
        "Seat rail, front",
        "Seat rail, back",
        "Stretcher, front",
        "Stretcher, back",
    ];
    all.extend(
        [&placed[..], &corners, &round]
            .concat()
            .into_iter()
            .map(str::to_owned),
    );
    all
}

/// The sentences of cautions that stand on a sheet or a label.
fn cautions() -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for it in &book().hazards {
        if it.applies.failing {
            all.insert(it.title.clone());
            all.extend(it.buyer.iter().cloned());
            all.extend(it.buyer_with.iter().map(|it| it.say.clone()));
        }
        all.extend(it.until.iter().map(|it| it.say.clone()));
        // What a test finds, or what lives in it, is told as a whole.
        let living = ["insects", "bed_bugs"].contains(&it.id.as_str());
        if it.found.is_some() || living {
            all.extend(it.buyer.iter().cloned());
        }
        for other in it.found.iter().chain(&it.unseen) {
            all.insert(other.title.clone());
            all.extend(other.buyer.iter().cloned());
            all.extend(other.dusted.clone());
        }
        if it.found.is_some() {
            all.insert(it.title.clone());
            all.extend(it.buyer_with.iter().map(|it| it.say.clone()));
        }
        all.extend((!it.first.is_empty()).then(|| it.first.clone()));
    }
    all.extend(book().forms.iter().map(|it| it.carry.clone()));
    all.extend(book().kinds.iter().map(|it| it.carry.clone()));
    let faults = book().tags.iter().flat_map(|it| &it.carry);
    all.extend(faults.map(|it| it.say.clone()));
    all.remove("");
    let poison = book().methods.iter().filter(|it| it.poison);
    all.extend(poison.flat_map(|it| it.buyer.clone()));
    all
}

/// The tests that a record may lack.
const TESTS: [&str; 7] = [
    "Lead in paint or finish",
    "Species of the wood",
    "Kind of the finish",
    "Inside of the joints",
    "Tipping forward",
    "Electrical parts",
    "Filling of the seat",
];

/// What a shot list says: how a view is taken and why, what to mind, and where on a face something lies.
fn shots() -> BTreeSet<String> {
    let book = book();
    let mut all: BTreeSet<String> = book.stops.iter().map(|it| it.label.clone()).collect();
    all.extend(book.sets.iter().map(|it| it.plus.clone()));
    for it in &book.views {
        all.extend([&it.how, &it.light, &it.why].map(Clone::clone));
        all.extend(it.card.clone());
    }
    for it in &book.hazards {
        all.extend(it.on_the_spot.as_ref().map(|it| it.say.clone()));
        all.extend(it.found.as_ref().and_then(|it| it.on_the_spot.clone()));
    }
    all.extend(book.cues.iter().filter_map(|it| it.on_the_spot.clone()));
    let across = ["left", "middle", "right"].map(|it| format!("{it} third"));
    let along = ["upper", "lower", "back", "front"].map(|it| format!("{it} third"));
    let sides = ["left", "right", "upper", "lower", "back", "front"];
    let wide = sides.map(|it| [format!("{it} half"), format!("{it} two thirds")]);
    all.extend(across.into_iter().chain(along).chain(wide.concat()));
    all.insert("most of it".to_owned());
    all
}

#[test]
fn every_word_of_the_trade_is_in_every_language_and_none_is_left_over() {
    let faces = [
        "Front",
        "Left side",
        "Right side",
        "Back",
        "Top",
        "Underside",
        "Inside",
    ];
    let wanted: [(Kind, BTreeSet<String>); 9] = [
        (Kind::Part, parts()),
        (Kind::Face, faces.map(str::to_owned).into()),
        (
            Kind::Fault,
            { book().tags.iter() }
                .flat_map(|it| it.level_terms.iter().chain([&it.term]))
                .cloned()
                .collect(),
        ),
        (
            Kind::Method,
            book().methods.iter().map(|it| it.name.clone()).collect(),
        ),
        (
            Kind::Form,
            book().forms.iter().map(|it| it.label.clone()).collect(),
        ),
        (Kind::Caution, cautions()),
        (Kind::Test, TESTS.map(str::to_owned).into()),
        (
            Kind::View,
            book().views.iter().map(|it| it.label.clone()).collect(),
        ),
        (Kind::Shot, shots()),
    ];
    for (kind, wanted) in wanted {
        let wanted: BTreeSet<String> = wanted.iter().map(|it| it.to_lowercase()).collect();
        for language in OTHERS {
            let there = entries(language, kind).into_iter().map(str::to_owned);
            let there: BTreeSet<String> = there.collect();
            let lacks: Vec<_> = wanted.difference(&there).collect();
            let left_over: Vec<_> = there.difference(&wanted).collect();
            assert!(
                lacks.is_empty() && left_over.is_empty(),
                "{language} {kind:?}: lacks {lacks:#?}; left over {left_over:#?}"
            );
        }
    }
}

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
    let report = shop.run(&["report", "26-001", "--language", "fr"]).code(0);
    let line = "the report is not there in French yet: it is written in English\n";
    assert_eq!(report.err().matches(line).count(), 1, "{}", report.err());
    let report = shop.run(&["report", "26-001"]).code(0);
    assert!(!report.err().contains("is not there in"));
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
