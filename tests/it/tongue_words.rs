//! The words of the trade are there in every language, and none is left over.

use std::collections::BTreeSet;

use asfound::tongue::Kind;
use asfound::tongue::Language;
use asfound::tongue::entries;
use asfound::trade::book;

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

/// What a buyer reads of cautions.
fn cautions() -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for it in &book().hazards {
        let told = it.found.is_some() || !(it.buyer.is_empty() && it.buyer_with.is_empty());
        all.extend(told.then(|| it.title.clone()));
        all.extend(it.buyer.iter().cloned());
        all.extend(it.buyer_with.iter().map(|it| it.say.clone()));
        all.extend(it.until.iter().map(|it| it.say.clone()));
        for other in it.found.iter().chain(&it.unseen) {
            all.insert(other.title.clone());
            all.extend(other.buyer.iter().cloned());
            all.extend(other.dusted.clone());
        }
        all.extend((!it.first.is_empty()).then(|| it.first.clone()));
    }
    all.extend(book().forms.iter().map(|it| it.carry.clone()));
    all.extend(book().kinds.iter().map(|it| it.carry.clone()));
    let faults = book().tags.iter().flat_map(|it| &it.carry);
    all.extend(faults.map(|it| it.say.clone()));
    all.remove("");
    all.extend(book().methods.iter().flat_map(|it| it.buyer.clone()));
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
    let wanted: [(Kind, BTreeSet<String>); 10] = [
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
        (
            Kind::Cue,
            { book().cues.iter() }
                .filter(|it| it.earlier_work)
                .map(|it| it.term.clone())
                .collect(),
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
