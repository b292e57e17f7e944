//! Our own sentences: no grade word, no claim, and of every fault the number before the adjective.

use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::material::clue::Clue;
use crate::assess::material::clue::Made;
use crate::model::mark::MarkState;
use crate::report::Reader;
use crate::report::fixture;
use crate::report::tests::made;
use crate::tongue::say;
use crate::trade;

/// The sentences of a page, without tags, style and script.
fn sentences(html: &str) -> Vec<String> {
    let body = html.split("<body>").nth(1).unwrap();
    let body = body.split("<script>").next().unwrap();
    let mut texts = Vec::new();
    for piece in body.split('<').skip(1) {
        let text = piece.split_once('>').map_or("", |it| it.1);
        let plain = text
            .replace("&quot;", "\"")
            .replace("&#x27;", "'")
            .replace("&amp;", "&");
        if !plain.trim().is_empty() {
            texts.push(plain.trim().to_owned());
        }
    }
    texts
}

/// Everything the user typed that the page prints.
fn typed(assessment: &Assessment) -> Vec<String> {
    let piece = &assessment.piece;
    let mut typed = vec![piece.title.clone()];
    typed.extend(piece.about.clone());
    typed.extend(piece.weight.clone());
    for photo in &assessment.photos {
        typed.extend(photo.sidecar.note.clone());
        let marks = photo.sidecar.marks.iter();
        typed.extend(
            marks
                .flat_map(|it| [it.note.clone(), it.which.clone()])
                .flatten(),
        );
    }
    for it in &assessment.repairs {
        typed.extend(
            [&it.note, &it.hides, &it.new_material]
                .into_iter()
                .flatten()
                .cloned(),
        );
        // The first page names what is new in the words before the first comma.
        let new = it.new_material.iter();
        typed.extend(new.map(|it| it.split(", ").next().unwrap_or(it).to_owned()));
    }
    typed
}

/// Fixtures that bring out as many of our sentences as one record can.
fn records() -> Vec<Assessment> {
    let states = [
        FindingState::Open,
        FindingState::Worse,
        FindingState::Better,
        FindingState::Repaired,
        FindingState::RepairUnseen,
        FindingState::Reopened,
        FindingState::Gone,
        FindingState::NotVisible,
        FindingState::Withdrawn,
    ];
    let mut records = vec![fixture::assessment()];
    for state in states {
        let mut record = fixture::assessment();
        for (n, finding) in record.findings.iter_mut().enumerate() {
            finding.state = state;
            if n % 2 == 0 {
                finding.size = None;
                finding.history.iter_mut().for_each(|it| it.size = None);
            }
            if n % 3 == 0 {
                finding.level = None;
            }
        }
        for repair in &mut record.repairs {
            "touch_up".clone_into(&mut repair.method);
        }
        fixture::settle(&mut record);
        record.made = Made {
            from: Some(1860),
            to: Some(1910),
            text: say::made_between("1860", "1910"),
            clues: vec![Clue {
                part: "top".parse().unwrap(),
                part_label: "Top".to_owned(),
                term: "Wire nails".to_owned(),
                from: Some(1860),
                to: None,
                at: MarkAt { photo: 1, mark: 0 },
                aside: None,
            }],
        };
        record.shoots.clear();
        records.push(record);
    }
    let mut bare = fixture::assessment();
    bare.findings.clear();
    bare.photos.clear();
    bare.pairs.clear();
    bare.repairs.clear();
    fixture::settle(&mut bare);
    bare.piece.size = None;
    records.push(bare);
    records
}

