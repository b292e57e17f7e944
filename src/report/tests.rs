//! The page as a whole.

mod check_page;
mod dossier;
mod dossier_missing;
mod evidence;
mod other_languages;
mod own_words;
mod sections_told;
mod told;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::sighting::Note;
use crate::assess::gaps::lacks::Gap;
use crate::model::picture::SmallPicture;
use crate::report::Crop;
use crate::report::DrawingInput;
use crate::report::Reader;
use crate::report::ReportError;
use crate::report::ReportRequest;
use crate::report::ShotKind;
use crate::report::TEMPLATES;
use crate::report::fixture;
use crate::report::page;
use crate::report::shots;
use crate::tongue::Saying;

/// A picture that is no picture; the page never looks inside.
fn stand_ins(shots: Vec<Crop>) -> BTreeMap<Crop, SmallPicture> {
    let taken = |shot: &Crop| SmallPicture {
        jpeg: shot.file_name().into_bytes(),
        width: 320,
        height: 240,
    };
    shots
        .into_iter()
        .map(|it| {
            let picture = taken(&it);
            (it, picture)
        })
        .collect()
}

/// A page with stand-ins for all its pictures.
fn made(assessment: &Assessment, scene: &DrawingInput, order: &ReportRequest) -> String {
    let pictures = stand_ins(shots(assessment, order));
    page(assessment, scene, order, &pictures).unwrap()
}

fn plain(reader: Reader) -> String {
    made(
        &fixture::assessment(),
        &fixture::scene(),
        &fixture::order(reader),
    )
}

/// The page without digests and pictures, whose digits mean nothing.
fn without_digits(html: &str) -> String {
    let mut text = String::new();
    for (n, piece) in html.split("<code>").enumerate() {
        let rest = if n == 0 {
            piece
        } else {
            piece.split_once("</code>").unwrap().1
        };
        text += rest;
    }
    let mut pieces = text.split("data:image/jpeg;base64,");
    let mut bare = pieces.next().unwrap().to_owned();
    for piece in pieces {
        bare += piece.split_once('"').unwrap().1;
    }
    bare
}

#[test]
fn nothing_private_is_in_the_buyers_copy_and_all_of_it_in_the_owners() {
    let (buyer, owner) = (plain(Reader::Buyer), plain(Reader::Owner));
    assert!(!buyer.contains(fixture::SECRET));
    assert!(!buyer.contains("Kestrel"));
    let (buyer, owner_text) = (without_digits(&buyer), without_digits(&owner));
    for number in fixture::SECRET_NUMBERS {
        assert!(!buyer.contains(number), "{number}");
        assert!(owner_text.contains(number), "{number}");
    }
    for what in [
        "-serial",
        " beside the photo",
        " about the repair",
        " about the piece",
        ".toml",
    ] {
        let secret = format!("{}{what}", fixture::SECRET);
        assert!(owner.contains(&secret), "{secret}");
    }
}

/// Letters that would act if they were not escaped, with a number to know them by.
fn hostile(number: usize) -> String {
    format!("<script>{number}\"'& \u{1F469}\u{200D}\u{1F527} \u{05D0}\u{05D1}\u{202E}")
}

#[test]
fn no_text_acts_whatever_field_it_is_in() {
    let mut number = 0;
    let mut next = || {
        number += 1;
        hostile(number)
    };
    let (mut a, mut scene) = (fixture::assessment(), fixture::scene());
    a.piece.title = next();
    a.piece.about = Some(next());
    a.piece.weight = Some(next());
    a.piece.examined_by = Some(next());
    a.piece.private_note = Some(next());
    a.form_label = next();
    scene.trading_name = next();
    scene.contact = next();
    let photo = &mut a.photos[0];
    photo.name = next();
    photo.facts.serial = Some(next());
    photo.sidecar.note = Some(next());
    photo.sidecar.private_note = Some(next());
    a.picture_notes[0].text = next();
    a.parts[0].label = next();
    a.parts[0].material.text = next();
    let finding = &mut a.findings[0];
    finding.state = FindingState::Open;
    finding.term = next();
    finding.plain = next();
    finding.part_label = next();
    finding.which = next();
    finding.origin_why = Saying::Own(next());
    finding.level_words = Some(next());
    finding.size = Some(next());
    finding.history[0].notes = vec![Note {
        text: next(),
        day: None,
    }];
    finding.history[0].size = Some(next());
    let repair = &mut a.repairs[0];
    repair.method = next();
    repair.new_material = Some(next());
    repair.hides = Some(next());
    repair.note = Some(next());
    repair.private_note = Some(next());
    fixture::settle(&mut a);
    a.not_examined[0].what = next();
    a.not_examined[0].why = next();
    a.cautions[0].title = Saying::Own(next());
    a.cautions[0].lines = vec![Saying::Own(next())];
    a.complaints[0].message = next();
    a.gaps = vec![Gap {
        code: "c".to_owned(),
        message: next(),
        remedy: next(),
    }];
    let order = ReportRequest {
        draft: true,
        ..fixture::order(Reader::Owner)
    };
    let html = made(&a, &scene, &order);
    assert_eq!(html.matches("<script").count(), 1, "only the page's own");
    assert!(!html.contains('\u{202E}'));
    let rest = "&quot;&#x27;&amp; \u{1F469}\u{200D}\u{1F527} \u{05D0}\u{05D1}[U+202E]";
    for n in 1..=number {
        assert!(
            html.contains(&format!("&lt;script&gt;{n}{rest}")),
            "text {n} is missing"
        );
    }
}

