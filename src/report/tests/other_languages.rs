//! Papers in German and French: whole, and with no sentence left in English.

use std::collections::BTreeSet;

use crate::advise::shots::shot_list::of_form;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::outcome::Tested;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::report::DrawingInput;
use crate::report::SealCode;
use crate::report::ShotHead;
use crate::report::dossier::handover::handover_page;
use crate::report::fixture;
use crate::report::labels_page;
use crate::report::shot_page;
use crate::tongue::Kind;
use crate::tongue::Language;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::english_phrases;
use crate::tongue::entries;
use crate::tongue::say;
use crate::trade::book;
use crate::trade::entry::form::Form;

pub(super) const OTHERS: [Language; 2] = [Language::German, Language::French];

/// A paper in this language, of a user who types English.
pub(super) fn tongue(language: Language) -> Tongue {
    Tongue {
        language,
        writer: Language::English,
    }
}

fn sheet(it: &Assessment, language: Language) -> String {
    let scene = DrawingInput {
        tongue: tongue(language),
        ..fixture::scene()
    };
    let day = "2026-05-20".parse().unwrap();
    let seal = SealCode {
        fingerprint: "0123 4567".to_owned(),
        line: "Seal 3 of 2026-05-01, 12 lines".to_owned(),
        named: say::seal_named(3_u32, day),
    };
    handover_page(it, &scene, day, &seal).unwrap()
}

/// What a page says piece by piece, and what it says to who cannot see it: without what the user typed and what a machine reads.
fn pieces(html: &str) -> Vec<String> {
    let body = html.split_once("<body").unwrap().1;
    let body = body.split("<script").next().unwrap();
    let mut all = Vec::new();
    let mut own = 0;
    for tag in body.split('<').skip(1) {
        let (inside, text) = tag.split_once('>').unwrap();
        let opens = inside == "span lang=\"en\"" || inside.starts_with("code");
        let closes = own > 0 && ["/span", "/code"].contains(&inside);
        own = if opens {
            own + 1
        } else {
            own - usize::from(closes)
        };
        let label = inside.split_once("aria-label=\"").map(|it| it.1);
        let label = label.and_then(|it| it.split('"').next());
        let text = Some(text).filter(|_| own == 0);
        all.extend(label.into_iter().chain(text).map(|it| it.trim().to_owned()));
    }
    all
}

/// Whether it holds a word: numbers, names of findings and single signs are the same everywhere.
fn has_words(text: &str) -> bool {
    text.split_whitespace()
        .any(|word| word.chars().filter(|c| c.is_alphabetic()).count() > 2)
}

/// Whether a text holds a phrase that no letter goes on with: `and on` is not in `quand on`.
fn holds(text: &str, phrase: &str) -> bool {
    text.match_indices(phrase).any(|(at, it)| {
        let before = text[..at].chars().next_back();
        let after = text[at + it.len()..].chars().next();
        ![before, after]
            .into_iter()
            .flatten()
            .any(char::is_alphabetic)
    })
}

pub(super) fn holds_no_english(html: &str, english: &str, language: Language) {
    let there: BTreeSet<String> = pieces(english).into_iter().collect();
    let said = pieces(html);
    // `Name` and `Sofa` are German too, `Signature`, `trace` and `visible` French, and the shop's own words stay.
    let scene = fixture::scene();
    let mut same = vec![
        "Name",
        "Sofa",
        "Signature",
        "1, trace",
        "2, visible",
        &scene.trading_name,
        &scene.contact,
    ];
    same.extend(scene.address.lines());
    for piece in said.iter().filter(|it| has_words(it)) {
        let is_same = same.contains(&piece.as_str());
        assert!(is_same || !there.contains(piece), "{language}: {piece}");
    }
    let words = said
        .join(" ")
        .replace("&#x27;", "'")
        .replace("&quot;", "\"");
    let words: Vec<&str> = words.split_whitespace().collect();
    let words = words.join(" ").to_lowercase();
    for phrase in english_phrases() {
        assert!(
            !holds(&words, &phrase.to_lowercase()),
            "{language}: `{phrase}` in {words}"
        );
    }
    for kind in [Kind::Fault, Kind::Method, Kind::Caution, Kind::Shot] {
        for english in entries(language, kind) {
            let is_same = ["wax", "paint"].contains(&english);
            assert!(
                is_same || !holds(&words, english),
                "{language}: `{english}` in {words}"
            );
        }
    }
}

