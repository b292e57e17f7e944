//! What the marking page asks of the book, without the page: saving into real sidecars, and what is still to be said.

use std::fs;
use std::path::PathBuf;

use asfound::kit::clock::Moment;
use asfound::work::marking::MarkingSession;
use asfound::work::marking::save::Answer;
use asfound::work::marking::save::Said;
use asfound::work::marking::walk::Walk;
use serde_json::Value;
use serde_json::json;

use crate::shop::Shop;

const FIRST: &str = "1 purchase 2026-05-03/IMG_1.jpg.toml";

/// A shop with two photos of the purchase in its book.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ()).photo("IMG_2.jpg", |_| ());
    shop.import();
    shop
}

fn door(shop: &Shop) -> MarkingSession {
    MarkingSession {
        root: shop.path("book"),
        stock_no: "26-001".parse().unwrap(),
    }
}

fn now() -> Moment {
    "2026-05-26T09:00:00Z".parse().unwrap()
}

fn walk(shop: &Shop) -> Walk {
    door(shop).walk(now()).unwrap()
}

fn say(shop: &Shop, changes: &Value) -> Answer {
    let saying = json!({"photo": 1, "changes": changes});
    let saying = serde_json::from_value(saying).unwrap();
    door(shop).say(now(), &saying).unwrap()
}

fn said(answer: Answer) -> Said {
    match answer {
        Answer::Said(it) => it,
        other => panic!("{other:?}"),
    }
}

fn ring(level: u8) -> Value {
    json!({"tag": "white_mark", "part": "top", "which": null, "finding": null, "state": "present", "level": level, "size": null,
        "note": null, "region": {"box": [10.0, 20.0, 5.0, 5.0]}})
}

fn sidecar(shop: &Shop) -> PathBuf {
    shop.stored(FIRST)
}

#[test]
fn what_is_said_goes_in_between_what_stands_there() {
    let shop = shop();
    let text = "# mine\r\nview  = \"front_whole\"   # from the gate\r\n\r\n[[mark]] # old\r\npart = \"top\"\r\ntag = \"dent\"\r\nlevel = 1\r\n";
    fs::write(sidecar(&shop), text).unwrap();
    let changes = json!([
        {"do": "view", "was": "front_whole", "to": "top_flat"},
        {"do": "private_note", "was": null, "to": "asked 90 for it"},
        {"do": "scale", "was": null, "to": {"width_mm": 300.0, "height_mm": null, "corners": [[1.0, 1.0], [9.0, 1.0]]}},
        {"do": "add", "mark": ring(2)},
    ]);
    let first = said(say(&shop, &changes));
    let written = fs::read_to_string(sidecar(&shop)).unwrap();
    for kept in [
        "# mine\r\n",
        "view  = \"top_flat\"   # from the gate\r\n",
        "[[mark]] # old\r\npart = \"top\"\r\ntag = \"dent\"\r\nlevel = 1\r\n",
        "private_note = \"asked 90 for it\"\r\n",
        "[scale]\r\nlength_mm = 300",
        "tag = \"white_mark\"\r\n",
    ] {
        assert!(written.contains(kept), "{kept:?} in {written}");
    }
    // Said again, as a page does whose answer got lost: nothing is written, not even the time of the file.
    let stamp = || fs::metadata(sidecar(&shop)).unwrap().modified().unwrap();
    let before = stamp();
    let again = say(&shop, &json!([{"do": "add", "mark": ring(2)}]));
    assert_eq!(said(again).version, first.version);
    assert_eq!(stamp(), before);
}

#[test]
fn a_file_with_mistakes_is_left_alone_and_told() {
    let shop = shop();
    for broken in [
        &b"view = \"front\nparts = ["[..],
        &b"note = \"\xff\xfe\"\n"[..],
    ] {
        fs::write(sidecar(&shop), broken).unwrap();
        let Answer::Wrong(it) = say(&shop, &json!([{"do": "add", "mark": ring(2)}])) else {
            panic!("it was taken");
        };
        assert!(
            it.message.contains("put it right there, or in an editor"),
            "{}",
            it.message
        );
        assert!(!it.complaints.is_empty());
        assert_eq!(fs::read(sidecar(&shop)).unwrap(), broken);
    }
}

#[test]
fn what_cannot_be_written_is_refused_whole() {
    let shop = shop();
    let before = fs::read(sidecar(&shop)).unwrap();
    let mut wrong = ring(2);
    wrong["size"] = json!("70");
    let changes = json!([{"do": "note", "was": null, "to": "fine"}, {"do": "add", "mark": wrong}]);
    let Answer::Wrong(it) = say(&shop, &changes) else {
        panic!("it was taken");
    };
    assert!(it.message.contains("unit"), "{}", it.message);
    assert_eq!(fs::read(sidecar(&shop)).unwrap(), before);
}

