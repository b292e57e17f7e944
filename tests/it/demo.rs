//! The worked example, built by the program and held against the ground truth of its pictures.

use std::path::Path;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use serde_json::Value;

/// What a reader is asked to read of the demo's report on paper, the schedule of parts and the list of pictures aside.
const WORDS_MOST: usize = 3_500;

/// The demo book, built once for all tests that look at it.
pub(crate) struct DemoBook {
    _folder: tempfile::TempDir,
    pub(crate) book: PathBuf,
    pub(crate) report: PathBuf,
    pub(crate) owners_copy: PathBuf,
    /// What `demo --json` answered.
    pub(crate) answer: Value,
}

pub(crate) fn asfound(book: Option<&Path>, words: &[&str]) -> (i32, String) {
    let mut call = Command::new(env!("CARGO_BIN_EXE_asfound"));
    call.args(words)
        .env_clear()
        .env("ASFOUND_NOW", "2026-05-26T09:00:00Z")
        .env("TZ", "UTC");
    if let Some(book) = book {
        call.env("ASFOUND_BOOK", book);
    }
    let done = call.output().unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.code().is_some(), "{said}");
    (
        done.status.code().unwrap(),
        String::from_utf8(done.stdout).unwrap(),
    )
}

pub(crate) fn demo() -> &'static DemoBook {
    static BUILT: OnceLock<DemoBook> = OnceLock::new();
    BUILT.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let book = folder.path().join("demo");
        let (code, out) = asfound(None, &["demo", "--json", "--into", book.to_str().unwrap()]);
        assert_eq!(code, 0);
        let made: Value = serde_json::from_str(&out).unwrap();
        let path = |name: &str| PathBuf::from(made[name].as_str().unwrap());
        assert_eq!(path("book"), book);
        DemoBook {
            report: path("report"),
            owners_copy: path("owners_copy"),
            book,
            answer: made.clone(),
            _folder: folder,
        }
    })
}

fn survey() -> Value {
    let (code, out) = asfound(Some(&demo().book), &["survey", "26-001", "--json"]);
    assert_eq!(code, 0, "no sidecar of the demo has a mistake");
    serde_json::from_str(&out).unwrap()
}

