//! What other programs are given of a piece: findings as a table, marks as web annotations.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

use samples::Exif;
use serde_json::Value;
use serde_json::json;

use crate::demo::asfound;
use crate::demo::demo;
use crate::photo_reference::reference_folder;
use crate::shop::Shop;

/// A piece with a mark of each shape, one of them with a comma in its words, and with private words.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.ready(
        "private_note = \"SECRET beside\"\n[[mark]]\ntag = \"white_mark\"\npart = \"top\"\nwhich = \"left, \\\"cup\\\"\"\nlevel = 2\n\
         size = \"70 mm\"\nbox = [62.0, 31.25, 11.0, 9.0]\nnote = \"where the lamp stood\"\n[[mark]]\ntag = \"scratch_finish\"\npart = \"top\"\n\
         level = 1\nline = [[10.0, 10.0], [20.0, 50.0]]\n[[mark]]\ntag = \"gouge\"\npart = \"top\"\nlevel = 3\n\
         outline = [[1.0, 1.0], [2.0, 1.0], [2.0, 3.0]]\n[[mark]]\ntag = \"dent\"\npart = \"top\"\nlevel = 1\nspot = [50.0, 25.0]\n",
    );
    let told = [
        "--bought-for",
        "85",
        "--private-note",
        "SECRET of the piece",
    ];
    shop.run(&[&["amend", "26-001"][..], &told].concat())
        .code(0);
    let repair = [
        "repair", "26-001", "F1", "--method", "clean", "--cost", "12",
    ];
    shop.run(&[&repair[..], &["--private-note", "SECRET of the repair"]].concat())
        .code(0);
    shop
}

/// Rows of a table as RFC 4180 has them.
fn rows(text: &str) -> Vec<Vec<String>> {
    let (mut rows, mut row, mut field, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match (quoted, sign) {
            (true, '"') if signs.peek() == Some(&'"') => field.push(signs.next().unwrap()),
            (_, '"') => quoted = !quoted,
            (false, ',') => row.push(std::mem::take(&mut field)),
            (false, '\r') => {
                assert_eq!(signs.next(), Some('\n'));
                row.push(std::mem::take(&mut field));
                rows.push(std::mem::take(&mut row));
            }
            (_, sign) => field.push(sign),
        }
    }
    assert!(row.is_empty() && field.is_empty(), "the last line ends");
    rows
}

#[test]
fn the_findings_are_a_table_with_the_names_of_the_survey() {
    let shop = shop();
    let text = shop.run(&["export", "26-001", "--findings"]).code(0);
    assert!(
        !text.out().contains("SECRET") && !text.out().contains("85"),
        "{text}"
    );
    let table = rows(text.out());
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    let findings = survey["findings"].as_array().unwrap();
    assert_eq!(table.len(), findings.len() + 1);
    for (row, finding) in table[1..].iter().zip(findings) {
        for (name, value) in table[0].iter().zip(row) {
            let said = match name.as_str() {
                "stock_no" => "26-001".to_owned(),
                "first_seen" | "last_seen" => "2026-05-03".to_owned(),
                "face" | "left_mm" | "top_mm" | "width_mm" | "height_mm" | "uncertainty_mm" => {
                    String::new()
                }
                "photos" => "1".to_owned(),
                "note" => match finding["tag"].as_str() {
                    Some("white_mark") => "where the lamp stood".to_owned(),
                    _ => String::new(),
                },
                "repairs" => {
                    if finding["id"] == "F1" || finding["id"] == 1 {
                        "1".to_owned()
                    } else {
                        String::new()
                    }
                }
                name => match &finding[name] {
                    Value::Null => String::new(),
                    Value::String(text) => text.clone(),
                    other => other.to_string(),
                },
            };
            assert_eq!(*value, said, "{name}");
        }
    }
    assert!(table.iter().flatten().any(|it| it == "left, \"cup\""));
    shop.run(&["export", "26-001", "--findings", "--out", "f.csv"])
        .code(0)
        .stdout("");
    assert_eq!(
        fs::read_to_string(shop.path("book/f.csv")).unwrap(),
        text.out()
    );
    let json = shop
        .run(&["export", "26-001", "--findings", "--json"])
        .json();
    assert_eq!(json.as_array().unwrap().len(), findings.len());
    shop.run(&["export", "26-001"]).code(2);
}

