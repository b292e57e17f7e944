use serde_json::json;

use super::Edit;
use super::fitted;
use crate::mark;
use crate::mark::Change;
use crate::mark::Words;
use crate::model::finding::FindingKey;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Sidecar;
use crate::model::region::Region;
use crate::work::marking::save::SaveRequest;

fn ring(level: u8) -> Mark {
    Mark {
        tag: Some("white_mark".to_owned()),
        part: Some("top".parse().unwrap()),
        which: None,
        finding: None,
        state: MarkState::Present,
        level: Some(level),
        size: None,
        note: None,
        region: Some(Region::Box([10.0, 20.0, 5.0, 5.0])),
    }
}

fn words() -> Words {
    Words {
        faults: vec!["white_mark".to_owned(), "scratch_finish".to_owned()],
        findings: vec![NumberedFinding {
            no: FindingNo(1),
            key: FindingKey {
                part: "top".parse().unwrap(),
                tag: "white_mark".to_owned(),
                which: "2".to_owned(),
            },
        }],
        ..Words::default()
    }
}

fn said(marks: &[Mark]) -> Sidecar {
    Sidecar {
        marks: marks.to_vec(),
        ..Sidecar::default()
    }
}

fn wishes(json: serde_json::Value) -> Vec<Edit> {
    let saying = json!({"photo": 1, "changes": json});
    serde_json::from_value::<SaveRequest>(saying)
        .unwrap()
        .changes
}

#[test]
fn what_is_done_already_is_left_as_it_is() {
    let now = said(&[ring(2)]);
    let again = [
        Edit::Add { mark: ring(2) },
        Edit::Replace {
            was: ring(1),
            mark: ring(2),
        },
        Edit::Remove {
            was: Mark {
                tag: Some("scratch_finish".to_owned()),
                region: None,
                ..ring(1)
            },
        },
        Edit::View {
            was: Some("front_whole".to_owned()),
            to: None,
        },
    ];
    let (changes, clashes) = fitted(&now, &again, false, &words());
    assert!(
        changes.is_empty() && clashes.is_empty(),
        "{changes:?} {clashes:?}"
    );
}

#[test]
fn numbers_that_went_through_a_browser_are_the_same() {
    let mut there = ring(2);
    there.region = Some(Region::Box([10.1 + 0.2, 20.0, 5.0, 5.0]));
    let mut was = there.clone();
    was.region = Some(Region::Box([10.3, 20.0, 5.0, 5.0]));
    let (changes, clashes) = fitted(&said(&[there]), &[Edit::Remove { was }], false, &words());
    assert_eq!((changes.len(), clashes.len()), (1, 0));
}

#[test]
fn two_windows_come_together() {
    let now = Sidecar {
        parts: vec!["top".parse().unwrap(), "back".parse().unwrap()],
        marks: vec![ring(2)],
        ..Sidecar::default()
    };
    let other = wishes(json!([
        {"do": "parts", "was": ["top"], "to": ["top", "side-left"]},
        {"do": "note", "was": null, "to": "window light"},
        {"do": "add", "mark": {"tag": "dent", "part": "top", "which": null, "finding": null, "state": "present", "level": 1,
            "size": null, "note": null, "region": {"spot": [1.0, 2.0]}}},
    ]));
    let (changes, clashes) = fitted(&now, &other, false, &words());
    assert!(clashes.is_empty(), "{clashes:?}");
    let text = mark::rewritten(&mark::written("a.jpg", &now), &changes).unwrap();
    assert!(
        text.contains("parts = [\"top\", \"back\", \"side-left\"]"),
        "{text}"
    );
    assert!(text.contains("tag = \"dent\"") && text.contains("tag = \"white_mark\""));
}

#[test]
fn the_same_thing_changed_by_two_is_shown_and_chosen() {
    let worse = Edit::Replace {
        was: ring(1),
        mark: ring(3),
    };
    let now = said(&[ring(2)]);
    let (changes, clashes) = fitted(&now, std::slice::from_ref(&worse), false, &words());
    assert!(changes.is_empty());
    assert_eq!(clashes[0].theirs["level"], 2);
    let (changes, clashes) = fitted(&now, &[worse], true, &words());
    assert_eq!((changes.len(), clashes.len()), (1, 0));
    let view = wishes(json!([{"do": "view", "was": null, "to": "back_whole"}]));
    let now = Sidecar {
        view: Some("front_whole".to_owned()),
        ..Sidecar::default()
    };
    let (changes, clashes) = fitted(&now, &view, false, &words());
    assert!(changes.is_empty());
    assert_eq!(clashes[0].theirs, json!("front_whole"));
    assert_eq!(fitted(&now, &view, true, &words()).0.len(), 1);
}

#[test]
fn a_mark_taken_away_by_hand_comes_back_only_when_asked() {
    let worse = Edit::Replace {
        was: ring(1),
        mark: ring(3),
    };
    let (changes, clashes) = fitted(&said(&[]), std::slice::from_ref(&worse), false, &words());
    assert!(changes.is_empty() && clashes[0].theirs.is_null());
    let (changes, clashes) = fitted(&said(&[]), &[worse], true, &words());
    assert_eq!((changes.len(), clashes.len()), (1, 0));
}

