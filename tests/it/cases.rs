//! Cases in which a careless record would say something false: each has its test, or stands in [`NOT_YET`].
//!
//! Most of them are read out of one book, [`life`]: a chest from its purchase over work, sale and hand-over to its buyer.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;
use std::sync::OnceLock;

use asfound::kit::digest::Digest;
use serde_json::Value;
use walkdir::WalkDir;

use crate::oracle_page::unlinked;
use crate::shop::SIZE;
use crate::shop::Shop;
use samples::Exif;

/// Every case, by its name.
const CASES: [&str; 42] = [
    "clock_wrong",
    "timezone",
    "no_exif",
    "edited_photo",
    "mirrored",
    "rotated",
    "other_angle",
    "light_differs",
    "two_in_shoot",
    "several_parts_in_frame",
    "no_region_possible",
    "part_not_pictured",
    "absent_part",
    "part_replaced",
    "part_swapped_between",
    "same_label_parts",
    "left_right_confusion",
    "repair_reopens",
    "repair_makes_new_fault",
    "fault_found_later",
    "level_changed",
    "photo_after_sale",
    "delivered_elsewhere",
    "wobble_vs_transit",
    "wear_or_new",
    "sold_twice",
    "set_of_chairs",
    "made_up_pair",
    "finish_changed",
    "piece_changed_form",
    "dims_changed",
    "same_photo_twice",
    "burst_and_tiny",
    "unreadable_label",
    "wrong_tag",
    "fault_without_number",
    "unit_mix",
    "value_not_numeric",
    "negative_result_missing",
    "not_looked",
    "deleted_or_lost_photo",
    "private_in_background",
];

/// Cases, or halves of cases that have a test for the other half, that the program cannot do yet, and why.
const NOT_YET: [(&str, &str); 8] = [
    (
        "mirrored",
        "a picture that its Exif says is mirrored is turned back; one that an app mirrored without saying so has no flag in its sidecar",
    ),
    (
        "two_in_shoot",
        "a photo is given to a piece at import; there is no bin for photos that belong to none yet",
    ),
    (
        "part_replaced",
        "a part has one instance under its id: the new one's history joins the old one's",
    ),
    (
        "part_swapped_between",
        "a part is known by its place; there is no record of parts that changed places",
    ),
    (
        "same_label_parts",
        "legs are known by their corner; a physical tag is a note, and a later turning of the piece is no event of its own",
    ),
    (
        "sold_twice",
        "the shoots and editions of both sales are kept; who owned it between is not recorded",
    ),
    (
        "wrong_tag",
        "the withdrawn word is kept for the owner; a reason and the day of the correction are not recorded",
    ),
    (
        "private_in_background",
        "faults are shown close; a whole view is not blurred or cut",
    ),
];

/// Makes a test of each function that is named, and the list of their names: what is not named here is never used, which the
/// compiler tells.
macro_rules! tested {
    ($($case:ident,)*) => {
        const TESTED: &[&str] = &[$(stringify!($case)),*];

        mod tested {
            $(
                #[test]
                fn $case() {
                    super::$case();
                }
            )*
        }
    };
}

tested! {
    clock_wrong,
    timezone,
    no_exif,
    edited_photo,
    rotated,
    other_angle,
    light_differs,
    two_in_shoot,
    several_parts_in_frame,
    no_region_possible,
    part_not_pictured,
    absent_part,
    part_replaced,
    same_label_parts,
    left_right_confusion,
    repair_reopens,
    repair_makes_new_fault,
    fault_found_later,
    level_changed,
    photo_after_sale,
    delivered_elsewhere,
    wobble_vs_transit,
    wear_or_new,
    sold_twice,
    set_of_chairs,
    made_up_pair,
    finish_changed,
    piece_changed_form,
    dims_changed,
    same_photo_twice,
    burst_and_tiny,
    unreadable_label,
    wrong_tag,
    fault_without_number,
    unit_mix,
    value_not_numeric,
    negative_result_missing,
    not_looked,
    deleted_or_lost_photo,
}

/// Every case has a test or stands in the table of those that are not yet; neither names another, nor one twice.
#[test]
fn every_case_is_tested_or_owned_up_to() {
    for case in CASES {
        let owned_up_to = NOT_YET.iter().filter(|it| it.0 == case).count();
        let tested = TESTED.iter().filter(|it| **it == case).count();
        assert!(tested + owned_up_to > 0, "`{case}` has no test");
        assert!(tested < 2 && owned_up_to < 2, "`{case}` is named twice");
    }
    let named = TESTED.iter().chain(NOT_YET.iter().map(|it| &it.0));
    for case in named {
        assert!(CASES.contains(case), "`{case}` is no case");
    }
}

/// What was read of the book of most cases.
struct Life {
    survey: Value,
    /// The buyer's copy, a draft.
    page: String,
    /// The files of the book by name, with the SHA-256 of each.
    files: Vec<(String, String)>,
}

impl Life {
    /// The finding of this part, fault and place.
    fn finding(&self, part: &str, tag: &str, which: &str) -> &Value {
        let findings = self.survey["findings"].as_array().unwrap();
        let is = |it: &&Value| it["part"] == part && it["tag"] == tag && it["which"] == which;
        findings
            .iter()
            .find(is)
            .unwrap_or_else(|| panic!("no {tag} on {part}: {findings:#?}"))
    }

    fn part(&self, id: &str) -> &Value {
        let parts = self.survey["parts"].as_array().unwrap();
        parts
            .iter()
            .find(|it| it["part"] == id)
            .unwrap_or_else(|| panic!("no {id}"))
    }

    /// All that the page prints in the section of this id.
    fn section(&self, id: &str) -> &str {
        let from = self.page.split(&format!("<section id=\"{id}\"")).nth(1);
        from.unwrap().split("</section>").next().unwrap()
    }

