//! Advice made up for a case, so that plans and offers can be tested whatever the rules on paths say.

use crate::advise::refinish::advice::Lead;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Reason;
use crate::advise::refinish::advice::Verdict;
use crate::assess::assessment::Assessment;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::mark;
use crate::kit::clock::Day;
use crate::kit::money::Money;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::market::Sold;
use crate::model::photo::Stage;
use crate::model::settings::Settings;
use crate::trade;
use crate::trade::entry::path::Path;

/// Kinds of parts that have a show surface in these tests.
const SHOW: [&str; 8] = [
    "top",
    "case_side",
    "face_frame",
    "drawer",
    "foot",
    "leg",
    "door",
    "apron",
];

/// A chest of four drawers without size: 2.6 m2 of show surface by the book.
pub(super) fn chest() -> Build {
    let mut it = Build::chest();
    it.case.piece.drawer_rows = vec![1, 1, 1, 1];
    it
}

/// The same with faults, found at purchase; a fault is its tag, part, level and which of several.
pub(super) fn chest_with(faults: &[(&str, &str, u8)]) -> Build {
    let marks = faults.iter().map(|(tag, part, level)| Mark {
        level: Some(*level),
        ..mark(tag, part)
    });
    chest()
        .shoot(Stage::Purchase, "2026-05-03")
        .photo("front_whole", &[], marks.collect())
}

/// Every path of the book is open on every part with a show surface, but for these: part (or `*`), path, verdict.
pub(super) fn advice(it: &Assessment, but: &[(&str, &str, Verdict)]) -> Vec<PartAdvice> {
    let book = trade::book();
    let kinds = &it.kinds;
    let show = it.parts.iter().filter(|part| {
        let kind = kinds.get(&part.part).map_or("", String::as_str);
        SHOW.contains(&kind)
    });
    let of_part = |part: &crate::assess::part_report::PartReport| {
        let path = |path: &Path| {
            let held = but
                .iter()
                .find(|line| (line.0 == "*" || line.0 == part.part.as_str()) && line.1 == path.id);
            path_advice(
                it,
                part.part.as_str(),
                path,
                held.map_or(Verdict::Open, |it| it.2),
            )
        };
        PartAdvice {
            part: part.part.clone(),
            label: part.label.clone(),
            paths: book.paths.iter().map(path).collect(),
            sanding: None,
            lead: Lead::NotSuspected,
            never: Vec::new(),
            forbidden: Vec::new(),
            opinions: Vec::new(),
        }
    };
    show.map(of_part).collect()
}

fn path_advice(it: &Assessment, part: &str, path: &Path, verdict: Verdict) -> PathAdvice {
    let on_part = it
        .findings
        .iter()
        .filter(|it| it.state.is_open() && it.part.whole().as_str() == part);
    let on_part: Vec<_> = on_part.collect();
    let among = |list: &[String]| -> Vec<FindingNo> {
        let named = on_part.iter().filter(|it| list.contains(&it.tag));
        named.map(|it| it.no).collect()
    };
    let (removes, hides) = (among(&path.removes), among(&path.hides));
    let rest = on_part.iter().map(|it| it.no);
    let leaves = rest.filter(|it| !removes.contains(it) && !hides.contains(it));
    let why = "Shut by this test.".to_owned();
    PathAdvice {
        path: path.id.clone(),
        label: path.label.clone(),
        verdict,
        reasons: vec![Reason {
            rule: "test".to_owned(),
            why,
        }],
        look: vec!["Look again.".to_owned()],
        opened_by: Vec::new(),
        opening_work: Vec::new(),
        left_out: Vec::new(),
        leaves: leaves.collect(),
        removes,
        hides,
        tell: Vec::new(),
    }
}

/// An amount in whole euros.
pub(super) fn eur(units: i64) -> Money {
    Money {
        minor: units * 100,
        currency: "EUR".parse().unwrap(),
    }
}

/// Comparables of one path, in whole euros.
pub(super) fn sold(path: &str, prices: &[i64]) -> Vec<Sold> {
    let one = |price: &i64| Sold {
        path: path.to_owned(),
        price: eur(*price),
    };
    prices.iter().map(one).collect()
}

pub(super) fn settings() -> Settings {
    Settings::usual("EUR".parse().unwrap())
}

/// The first day of work in these tests.
pub(super) fn monday() -> Day {
    "2026-06-01".parse().unwrap()
}