#[test]
fn a_sheet_is_whole_in_every_language_whatever_became_of_the_findings() {
    for language in OTHERS {
        let mut it = fixture::assessment();
        for outcome in Outcome::ALL {
            it.findings[0].outcome = Some(outcome);
            let html = sheet(&it, language);
            holds_no_english(&html, &sheet(&it, Language::English), language);
            assert!(html.contains(&format!("<html lang=\"{language}\">")));
        }
    }
}

/// What a buyer must know of lead, whole: what was found by what name, what to do, and that work was done on all of the piece. Nothing of ours
/// is passed off as the user's own words.
#[test]
fn lead_is_told_whole_in_every_language() {
    let mut it = fixture::assessment();
    let lead = book().hazards.iter().find(|it| it.id == "lead").unwrap();
    let lines = &lead.found.as_ref().unwrap().buyer;
    it.cautions[0].hazard.clone_from(&lead.id);
    it.cautions[0].lines = lines.iter().map(|it| Saying::caution(it)).collect();
    it.repairs[0].findings.clear();
    it.repairs[0].parts.clear();
    let tag = book().tag("lead_paint").unwrap();
    for level in 1..=4 {
        let finding = &mut it.findings[0];
        finding.tag.clone_from(&tag.id);
        tag.called(Some(level)).clone_into(&mut finding.term);
        finding.tested = (level == 4).then_some(Tested::Found);
        finding.level = Some(level);
        finding.outcome = Some(Outcome::Open);
        finding.state = FindingState::Open;
        let english = sheet(&it, Language::English);
        assert!(english.contains("the piece as a whole"));
        for line in lines.iter().filter(|_| level == 4) {
            assert!(english.contains(&line.replace('\'', "&#x27;")), "{line}");
        }
        for language in OTHERS {
            let html = sheet(&it, language);
            holds_no_english(&html, &english, language);
            for own in html.split("<span lang=\"en\">").skip(1) {
                let own = own.split("</span>").next().unwrap().to_lowercase();
                let mut ours = book()
                    .tags
                    .iter()
                    .flat_map(|it| it.level_terms.iter().chain([&it.term]));
                let is_ours = say::whole_piece() == own || ours.any(|it| it.to_lowercase() == own);
                assert!(!is_ours, "{language}: {own}");
            }
        }
    }
}

#[test]
fn a_title_that_claims_too_much_accuses_nobody() {
    let mut it = fixture::assessment();
    fixture::claim_solid(&mut it, None);
    for (language, behind, form) in [
        (
            Language::English,
            "[not shown by the record]",
            "Chest of drawers",
        ),
        (
            Language::German,
            "[Angabe nicht durch die Dokumentation belegt]",
            "Kommode",
        ),
        (Language::French, "[non attesté par le dossier]", "Commode"),
    ] {
        let html = sheet(&it, language);
        let title = html.split("<p><bdi>").nth(1).unwrap();
        let title = title.split("</bdi>").next().unwrap();
        assert!(title.ends_with(behind), "{title}");
        let label = labels_page(&[it.clone()], "", "", tongue(language)).unwrap();
        assert!(label.contains(&format!(">{form}</p>")), "{label}");
    }
}

#[test]
fn what_the_user_typed_stands_in_its_own_language() {
    let it = fixture::assessment();
    for language in OTHERS {
        let html = sheet(&it, language);
        let title = &it.piece.title;
        assert!(
            html.contains(&format!("<span lang=\"en\">{title}</span>")),
            "{html}"
        );
        assert!(!html.contains(['\u{e000}', '\u{e001}', '\u{e002}']));
    }
    let english = sheet(&it, Language::English);
    assert!(!english.contains("<span lang="));
}