    /// The article of a finding.
    fn article(&self, finding: &Value) -> &str {
        let anchor = finding["id"].as_str().unwrap().replace('F', "finding-");
        let from = self
            .page
            .split(&format!("<article class=\"finding\" id=\"{anchor}\""))
            .nth(1);
        from.unwrap().split("</article>").next().unwrap()
    }

    /// The entry of a picture in the list of pictures, by the name of its file, which the buyer's copy does not print.
    fn picture(&self, name: &str) -> &str {
        let entries = self.section("pictures").split("<li id=\"picture-");
        let of_it = |entry: &&str| {
            let mut files = self.files.iter();
            files.any(|(file, sha256)| file == name && entry.contains(sha256))
        };
        let found = entries.skip(1).find(of_it);
        found
            .unwrap_or_else(|| panic!("no {name}"))
            .split("</li>")
            .next()
            .unwrap()
    }
}

fn states(finding: &Value) -> Vec<&str> {
    let history = finding["history"].as_array().unwrap();
    history
        .iter()
        .map(|it| it["state"].as_str().unwrap())
        .collect()
}

/// Lays photos into a folder beside the card and takes them in as one shoot: name, camera time, sidecar.
fn shoot(shop: &Shop, folder: &str, options: &[&str], photos: &[(&str, &str, &str)]) {
    for (n, (name, time, sidecar)) in photos.iter().enumerate() {
        let seed = folder.bytes().map(u32::from).sum::<u32>() * 31 + 17 * n as u32;
        let exif = Exif {
            time: Some((*time).to_owned()),
            offset: Some("+01:00".to_owned()),
            ..Exif::default()
        };
        let file = format!("../{folder}/{name}");
        shop.file(&file, &samples::jpeg_seeded(SIZE.0, SIZE.1, seed, &exif));
        shop.file(format!("{file}.toml"), sidecar.as_bytes());
    }
    let from = format!("../{folder}");
    let words = ["import", &from, "--piece", "26-001"];
    shop.run(&[&words[..], options].concat()).code(0);
}

/// The book of most cases, built once: what it holds is written in the sidecars below.
fn life() -> &'static Life {
    static BUILT: OnceLock<Option<Life>> = OnceLock::new();
    // Built once also when that fails.
    let built = BUILT.get_or_init(|| std::panic::catch_unwind(build).ok());
    built.as_ref().expect("the book of most cases was built")
}

fn build() -> Life {
    let shop = Shop::new();
    shop.book();
    let words = "intake|chest with a painted case|--form|chest_of_drawers|--size|900x1000x450mm|--drawers|1,1,1|--examined-by|A. Tester";
    shop.run(&words.split('|').collect::<Vec<_>>()).code(0);
    let purchase = ["--stage", "purchase"];
    shoot(&shop, "purchase", &purchase, &PURCHASE);
    for repair in REPAIRS {
        let words: Vec<&str> = repair.split('|').collect();
        shop.run(&words).code(0);
    }
    shoot(&shop, "work", &["--stage", "work"], &WORK);
    shoot(&shop, "sale", &["--stage", "sale"], &SALE);
    // One camera was a day and an hour behind.
    shoot(
        &shop,
        "late",
        &["--stage", "sale", "--clock-off", "+1d1h"],
        &LATE,
    );
    shoot(&shop, "handover", &["--stage", "handover"], &HANDOVER);
    shoot(&shop, "delivery", &["--stage", "delivery"], &DELIVERY);
    odd_ones(&shop);
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(
        survey["complaints"].as_array().unwrap().len(),
        0,
        "{}",
        survey["complaints"]
    );
    let report = shop
        .run(&["report", "26-001", "--draft", "--json"])
        .code(0)
        .json();
    let page = fs::read_to_string(report["path"].as_str().unwrap()).unwrap();
    let page = unlinked(&page);
    let files = WalkDir::new(shop.path("book")).into_iter();
    let files = files
        .map(Result::unwrap)
        .filter(|it| it.file_type().is_file());
    let files = files.map(|it| {
        let name = it.file_name().to_string_lossy().into_owned();
        (name, Digest::of(&fs::read(it.path()).unwrap()).to_string())
    });
    Life {
        survey,
        page,
        files: files.collect(),
    }
}