/// The place of a finding in mm, and its days over several shoots, are those of the demo's survey.
#[test]
fn places_and_days_are_those_of_the_record() {
    let (code, out) = asfound(
        Some(&demo().book),
        &["export", "26-001", "--findings", "--json"],
    );
    assert_eq!(code, 0);
    let rows: Value = serde_json::from_str(&out).unwrap();
    let (_, survey) = asfound(Some(&demo().book), &["survey", "26-001", "--json"]);
    let survey: Value = serde_json::from_str(&survey).unwrap();
    let mut placed = 0;
    for row in rows.as_array().unwrap() {
        let all = survey["findings"].as_array().unwrap();
        let finding = all.iter().find(|it| it["id"] == row["id"]).unwrap();
        let there =
            |it: &&Value| ["present", "better", "worse"].contains(&it["state"].as_str().unwrap());
        let days: Vec<&Value> = finding["history"]
            .as_array()
            .unwrap()
            .iter()
            .filter(there)
            .map(|it| &it["day"])
            .collect();
        assert_eq!(
            (&row["first_seen"], &row["last_seen"]),
            (days[0], days[days.len() - 1])
        );
        assert_eq!(row["repairs"], finding["repairs"]);
        if finding["place"].is_null() {
            assert!(row["left_mm"].is_null());
            continue;
        }
        placed += 1;
        let points = finding["place"]["outline_mm"].as_array().unwrap();
        let least = points
            .iter()
            .map(|it| it[0].as_f64().unwrap())
            .fold(f64::INFINITY, f64::min);
        assert!((row["left_mm"].as_f64().unwrap() - least).abs() < 0.06);
        assert_eq!(row["face"], finding["place"]["face"]);
    }
    assert!(placed > 2, "{placed} have a place");
}

/// The names of the context <http://www.w3.org/ns/anno.jsonld> that are used; one that is not in it would mean nothing to a reader.
const TERMS: [&str; 19] = [
    "id",
    "type",
    "label",
    "total",
    "first",
    "items",
    "startIndex",
    "motivation",
    "body",
    "target",
    "source",
    "selector",
    "value",
    "format",
    "purpose",
    "conformsTo",
    "Annotation",
    "TextualBody",
    "Image",
];

/// Every name of a value and below it.
fn names<'a>(value: &'a Value, all: &mut BTreeSet<&'a str>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(name, it)| {
            all.insert(name);
            names(it, all);
        }),
        Value::Array(list) => list.iter().for_each(|it| names(it, all)),
        _ => {}
    }
}