#[test]
fn a_file_that_is_gone_comes_back_with_its_last_good_words() {
    let shop = shop();
    fs::write(sidecar(&shop), "# kept\nview = \"front_whole\"\n").unwrap();
    walk(&shop);
    fs::remove_file(sidecar(&shop)).unwrap();
    assert_eq!(walk(&shop).missing_files, [FIRST]);
    let there = door(&shop).version(now(), 1).unwrap();
    assert_eq!(there.version, "");
    assert_eq!(there.photos, door(&shop).walk(now()).unwrap().photos.len());
    said(say(&shop, &json!([{"do": "add", "mark": ring(2)}])));
    let written = fs::read_to_string(sidecar(&shop)).unwrap();
    assert!(
        written.starts_with("# kept\nview = \"front_whole\"\n"),
        "{written}"
    );
    assert!(written.contains("white_mark"), "{written}");
}

#[test]
fn a_hand_edit_of_the_same_mark_is_shown_and_never_written_over() {
    let shop = shop();
    said(say(&shop, &json!([{"do": "add", "mark": ring(1)}])));
    let by_hand = fs::read_to_string(sidecar(&shop)).unwrap();
    let by_hand = by_hand.replace("level = 1", "level = 3 # looked again");
    fs::write(sidecar(&shop), &by_hand).unwrap();
    let change = json!([{"do": "replace", "was": ring(1), "mark": ring(2)}]);
    let Answer::Conflict(it) = say(&shop, &change) else {
        panic!("it was written over");
    };
    assert_eq!(it.stuck[0].theirs["level"], 3);
    assert_eq!(fs::read_to_string(sidecar(&shop)).unwrap(), by_hand);
    let mine = json!({"photo": 1, "changes": change, "mine": true});
    let mine = serde_json::from_value(mine).unwrap();
    said(door(&shop).say(now(), &mine).unwrap());
    let chosen = fs::read_to_string(sidecar(&shop)).unwrap();
    assert_eq!(chosen, by_hand.replace("level = 3", "level = 2"));
}

#[test]
fn every_outer_part_is_on_the_map_or_named_beside_it() {
    let shop = shop();
    let walk = serde_json::to_value(walk(&shop)).unwrap();
    let names = |it: &Value, key: &str| -> Vec<String> {
        let all = it.as_array().unwrap().iter();
        let name = |it: &Value| it.get(key).unwrap_or(it).as_str().unwrap().to_owned();
        all.map(name).collect()
    };
    let parts = walk["parts"].as_array().unwrap().iter();
    let outer = parts.filter(|it| it["inner"] == false);
    let mut outer: Vec<String> = outer
        .map(|it| it["id"].as_str().unwrap().to_owned())
        .collect();
    outer.sort();
    for plan in walk["map"]["plans"].as_array().unwrap() {
        let mut shown = names(&plan["places"], "part");
        shown.extend(names(&walk["map"]["elsewhere"], "part"));
        shown.sort();
        assert_eq!(shown, outer);
    }
    assert!(
        walk["parts"]
            .as_array()
            .unwrap()
            .iter()
            .all(|it| it["state"] == "silent")
    );
    assert_eq!(walk["photos"][0]["silent"], true);
}

#[test]
fn the_sale_asks_for_every_fault_of_the_purchase_until_it_is_spoken_for() {
    let shop = shop();
    said(say(
        &shop,
        &json!([{"do": "view", "was": null, "to": "top_flat"}, {"do": "add", "mark": ring(2)}]),
    ));
    assert_eq!(walk(&shop).again, []);
    fs::remove_dir_all(shop.path("card")).unwrap();
    for no in [3, 4, 5] {
        shop.photo(&format!("IMG_{no}.jpg"), |it| {
            it.time = Some(format!("2026:05:20 10:0{no}:00"));
        });
    }
    shop.run(&["import", "../card", "--piece", "26-001", "--stage", "sale"]);
    let about = |photo: u32, changes: Value| {
        let saying = json!({"photo": photo, "changes": changes});
        let saying = serde_json::from_value(saying).unwrap();
        said(door(&shop).say(now(), &saying).unwrap());
    };
    about(4, json!([{"do": "parts", "was": [], "to": ["top"]}]));
    about(5, json!([{"do": "view", "was": null, "to": "top_flat"}]));
    let again = serde_json::to_value(walk(&shop).again).unwrap();
    let wanted = json!([{"shoot": 2, "finding": "F1", "earlier": {"photo": 1, "mark": 0}, "candidates": [5, 4],
        "straight": null}]);
    assert_eq!(
        again, wanted,
        "the same view first, then what shows the part"
    );
    let gone = json!({"tag": null, "part": null, "which": null, "finding": "F1", "state": "gone", "level": null, "size": null,
        "note": null, "region": null});
    about(5, json!([{"do": "add", "mark": gone}]));
    assert_eq!(walk(&shop).again, []);
}