#[test]
fn a_statement_in_a_list_may_become_a_fault() {
    let sound = Mark {
        tag: Some("sound".to_owned()),
        level: None,
        region: None,
        ..ring(1)
    };
    let text = "view = \"\"\nsound = [\"top\", \"back\"]\n";
    let back = Mark {
        part: Some("back".parse().unwrap()),
        ..sound.clone()
    };
    let now = said(&[sound.clone(), back.clone()]);
    let wishes = [
        Edit::Replace {
            was: sound,
            mark: ring(2),
        },
        Edit::Remove { was: back },
    ];
    let (changes, clashes) = fitted(&now, &wishes, false, &words());
    assert!(clashes.is_empty(), "{clashes:?}");
    let text = mark::rewritten(text, &changes).unwrap();
    assert!(
        text.starts_with("view = \"\"\nsound = []\n\n[[mark]]\n"),
        "{text}"
    );
}

#[test]
fn a_name_that_is_not_known_is_refused() {
    let more = json!({"photo": 1, "changes": [], "more": 1});
    assert!(serde_json::from_value::<SaveRequest>(more).is_err());
}

/// A face laid meanwhile by somebody else is shown, not written over; saying the same again changes nothing.
/// What is not there is none of the parts that the picture shows; nothing else that is said takes a part away.
#[test]
fn a_part_that_is_said_to_be_absent_is_taken_from_those_the_picture_shows() {
    let parts = |words: &[&str]| words.iter().map(|it| it.parse().unwrap()).collect();
    let now = Sidecar {
        parts: parts(&["top", "drawer-2", "drawer-2/bottom", "drawer-3"]),
        ..Sidecar::default()
    };
    let say = |tag: &str, part: &str| {
        let mark = Mark {
            tag: Some(tag.to_owned()),
            part: Some(part.parse().unwrap()),
            level: None,
            region: None,
            ..ring(1)
        };
        let mark = serde_json::to_value(mark).unwrap();
        wishes(json!([{"do": "add", "mark": mark}]))
    };
    let told = |now: &Sidecar, tag: &str, part: &str| {
        let (changes, clashes) = fitted(now, &say(tag, part), false, &words());
        assert!(clashes.is_empty(), "{clashes:?}");
        changes
    };
    let changes = told(&now, "absent", "drawer-2");
    let [Change::AddMark(mark), Change::Parts(left)] = changes.as_slice() else {
        panic!("{changes:?}");
    };
    assert_eq!(mark.tag.as_deref(), Some("absent"));
    assert_eq!(*left, parts(&["top", "drawer-3"]));
    // Said a second time, nothing is changed; said of a part that is not named, the list stays.
    let after = Sidecar {
        parts: left.clone(),
        marks: vec![mark.clone()],
        ..Sidecar::default()
    };
    assert_eq!(told(&after, "absent", "drawer-2"), []);
    assert_eq!(told(&after, "absent", "drawer-4").len(), 1);
    for tag in ["sound", "not_examined", "white_mark"] {
        let changes = told(&now, tag, "drawer-2");
        assert!(
            matches!(changes.as_slice(), [Change::AddMark(_)]),
            "{tag}: {changes:?}"
        );
    }
}

#[test]
fn a_face_is_laid_changed_and_taken_away_by_its_name() {
    let face = |x: f64| json!({"face": "top", "lie": {"corners": [[x, 10.0], [90.0, 10.0], [90.0, 60.0], [10.0, 60.0]]}, "how": "by hand", "size": null, "at": null});
    let lay = |was: serde_json::Value, to: serde_json::Value| {
        wishes(json!([{"do": "face", "was": was, "to": to}]))
    };
    let (changes, clashes) = fitted(&said(&[]), &lay(json!(null), face(10.0)), false, &words());
    assert!(clashes.is_empty());
    let [Change::LayFace(laid)] = changes.as_slice() else {
        panic!("{changes:?}");
    };
    let now = Sidecar {
        faces: vec![laid.clone()],
        ..Sidecar::default()
    };
    assert_eq!(
        fitted(&now, &lay(json!(null), face(10.0)), false, &words()).0,
        []
    );
    let (changes, clashes) = fitted(&now, &lay(json!(null), face(12.0)), false, &words());
    assert!(changes.is_empty() && clashes.len() == 1, "{changes:?}");
    assert_eq!(
        fitted(&now, &lay(json!(null), face(12.0)), true, &words())
            .0
            .len(),
        1
    );
    let gone = fitted(&now, &lay(face(10.0), json!(null)), false, &words()).0;
    assert_eq!(gone, [Change::RemoveFace("top".parse().unwrap())]);
}

#[test]
fn a_second_fault_of_a_kind_gets_a_number_of_its_own_once() {
    let other = Mark {
        region: Some(Region::Box([60.0, 20.0, 5.0, 5.0])),
        ..ring(2)
    };
    let third = Mark {
        which: Some("3".to_owned()),
        ..other.clone()
    };
    // `2` is the finding of another picture.
    let wish = [Edit::Add {
        mark: other.clone(),
    }];
    let (changes, clashes) = fitted(&said(&[ring(2)]), &wish, false, &words());
    assert!(clashes.is_empty());
    assert_eq!(changes, [mark::Change::AddMark(third.clone())]);
    let (changes, _) = fitted(&said(&[ring(2), third]), &wish, false, &words());
    assert_eq!(changes, []);
    let named = Edit::Add {
        mark: Mark {
            finding: Some(FindingNo(1)),
            tag: None,
            part: None,
            ..other
        },
    };
    let (changes, _) = fitted(
        &said(&[ring(2)]),
        std::slice::from_ref(&named),
        false,
        &words(),
    );
    let Edit::Add { mark } = named else {
        unreachable!()
    };
    assert_eq!(changes, [mark::Change::AddMark(mark)]);
}