/// File, camera time, sidecar.
type Row = (&'static str, &'static str, &'static str);

const PURCHASE: [Row; 10] = [
    (
        "front.jpg",
        "2026:03:14 10:00:00",
        r#"
view = "front_whole"
parts = ["frame", "drawer-1", "drawer-2", "drawer-3", "foot-front-left", "foot-front-right"]
sound = ["frame", "foot-front-right", "side-right"]
[[mark]]
tag = "gouge"
part = "drawer-1/front"
level = 2
size = "1/2 in"
box = [10, 10, 5, 5]
[[mark]]
tag = "scratch_finish"
part = "drawer-2/front"
level = 3
box = [30, 30, 5, 5]
"#,
    ),
    (
        "raking.jpg",
        "2026:03:14 10:01:00",
        r#"
view = "top_raking"
parts = ["top"]
note = "window light from the left"
[[mark]]
tag = "dent"
part = "top"
level = 2
size = "3 mm"
box = [20, 20, 5, 5]
"#,
    ),
    (
        "top.jpg",
        "2026:03:14 10:02:00",
        r#"
view = "top_flat"
parts = ["top"]
note = "lamp light"
[[mark]]
tag = "white_mark"
part = "top"
level = 2
size = "faint, strong 2-3 rings"
box = [40, 40, 5, 5]
"#,
    ),
    (
        "knot.jpg",
        "2026:03:14 10:03:00",
        "view = \"identity_mark\"\nparts = [\"back\"]\nnote = \"a knot like an eye, bare wood\"\nsound = [\"back\"]\n",
    ),
    (
        "label.jpg",
        "2026:03:14 10:04:00",
        r#"
view = "label_mark"
parts = ["back"]
[[mark]]
tag = "label_text"
part = "back"
note = "the label reads \"...ley & S.. , genuine\", the rest is torn off"
box = [40, 40, 20, 20]
"#,
    ),
    (
        "left.jpg",
        "2026:03:14 10:05:00",
        r#"
view = "left_whole"
parts = ["side-left", "foot-front-left", "foot-back-left"]
sound = ["foot-back-left", "foot-back-right"]
[[mark]]
tag = "split_through"
part = "side-left"
level = 2
size = "120 mm"
line = [[50, 30], [50, 60]]
[[mark]]
tag = "gouge"
part = "foot-front-left"
level = 2
size = "8 mm"
box = [5, 90, 5, 5]
"#,
    ),
    (
        "inside.jpg",
        "2026:03:14 10:06:00",
        r#"
view = "drawer_inside"
parts = ["drawer-1"]
sound = ["drawer-1/bottom"]
absent = ["drawer-2/lock"]
[[mark]]
tag = "not_examined"
part = "drawer-3/lock"
note = "locked, and there was no key"
[[mark]]
tag = "odour_musty"
part = "drawer-2"
level = 2
note = "smelt after a day shut"
"#,
    ),
    (
        "wobble.jpg",
        "2026:03:14 10:07:00",
        r#"
view = "defect_action"
parts = ["side-right"]
[[mark]]
tag = "wobble"
part = "frame"
level = 2
size = "2 mm"
note = "left to right, measured at the top, 900 mm up"
"#,
    ),
    (
        "crack.jpg",
        "2026:03:14 10:08:00",
        r#"
view = "defect_close"
parts = ["drawer-3"]
[[mark]]
tag = "split_through"
part = "drawer-3/front"
level = 2
size = "30 mm"
note = "low light; dirt in it all the way, so not fresh"
box = [40, 40, 10, 10]
"#,
    ),
    (
        "other.jpg",
        "2026:03:14 10:09:00",
        r#"
view = "defect_close"
parts = ["top"]
[[mark]]
tag = "burn"
part = "top"
level = 2
size = "6 mm"
box = [70, 70, 10, 10]
"#,
    ),
];

/// Findings are numbered in the order of the photos: F1 gouge, F2 scratch, F3 dent, F4 white mark, F5 split, F6 gouge of the
/// foot, F7 smell, F8 wobble, F9 split of drawer 3, F10 burn.
const REPAIRS: [&str; 3] = [
    "repair|26-001|F5|--method|split_close|--day|2026-04-01",
    "repair|26-001|F10|--method|touch_up|--day|2026-04-02",
    "repair|26-001|F4|--method|white_mark|--day|2026-04-03",
];

const WORK: [Row; 1] = [(
    "work.jpg",
    "2026:04:05 10:00:00",
    r#"
view = "process"
parts = ["side-left", "side-right"]
[[mark]]
finding = "F5"
state = "repaired"
line = [[50, 30], [50, 60]]
[[mark]]
tag = "gouge"
part = "side-right"
level = 2
size = "15 mm"
note = "slipped with the clamp"
box = [10, 40, 5, 5]
"#,
)];

const SALE: [Row; 3] = [
    (
        "sale-top.jpg",
        "2026:05:02 10:00:00",
        r#"
view = "top_flat"
parts = ["top"]
note = "daylight"
[[mark]]
finding = "F4"
state = "gone"
box = [40, 40, 5, 5]
[[mark]]
finding = "F10"
state = "repaired"
box = [70, 70, 10, 10]
"#,
    ),
    (
        "sale-left.jpg",
        "2026:05:02 10:01:00",
        r#"
view = "left_whole"
parts = ["side-left", "side-right"]
[[mark]]
finding = "F5"
level = 3
size = "140 mm"
note = "open again after two weeks of dry air"
line = [[50, 30], [50, 62]]
"#,
    ),
    (
        "sale-corner.jpg",
        "2026:05:02 10:02:00",
        r#"
view = "three_quarter_left"
parts = ["top", "side-left"]
[[mark]]
finding = "F9"
level = 3
size = "45 mm"
box = [40, 40, 10, 10]
"#,
    ),
];

const LATE: [Row; 1] = [(
    "behind.jpg",
    "2026:05:01 08:58:00",
    "view = \"front_whole\"\nparts = [\"frame\"]\n",
)];

const HANDOVER: [Row; 1] = [(
    "van.jpg",
    "2026:05:20 10:00:00",
    "view = \"three_quarter_left\"\nparts = [\"top\", \"side-left\", \"foot-front-right\"]\nsound = [\"foot-front-right\"]\n",
)];

const DELIVERY: [Row; 1] = [(
    "buyer.jpg",
    "2026:05:24 10:00:00",
    r#"
view = "defect_close"
parts = ["foot-front-right", "frame"]
note = "at the buyer's house"
[[mark]]
tag = "split_through"
part = "foot-front-right"
level = 3
size = "20 mm"
box = [40, 40, 10, 10]
[[mark]]
tag = "wobble"
part = "frame"
level = 3
size = "9 mm"
note = "left to right, measured at the top, 900 mm up"
"#,
)];

/// Photos with something odd about the file itself, in the work shoot: a messenger copy, an edited one, one held upright, one of
/// no zone, the same picture in another coding, a burst, a small one.
fn odd_ones(shop: &Shop) {
    let pixels = |seed| samples::pixels(SIZE.0, SIZE.1, seed);
    let exif = |time: &str| Exif {
        offset: Some("+02:00".to_owned()),
        ..Exif::taken(time)
    };
    let jpeg =
        |seed, exif: &Exif| samples::jpeg_of(SIZE.0, SIZE.1, &pixels(seed), Some(&exif.block()));
    let edited = Exif {
        software: Some("Photo Editor 3.1".to_owned()),
        changed: Some("2026:04:06 12:00:00".to_owned()),
        ..exif("2026:04:06 10:00:00")
    };
    let held = Exif {
        orientation: Some(6),
        ..exif("2026:04:06 10:10:00")
    };
    let (wide, high, turned) = samples::held(SIZE.0, SIZE.1, &pixels(903), 6);
    let files = [
        (
            "chat.jpg",
            samples::jpeg_of(SIZE.0, SIZE.1, &pixels(901), None),
        ),
        ("edited.jpg", jpeg(902, &edited)),
        (
            "held.jpg",
            samples::jpeg_of(wide, high, &turned, Some(&held.block())),
        ),
        (
            "zoneless.jpg",
            jpeg(904, &Exif::taken("2026:04:06 10:20:00")),
        ),
        ("first.jpg", jpeg(905, &exif("2026:04:06 10:30:00"))),
        (
            "first.png",
            samples::png_of(SIZE.0, SIZE.1, &pixels(905), &exif("2026:04:06 10:30:00")),
        ),
        ("burst.jpg", jpeg(905, &exif("2026:04:06 10:30:01"))),
        (
            "small.jpg",
            samples::jpeg_seeded(640, 40, 77, &exif("2026:04:06 10:40:00")),
        ),
    ];
    for (name, bytes) in files {
        shop.file(format!("../odd/{name}"), &bytes);
        let said = "view = \"process\"\nparts = [\"back\"]\n";
        shop.file(format!("../odd/{name}.toml"), said.as_bytes());
    }
    let marked = "view = \"process\"\nparts = [\"back\"]\n[[mark]]\ntag = \"scratch_finish\"\npart = \"back\"\nlevel = 1\nbox = [1, 2, 30, 40]\n";
    shop.file("../odd/held.jpg.toml", marked.as_bytes());
    // Something is to be said of them, so that the code is 1.
    let ran = shop.run(&["import", "../odd", "--piece", "26-001", "--stage", "work"]);
    ran.code(1);
}

fn clock_wrong() {
    let picture = life().picture("behind.jpg");
    assert!(
        picture.contains("2 May 2026, 09:58, corrected by +1d1h by the one who examined it"),
        "{picture}"
    );
    assert!(
        picture.contains("(the camera said 1 May 2026, 08:58)"),
        "{picture}"
    );
    let list = life().section("pictures");
    let at = |name: &str| list.find(life().picture(name)).unwrap();
    assert!(at("behind.jpg") < at("sale-top.jpg") && at("crack.jpg") < at("behind.jpg"));
}

fn timezone() {
    assert!(
        life()
            .picture("zoneless.jpg")
            .contains("the camera names no time zone")
    );
    assert!(!life().picture("first.jpg").contains("time zone"));
    assert!(life().picture("front.jpg").contains("14 March 2026, 10:00"));
}

fn no_exif() {
    let picture = life().picture("chat.jpg");
    assert!(
        picture.contains("copy without camera facts: not the original, no date of its own"),
        "{picture}"
    );
    assert!(picture.contains("<p>no camera time</p>"), "{picture}");
}

fn edited_photo() {
    let picture = life().picture("edited.jpg");
    assert!(picture.contains("own is named in it"), "{picture}");
    // A program's name may hold a person's.
    assert!(!picture.contains("Photo Editor"), "{picture}");
}

/// The stored picture is high; upright it is wide, and its mark is in percent of the upright one.
fn rotated() {
    let back = life().finding("back", "scratch_finish", "");
    assert_eq!(back["level"], 1);
    let picture = life().picture("held.jpg");
    let sizes = picture.split("width=\"").nth(1).unwrap();
    let (width, rest) = sizes.split_once('"').unwrap();
    let height = rest
        .split("height=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let (width, height): (u32, u32) = (width.parse().unwrap(), height.parse().unwrap());
    assert!(width > height * 10, "{width} x {height}");
}

fn other_angle() {
    let crack = life().finding("drawer-3/front", "split_through", "");
    assert_eq!(crack["id"], "F9");
    let article = life().article(crack);
    assert_eq!(article.matches("<figure>").count(), 2, "{article}");
    assert!(article.contains("same part, another picture"));
}

/// A dent seen in low light is not said to be gone because a picture in flat light does not show it.
fn light_differs() {
    let dent = life().finding("top", "dent", "");
    assert_eq!(
        (&dent["state"], states(dent)),
        (&"open".into(), vec!["present"])
    );
    assert_eq!(dent["id"], "F3");
    assert!(
        life().article(dent).matches("<figure>").count() < 2,
        "no pair of low light and flat light"
    );
    assert!(
        life()
            .picture("raking.jpg")
            .contains("Window light from the left.")
    );
    assert!(
        life()
            .section("views")
            .contains("colours cannot be compared closely")
    );
}

fn two_in_shoot() {
    let shop = Shop::with_piece();
    shop.piece("oak table").photo("both.jpg", |_| ());
    shop.import().code(0);
    let other = [
        "import", "../card", "--piece", "26-002", "--stage", "purchase", "--json",
    ];
    let again = shop.run(&other).json();
    assert_eq!(
        again["taken"], 1,
        "a frame with both belongs to both: {again}"
    );
    fs::write(
        shop.stored("1 purchase 2026-05-03/both.jpg.toml"),
        "view = \"front_whole\"\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nbox = [1, 1, 5, 5]\n",
    )
    .unwrap();
    let count = |no: &str| {
        let survey = shop.run(&["survey", no, "--json"]).json();
        survey["findings"].as_array().unwrap().len()
    };
    assert_eq!(
        (count("26-001"), count("26-002")),
        (1, 0),
        "a fault of one is no fault of the other"
    );
}

fn several_parts_in_frame() {
    let gouge = life().finding("drawer-1/front", "gouge", "");
    let scratch = life().finding("drawer-2/front", "scratch_finish", "");
    let photo = |it: &Value| it["history"][0]["photos"].clone();
    assert_eq!(photo(gouge), photo(scratch));
    let picture = life().picture("front.jpg");
    assert!(
        picture.contains("Drawers 1 and 2, with front; Drawer 3;"),
        "the front picture counts for it: {picture}"
    );
}

fn no_region_possible() {
    let smell = life().finding("drawer-2", "odour_musty", "");
    assert_eq!(
        (&smell["level"], &smell["state"]),
        (&2.into(), &"open".into())
    );
    let article = life().article(smell);
    assert!(
        article.contains("Smelt after a day shut.") && article.contains("14 March 2026"),
        "{article}"
    );
    let gaps = life().survey["blocked_by"].to_string();
    assert!(!gaps.contains("fault_without_picture"), "{gaps}");
}

fn part_not_pictured() {
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", b"view = \"front_whole\"\nsound = [\"top\"]\n");
    shop.import();
    let report = shop.run(&["report", "26-001", "--json"]).code(2).json();
    let gaps = report["blocked_by"].to_string();
    assert!(
        gaps.contains("part_without_statement") && gaps.contains("Leg, back left"),
        "{gaps}"
    );
    let draft = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(draft["path"].as_str().unwrap()).unwrap();
    let page = unlinked(&page);
    assert!(page.contains("No statement: nobody wrote in what state this part is."));
}

fn absent_part() {
    assert_eq!(life().part("drawer-2/lock")["state"], "absent");
    let absent = "Absent: the part is not there (written beside picture 3).";
    assert!(life().section("parts").contains(absent));
    assert!(life().section("glance").contains("1 absent"));
}

fn part_replaced() {
    // A new drawer in the place of the old one: its faults are closed by a repair, and the record shows both.
    let shop = Shop::with_piece();
    let said = "view = \"front_whole\"\n[[mark]]\ntag = \"broken_member\"\npart = \"leg-front-left\"\nlevel = 4\nbox = [1, 1, 5, 5]\n";
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", said.as_bytes());
    shop.import();
    let repair = [
        "repair",
        "26-001",
        "F1",
        "--method",
        "part_remake",
        "--day",
        "2026-05-04",
        "--new-material",
        "the whole leg, beech",
    ];
    shop.run(&repair).code(0);
    let sale = "view = \"front_whole\"\nparts = [\"leg-front-left\"]\n[[mark]]\nfinding = \"F1\"\nstate = \"repaired\"\nbox = [1, 1, 5, 5]\n";
    shoot(
        &shop,
        "sale",
        &["--stage", "sale"],
        &[("b.jpg", "2026:05:10 10:00:00", sale)],
    );
    let draft = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(draft["path"].as_str().unwrap()).unwrap();
    let page = unlinked(&page);
    assert!(
        page.contains("The whole leg, beech.")
            && page.contains("Repaired, no level given (picture 2).")
    );
}

fn same_label_parts() {
    let gouge = life().finding("foot-front-left", "gouge", "");
    assert_eq!(gouge["part_label"], "Foot, front left");
    assert_eq!(life().part("foot-back-right")["state"], "sound");
    let split = life().finding("foot-front-right", "split_through", "");
    assert_ne!(gouge["id"], split["id"]);
    assert!(
        life()
            .page
            .contains("Left and right are those of a person who faces the front.")
    );
}

fn left_right_confusion() {
    assert!(
        life()
            .section("what")
            .contains("<b>Left and right are those of a person who faces the front.</b>")
    );
    let help = Shop::with_piece().run(&["words", "parts", "arm"]).code(0);
    assert!(
        help.out().contains("the viewer's, not the sitter's"),
        "{help}"
    );
}

fn repair_reopens() {
    let split = life().finding("side-left", "split_through", "");
    assert_eq!(split["state"], "reopened");
    assert_eq!(states(split), ["present", "repaired", "present"]);
    let article = life().article(split);
    assert!(
        article.contains(
            "Was repaired (seen 5 April 2026; repair 1); last seen there on 2 May 2026, in the sale pictures; no mark of it on 20 May 2026, picture 16 is of the part."
        ),
        "{article}"
    );
    for day in ["14 March 2026", "5 April 2026", "2 May 2026"] {
        assert!(article.contains(day), "{day}");
    }
}

fn repair_makes_new_fault() {
    let gouge = life().finding("side-right", "gouge", "");
    // No repair on record touched that side between the two looks.
    assert_eq!(gouge["origin"], "between_looks");
    let why = gouge["origin_why"].as_str().unwrap();
    assert!(why.contains("says that the right side was sound"), "{why}");
}

fn fault_found_later() {
    let shop = Shop::with_piece();
    shop.ready("");
    let first = shop.run(&["report", "26-001", "--json"]).code(0).json();
    let late = "view = \"top_flat\"\nparts = [\"top\"]\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nlevel = 2\nbox = [1, 1, 5, 5]\n";
    shoot(
        &shop,
        "sale",
        &["--stage", "sale"],
        &[("late.jpg", "2026:05:12 10:00:00", late)],
    );
    let next = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(
        (&first["edition"], &next["edition"]),
        (&1.into(), &2.into())
    );
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(
        survey["findings"][0]["history"][0]["day"], "2026-05-12",
        "nothing is dated back"
    );
    assert_eq!(
        survey["findings"][0]["history"].as_array().unwrap().len(),
        1
    );
}

fn level_changed() {
    let crack = life().finding("drawer-3/front", "split_through", "");
    let history = crack["history"].as_array().unwrap();
    let said: Vec<(&Value, &Value, &Value)> = history
        .iter()
        .map(|it| (&it["day"], &it["level"], &it["size"]))
        .collect();
    let wanted = [
        ("2026-03-14".into(), 2.into(), "30 mm".into()),
        ("2026-05-02".into(), 3.into(), "45 mm".into()),
    ];
    assert_eq!(
        said,
        wanted
            .iter()
            .map(|it| (&it.0, &it.1, &it.2))
            .collect::<Vec<_>>()
    );
    assert_eq!(crack["state"], "worse");
}

fn photo_after_sale() {
    let split = life().finding("foot-front-right", "split_through", "");
    assert_eq!(split["origin"], "after_sale");
    assert!(
        life()
            .section("glance")
            .contains("(first seen after the sale)")
    );
}

fn delivered_elsewhere() {
    let pictures = life().section("pictures");
    let (handover, delivery) = (
        pictures.find("Handover, 20 May 2026"),
        pictures.find("Delivery, 24 May 2026"),
    );
    assert!(handover.unwrap() < delivery.unwrap());
    assert!(
        life()
            .picture("buyer.jpg")
            .contains("At the buyer&#x27;s house.")
    );
}

fn wobble_vs_transit() {
    let wobble = life().finding("frame", "wobble", "");
    let history = wobble["history"].as_array().unwrap();
    let said: Vec<_> = history
        .iter()
        .map(|it| (it["stage"].as_str().unwrap(), it["size"].as_str().unwrap()))
        .collect();
    assert_eq!(said, [("purchase", "2 mm"), ("delivery", "9 mm")]);
    assert!(
        life()
            .article(wobble)
            .contains("Left to right, measured at the top, 900 mm up.")
    );
}

fn wear_or_new() {
    let crack = life().finding("drawer-3/front", "split_through", "");
    assert_eq!(crack["origin"], "found");
    let article = life().article(crack);
    assert!(
        article.contains("Low light; dirt in it all the way, so not fresh."),
        "{article}"
    );
}

/// Bought back and sold again: one piece, the shoots in their order, an edition for each sale.
fn sold_twice() {
    let shop = Shop::with_piece();
    shop.ready("");
    shop.run(&["report", "26-001", "--json"]).code(0);
    let bought = "view = \"top_flat\"\n[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nlevel = 2\nbox = [1, 1, 5, 5]\n";
    shoot(
        &shop,
        "sold",
        &["--stage", "delivery"],
        &[("c.jpg", "2026:05:10 10:00:00", "view = \"front_whole\"\n")],
    );
    shoot(
        &shop,
        "again",
        &["--stage", "purchase", "--new-shoot"],
        &[("d.jpg", "2026:05:20 10:00:00", bought)],
    );
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    let stages: Vec<_> = survey["shoots"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it["stage"].as_str().unwrap())
        .collect();
    assert_eq!(stages, ["purchase", "delivery", "purchase"]);
    let second = shop.run(&["report", "26-001", "--json"]).code(0).json();
    assert_eq!(second["edition"], 2);
}

fn set_of_chairs() {
    let shop = Shop::new();
    shop.book();
    for n in 1..=2 {
        let title = format!("chair {n} of 2");
        shop.run(&["intake", title.as_str(), "--form", "chair"])
            .code(0);
    }
    let bad = "[[mark]]\ntag = \"broken_member\"\npart = \"leg-front-left\"\nlevel = 4\nbox = [1, 1, 5, 5]\n";
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", bad.as_bytes());
    shop.import();
    let count = |no: &str| {
        shop.run(&["survey", no, "--json"]).json()["findings"]
            .as_array()
            .unwrap()
            .len()
    };
    assert_eq!(
        (count("26-001"), count("26-002")),
        (1, 0),
        "the other chair is not spoken of"
    );
    for no in ["26-001", "26-002"] {
        shop.run(&["amend", no, "--set", "pair of kitchen chairs"])
            .code(0);
    }
    shop.piece("stool of its own");
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["piece"]["set"], "pair of kitchen chairs");
    assert_eq!(
        survey["piece"]["of_set"],
        serde_json::json!(["26-002"]),
        "no other piece of the book"
    );
    let page = draft(&shop);
    assert!(page.contains("pair of kitchen chairs"));
}