#[test]
fn a_picture_that_is_not_there_is_told() {
    let shop = shop();
    let saying = serde_json::from_value(json!({"photo": 9, "changes": []})).unwrap();
    let error = door(&shop).say(now(), &saying).unwrap_err();
    assert_eq!(error.to_string(), "there is no picture 9 of piece 26-001");
    fs::remove_file(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let full = "full".parse().unwrap();
    let error = door(&shop).picture(now(), 1, full).unwrap_err();
    assert!(error.to_string().contains("is gone"), "{error}");
    assert!(
        door(&shop)
            .picture(now(), 1, "middle".parse().unwrap())
            .is_ok()
    );
}

#[test]
fn only_pictures_of_its_part_are_offered_for_a_fault() {
    let shop = shop();
    // A ring on the top, seen from the front.
    said(say(
        &shop,
        &json!([{"do": "view", "was": null, "to": "front_whole"}, {"do": "add", "mark": ring(2)}]),
    ));
    fs::remove_dir_all(shop.path("card")).unwrap();
    for no in [3, 4] {
        shop.photo(&format!("IMG_{no}.jpg"), |it| {
            it.time = Some(format!("2026:05:20 10:0{no}:00"));
        });
    }
    shop.run(&["import", "../card", "--piece", "26-001", "--stage", "sale"]);
    let saying = json!({"photo": 3, "changes": [
        {"do": "view", "was": null, "to": "front_whole"}, {"do": "parts", "was": [], "to": ["leg-front-left"]}]});
    let saying = serde_json::from_value(saying).unwrap();
    said(door(&shop).say(now(), &saying).unwrap());
    let again = walk(&shop).again;
    assert_eq!(again.len(), 1);
    assert!(
        again[0].candidates.is_empty(),
        "the same view of another part does not show it: {:?}",
        again[0].candidates
    );
}

#[test]
fn a_text_with_a_mistake_is_put_right_on_the_page() {
    let shop = shop();
    let broken = "# mine\nview = \"top_flat\"\nparts = [\"top\"\n\n[[mark]]\ntag = \"dent\"\npart = \"top\"\n";
    fs::write(sidecar(&shop), broken).unwrap();
    assert_eq!(walk(&shop).photos[0].said.view, None);
    let beside = door(&shop).text_beside(now(), 1).unwrap();
    assert_eq!(
        (beside.text.as_str(), beside.file.as_str()),
        (broken, "IMG_1.jpg.toml")
    );
    let mend = |version: &str, text: &str| {
        let asked = json!({"photo": 1, "version": version, "text": text});
        let asked = serde_json::from_value(asked).unwrap();
        door(&shop).mend(now(), &asked).unwrap()
    };
    let Answer::Wrong(it) = mend(&beside.version, "view = \"no_such\"\n") else {
        panic!("it was taken");
    };
    assert!(it.message.starts_with("line 1: "), "{}", it.message);
    let right = broken.replace("[\"top\"", "[\"top\"]");
    let Answer::Conflict(_) = mend("0123456789abcdef", &right) else {
        panic!("somebody else's text was written over");
    };
    assert_eq!(fs::read_to_string(sidecar(&shop)).unwrap(), broken);
    let now_said = said(mend(&beside.version, &right)).said;
    assert_eq!(
        (now_said.view.as_deref(), now_said.marks.len()),
        (Some("top_flat"), 1)
    );
    assert_eq!(fs::read_to_string(sidecar(&shop)).unwrap(), right);
    let again = json!([{"do": "note", "was": null, "to": "mended"}]);
    said(say(&shop, &again));
}

/// The view guessed for each photo of a shoot, with whether it is sure.
fn guessed(walk: &Walk, shoot: u32) -> Vec<Option<(String, bool)>> {
    let own = walk.photos.iter().filter(|it| it.shoot == shoot);
    let guess = own.map(|it| it.guess.as_ref().map(|it| (it.view.clone(), it.sure)));
    guess.collect()
}

#[test]
fn the_sale_is_guessed_from_the_purchase_and_a_photo_that_is_laid_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    crate::mark_page::copy(&crate::demo::demo().book, &book);
    let door = MarkingSession {
        root: book.clone(),
        stock_no: "26-001".parse().unwrap(),
    };
    let full = door.walk(now()).unwrap();
    assert!(full.photos.iter().all(|it| it.guess.is_none()));
    crate::mark_page::silence(&book, &["2 "]);
    let bare = door.walk(now()).unwrap();
    let truth = full.photos.iter().filter(|it| it.shoot == 2);
    let truth: Vec<Option<String>> = truth.map(|it| it.said.view.clone()).collect();
    let mut right = 0;
    for (guess, truth) in guessed(&bare, 2).into_iter().zip(truth) {
        let Some((view, sure)) = guess else { continue };
        let is_right = Some(&view) == truth.as_ref();
        right += usize::from(is_right);
        assert!(is_right || !sure, "{view} for {truth:?}, and called sure");
    }
    assert!(right >= 7, "{right} of 10");
}

