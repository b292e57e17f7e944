//! Faults of the demo's rendered pictures, measured by the card that lies beside them, against what the renderer knows.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use asfound::compare::figures::Reading;
use asfound::compare::measure::Measured;
use asfound::compare::measure::measure;
use asfound::compare::measure_error::MeasureError;
use asfound::compare::picture::Picture;
use asfound::kit::clock::Moment;
use asfound::model::mark::Scale;
use asfound::model::region::Region;
use asfound::work::marking::MarkingSession;
use serde::Deserialize;
use serde_json::json;

type Point = [f64; 2];

#[derive(Deserialize)]
struct Rendered {
    photos: Vec<Photo>,
}

#[derive(Deserialize)]
struct Photo {
    name: String,
    width: u32,
    height: u32,
    corners_px: Vec<Point>,
    faults: Vec<Fault>,
}

#[derive(Deserialize)]
struct Fault {
    name: String,
    told: Told,
    outline_px: Vec<Point>,
    outline_mm: Vec<Point>,
}

/// The sizes that the renderer was given.
#[derive(Deserialize)]
struct Told {
    length_mm: Option<f64>,
    diameter_mm: Option<f64>,
    area_mm2: Option<f64>,
}

fn photos() -> Vec<Photo> {
    let text = include_str!("../cases/scale/rendered.json");
    let rendered: Rendered = serde_json::from_str(text).unwrap();
    rendered.photos
}

impl Photo {
    fn picture(&self) -> Picture {
        Picture {
            width: self.width,
            height: self.height,
        }
    }

    /// Percent with two decimals, as a sidecar holds them.
    fn percent(&self, points: &[Point]) -> Vec<Point> {
        let part = |x: f64, of: u32| (x / f64::from(of) * 10_000.0).round() / 100.0;
        let points = points.iter();
        points
            .map(|[x, y]| [part(*x, self.width), part(*y, self.height)])
            .collect()
    }

    fn measure(&self, region: &Region) -> Result<Measured, MeasureError> {
        let card = Scale {
            width_mm: 85.60,
            height_mm: Some(53.98),
            corners: self.percent(&self.corners_px),
        };
        measure(&card, self.picture(), region)
    }
}

fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Greatest extent, extent at right angles to it, and area, by trying every pair of points.
fn truth(points: &[Point]) -> [f64; 3] {
    let pairs = points
        .iter()
        .flat_map(|a| points.iter().map(move |b| (*a, *b)));
    let far = |it: &(Point, Point)| distance(it.0, it.1);
    let (a, b) = pairs.max_by(|m, n| far(m).total_cmp(&far(n))).unwrap();
    let long = distance(a, b);
    let aside = |p: &Point| ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / long;
    let most = points.iter().map(aside).fold(f64::NEG_INFINITY, f64::max);
    let least = points.iter().map(aside).fold(f64::INFINITY, f64::min);
    let next = points.iter().cycle().skip(1);
    let twice: f64 = points
        .iter()
        .zip(next)
        .map(|(p, q)| p[0] * q[1] - p[1] * q[0])
        .sum();
    [long, most - least, (twice / 2.0).abs()]
}

/// The middle line of a long thin outline whose halves lie opposite each other.
fn middle(outline: &[Point]) -> Vec<Point> {
    let half = outline.len() / 2;
    let pairs = outline[..half].iter().zip(outline[half..].iter().rev());
    pairs
        .map(|(a, b)| [0, 1].map(|n| f64::midpoint(a[n], b[n])))
        .collect()
}

#[test]
fn every_fault_beside_a_card_is_within_what_is_told() {
    let [mut measured, mut untold] = [0; 2];
    let mut worst: f64 = 0.0;
    let mut check = |name: &str, what: &str, got: Option<Reading>, truth: f64| {
        let Some(it) = got else {
            untold += 1;
            return;
        };
        measured += 1;
        worst = worst.max((it.value - truth).abs() / truth);
        assert!(
            (it.value - truth).abs() <= it.u,
            "{name} {what}: {it:?}, truly {truth}"
        );
        assert!(it.u <= 0.5 * it.value);
    };
    for photo in photos() {
        for fault in &photo.faults {
            let name = format!("{} {}", photo.name, fault.name);
            let outline = Region::Outline(photo.percent(&fault.outline_px));
            let told = photo.measure(&outline).unwrap();
            let [long, across, area] = truth(&fault.outline_mm);
            check(&name, "extent", told.length_mm, long);
            check(&name, "across", told.across_mm, across);
            check(&name, "area", told.area_mm2, area);
            if let Some(given) = fault.told.diameter_mm {
                check(&name, "diameter", told.length_mm, given);
            }
            if let Some(given) = fault.told.area_mm2 {
                check(&name, "given area", told.area_mm2, given);
            }
            if let Some(given) = fault.told.length_mm {
                let line = Region::Line(photo.percent(&middle(&fault.outline_px)));
                let told = photo.measure(&line).unwrap();
                check(&name, "length", told.length_mm, given);
            }
        }
    }
    // Not told: extent across and area (asked twice) of the split and, in two photos, of the scratch, each a millimetre wide. The rest is off by the card's
    // thickness and by two decimals of a percent.
    assert_eq!((measured, untold), (43, 9));
    assert!(worst < 0.01, "{worst}");
}