/// The draft of the report.
fn draft(shop: &Shop) -> String {
    let report = shop.run(&["report", "26-001", "--draft", "--json"]);
    let answer = report.code(0).json();
    fs::read_to_string(answer["path"].as_str().unwrap()).unwrap()
}

/// Measured on its casters, then without.
fn dims_changed() {
    let shop = Shop::with_piece();
    let with = ["--size", "910x1050x480mm", "--size-taken", "on its casters"];
    shop.run(&[&["amend", "26-001"], &with[..]].concat())
        .code(0);
    assert!(draft(&shop).contains("on its casters"));
    let without = [
        "--size",
        "850x1050x480mm",
        "--size-taken",
        "without casters",
    ];
    shop.run(&[&["amend", "26-001"], &without[..]].concat())
        .code(0);
    let page = draft(&shop);
    assert!(page.contains("850 mm") && page.contains("without casters"));
    assert!(!page.contains("on its casters"));
}

fn made_up_pair() {
    let shop = Shop::with_piece();
    shop.piece("walnut table");
    let stock = shop.run(&["stock", "--json"]).json();
    let numbers: Vec<_> = stock
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it["stock_no"].as_str().unwrap())
        .collect();
    assert_eq!(numbers, ["26-001", "26-002"]);
    for no in numbers {
        let report = shop.run(&["report", no, "--json"]).code(2).json();
        assert!(
            report["blocked_by"].to_string().contains("no_identity"),
            "each wants its own mark"
        );
    }
    assert!(
        life()
            .section("what")
            .contains("A knot like an eye, bare wood.")
    );
}