/// Web Annotation Data Model (W3C Recommendation of 2017-02-23), sections 3.1 to 3.3, 4.2.1, 4.2.7 and 5: what must be there.
#[test]
fn the_marks_are_web_annotations() {
    let shop = shop();
    let answer = shop.run(&["export", "26-001", "--marks"]).code(0);
    assert!(!answer.out().contains("SECRET"));
    let all = answer.json();
    assert_eq!(all["@context"][0], "http://www.w3.org/ns/anno.jsonld");
    assert_eq!(
        (&all["type"], &all["first"]["type"]),
        (&json!("AnnotationCollection"), &json!("AnnotationPage"))
    );
    let mut used = BTreeSet::new();
    names(&all, &mut used);
    used.retain(|it| !TERMS.contains(it));
    let own: Vec<&str> = used.into_iter().collect();
    assert_eq!(own, ["@context", "sha256"]);
    let items = all["first"]["items"].as_array().unwrap();
    assert_eq!(all["total"], items.len());
    let ids: BTreeSet<&str> = items.iter().map(|it| it["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), items.len(), "each has an address of its own");
    let photo = fs::read(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let digest = asfound::kit::digest::Digest::of(&photo);
    let with = |word: &str| {
        let has = |it: &&Value| it["body"].to_string().contains(word);
        items.iter().find(has).unwrap()
    };
    for it in items {
        assert_eq!(it["type"], "Annotation");
        let target = &it["target"];
        let source = if target["source"].is_null() {
            target
        } else {
            &target["source"]
        };
        assert!(
            source["label"]
                .as_str()
                .unwrap()
                .starts_with("1 purchase 2026-05-03/IMG_")
        );
        assert!(source["id"].as_str().unwrap().starts_with("ni:///sha-256;"));
        for body in it["body"].as_array().unwrap() {
            assert_eq!(
                (&body["type"], &body["format"]),
                (&json!("TextualBody"), &json!("text/plain"))
            );
            assert!(!body["value"].as_str().unwrap().is_empty());
        }
    }
    let ring = with("lamp");
    assert_eq!(ring["body"][0]["value"], "White ring or haze");
    assert_eq!(
        ring["body"][1]["value"],
        "F1, Top, left, \"cup\", level 2, 70 mm"
    );
    assert_eq!(ring["body"][2]["value"], "where the lamp stood");
    assert_eq!(ring["target"]["source"]["sha256"], digest.to_string());
    assert_eq!(
        ring["target"]["selector"]["value"],
        "xywh=percent:62,31.25,11,9"
    );
    let svg = |word: &str| {
        with(word)["target"]["selector"]["value"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    // The pictures are 1520 x 60 pixels.
    assert!(
        svg("Scratch")
            .contains("viewBox=\"0 0 1520 60\"><polyline fill=\"none\" points=\"152,6 304,30\"/>")
    );
    assert!(svg("Gouge").contains("<polygon points=\"15.2,0.6 30.4,0.6 30.4,1.8\"/>"));
    assert!(svg("Dent").contains("<circle cx=\"760\" cy=\"15\" r=\"1\"/>"));
    let sound = with("Looked for faults, found none");
    assert!(sound["target"]["selector"].is_null());
    // The same marks give the same addresses.
    assert_eq!(shop.run(&["export", "26-001", "--marks"]).json(), all);
}

/// Copies read back by exiftool: the regions and keywords are those of the sidecar, a turned picture lies upright and says nothing of
/// how to turn it, and no place, serial number or private word is in any.
#[test]
fn another_program_reads_the_marks_out_of_the_copies() {
    let Some(_) = reference_folder() else {
        crate::shop::say("left out: 1 test against another reader of XMP (ASFOUND_REFERENCE)");
        return;
    };
    let shop = shop();
    let place = |it: &mut Exif| {
        it.place = Some((48.2, 16.37, 171.0));
        it.serial = Some("A-77".to_owned());
    };
    shop.photo("IMG_7.jpg", place);
    shop.photo("IMG_8.jpg", |it| {
        place(it);
        it.orientation = Some(6);
    });
    let said = b"view = \"top_raking\"\nnote = \"Caf\xc3\xa9 & <light>\"\n[[mark]]\ntag = \"dent\"\npart = \"top\"\nwhich = \"edge\"\nlevel = 2\nbox = [0.0, 50.0, 10.0, 20.0]\n";
    shop.file("IMG_8.jpg.toml", said);
    shop.import();
    let before = shop.stored_names();
    let done = shop
        .run(&["export", "26-001", "--photos", "../copies", "--json"])
        .code(0)
        .json();
    assert_eq!(shop.stored_names(), before);
    let copies = done["photos"].as_array().unwrap();
    assert_eq!(copies.len(), 4, "{done:#}");
    shop.run(&["verify"])
        .says("4 of 4 originals in their places");
    shop.run(&["export", "26-001", "--photos", "../copies"])
        .code(2)
        .says("is not empty");
    let run = |args: &[&str]| {
        let mut command = Command::new("exiftool");
        let done = command
            .args(args)
            .arg(shop.path("copies"))
            .output()
            .unwrap();
        serde_json::from_slice::<Vec<Value>>(&done.stdout).unwrap()
    };
    for all in run(&["-j", "-a", "-G1"]) {
        let text = all.to_string();
        for private in [
            "SECRET",
            "A-77",
            "GPS",
            "Orientation",
            "Serial",
            "ExifTool:Warning",
        ] {
            assert!(!text.contains(private), "{private}: {all:#}");
        }
    }
    let read = run(&["-j", "-n", "-struct", "-XMP:all", "-ImageSize"]);
    let of = |name: &str| {
        read.iter()
            .find(|it| it["SourceFile"].as_str().unwrap().contains(name))
            .unwrap()
    };
    let turned = of("/26-001-0004 top_raking.jpg");
    assert_eq!(turned["ImageSize"], "60 1520");
    assert_eq!(turned["Description"], "Café & <light>");
    assert_eq!(turned["Subject"], json!(["Dent"]));
    assert_eq!(
        turned["ImageRegion"],
        json!([{
            "XMP-dc:Description": "F5, Top, edge, level 2",
            "Name": "Dent",
            "RId": "mark-1",
            "RegionBoundary": { "RbShape": "rectangle", "RbUnit": "relative", "RbX": 0, "RbY": 0.5, "RbW": 0.1, "RbH": 0.2 },
        }])
    );
    let front = of("/26-001-0001");
    assert_eq!(front["Title"], "26-001 walnut table, picture 1");
    assert_eq!(
        front["Subject"],
        json!([
            "White ring or haze",
            "Scratch in the finish",
            "Gouge",
            "Dent"
        ])
    );
    let regions = front["ImageRegion"].as_array().unwrap();
    let shapes: Vec<&Value> = regions
        .iter()
        .map(|it| &it["RegionBoundary"]["RbShape"])
        .collect();
    assert_eq!(shapes, ["rectangle", "polygon", "polygon", "circle"]);
    assert_eq!(
        regions[0]["XMP-dc:Description"],
        "F1, Top, left, \"cup\", level 2, 70 mm: where the lamp stood"
    );
    let corners = |n: usize| &regions[n]["RegionBoundary"]["RbVertices"];
    assert_eq!(
        *corners(1),
        json!([{ "RbX": 0.1, "RbY": 0.1 }, { "RbX": 0.2, "RbY": 0.5 }])
    );
    assert_eq!(corners(2).as_array().unwrap().len(), 3);
    assert_eq!(of("/26-001-0003")["ImageRegion"], Value::Null);
}

/// Exempi, which stands on the code that XMP came from, reads what copies say; written anew by it, it says the same.
#[test]
fn exempi_reads_what_copies_say() {
    if reference_folder().is_none() {
        return;
    }
    let shop = shop();
    shop.run(&["export", "26-001", "--photos", "../copies"])
        .code(0);
    let mut regions = 0;
    for entry in fs::read_dir(shop.path("copies")).unwrap() {
        let path = entry.unwrap().path();
        // `tests/run` names it where it is missing.
        let Ok(ran) = Command::new("exempi").arg("-x").arg(&path).output() else {
            return;
        };
        let anew = ran.stdout;
        let ours = asfound::photo::written_in(&fs::read(&path).unwrap());
        assert_eq!(asfound::photo::written_in(&anew), ours);
        let title = String::from_utf8(anew).unwrap();
        assert!(title.contains("26-001 walnut table, picture "), "{title}");
        regions += ours.regions.len();
    }
    assert_eq!(regions, 4);
}

/// A copy for the public named the seller in its file name, and pictures of their home were among the copies.
#[test]
fn copies_have_plain_names_and_no_pictures_of_homes_but_those_asked_for() {
    let shop = shop();
    shop.photo("../delivered/Widow O'Hara 12 Elm St.jpg", |_| ());
    let home = ["import", "../delivered", "--piece", "26-001"];
    shop.run(&[&home[..], &["--stage", "delivery"]].concat());
    let names = |folder: &str| {
        let all = fs::read_dir(shop.path(folder)).unwrap();
        let all = all.map(|it| it.unwrap().file_name().into_string().unwrap());
        all.collect::<BTreeSet<String>>()
    };
    let stock = shop.run(&["stock", "--json"]).json();
    let last = stock[0]["photos"].as_u64().unwrap();
    shop.run(&["export", "26-001", "--photos", "../copies"])
        .code(0)
        .says(&format!(
            "they may show other people's homes: {last}; --photo NUMBER"
        ));
    assert_eq!(names("copies").len() as u64, last - 1);
    let one = last.to_string();
    shop.run(&["export", "26-001", "--photos", "../one", "--photo", &one])
        .code(0);
    let asked = names("one").into_iter().collect::<Vec<_>>();
    assert_eq!(asked, [format!("26-001-{last:04}.jpg")]);
    shop.run(&["export", "26-001", "--photos", "../none", "--photo", "77"])
        .code(2)
        .says("26-001 has no picture 77");
    let all: BTreeSet<String> = names("copies").into_iter().chain(names("one")).collect();
    assert!(all.iter().all(|it| it.starts_with("26-001-0")), "{all:?}");
    for reader in ["buyer", "owner"] {
        let words = ["report", "26-001", "--draft", "--json", "--for", reader];
        let answer = shop.run(&words).json();
        let page = fs::read_to_string(answer["path"].as_str().unwrap()).unwrap();
        // In the list of pictures; what a draft still needs names its sidecar.
        let named = page.contains("<bdi>Widow O&#x27;Hara 12 Elm St.jpg");
        assert_eq!(named, reader == "owner", "{reader}");
    }
}

/// What the report brackets in a title does not go out bare on what the public sees.
#[test]
fn a_claim_is_bracketed_in_exports_and_a_label_names_the_form_instead() {
    let shop = Shop::new();
    shop.book().piece("solid oak table");
    shop.photo("IMG_1.jpg", |_| ());
    shop.import();
    let with = "olid oak [claims what the record does not show] table";
    let label = shop.run(&["label", "26-001", "--out", "-"]).code(0);
    assert!(
        !label.out().to_lowercase().contains("solid"),
        "{}",
        label.out()
    );
    let told = "claims what the record does not show";
    assert!(label.err().contains(told), "{}", label.err());
    label.says(">Side or occasional table</p>");
    shop.run(&["export", "26-001", "--marks"])
        .code(0)
        .says(with);
    shop.run(&["export", "26-001", "--photos", "../copies"])
        .code(0);
    let copy = fs::read(shop.path("copies/26-001-0001.jpg")).unwrap();
    assert!(String::from_utf8_lossy(&copy).contains(with));
}

/// What exiftool writes into a photo stands in its sidecar as comments, and counts for nothing before somebody says it.
#[test]
fn what_another_program_wrote_into_a_photo_waits_in_its_sidecar() {
    let Some(_) = reference_folder() else {
        crate::shop::say("left out: 1 test against another writer of XMP (ASFOUND_REFERENCE)");
        return;
    };
    let shop = shop();
    shop.photo("IMG_7.jpg", |_| ());
    shop.photo("IMG_8.jpg", |it| it.orientation = Some(6));
    let region = "-RegionInfo={RegionList=[{Name=crack's end,Type=Focus,Area={X=0.5,Y=0.25,W=0.1,H=0.05,Unit=normalized}}]}";
    let iptc = "-XMP-iptcExt:ImageRegion=[{Name=ring,RegionBoundary={RbShape=rectangle,RbUnit=relative,RbX=0.1,RbY=0.2,RbW=0.3,RbH=0.05}}]";
    for name in ["IMG_7.jpg", "IMG_8.jpg"] {
        let mut command = Command::new("exiftool");
        command.args([
            "-q",
            "-overwrite_original",
            "-Subject=oak",
            "-Subject=left door",
        ]);
        let done = command
            .args([region, iptc])
            .arg(shop.card(name))
            .output()
            .unwrap();
        assert!(
            done.status.success(),
            "{}",
            String::from_utf8_lossy(&done.stderr)
        );
    }
    shop.import()
        .says("another program's keywords or regions in 2 photos stand as comments");
    let text = |name: &str| {
        let names = shop.stored_names();
        let path = names.iter().find(|it| it.ends_with(name)).unwrap();
        fs::read_to_string(shop.stored(path)).unwrap()
    };
    let upright = text("IMG_7.jpg.toml");
    for line in [
        "#   keywords: oak; left door",
        "#   region: crack's end; box = [45.0, 22.5, 10.0, 5.0]",
        "#   region: ring; box = [10.0, 20.0, 30.0, 5.0]",
    ] {
        assert!(upright.lines().any(|it| it == line), "{line}\n{upright}");
    }
    // Stored lying: which way its places are meant, no standard settles.
    let turned = text("IMG_8.jpg.toml");
    assert!(
        turned.contains("region: ring; where, is not told"),
        "{turned}"
    );
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    assert!(!survey.to_string().contains("crack's end"));
}
