//! A report in German and French: all that a buyer reads is told in it, what is English is marked and named.

use std::collections::BTreeSet;

use crate::report::DrawingInput;
use crate::report::Reader;
use crate::report::fixture;
use crate::report::tests::made;
use crate::report::tests::other_languages::OTHERS;
use crate::report::tests::other_languages::holds_no_english;
use crate::report::tests::other_languages::tongue;
use crate::report::tests::other_languages::typed;
use crate::tongue::Language;
use crate::trade;

fn page(language: Language, reader: Reader) -> String {
    let scene = DrawingInput {
        tongue: tongue(language),
        ..fixture::scene()
    };
    made(&fixture::assessment(), &scene, &fixture::order(reader))
}

/// What stands in the language of the page: all but the blocks that are marked as English.
fn told(html: &str) -> String {
    let mut told = html.to_owned();
    for (opens, closes) in [("<section ", "</section>"), ("<div lang=\"en\"", "</div>")] {
        let mut pieces = told.split(opens);
        let mut rest = pieces.next().unwrap().to_owned();
        for piece in pieces {
            let (block, after) = piece.split_once(closes).unwrap();
            let is_english =
                opens.contains("lang") || block.split('>').next().unwrap().contains(" lang=\"en\"");
            if !is_english {
                rest.push_str(&format!("{opens}{block}{closes}"));
            }
            rest.push_str(after);
        }
        told = rest;
    }
    told
}

/// What the first page says is in English.
fn named(html: &str) -> Vec<&str> {
    let lines = html.split("<p class=\"warn\" role=\"note\">").skip(1);
    lines.map(|it| it.split("</p>").next().unwrap()).collect()
}

/// No sentence of a buyer's report is English by mistake.
#[test]
fn what_a_buyer_reads_is_told_whole() {
    let english = page(Language::English, Reader::Buyer);
    for language in OTHERS {
        let html = page(language, Reader::Buyer);
        holds_no_english(&told(&html), &english, language);
        assert!(!html.contains("-name\" lang=\"en\">"), "{html}");
    }
}

/// The owner's own section is English: it is marked, its heading is in the language of the page, and the first page names it.
#[test]
fn what_is_english_is_marked_and_named() {
    let english = page(Language::English, Reader::Owner);
    assert_eq!(english.matches(" lang=\"").count(), 1, "of the page alone");
    for language in OTHERS {
        let html = page(language, Reader::Owner);
        assert_eq!(html.matches("<section id=\"owner\"").count(), 1);
        assert_eq!(
            html.matches("aria-labelledby=\"owner-name\" lang=\"en\">")
                .count(),
            1
        );
        assert_eq!(html.matches("-name\" lang=\"en\">").count(), 1);
        let heading = format!("<h2 id=\"owner-name\" lang=\"{language}\">");
        assert_eq!(html.matches(&heading).count(), 1, "{language}");
        assert!(
            named(&html).iter().any(|it| it.contains("15")),
            "{:?}",
            named(&html)
        );
    }
}

/// In quotation marks stands what the user typed and nothing of ours, letter by letter; of what is new only the words before the first
/// comma stand on the first page.
#[test]
fn what_the_user_typed_stands_as_typed() {
    let mut it = fixture::assessment();
    it.repairs[0].hides = Some("a dowel stub stays in the joint.".to_owned());
    it.repairs[0].note = Some("glued with hide glue".to_owned());
    it.piece.title = "chest of drawers, turned legs".to_owned();
    let mut typed = typed(&it);
    typed.insert(fixture::scene().examined_by);
    let firsts: Vec<String> = typed
        .iter()
        .filter_map(|it| Some(it.split_once(", ")?.0.to_owned()))
        .collect();
    typed.extend(firsts);
    for language in OTHERS {
        let views = trade::book().views.iter();
        let views = views.map(|it| (it.id.clone(), it.label.clone()));
        let scene = DrawingInput {
            tongue: tongue(language),
            views: views.collect(),
            ..fixture::scene()
        };
        let html = made(&it, &scene, &fixture::order(Reader::Buyer));
        let owns = html.split("<span lang=\"en\">").skip(1);
        let owns = owns.map(|it| it.split("</span>").next().unwrap());
        let owns = owns.map(|it| it.replace("&#x27;", "'").replace("&quot;", "\""));
        let ours: BTreeSet<String> = owns.filter(|it| !typed.contains(it)).collect();
        assert!(ours.is_empty(), "{language}: {ours:#?}");
        for typed in [&it.repairs[0].hides, &it.repairs[0].note] {
            let typed = typed.as_ref().unwrap();
            assert!(html.contains(&format!("<span lang=\"en\">{typed}</span>")));
        }
    }
}
