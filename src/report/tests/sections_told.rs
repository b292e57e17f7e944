//! A report in German and French: its told sections whole, the others marked as English and named.

use crate::report::DrawingInput;
use crate::report::Reader;
use crate::report::fixture;
use crate::report::tests::made;
use crate::report::tests::other_languages::OTHERS;
use crate::report::tests::other_languages::holds_no_english;
use crate::report::tests::other_languages::tongue;
use crate::tongue::Language;

fn page(language: Language) -> String {
    let scene = DrawingInput {
        tongue: tongue(language),
        ..fixture::scene()
    };
    made(
        &fixture::assessment(),
        &scene,
        &fixture::order(Reader::Buyer),
    )
}

/// What stands in the language of the page: all but the sections that are marked as English.
fn told(html: &str) -> String {
    let mut pieces = html.split("<section ");
    let mut told = pieces.next().unwrap().to_owned();
    for piece in pieces {
        let (section, after) = piece.split_once("</section>").unwrap();
        let tag = section.split('>').next().unwrap();
        if !tag.contains(" lang=\"en\"") {
            told.push_str(&format!("<section {section}"));
        }
        told.push_str(after);
    }
    told
}

/// No section that counts as told has a sentence in English; and of those that are English each is marked, with its heading in the
/// language of the page, and its number told.
#[test]
fn what_is_told_is_whole_and_what_is_english_is_named() {
    let english = page(Language::English);
    assert!(!english.contains("<section id=\"made\" aria-labelledby=\"made-name\" lang"));
    for language in OTHERS {
        let html = page(language);
        holds_no_english(&told(&html), &english, language);
        let sections = html.matches("<section ").count();
        let marked = html.matches("-name\" lang=\"en\">").count();
        let headings = format!("-name\" lang=\"{language}\"><span class=\"no\">");
        assert_eq!(html.matches(&headings).count(), marked, "{language}");
        assert!(marked > 0 && marked < sections, "{marked} of {sections}");
        let line = html
            .split("<p class=\"warn\" role=\"note\">")
            .nth(1)
            .unwrap();
        let line = line.split("</p>").next().unwrap();
        let numbers = line.split(|it: char| !it.is_ascii_digit());
        assert_eq!(
            numbers.filter(|it| !it.is_empty()).count(),
            marked,
            "{line}"
        );
    }
}
