//! Faces of the demo's rendered pictures, laid by what the renderer knows, against what else it knows: cameras, places, frames.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;

use asfound::compare::apart::apart;
use asfound::compare::picture::Picture;
use asfound::compare::ruler::camera;
use asfound::compare::ruler::camera::Camera;
use asfound::compare::ruler::face_rect::FaceRect;
use asfound::compare::ruler::lying::Drawn;
use asfound::compare::ruler::lying::Lying;
use asfound::compare::seen::Share;
use asfound::compare::seen::seen;
use asfound::model::face::KnownPoint;
use asfound::model::face::Lie;
use asfound::model::region::Region;
use serde::Deserialize;
use serde_json::Value;
use serde_json::json;

use crate::photo_reference::reference_folder;
use crate::sidecar::python;

type Point = [f64; 2];

#[derive(Deserialize)]
struct Rendered {
    faults: Vec<Fault>,
    photos: Vec<Photo>,
}

#[derive(Deserialize)]
struct Fault {
    id: String,
    face: String,
    outline_mm: Vec<Point>,
}

#[derive(Deserialize)]
struct Photo {
    name: String,
    width: u32,
    height: u32,
    focal_35mm: Option<u32>,
    faces: Vec<Face>,
    /// How much of each fault's place lies in the frame.
    seen: Vec<(String, String)>,
}

#[derive(Deserialize)]
struct Face {
    face: String,
    corners: [Point; 4],
    visible: f64,
    angle_deg: f64,
    px_per_mm: f64,
}

/// Where the flat rectangles of the chest lie on its sides, mm: the body stands back from the top.
fn rect(face: &str) -> FaceRect {
    let (at, size) = match face {
        "top" => ([0.0, 0.0], [1050.0, 480.0]),
        "left" => ([8.0, 26.0], [450.0, 684.0]),
        "right" => ([22.0, 26.0], [450.0, 684.0]),
        _ => ([22.0, 26.0], [1006.0, 684.0]),
    };
    FaceRect { at, size }
}

fn rendered() -> Rendered {
    serde_json::from_str(include_str!("../cases/place/rendered.json")).unwrap()
}

impl Photo {
    fn picture(&self) -> Picture {
        Picture {
            width: self.width,
            height: self.height,
        }
    }

    fn laid(&self, face: &Face, corners: [Point; 4]) -> Option<Lying> {
        Lying::of(&Lie::Corners(corners), rect(&face.face), self.picture()).ok()
    }
}

/// As a person's program writes them: percent with one decimal.
fn rounded(corners: [Point; 4]) -> [Point; 4] {
    corners.map(|it| it.map(|it| (it * 10.0).round() / 10.0))
}

/// Seeded chance: SplitMix64 (Steele, Lea, Flood 2014), and a normal distribution (Box and Muller 1958).
struct Chance(u64);