/// Bought brown, sold painted: known by a mark on bare wood, and what the paint hides is told.
fn finish_changed() {
    let shop = Shop::with_piece();
    let top = "view = \"top_flat\"\nparts = [\"top\"]\n[[mark]]\ntag = \"burn\"\npart = \"top\"\nlevel = 3\nsize = \"9 mm\"\nbox = [1, 1, 5, 5]\n";
    let knot = "view = \"identity_mark\"\nparts = [\"leg-back-left\"]\nnote = \"unpainted inside of the leg\"\n";
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", top.as_bytes());
    shop.photo("b.jpg", |_| ())
        .file("b.jpg.toml", knot.as_bytes());
    shop.import();
    shop.run(&[
        "repair",
        "26-001",
        "F1",
        "--method",
        "paint",
        "--day",
        "2026-05-04",
    ])
    .code(0);
    let sale = "view = \"top_flat\"\nparts = [\"top\"]\n[[mark]]\nfinding = \"F1\"\nstate = \"gone\"\nbox = [1, 1, 5, 5]\n";
    let photos = [
        ("c.jpg", "2026:05:10 10:00:00", sale),
        ("d.jpg", "2026:05:10 10:05:00", knot),
    ];
    shoot(&shop, "sale", &["--stage", "sale"], &photos);
    let draft = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(draft["path"].as_str().unwrap()).unwrap();
    let page = unlinked(&page);
    assert!(page.contains("Covered, not cured: 1"));
    assert!(page.contains("9 mm, level 3 (heavy) before"));
    assert!(page.contains("A mark only this piece has: picture"));
}