#[test]
fn the_same_record_gives_the_same_bytes() {
    assert_eq!(plain(Reader::Buyer), plain(Reader::Buyer));
}

#[test]
fn every_finding_stands_once_in_full_and_once_at_a_glance() {
    let assessment = fixture::assessment();
    let html = plain(Reader::Owner);
    let glance = html.split("id=\"glance\"").nth(1).unwrap();
    let glance = glance.split("</section>").next().unwrap();
    let mut shown = 0;
    for finding in &assessment.findings {
        let no = finding.no.0;
        let once = usize::from(finding.state != FindingState::Withdrawn);
        let stands = html.matches(&format!("id=\"finding-{no}\"")).count();
        let item = format!("<a href=\"#finding-{no}\">F{no}</a> <bdi>");
        let listed = glance.matches(&item).count();
        assert_eq!((stands, listed), (once, once), "{}", finding.no);
        shown += once;
    }
    assert!(shown > 5);
    assert!(glance.contains("(first seen after the sale)"));
    let buyer = plain(Reader::Buyer);
    for finding in &assessment.findings {
        let stands = buyer.contains(&format!("id=\"finding-{}\"", finding.no.0));
        assert_eq!(
            stands,
            finding.state != FindingState::Withdrawn,
            "{}",
            finding.no
        );
    }
}

#[test]
fn a_missing_picture_is_told_in_a_box() {
    let (assessment, order) = (fixture::assessment(), fixture::order(Reader::Buyer));
    let mut pictures = stand_ins(shots(&assessment, &order));
    let full = page(&assessment, &fixture::scene(), &order, &pictures).unwrap();
    assert!(!full.contains("Picture not available"));
    let thumb = Crop {
        photo: 4,
        kind: ShotKind::Thumb,
    };
    assert!(pictures.remove(&thumb).is_some());
    let html = page(&assessment, &fixture::scene(), &order, &pictures).unwrap();
    assert_eq!(
        html.matches("Picture not available: Picture <a href=\"#picture-4\">4</a>:")
            .count(),
        1
    );
}

#[test]
fn every_template_is_embedded() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    let names = fs::read_dir(folder).unwrap().map(Result::unwrap);
    // The folder in it belongs to the marking page.
    let names = names.filter(|it| it.file_type().unwrap().is_file());
    let mut names: Vec<_> = names
        .map(|it| it.file_name().into_string().unwrap())
        .collect();
    names.sort();
    let embedded: Vec<_> = TEMPLATES.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, embedded);
}

#[test]
fn a_draft_says_so_and_lists_what_is_missing() {
    let mut assessment = fixture::assessment();
    assessment.gaps = vec![Gap {
        code: "part_without_statement".to_owned(),
        message: "nothing is said of dust panel 1".to_owned(),
        remedy: "write a statement".to_owned(),
    }];
    let order = fixture::order(Reader::Buyer);
    let refused = page(&assessment, &fixture::scene(), &order, &BTreeMap::new());
    assert!(matches!(refused, Err(ReportError::NotFinal(1))));
    let order = ReportRequest {
        draft: true,
        ..order
    };
    let html = made(&assessment, &fixture::scene(), &order);
    assert!(html.contains("<p class=\"stamp\" role=\"note\">Draft: not final</p>"));
    assert!(html.contains("<title>Draft: condition report"));
    assert!(html.contains("othing is said of dust panel 1.") && html.contains("rite a statement."));
    assert!(!plain(Reader::Buyer).contains("Draft: not final"));
}

/// A word with its evidence has it printed; one without is marked in a draft, and keeps a final page from being made.
#[test]
fn claims_stand_with_their_evidence_or_are_marked() {
    let mut assessment = fixture::assessment();
    fixture::claim_solid(&mut assessment, Some("Top: Solid wood."));
    let (scene, order) = (fixture::scene(), fixture::order(Reader::Buyer));
    let html = made(&assessment, &scene, &order);
    assert!(html.contains("“solid”, in the title</dt><dd dir=\"auto\">Top: Solid wood.</dd>"));
    assert!(html.contains("<h1 dir=\"auto\">Solid oak chest</h1>"));
    fixture::claim_solid(&mut assessment, None);
    let draft = ReportRequest {
        draft: true,
        ..order
    };
    let html = made(&assessment, &scene, &draft);
    assert!(html.contains("Solid [claims what the record does not show] oak chest</h1>"));
    assert!(!html.contains("“solid”, in the title"));
}

#[test]
fn notes_that_are_not_in_force_are_told_without_naming_the_file() {
    let told = "The newest notes beside 1 picture could not be read";
    assert!(plain(Reader::Buyer).contains(told));
    let mut assessment = fixture::assessment();
    assessment.complaints.clear();
    let (scene, order) = (fixture::scene(), fixture::order(Reader::Buyer));
    assert!(!made(&assessment, &scene, &order).contains("could not be read"));
}

#[test]
fn a_pins_name_begins_with_the_number_on_it() {
    let html = plain(Reader::Buyer);
    let mut pins = 0;
    for pin in html
        .split("<a href=\"#finding-")
        .filter(|it| it.contains("class=\"pin"))
    {
        let Some(name) = pin.split_once("aria-label=\"") else {
            continue;
        };
        let Some(number) = pin.split_once("\" aria-label").map(|it| it.0) else {
            continue;
        };
        assert!(name.1.starts_with(&format!("{number}: ")), "{}", &pin[..60]);
        pins += 1;
    }
    assert!(pins > 5);
}