impl Chance {
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self, sd: f64) -> f64 {
        let (a, b) = (self.even().max(1e-300), self.even());
        sd * (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

#[test]
fn every_true_face_is_what_a_camera_sees_and_no_face_laid_wrong_is() {
    let rendered = rendered();
    let (mut right, mut turned, mut narrow) = ([0, 0], [0, 0], [0, 0]);
    for photo in &rendered.photos {
        for face in &photo.faces {
            let corners = rounded(face.corners);
            let judge = |lying: Option<Lying>| {
                lying.is_some_and(|it| camera::checked(&it, photo.focal_35mm).is_ok())
            };
            right[0] += 1;
            right[1] += usize::from(judge(photo.laid(face, corners)));
            // The corners named from another one: the width is taken for the height.
            let [a, b, c, d] = corners;
            turned[0] += 1;
            turned[1] += usize::from(judge(photo.laid(face, [b, c, d, a])));
            // The rectangle of another face: a third narrower than it is.
            let mut other = rect(&face.face);
            other.size[0] *= 0.66;
            let lie = Lie::Corners(corners);
            narrow[0] += 1;
            narrow[1] += usize::from(judge(Lying::of(&lie, other, photo.picture()).ok()));
        }
    }
    assert_eq!(right[0], right[1], "a true face was refused");
    // Seen nearly from the edge, or far away, a face says little of its size: then a refusal is not to be had.
    assert!(turned[1] * 5 <= turned[0], "{turned:?}");
    assert!(narrow[1] * 2 <= narrow[0], "{narrow:?}");
}

#[test]
fn how_much_of_a_place_is_in_frame_agrees_with_the_renderer() {
    let rendered = rendered();
    let faults: BTreeMap<&str, &Fault> = rendered
        .faults
        .iter()
        .map(|it| (it.id.as_str(), it))
        .collect();
    let mut differ = Vec::new();
    let mut compared = BTreeMap::new();
    for photo in &rendered.photos {
        for (id, share) in &photo.seen {
            let fault = faults[id.as_str()];
            let face = photo.faces.iter().find(|it| it.face == fault.face).unwrap();
            let lying = photo.laid(face, face.corners).unwrap();
            let camera = Camera::of(&lying, photo.focal_35mm);
            let found = seen(&lying, &camera, Drawn::Area, &fault.outline_mm, 0.0);
            let word = match found.share {
                Share::All => "all",
                Share::Part => "part",
                Share::None => "none",
            };
            *compared.entry(word).or_insert(0) += 1;
            if word != share {
                differ.push(format!("{} {id}: {word}, not {share}", photo.name));
            }
            assert!(!found.surely_all || share == "all", "{} {id}", photo.name);
        }
    }
    assert!(differ.is_empty(), "{differ:#?}");
    assert_eq!(compared.values().sum::<usize>(), 188);
    assert!(
        compared["none"] >= 10 && compared["part"] >= 3,
        "{compared:?}"
    );
}

#[test]
fn angles_and_scales_agree_with_the_renderer() {
    let rendered = rendered();
    let mut compared = 0;
    for photo in &rendered.photos {
        // The renderer tells both for the middle of what is visible: the same place only where all is.
        for face in photo.faces.iter().filter(|it| it.visible >= 1.0) {
            let lying = photo.laid(face, face.corners).unwrap();
            let camera = Camera::of(&lying, photo.focal_35mm);
            let rect = rect(&face.face);
            let middle = [0, 1].map(|n| rect.at[n] + rect.size[n] / 2.0);
            let (angle, scale) = (camera.angle_deg(middle), lying.px_per_mm(middle).unwrap());
            let focal = if photo.focal_35mm.is_some() { 1.5 } else { 6.0 };
            // The picture is kept smaller than it was rendered when it came by messenger.
            let kept = f64::from(photo.width.max(photo.height)) / 2016.0;
            assert!(
                (angle - face.angle_deg).abs() < focal,
                "{} {}: {angle}, not {}",
                photo.name,
                face.face,
                face.angle_deg
            );
            assert!(
                (scale / kept / face.px_per_mm - 1.0).abs() < 0.05,
                "{} {}: {scale}, not {}",
                photo.name,
                face.face,
                face.px_per_mm
            );
            compared += 1;
        }
    }
    assert_eq!(compared, 19, "faces of which all is visible");
}

/// Places of all faults, drawn and laid by an unsteady hand: within 2 mm or 1 % of the face's longer side from the best picture,
/// 95 of 100 inside what is told, and that not more than three times the true spread.
#[test]
fn places_from_unsteady_hands_are_within_what_is_told() {
    let rendered = rendered();
    let mut chance = Chance(7);
    let (mut inside, mut all, mut far) = (0_u32, 0_u32, Vec::new());
    let (mut told, mut squared) = (0.0, 0.0);
    for fault in &rendered.faults {
        let mut best: Option<(f64, f64)> = None;
        for photo in &rendered.photos {
            let Some(face) = photo.faces.iter().find(|it| it.face == fault.face) else {
                continue;
            };
            let whole = photo
                .seen
                .iter()
                .any(|it| it.0 == fault.id && it.1 == "all");
            if !whole || face.angle_deg > 75.0 {
                continue;
            }
            let truth = photo.laid(face, face.corners).unwrap();
            let long = f64::from(photo.width.max(photo.height));
            for _ in 0..8 {
                // 2 px of a picture of 1600 in all, and a drawn point 1 px in x and y.
                let corner = 2.0 / 2.0_f64.sqrt() / 1600.0 * long;
                let size = truth.px();
                let mut moved = |at: Point, sd: f64| {
                    [0, 1].map(|n| at[n] + chance.normal(sd) / size[n] * 100.0)
                };
                let corners = face.corners.map(|it| moved(it, corner));
                let Some(lying) = photo.laid(face, corners) else {
                    continue;
                };
                let outline = fault.outline_mm.iter().map(|it| truth.to_px(*it).unwrap());
                let outline =
                    outline.map(|it| moved([0, 1].map(|n| it[n] / size[n] * 100.0), long / 1600.0));
                let Some(carried) = lying.carried(&Region::Outline(outline.collect())) else {
                    continue;
                };
                let off = carried
                    .outline
                    .iter()
                    .zip(&fault.outline_mm)
                    .map(|(a, b)| (a[0] - b[0]).hypot(a[1] - b[1]));
                let off: Vec<f64> = off.collect();
                // One place counts once: its points share the corners, and are off together.
                let middle = off[off.len() / 2];
                inside += u32::from(middle <= carried.uncertainty);
                all += 1;
                told += carried.uncertainty;
                squared += middle * middle;
                if best.is_none_or(|it| carried.px_per_mm > it.0) {
                    best = Some((carried.px_per_mm, middle));
                }
            }
        }
        let side = rect(&fault.face).size;
        let most = (0.01 * side[0].max(side[1])).max(2.0);
        let (scale, off) = best.unwrap();
        if off > most {
            far.push(format!("{}: {off:.1} mm at {scale:.1} px per mm", fault.id));
        }
    }
    // What is told has k = 2: half of it is a standard uncertainty.
    let spread = (squared / f64::from(all)).sqrt();
    let half = told / f64::from(all) / 2.0;
    assert!(far.is_empty(), "{far:#?}");
    assert!(all >= 300);
    assert!(inside * 100 >= all * 95, "{inside} of {all}");
    assert!(half <= 3.0 * spread, "told {half}, spread {spread}");
}

/// How far two places lie apart is that of the circles that were drawn: two rings of 70 and 72 mm, their middles 78.2 mm apart.
#[test]
fn places_of_two_faults_are_apart_where_they_are() {
    let rendered = rendered();
    let outline = |id: &str| {
        let found = rendered.faults.iter().find(|it| it.id == id);
        &found.unwrap().outline_mm
    };
    let gap = apart(outline("ring1"), outline("ring2"));
    assert!((gap - 7.23).abs() < 0.7, "{gap}");
    assert_eq!(apart(outline("ring1"), outline("ring1")), 0.0);
    assert!(apart(outline("scratch1"), outline("scratch2")) > 20.0);
}

/// OpenCV, asked for the map of seven known points that are off (findHomography, which goes on from the least algebraic error to the
/// least error in the picture) and for the pose of the four true corners (solvePnP with IPPE, Collins and Bartoli 2014).
const OPENCV: &str = r#"
import json, sys
import numpy as np, cv2
answers = []
for it in json.load(sys.stdin):
    mm, px = np.array(it["mm"]), np.array(it["px"])
    h, _ = cv2.findHomography(mm, px, 0)
    at = cv2.perspectiveTransform(np.array([[it["ask"]]]), h)[0].tolist()
    w, high, f = it["width"], it["height"], it["focal"]
    k = np.array([[f, 0, w / 2], [0, f, high / 2], [0, 0, 1.0]])
    corners = np.array([[x, y, 0.0] for x, y in it["corners_mm"]])
    _, turn, shift = cv2.solvePnP(corners, np.array(it["corners_px"]), k, None, flags=cv2.SOLVEPNP_IPPE)
    r, _ = cv2.Rodrigues(turn)
    middle = np.array([*it["middle"], 0.0])
    ray = r @ middle + shift[:, 0]
    cosine = abs(ray @ r[:, 2]) / np.linalg.norm(ray)
    answers.append({"at": at, "angle": float(np.degrees(np.arccos(min(1.0, cosine))))})
print(json.dumps(answers))
"#;

#[test]
fn maps_and_poses_agree_with_opencv() {
    let Some(folder) = reference_folder() else {
        return;
    };
    let rendered = rendered();
    let mut chance = Chance(21);
    let (mut asked, mut ours) = (Vec::new(), Vec::new());
    for photo in rendered.photos.iter().filter(|it| it.focal_35mm.is_some()) {
        for face in &photo.faces {
            let lying = photo.laid(face, face.corners).unwrap();
            let (rect, size) = (rect(&face.face), lying.px());
            let mut points = Vec::new();
            for _ in 0..7 {
                let mm = [0, 1].map(|n| rect.size[n] * chance.even());
                let px = lying.to_px([0, 1].map(|n| mm[n] + rect.at[n])).unwrap();
                let px = px.map(|it| it + chance.normal(0.3));
                points.push((mm, px));
            }
            let known = points.iter().map(|(mm, px)| KnownPoint {
                mm: *mm,
                at: [0, 1].map(|n| px[n] / size[n] * 100.0),
            });
            let Ok(by_points) = Lying::of(&Lie::Points(known.collect()), rect, photo.picture())
            else {
                continue;
            };
            // Between the points: outside them both only guess.
            let ask = [0, 1].map(|n| points.iter().map(|it| it.0[n]).sum::<f64>() / 7.0);
            let at = by_points
                .to_px([0, 1].map(|n| ask[n] + rect.at[n]))
                .unwrap();
            let middle = [0, 1].map(|n| rect.at[n] + rect.size[n] / 2.0);
            // The diagonal of 35 mm film.
            let focal = f64::from(photo.focal_35mm.unwrap()) / 43.2666 * size[0].hypot(size[1]);
            let corners_px = lying.corners_px().unwrap();
            let (mm, px): (Vec<Point>, Vec<Point>) = points.iter().copied().unzip();
            asked.push(json!({"mm": mm, "px": px, "ask": ask, "width": size[0], "height": size[1], "focal": focal,
                "corners_mm": rect.corners(), "corners_px": corners_px, "middle": middle}));
            ours.push((
                at,
                Camera::of(&lying, photo.focal_35mm).angle_deg(middle),
                format!("{} {}", photo.name, face.face),
            ));
        }
    }
    let answers: Vec<Value> = serde_json::from_str(&python(
        &folder.join("python"),
        OPENCV,
        &json!(asked).to_string(),
    ))
    .unwrap();
    assert!(ours.len() >= 40 && answers.len() == ours.len());
    for (theirs, (at, angle, name)) in answers.iter().zip(&ours) {
        let there: Vec<Point> = serde_json::from_value(theirs["at"].clone()).unwrap();
        let off = (there[0][0] - at[0]).hypot(there[0][1] - at[1]);
        assert!(off < 0.3, "{name}: {off} px");
        // Both take the rounded focal length of Exif; ours may bend it by as much as rounding does.
        let theirs = theirs["angle"].as_f64().unwrap();
        assert!(
            (theirs - angle).abs() < 1.5,
            "{name}: {angle}, not {theirs}"
        );
    }
}

/// The demo's findings and the faults of its renderer.
const FAULTS: [(&str, &str); 11] = [
    ("F1", "knob1"),
    ("F3", "stain1"),
    ("F4", "split1"),
    ("F5", "patch1"),
    ("F6", "ring1"),
    ("F7", "ring2"),
    ("F8", "ring3"),
    ("F9", "scratch1"),
    ("F10", "chip1"),
    ("F11", "gouge1"),
    ("F12", "scratch2"),
];

/// What `where` says of the demo, whose faces are laid by hand: how much of each place is in each picture agrees with the renderer, the
/// place lies where the fault is, and nothing is said to be without a fault but a picture with all of its place in it.
#[test]
fn where_agrees_with_the_renderer_on_the_demo() {
    let rendered = rendered();
    let book = &crate::demo::demo().book;
    let (mut differ, mut compared, mut off) = (Vec::new(), 0, Vec::new());
    for (no, id) in FAULTS {
        let (code, out) = crate::demo::asfound(Some(book), &["where", "26-001", no, "--json"]);
        assert_eq!(code, 0, "{no}");
        let told: Value = serde_json::from_str(&out).unwrap();
        let fault = rendered.faults.iter().find(|it| it.id == id).unwrap();
        assert_eq!(told["face"], fault.face.as_str(), "{no}");
        let outline: Vec<Point> = serde_json::from_value(told["outline_mm"].clone()).unwrap();
        let bounds = |points: &[Point], n: usize| {
            let low = points.iter().map(|it| it[n]).fold(f64::INFINITY, f64::min);
            let high = points
                .iter()
                .map(|it| it[n])
                .fold(f64::NEG_INFINITY, f64::max);
            f64::midpoint(low, high)
        };
        let apart = [0, 1].map(|n| bounds(&outline, n) - bounds(&fault.outline_mm, n));
        off.push(format!(
            "{no} {:.1} mm (told {})",
            apart[0].hypot(apart[1]),
            told["uncertainty_mm"]
        ));
        let side = rect(&fault.face).size;
        let most = (0.01 * side[0].max(side[1])).max(2.0);
        assert!(apart[0].hypot(apart[1]) <= most, "{off:?}");
        let without = told["last_without"]["photo"].as_u64();
        for picture in told["pictures"].as_array().unwrap() {
            let photo = rendered
                .photos
                .iter()
                .find(|it| picture["name"] == it.name.as_str());
            let truth = photo.unwrap().seen.iter().find(|it| it.0 == id);
            if without == picture["photo"].as_u64() {
                assert_eq!(picture["seen"], "all", "{no}");
                assert!(truth.is_none_or(|it| it.1 == "all"), "{no}");
                assert_eq!(picture["state"], Value::Null, "{no}");
            }
            // Close-ups laid by points have no row in the table.
            let Some((_, share)) = truth else { continue };
            compared += 1;
            if picture["seen"] != share.as_str() {
                differ.push(format!(
                    "{no} {}: {}, not {share}",
                    picture["name"], picture["seen"]
                ));
            }
        }
    }
    assert!(compared >= 90, "{compared}, {off:?}");
    assert!(differ.is_empty(), "{differ:#?}");
}

/// The report says of each fault where it lies, as `where` does.
#[test]
fn the_report_says_where_each_fault_lies() {
    let demo = crate::demo::demo();
    let page = std::fs::read_to_string(&demo.report).unwrap();
    let mut found = 0;
    for (no, _) in FAULTS {
        let (code, out) =
            crate::demo::asfound(Some(&demo.book), &["where", "26-001", no, "--json"]);
        assert_eq!(code, 0, "{no}");
        let told: Value = serde_json::from_str(&out).unwrap();
        let outline: Vec<Point> = serde_json::from_value(told["outline_mm"].clone()).unwrap();
        let along = |n: usize| {
            let all = || outline.iter().map(|it| it[n]);
            let low = all().fold(f64::INFINITY, f64::min);
            let high = all().fold(f64::NEG_INFINITY, f64::max);
            format!("{:.0}\u{2013}{:.0} mm from", low.max(0.0), high)
        };
        let face = match told["face"].as_str().unwrap() {
            "left" => "Left side".to_owned(),
            "right" => "Right side".to_owned(),
            "top" => "Top".to_owned(),
            "front" => "Front".to_owned(),
            face => face.to_owned(),
        };
        let said = format!("{face}: {} left, {} ", along(0), along(1));
        let block = page.split("<article class=\"finding\"");
        let mut block = block.filter(|it| it.contains(&format!(">{no}</span>")));
        if let Some(block) = block.next() {
            assert!(block.contains(&said), "{no}: {said}");
            found += 1;
        }
    }
    assert!(found > 5, "{found}");
}

/// `where --page` is one file that needs no network, with the pictures of the dossier's exhibit in the same order.
#[test]
fn the_page_of_a_place_holds_the_strip_of_the_exhibit() {
    let demo = crate::demo::demo();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("spot.html");
    let words = [
        "where",
        "26-001",
        "F11",
        "--page",
        file.to_str().unwrap(),
        "--json",
    ];
    let (code, out) = crate::demo::asfound(Some(&demo.book), &words);
    assert_eq!(code, 0, "{out}");
    let told: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(told["page"], file.to_str().unwrap());
    let page = std::fs::read_to_string(&file).unwrap();
    let dossier = std::path::PathBuf::from(demo.answer["dossier"].as_str().unwrap());
    let cover = std::fs::read_to_string(dossier.join("data/cover.html")).unwrap();
    let start = cover.find(". <bdi>F11: Gouge").unwrap();
    let strip = |html: &str| {
        let start = html.find("in the order of time").unwrap();
        let end = start + html[start..].find("</div>").unwrap();
        html[start..end].to_owned()
    };
    assert_eq!(strip(&page), strip(&cover[start..]));
    assert_eq!(page.matches("<img").count(), 4);
    assert!(page.contains("Right side: 165"), "{page}");
    assert!(!page.contains("src=\"http") && !page.contains("href=\"http"));
}

/// Pairs that are set straight, against the renderer: how far the same spot of a face lies apart in the two is never more than is told.
#[test]
fn pairs_set_straight_lie_no_further_apart_than_they_say() {
    let rendered = rendered();
    let book = &crate::demo::demo().book;
    let (code, out) = crate::demo::asfound(Some(book), &["survey", "26-001", "--json"]);
    assert_eq!(code, 0);
    let told: Value = serde_json::from_str(&out).unwrap();
    let faces = told["faces"].as_array().unwrap().iter();
    let names: BTreeMap<u64, &str> = faces
        .map(|it| (it["photo"].as_u64().unwrap(), it["name"].as_str().unwrap()))
        .collect();
    let (mut lines, mut compared, mut slide) = (Vec::new(), 0, 0);
    for pair in told["before_after"].as_array().unwrap() {
        let straight = &pair["straight"];
        let Some(face) = straight["face"].as_str() else {
            continue;
        };
        let [x, y, w, h]: [f64; 4] = serde_json::from_value(straight["rect_mm"].clone()).unwrap();
        let cut = |side: &str| {
            let photo = pair[side]["photo"].as_u64().unwrap();
            let photo = rendered.photos.iter().find(|it| it.name == names[&photo])?;
            let corners = serde_json::from_value(straight[side]["corners"].clone()).unwrap();
            let rows = asfound::compare::straight::rows(corners).unwrap();
            let truth = photo.faces.iter().find(|it| it.face == face)?;
            let truth = photo.laid(truth, truth.corners)?;
            Some((rows, truth))
        };
        let (Some(before), Some(after)) = (cut("before"), cut("after")) else {
            continue;
        };
        compared += 1;
        let truly = |(rows, truth): &([[f64; 3]; 3], Lying), [u, v]: Point| {
            let [a, b, c] = rows.map(|row| row[0] * u + row[1] * v + row[2]);
            let [w, h] = truth.px();
            truth.to_mm([a / c * w, b / c * h])
        };
        let mut worst = 0.0_f64;
        for n in 0..=10 {
            for m in 0..=10 {
                let at = [f64::from(n) / 10.0, f64::from(m) / 10.0];
                let mm = [x + at[0] * w, y + at[1] * h];
                let (Some(a), Some(b)) = (truly(&before, at), truly(&after, at)) else {
                    panic!("{pair}: {mm:?} lies behind the camera");
                };
                worst = worst.max((a[0] - b[0]).hypot(a[1] - b[1]));
            }
        }
        let apart = straight["apart_mm"].as_f64().unwrap();
        lines.push(format!(
            "{}: truly {worst:.1} mm apart, told {apart}",
            pair["about"]
        ));
        assert!(worst <= apart, "{lines:#?}");
        let slides = apart <= 0.01 * w.max(h);
        slide += usize::from(slides);
        assert!(!slides || worst <= 0.01 * w.max(h), "{lines:#?}");
    }
    assert!(
        compared >= 10 && slide >= 2,
        "{compared} {slide} {lines:#?}"
    );
}

/// The dossier's exhibit of a fault leads with the same spot through time: what was said of each picture, in order, none left out
/// that shows it and none taken in that may not.
#[test]
fn an_exhibit_leads_with_the_same_spot_through_time() {
    let demo = crate::demo::demo();
    let dossier = std::path::PathBuf::from(demo.answer["dossier"].as_str().unwrap());
    let cover = std::fs::read_to_string(dossier.join("data/cover.html")).unwrap();
    let (code, out) = crate::demo::asfound(Some(&demo.book), &["where", "26-001", "F11", "--json"]);
    assert_eq!(code, 0);
    let told: Value = serde_json::from_str(&out).unwrap();
    let start = cover.find(". <bdi>F11: Gouge").unwrap();
    let exhibit = &cover[start..start + cover[start..].find("</article>").unwrap()];
    let mut at = exhibit.find("in the order of time").unwrap();
    let mut shown = Vec::new();
    for picture in told["pictures"].as_array().unwrap() {
        let no = &picture["photo"];
        let says = match picture["says"].as_str().unwrap() {
            "sound" => "the part was said to be sound",
            "marked" => ": there",
            other => {
                assert_eq!((other, &picture["seen"]), ("nothing", &json!("none")));
                continue;
            }
        };
        let caption = exhibit[at..].find(&format!("Picture {no}, ")).unwrap() + at;
        let end = caption + exhibit[caption..].find("</figcaption>").unwrap();
        assert!(
            exhibit[caption..end].contains(says),
            "{}",
            &exhibit[caption..end]
        );
        at = end;
        shown.push(no.as_u64().unwrap());
    }
    assert_eq!(shown, [4, 20, 31, 34]);
}