fn piece_changed_form() {
    let shop = Shop::with_piece();
    let said = "view = \"front_whole\"\nsound = [\"leg-front-left\"]\n[[mark]]\ntag = \"gouge\"\npart = \"leg-back-left\"\nlevel = 2\nbox = [1, 1, 5, 5]\n";
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", said.as_bytes());
    shop.import();
    shop.run(&["amend", "26-001", "--form", "trunk_chest"])
        .code(1)
        .says("leg-back-left");
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(
        survey["findings"][0]["part"], "leg-back-left",
        "what was recorded stays"
    );
    let parts = survey["parts"].to_string();
    assert!(
        parts.contains("leg-front-left") && parts.contains("\"lid\""),
        "{parts}"
    );
    shop.run(&["amend", "26-001", "--form-before", "chest"])
        .code(2)
        .says("chest_of_drawers");
    shop.run(&["amend", "26-001", "--form-before", "chest_of_drawers"]);
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["piece"]["form"], "trunk_chest");
    assert_eq!(survey["piece"]["form_before"], "chest_of_drawers");
    let page = draft(&shop);
    assert!(page.contains("Form when bought") && page.contains("Chest of drawers"));
}

fn same_photo_twice() {
    let notes = life().survey["picture_notes"].as_array().unwrap();
    let note = notes.iter().find(|it| it["name"] == "first.png").unwrap();
    assert!(
        note["text"]
            .as_str()
            .unwrap()
            .starts_with("the same picture as "),
        "{note}"
    );
    let shop = Shop::with_piece();
    shop.photo("a.jpg", |_| ());
    shop.import().code(0);
    fs::copy(shop.card("a.jpg"), shop.card("copy of a.jpg")).unwrap();
    let again = shop.import_json().json();
    assert_eq!((&again["taken"], &again["already"]), (&0.into(), &2.into()));
}

