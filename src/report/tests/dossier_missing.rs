//! What a dossier says is missing for its claim.

use super::dossier::missing;
use super::dossier::sent;
use crate::assess::assessment::Assessment;
use crate::model::photo::RemovedPhoto;

#[test]
fn what_nobody_looked_at_on_the_way_is_missing_whichever_finding_it_is() {
    let lines = missing(&sent().assess(), "transit_break");
    let of = |no: &str| lines.iter().filter(|it| it.starts_with(no)).count();
    assert_eq!([of("F1,"), of("F2,"), of("F4,")], [1, 1, 1], "{lines:#?}");
}

#[test]
fn a_view_is_asked_for_only_where_the_piece_can_have_it() {
    let mut build = sent();
    build.case.piece.form = "mirror".to_owned();
    let lines = missing(&build.assess(), "transit_break");
    assert!(
        lines.iter().any(|it| it.contains("(right_whole)")),
        "{lines:#?}"
    );
    for view in ["(top_flat)", "(foot_close)"] {
        assert!(!lines.iter().any(|it| it.contains(view)), "{lines:#?}");
    }
}

/// The front and the left side were taken before the piece left, and nothing of the four sides since.
#[test]
fn views_of_one_side_of_the_journey_stand_in_one_line() {
    let lines = missing(&sent().assess(), "transit_break");
    let one_sided = lines
        .iter()
        .filter(|it| it.contains(" the piece left with "));
    let one_sided: Vec<&String> = one_sided.collect();
    assert_eq!(one_sided.len(), 1, "{lines:#?}");
    let start = "The record has no picture from after the piece left with the views “";
    assert!(one_sided[0].starts_with(start), "{one_sided:?}");
    for (view, named) in [
        ("front_whole", true),
        ("left_whole", true),
        ("right_whole", false),
    ] {
        assert_eq!(one_sided[0].contains(&format!("({view})")), named, "{view}");
    }
}

#[test]
fn a_view_that_was_taken_out_is_not_told_as_not_taken() {
    let mut build = sent();
    let mut front = build.case.photos[0].clone();
    front.no = 90;
    front.sidecar.view = Some("front_whole".to_owned());
    front.sidecar.marks.clear();
    build.case.photos.push(front);
    let before = build.assess();
    let photo = build.case.photos.remove(0);
    build.case.removed.push(RemovedPhoto {
        photo,
        why: "blurred".to_owned(),
        removed: "2026-07-20T10:00:00Z".parse().unwrap(),
    });
    let it = build.assess();
    let lacks = |it: &Assessment| it.counts.lacks.views + it.counts.lacks.views_out;
    assert_eq!(lacks(&it), lacks(&before) + 1);
    assert_eq!(it.counts.lacks.views, before.counts.lacks.views);
    assert!(it.counts.lacks.text().ends_with(", 1 view taken out"));
    let said = it.not_examined.iter();
    let said: Vec<&str> = said
        .filter(|it| it.why.contains("(picture 1)"))
        .map(|it| it.what.as_str())
        .collect();
    assert_eq!(said, ["Views taken out of the record, purchase"]);
    let lines = missing(&it, "restoration_undisclosed");
    let untaken = lines
        .iter()
        .filter(|it| it.starts_with("Views not taken (purchase)"));
    assert!(untaken.clone().count() > 0, "{lines:#?}");
    for line in untaken {
        assert!(!line.contains("Whole left side"), "{line}");
    }
}