/// What the demo's own sidecars say in numbers stands beside a card, drawn by hand to a tenth of a percent.
#[test]
fn the_sizes_in_the_demos_sidecars_agree_with_its_pictures() {
    let mut checked = Vec::new();
    for photo in photos() {
        let folder = if photo.name.starts_with("M5") {
            "delivery"
        } else {
            "purchase"
        };
        let path = format!(
            "{}/demo/photos/{folder}/{}.toml",
            env!("CARGO_MANIFEST_DIR"),
            photo.name
        );
        let text = std::fs::read_to_string(path).unwrap();
        let sidecar: toml::Table = text.parse().unwrap();
        let points = |it: &toml::Value| -> Vec<Point> { it.clone().try_into().unwrap() };
        let scale = Scale {
            width_mm: 85.60,
            height_mm: Some(53.98),
            corners: points(&sidecar["scale"]["corners"]),
        };
        let marks = sidecar.get("mark").and_then(toml::Value::as_array);
        for mark in marks.into_iter().flatten() {
            let region = match (mark.get("outline"), mark.get("line")) {
                (Some(it), _) => Region::Outline(points(it)),
                (_, Some(it)) => Region::Line(points(it)),
                _ => continue,
            };
            let word = |key: &str| mark.get(key).and_then(toml::Value::as_str);
            // The missing veneer is told along the edges of the top, not by its greatest extent.
            let Some(size) = word("size").filter(|_| word("tag") != Some("veneer_missing")) else {
                continue;
            };
            let told = measure(&scale, photo.picture(), &region).unwrap();
            let readings = [told.length_mm, told.across_mm];
            for (written, reading) in size.split(" x ").zip(readings) {
                let Some(it) = reading else { continue };
                let written: asfound::kit::measure::Length = written.parse().unwrap();
                assert!(
                    (it.value - written.mm).abs() <= it.u,
                    "{}: {size}: {it:?}",
                    photo.name
                );
                checked.push(written.mm);
            }
        }
    }
    let wanted = [38.0, 6.0, 180.0, 70.0, 72.0, 68.0, 120.0, 60.0, 5.0];
    assert_eq!(checked, wanted);
}

/// As the marking page asks: the scale and the shape of the buyer's picture, as they stand in its sidecar.
#[test]
fn the_marking_page_is_told_the_measure_of_what_is_drawn() {
    let root = crate::demo::demo().book.clone();
    let door = MarkingSession {
        root,
        stock_no: "26-001".parse().unwrap(),
    };
    let now = Moment::now();
    let walk = serde_json::to_value(door.walk(now).unwrap()).unwrap();
    assert_eq!(walk["units"], "mm");
    let photos = walk["photos"].as_array().unwrap();
    let photo = photos
        .iter()
        .find(|it| it["name"] == "M5_0231.jpg")
        .unwrap();
    let ask = |region: &serde_json::Value| {
        let drawn =
            json!({"photo": photo["no"], "scale": photo["said"]["scale"], "region": region});
        door.measure(now, &serde_json::from_value(drawn).unwrap())
    };
    let told = ask(&photo["said"]["marks"][0]["region"]).unwrap();
    // Truly 60 x 5 mm, 235 mm2; the corners in the sidecar are told to a tenth of a percent, 2 px.
    assert_eq!(told.size.as_deref(), Some("61 x 5.2 mm (± 5 x 1.3 mm)"));
    assert!(
        told.text.starts_with("61 ± 5 mm x 5.2 ± 1.3 mm, 2"),
        "{}",
        told.text
    );
    let told = serde_json::to_value(told).unwrap();
    for (name, truth) in [("length_mm", 60.0), ("across_mm", 5.0), ("area_mm2", 235.2)] {
        let [value, u] = ["value", "u"].map(|it| told[name][it].as_f64().unwrap());
        assert!((value - truth).abs() <= u, "{name}: {value} ± {u}");
    }
    let refused = ask(&json!({"line": [[50.0, 50.0], [50.1, 50.0]]})).unwrap_err();
    assert!(
        refused.to_string().contains("off by more than half"),
        "{refused}"
    );
    let refused = ask(&json!({"box": [90.0, 90.0, 20.0, 5.0]})).unwrap_err();
    assert!(refused.to_string().contains("over the edge"), "{refused}");
}

/// The top of the demo's piece is laid in its picture: a tape along a line there agrees with it, one of half that length does not.
#[test]
fn two_scales_that_disagree_are_told_and_give_no_size() {
    let door = MarkingSession {
        root: crate::demo::demo().book.clone(),
        stock_no: "26-001".parse().unwrap(),
    };
    let now = Moment::now();
    let walk = serde_json::to_value(door.walk(now).unwrap()).unwrap();
    let photos = walk["photos"].as_array().unwrap();
    let photo = photos
        .iter()
        .find(|it| it["name"] == "K2_20260314_100515.jpg")
        .unwrap();
    let line = json!([[20.0, 60.0], [60.0, 60.0]]);
    let ask = |scale: serde_json::Value| {
        let drawn =
            json!({"photo": photo["no"], "part": "top", "scale": scale, "region": {"line": line}});
        door.measure(now, &serde_json::from_value(drawn).unwrap())
            .unwrap()
    };
    let alone = ask(json!(null));
    let length = serde_json::to_value(&alone).unwrap()["length_mm"]["value"]
        .as_f64()
        .unwrap();
    let tape = |mm: f64| json!({"width_mm": mm, "height_mm": null, "corners": line});
    assert_eq!(ask(tape(length)), alone);
    let other = ask(tape(length / 2.0));
    assert_eq!((&other.text, &other.size), (&alone.text, &None));
    assert!(
        other
            .notes
            .iter()
            .any(|it| it.contains("two scales disagree"))
    );
}