#[test]
fn no_sentence_of_ours_claims_anything() {
    let mut wrong = BTreeSet::new();
    for record in records() {
        let typed = typed(&record);
        for reader in [Reader::Buyer, Reader::Owner] {
            let html = made(&record, &fixture::scene(), &fixture::order(reader));
            for text in sentences(&html) {
                let lower = text.to_lowercase();
                if typed.iter().any(|it| lower.contains(&it.to_lowercase())) {
                    continue;
                }
                for found in trade::book().claims.in_text(&text) {
                    // A verdict on the material, with what it rests on.
                    let proven = text.starts_with("Solid wood. Seen: ");
                    if !proven {
                        wrong.insert(format!("`{}` in: {text}", &text[found.start..found.end]));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// What the trade book says to a buyer, wherever it is printed.
#[test]
fn no_sentence_of_the_trade_book_claims_anything() {
    let book = trade::book();
    let mut texts: Vec<&str> = Vec::new();
    for it in &book.tags {
        texts.extend([it.term.as_str(), it.plain.as_str()]);
    }
    for it in &book.cues {
        texts.push(&it.term);
    }
    for it in &book.methods {
        texts.extend([it.name.as_str(), it.plain.as_str()]);
    }
    for it in &book.hazards {
        texts.push(&it.title);
        texts.extend(it.buyer.iter().map(String::as_str));
        texts.extend(it.buyer_with.iter().map(|it| it.say.as_str()));
        texts.extend(it.until.iter().map(|it| it.say.as_str()));
        texts.push(&it.first);
    }
    texts.extend(
        book.forms
            .iter()
            .flat_map(|it| [it.label.as_str(), it.plain.as_str()]),
    );
    texts.extend(book.views.iter().map(|it| it.label.as_str()));
    texts.extend(book.kinds.iter().map(|it| it.label.as_str()));
    texts.extend(
        book.paths
            .iter()
            .flat_map(|it| [it.label.as_str(), it.plain.as_str()]),
    );
    assert!(texts.len() > 500);
    // They name what is seen or what a method is for, and say nothing of the piece.
    let mut wrong = BTreeSet::new();
    let fair = [
        "strips of solid wood",
        "Flatten a solid board",
        "the wood under it is whole",
        "nothing is missing",
        "nothing was replaced",
        "No dirt or old colour in corners",
    ];
    for text in texts {
        if fair.iter().any(|it| text.contains(it)) {
            continue;
        }
        // The name of a wood says what is seen.
        let mut found = book.claims.in_text(text);
        found.retain(|it| it.claim.id != "wood");
        wrong.extend(found.first().map(|it| format!("{}: {text}", it.claim.id)));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Words of degree that must not stand before the number.
const DEGREES: [&str; 16] = [
    "trace", "visible", "heavy", "failing", "slight", "light", "minor", "moderate", "small",
    "large", "deep", "faint", "severe", "fine", "wide", "worse",
];

/// The first thing said of a fault after its name and its place is its number, or that nobody took it.
#[test]
fn of_every_fault_the_number_goes_first() {
    for record in records() {
        let html = made(&record, &fixture::scene(), &fixture::order(Reader::Owner));
        let mut lines = 0;
        for line in html.split("<span class=\"measure\">").skip(1) {
            number_first(
                &sentences(&format!("<body><p>{}", line.split("</li>").next().unwrap())).join(" "),
            );
            lines += 1;
        }
        for article in html.split("<article class=\"finding\"").skip(1) {
            let facts = article.split("<dl class=\"facts\">").nth(1).unwrap();
            let facts = facts.split("</dl>").next().unwrap();
            number_first(&sentences(&format!("<body><p>{facts}")).join(" "));
            let before = article.split("<dl class=\"facts\">").next().unwrap();
            assert!(
                !before.contains("class=\"plain\""),
                "what the fault is called comes after its number"
            );
            lines += 1;
        }
        let shown = record
            .findings
            .iter()
            .any(|it| it.state != FindingState::Withdrawn);
        assert!(lines > 0 || !shown);
    }
}

fn number_first(said: &str) {
    let lower = said.to_lowercase();
    let number = lower.find("not measured");
    let digit = lower.find(|it: char| it.is_ascii_digit());
    let first = number.into_iter().chain(digit).min();
    let first = first.unwrap_or_else(|| panic!("no number in: {said}"));
    for word in lower[..first].split(|it: char| !it.is_alphabetic()) {
        assert!(
            !DEGREES.contains(&word),
            "`{word}` goes before the number in: {said}"
        );
    }
    if let Some(at) = lower.find("level") {
        assert!(first < at, "the level goes before the measure in: {said}");
    }
}

/// What is hidden is told as still there, with its level and its number from before.
#[test]
fn what_only_hides_is_told_as_hidden() {
    let mut record = fixture::assessment();
    for repair in &mut record.repairs {
        "touch_up".clone_into(&mut repair.method);
    }
    fixture::settle(&mut record);
    let hidden = record.hidden.clone();
    assert!(!hidden.is_empty());
    let html = made(&record, &fixture::scene(), &fixture::order(Reader::Buyer));
    let changed = html
        .split("id=\"changed\"")
        .nth(1)
        .unwrap()
        .split("</section>")
        .next()
        .unwrap();
    assert!(changed.contains(&format!("Covered, not cured: {}", hidden.len())));
    for it in &hidden {
        let finding = record
            .findings
            .iter()
            .find(|found| found.no == it.no)
            .unwrap();
        let there = finding
            .history
            .iter()
            .rev()
            .find(|it| it.state.is_there())
            .unwrap();
        assert!(it.level.is_none_or(|it| it >= 2) && there.state != MarkState::Repaired);
        let listed = changed.split("Covered, not cured:").nth(1).unwrap();
        assert!(
            listed.contains(&format!("href=\"#finding-{}\"", it.no.0)),
            "{}",
            it.no
        );
    }
    assert!(html.contains("overed, not cured, by repair"));
    assert!(html.contains("covered, not cured."), "at a glance");
}