fn burst_and_tiny() {
    let notes = life().survey["picture_notes"].as_array().unwrap();
    let of = |name: &str| {
        notes.iter().find(|it| it["name"] == name).unwrap()["text"]
            .as_str()
            .unwrap()
    };
    assert!(
        of("burst.jpg").starts_with("nearly the same as picture "),
        "{}",
        of("burst.jpg")
    );
    assert!(
        of("small.jpg").starts_with("640 x 40: a 1 mm fault covers 0.6 pixels"),
        "{}",
        of("small.jpg")
    );
}

fn unreadable_label() {
    let what = life().section("what");
    let as_read = "Back panel: the label reads &quot;...ley &amp; S.. , genuine&quot;, the rest is torn off (picture 5).";
    assert!(what.contains(as_read), "{what}");
    let gaps = life().survey["blocked_by"].to_string();
    assert!(
        !gaps.contains("claim_without_evidence"),
        "what a label says is no claim of ours: {gaps}"
    );
}

fn wrong_tag() {
    let shop = Shop::with_piece();
    let said = |tag: &str| {
        format!(
            "view = \"top_flat\"\n[[mark]]\ntag = \"{tag}\"\npart = \"top\"\nlevel = 2\nbox = [1, 1, 5, 5]\n"
        )
    };
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", said("dent").as_bytes());
    shop.import();
    fs::write(
        shop.stored("1 purchase 2026-05-03/a.jpg.toml"),
        said("veneer_blister"),
    )
    .unwrap();
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    let findings = survey["findings"].as_array().unwrap();
    let told: Vec<_> = findings
        .iter()
        .map(|it| {
            (
                it["id"].as_str().unwrap(),
                it["tag"].as_str().unwrap(),
                it["state"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("F1", "dent", "withdrawn"),
            ("F2", "veneer_blister", "open")
        ]
    );
    let draft = |reader: &str| {
        let words = ["report", "26-001", "--draft", "--for", reader, "--json"];
        let answer = shop.run(&words).json();
        fs::read_to_string(answer["path"].as_str().unwrap()).unwrap()
    };
    assert!(!draft("buyer").contains("finding-1\""));
    assert!(draft("owner").contains("Withdrawn findings"));
}

fn fault_without_number() {
    let scratch = life().finding("drawer-2/front", "scratch_finish", "");
    assert_eq!(
        (&scratch["level"], &scratch["size"]),
        (&3.into(), &Value::Null)
    );
    assert!(life().article(scratch).contains("Not measured."));
    assert!(
        life()
            .section("glance")
            .contains("not measured, level 3 (heavy)")
    );
}

fn unit_mix() {
    let gouge = life().finding("drawer-1/front", "gouge", "");
    assert_eq!(gouge["size"], "1/2 in", "as written");
    let told = life().article(gouge);
    assert!(told.contains("1&#x2f;2 in (12.7 mm)"), "{told}");
    let shop = Shop::with_piece();
    shop.run(&["amend", "26-001", "--size", "35 x 41 x 19 in"])
        .code(0);
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(survey["piece"]["height_mm"], 889.0);
    let bare = "view = \"top_flat\"\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nsize = \"70\"\n";
    shop.photo("a.jpg", |_| ())
        .file("a.jpg.toml", bare.as_bytes());
    shop.import();
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert!(
        survey["complaints"][0]["message"]
            .as_str()
            .unwrap()
            .contains("unit"),
        "a number without a unit is asked about"
    );
}

fn value_not_numeric() {
    let rings = life().finding("top", "white_mark", "");
    assert_eq!(
        rings["size"], "faint, strong 2-3 rings",
        "kept as it was written"
    );
}

fn negative_result_missing() {
    assert_eq!(life().part("back")["state"], "faults");
    assert_eq!(life().part("foot-back-left")["state"], "sound");
    assert_eq!(life().part("drawer-1/bottom")["state"], "sound");
    let state = life().section("parts");
    assert!(
        state.contains("Looked for faults on 14 March 2026, found none (picture 6)."),
        "{state}"
    );
}

fn not_looked() {
    assert_eq!(life().part("drawer-3/lock")["state"], "not_examined");
    let section = life().section("unexamined");
    assert!(
        section.contains("Drawer 3, lock") | section.contains("Drawer 3: lock"),
        "{section}"
    );
    assert!(
        section.contains("Locked, and there was no key."),
        "{section}"
    );
}

fn deleted_or_lost_photo() {
    let shop = Shop::with_piece();
    shop.ready("");
    let original = shop.stored("1 purchase 2026-05-03/IMG_1.jpg");
    let digest = Digest::of(&fs::read(&original).unwrap()).to_string();
    fs::remove_file(original).unwrap();
    // The check of the book names it.
    shop.run(&["verify", "--json"])
        .says("IMG_1.jpg` is not there");
    let report = shop.run(&["report", "26-001", "--json"]).code(0).json();
    let page = fs::read_to_string(report["path"].as_str().unwrap()).unwrap();
    assert!(page.contains(&digest) && !page.contains("Picture not available"));
    let gone = "Its original is not in the book any more";
    assert!(
        page.contains(gone),
        "the report says that only a copy is left"
    );
    let shop = Shop::with_piece();
    shop.ready("");
    assert!(!draft(&shop).contains(gone));
}

/// A key that was there at the hand-over and is absent on delivery: named in the schedule with both days, and an exhibit. What the
/// owner wrote of the piece is marked as the owner's words, and a broken leg is not to be used.
#[test]
fn a_part_that_was_lost_on_the_way_is_an_exhibit() {
    let shop = Shop::with_piece();
    let broken = "sound = [\"leg-front-right\"]\n[[mark]]\ntag = \"broken_member\"\npart = \"leg-front-left\"\nlevel = 4\nbox = [1, 1, 5, 5]\n";
    shoot(
        &shop,
        "handover",
        &["--stage", "handover"],
        &[("a.jpg", "2026:04:16 10:00:00", broken)],
    );
    shoot(
        &shop,
        "delivery",
        &["--stage", "delivery"],
        &[(
            "b.jpg",
            "2026:04:19 10:00:00",
            "absent = [\"leg-front-right\"]\n",
        )],
    );
    let about = ["amend", "26-001", "--about", "It stood in a hall."];
    shop.run(&about).code(0);
    shop.run(&["seal"]).code(0);
    let claim = [
        "dossier",
        "26-001",
        "--claim",
        "missing_part",
        "--folder",
        "--json",
    ];
    let made = shop.run(&claim).code(0).json();
    let cover = std::path::Path::new(made["path"].as_str().unwrap()).join("data/cover.html");
    let cover = fs::read_to_string(cover).unwrap();
    assert!(!cover.contains("No exhibit answers it"));
    assert!(cover.contains(
        "Exhibit 1</a> <b><bdi>Leg, front right: there, then absent</bdi></b>. <bdi>Absent since 19 April 2026, picture 2; sound on 16 April 2026, picture 1.</bdi>"
    ));
    assert!(cover.contains("Not to be used until it is repaired"));
    let draft = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(draft["path"].as_str().unwrap()).unwrap();
    let page = unlinked(&page);
    assert!(page.contains("not checked against the record:</b> <bdi>It stood in a hall.</bdi>"));
    let since = "Absent since 19 April 2026, picture 2; sound on 16 April 2026, picture 1.";
    assert!(page.contains(since));
    assert!(page.contains("level 4, last seen there, not seen since."));
}