#[test]
fn a_first_shoot_is_guessed_one_picture_after_the_other_and_never_surely() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    crate::mark_page::copy(&crate::demo::demo().book, &book);
    crate::mark_page::silence(&book, &["1 ", "2 "]);
    let door = MarkingSession {
        root: book.clone(),
        stock_no: "26-001".parse().unwrap(),
    };
    let bare = door.walk(now()).unwrap();
    let by_order = |it: &Walk| -> Vec<u32> {
        let guesses = it.photos.iter().filter(|it| it.shoot == 1);
        let by_order = guesses.filter(|it| {
            let guess = it.guess.as_ref();
            guess.is_some_and(|it| it.why == "next on the way round")
        });
        by_order.map(|it| it.no).collect()
    };
    let own = guessed(&bare, 1);
    assert!(own.iter().flatten().all(|(_, sure)| !sure), "{own:?}");
    assert_eq!(by_order(&bare), [1], "a guess on a guess is none");
    let view = json!([{"do": "view", "was": null, "to": "front_whole"}, {"do": "parts", "was": [], "to": ["drawer-1"]}]);
    let laid = json!({"photo": 1, "changes": view});
    said(
        door.say(now(), &serde_json::from_value(laid).unwrap())
            .unwrap(),
    );
    assert_eq!(by_order(&door.walk(now()).unwrap()), [2]);
}

#[test]
fn what_was_laid_by_hand_on_other_parts_is_guessed_but_not_surely() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    crate::mark_page::copy(&crate::demo::demo().book, &book);
    crate::mark_page::silence(&book, &["2 "]);
    let door = MarkingSession {
        root: book.clone(),
        stock_no: "26-001".parse().unwrap(),
    };
    let bare = door.walk(now()).unwrap();
    // Pictures that look like one of several parts, and of which nothing is said.
    let own = bare.photos.iter().filter(|it| it.shoot == 2);
    let own = own.filter_map(|it| Some((it.no, it.guess.clone()?)));
    let own = own.filter(|(_, it)| it.sure && it.parts.len() > 1);
    let side = own.filter_map(|(no, it)| {
        let mut parts = it.parts.into_iter();
        Some((no, parts.find(|it| it.as_str().starts_with("side-"))?))
    });
    let sure: Vec<_> = side.collect();
    let mut guesses = 0;
    for (no, part) in sure {
        let laid = json!([{"do": "parts", "was": [], "to": [part]}]);
        let laid = json!({"photo": no, "changes": laid});
        said(
            door.say(now(), &serde_json::from_value(laid).unwrap())
                .unwrap(),
        );
        let after = door.walk(now()).unwrap();
        let after = after.photos.iter().find(|it| it.no == no).unwrap();
        guesses += usize::from(after.guess.is_some());
        assert!(
            after.guess.as_ref().is_none_or(|it| !it.sure),
            "picture {no}"
        );
    }
    assert!(guesses > 0, "the test is of no use");
}

#[test]
fn no_view_is_guessed_that_shows_none_of_the_parts_said() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    crate::mark_page::copy(&crate::demo::demo().book, &book);
    crate::mark_page::silence(&book, &["2 "]);
    let door = MarkingSession {
        root: book.clone(),
        stock_no: "26-001".parse().unwrap(),
    };
    let bare = door.walk(now()).unwrap();
    let elsewhere = ["top_flat", "back_whole", "left_whole", "right_whole"];
    let before = guessed(&bare, 2).into_iter().flatten();
    let before = before.filter(|(view, _)| elsewhere.contains(&view.as_str()));
    assert!(before.count() > 0, "the test is of no use");
    for photo in bare.photos.iter().filter(|it| it.shoot == 2) {
        let laid =
            json!({"photo": photo.no, "changes": [{"do": "parts", "was": [], "to": ["drawer-3"]}]});
        let answer = door.say(now(), &serde_json::from_value(laid).unwrap());
        said(answer.unwrap());
    }
    let laid = door.walk(now()).unwrap();
    let own = laid.photos.iter().filter(|it| it.shoot == 2);
    let views: Vec<&str> = own
        .filter_map(|it| Some(it.guess.as_ref()?.view.as_str()))
        .collect();
    for view in elsewhere {
        assert!(!views.contains(&view), "drawer 3 is in none: {views:?}");
    }
}