#[test]
fn the_shoots_hold_what_was_photographed() {
    let survey = survey();
    assert_eq!(survey["sold"]["day"], "2026-05-16");
    assert_eq!(survey["sold"]["price"]["minor"], 38500);
    let shoots: Vec<String> = survey["shoots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| format!("{} {} {}", it["stage"], it["day"], it["photos"]))
        .collect();
    assert_eq!(
        shoots,
        [
            "\"purchase\" \"2026-03-14\" 17",
            "\"sale\" \"2026-05-02\" 10",
            "\"handover\" \"2026-05-20\" 3",
            "\"delivery\" \"2026-05-24\" 4"
        ]
    );
}

/// What becomes of each modelled fault, from the ground truth of the rendered pictures: ten are there at purchase and
/// repaired by the sale, a gouge and a scratch come after the handover.
#[test]
fn findings_end_as_the_ground_truth_says() {
    let survey = survey();
    let findings = survey["findings"].as_array().unwrap();
    let of = |origin: &str| {
        findings
            .iter()
            .filter(|it| it["origin"] == origin)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        (findings.len(), of("found").len(), of("after_sale").len()),
        (12, 10, 2)
    );
    for it in of("found") {
        assert_eq!(it["state"], "repaired", "{it}");
        assert_eq!(it["history"][0]["stage"], "purchase", "{it}");
    }
    let mut after: Vec<String> = of("after_sale")
        .iter()
        .map(|it| format!("{} {} {}", it["tag"], it["part"], it["state"]))
        .collect();
    after.sort();
    assert_eq!(
        after,
        [
            "\"gouge\" \"side-right\" \"open\"",
            "\"scratch_finish\" \"top\" \"open\""
        ]
    );
}

/// The quirks built into the pictures: a burst, a blurred one, an under-exposed one, a messenger copy.
#[test]
fn only_the_odd_pictures_are_named() {
    let survey = survey();
    let mut named: Vec<&str> = survey["picture_notes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it["name"].as_str().unwrap())
        .collect();
    named.dedup();
    assert_eq!(
        named,
        [
            "K2_20260314_101309.jpg",
            "K2_20260314_101420.jpg",
            "K2_20260502_182412.jpg",
            "chat-0007.jpg"
        ]
    );
}

/// The clock of one phone was a day and an hour behind: its picture was taken on 2 May 2026 at 18:28:20.
#[test]
fn the_wrong_clock_is_put_right_and_the_claim_is_kept() {
    let page = std::fs::read_to_string(&demo().owners_copy).unwrap();
    assert!(
        page.contains("2 May 2026, 18:28"),
        "the corrected time is printed"
    );
    assert!(
        page.contains("1 May 2026, 17:28"),
        "the camera's claim is printed"
    );
}

#[test]
fn the_report_is_one_file_that_fetches_nothing_and_stays_small() {
    let page = std::fs::read_to_string(&demo().report).unwrap();
    assert!(page.len() < 2_500_000, "{} bytes", page.len());
    assert!(!page.contains("src=\"http") && !page.contains("url(http"));
    for no in 1..=12 {
        assert!(page.contains(&format!("F{no}")), "F{no} is in the report");
    }
}

/// What is read on paper before the two appendices: without the list of contents and what is folded.
fn words_on_paper(page: &str) -> usize {
    let mut text = page.split_once("<body>").unwrap().1.to_owned();
    for (from, to) in [
        ("<nav", "</nav>"),
        ("<svg", "</svg>"),
        ("</summary>", "</details>"),
        ("<section id=\"parts\"", "</section>"),
        ("<section id=\"pictures\"", "</section>"),
        ("<script", "</script>"),
    ] {
        while let Some(start) = text.find(from) {
            let end = text[start..]
                .find(to)
                .map_or(text.len(), |it| start + it + to.len());
            text.replace_range(start..end, " ");
        }
    }
    let bare = text
        .split('<')
        .map(|it| it.split_once('>').map_or(it, |it| it.1));
    let bare: Vec<&str> = bare.collect();
    let bare = bare.join(" ");
    bare.split_whitespace()
        .filter(|it| it.contains(char::is_alphabetic))
        .count()
}

#[test]
fn the_report_says_it_in_few_words() {
    let words = words_on_paper(&std::fs::read_to_string(&demo().report).unwrap());
    assert!((2_000..=WORDS_MOST).contains(&words), "{words} words");
}

#[test]
fn the_buyers_copy_holds_nothing_private() {
    let (buyer, owner) = (&demo().report, &demo().owners_copy);
    let (buyer, owner) = (
        std::fs::read_to_string(buyer).unwrap(),
        std::fs::read_to_string(owner).unwrap(),
    );
    for private in [
        "85.00",
        "390.00",
        "above the lock",
        "Ordered 16 March",
        "Second pass not needed",
    ] {
        assert!(owner.contains(private), "the owner's copy says `{private}`");
        assert!(
            !buyer.contains(private),
            "the buyer's copy says `{private}`"
        );
    }
    assert!(!buyer.contains("Exif\0"), "pictures carry no metadata");
}

/// All that is derived may be deleted; the same record then gives the same bytes, and no new edition.
#[test]
fn the_same_record_gives_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("copy");
    let done = Command::new("cp")
        .arg("-r")
        .arg(&demo().book)
        .arg(&book)
        .status()
        .unwrap();
    assert!(done.success());
    std::fs::remove_file(book.join("previews.db")).unwrap();
    let out = folder.path().join("again.html");
    let (code, said) = asfound(
        Some(&book),
        &["report", "26-001", "--json", "--out", out.to_str().unwrap()],
    );
    assert_eq!(code, 0);
    let said: Value = serde_json::from_str(&said).unwrap();
    assert_eq!(said["edition"], 1);
    assert!(std::fs::read(&out).unwrap() == std::fs::read(&demo().report).unwrap());
}

/// Seen in a real browser: WCAG 2.2 AA by axe-core, no sideways scrolling at 360 and 1280 px, nothing fetched, whole
/// without scripts, no figure cut on A4 or Letter, sliders by keyboard and by finger.
#[test]
fn the_report_holds_in_a_browser_and_on_paper() {
    let Some(seen) = crate::browser::look(&demo().report) else {
        return;
    };
    assert_eq!(seen["violations"], serde_json::json!([]), "axe-core");
    for width in ["360", "1280"] {
        assert_eq!(seen["horizontal_overflow"][width]["px"], 0, "at {width} px");
    }
    assert_eq!(seen["requests"], serde_json::json!([]));
    assert_eq!(seen["console_errors"], serde_json::json!([]));
    assert_eq!(
        (&seen["h1"], &seen["broken_images"]),
        (&1.into(), &0.into())
    );
    assert_eq!(seen["without_script"]["words_only_with_script"], 0);
    for paper in ["A4", "Letter"] {
        let paper = &seen["paper"][paper];
        assert_eq!(paper["cut"], serde_json::json!([]), "{paper}");
        // The list of pictures begins on the tenth sheet at the latest, and none of all but the last less than two thirds full.
        let appendix = paper["starts"]["pictures"].as_u64();
        assert!(appendix.is_some_and(|it| it <= 10), "{paper}");
        let filled = paper["filled"].as_array().unwrap();
        let [most @ .., _] = filled.as_slice() else {
            panic!("no sheet: {paper}");
        };
        assert!(most.iter().all(|it| it.as_f64() >= Some(66.0)), "{paper}");
    }
    assert_eq!(
        seen["enlarged"],
        serde_json::json!([]),
        "no picture is shown larger than it is"
    );
    let sliders = seen["sliders"].as_array().unwrap();
    assert!(!sliders.is_empty());
    for slider in sliders {
        assert_eq!(slider["keyboard"]["works"], true, "{slider}");
        assert_eq!(slider["touch"]["works"], true, "{slider}");
    }
}