/// What the fixture holds of a user's own words.
fn typed(it: &Assessment) -> BTreeSet<String> {
    let mut all = BTreeSet::from([it.piece.title.clone()]);
    for finding in &it.findings {
        all.insert(finding.which.clone());
        let remains = finding.remains.as_ref().and_then(|it| it.size.clone());
        all.extend(
            [finding.size.clone(), finding.before.size.clone(), remains]
                .into_iter()
                .flatten(),
        );
        for look in &finding.history {
            all.extend(look.size.clone());
            all.extend(look.notes.iter().map(|it| it.text.clone()));
            all.extend(look.more.iter().map(|it| it.text.clone()));
        }
    }
    for repair in &it.repairs {
        let told = [&repair.note, &repair.new_material, &repair.hides];
        all.extend(told.into_iter().flatten().cloned());
    }
    all.extend(it.photos.iter().filter_map(|it| it.sidecar.note.clone()));
    all.extend(it.not_examined.iter().map(|it| it.why.clone()));
    all
}

/// English text of ours on a sheet in another language has its reason: there is none but the line that a program reads.
#[test]
fn nothing_on_a_sheet_is_english_but_what_the_user_typed() {
    let mut it = fixture::assessment();
    it.repairs[0].hides = Some("a dowel stub stays in the joint".to_owned());
    let typed = typed(&it);
    for language in OTHERS {
        let html = sheet(&it, language);
        let mut seen = 0;
        for own in html.split("<span lang=\"en\">").skip(1) {
            let own = own.split("</span>").next().unwrap();
            let own = own.replace("&#x27;", "'").replace("&quot;", "\"");
            assert!(typed.contains(&own), "{language}: {own}");
            seen += 1;
        }
        assert!(seen > 1, "{html}");
        let ours: Vec<&str> = html.split(" lang=\"en\">").skip(1).collect();
        assert_eq!(ours.len(), seen + 1);
        let quoted = say::sheet_quoted().said(tongue(language));
        assert_eq!(html.matches(&quoted).count(), 1, "{html}");
    }
}

/// A test that was made in part is told with what it says, and what was not examined with the reason, as it was typed.
#[test]
fn what_was_not_tested_and_why_it_was_not_looked_at_is_on_the_sheet() {
    let mut it = fixture::assessment();
    let found = say::test_found(Saying::part("Right side"), "F1");
    let rest = ["Left side", "Right door"].map(|it| say::within(Saying::part(it)));
    let rest = say::rest_paint(rest.to_vec());
    it.not_examined[3].tested = Some(say::tested_partly(found, rest));
    for (language, told) in [
        (
            Language::English,
            "Lead in paint or finish: Tested: right side: lead found (F1). Not tested: the paint on left side and right door.",
        ),
        (
            Language::German,
            "Blei in Farbe oder Überzug: Geprüft: rechte Seite, Blei gefunden (F1). Nicht geprüft: die Farbe (linke Seite und rechte Tür).",
        ),
        (
            Language::French,
            "Plomb dans la peinture ou la finition\u{202f}: Testé\u{202f}: côté droit, plomb trouvé (F1). Non testé\u{202f}: la peinture (côté gauche et porte droite).",
        ),
    ] {
        let html = sheet(&it, language);
        assert!(html.contains(told), "{html}");
        holds_no_english_if_other(&html, &sheet(&it, Language::English), language);
    }
}

fn holds_no_english_if_other(html: &str, english: &str, language: Language) {
    if language != Language::English {
        holds_no_english(html, english, language);
    }
}

/// A list of a form needs no record: every stage of every form in every language, whole.
#[test]
fn shot_lists_are_whole_in_every_language() {
    let page = |form: &Form, stage: Stage, language: Language| {
        let list = of_form(form, &PartChoice::default(), stage, book());
        let head = ShotHead {
            stock_no: None,
            piece: Saying::form(&form.label),
            stage,
            without_view: 2,
            tongue: tongue(language),
        };
        shot_page(&head, &list).unwrap()
    };
    for form in &book().forms {
        for (stage, _) in Stage::ALL {
            let english = page(form, stage, Language::English);
            for language in OTHERS {
                let html = page(form, stage, language);
                holds_no_english(&html, &english, language);
                assert!(!html.contains("<span lang="), "{} at {stage}", form.id);
            }
        }
    }
}

#[test]
fn labels_are_whole_in_every_language() {
    for language in OTHERS {
        let of = |it| labels_page(&[fixture::assessment()], "", "0123 4567", tongue(it)).unwrap();
        holds_no_english(&of(language), &of(Language::English), language);
        let name = say::labels_sheet(1_usize).said(tongue(language));
        assert!(of(language).contains(&format!("aria-label=\"{name}\"")));
    }
}
