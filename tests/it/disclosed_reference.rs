//! What files tell of places and people, against exiftool: for every file in which it finds a place, an owner's name or a
//! serial number, so do we.
//!
//! The samples are those of `photo_reference`, of every kind, also such as only `keep` would take.

use std::collections::BTreeMap;
use std::fs;
use std::process::Command;

use asfound::photo::Disclosed;
use asfound::photo::disclosed;
use serde_json::Map;
use serde_json::Value;

use crate::photo_reference::reference_folder;

/// What exiftool finds and we do not, each with its reason.
const NOT_FOUND: [(&str, &str, &str); 0] = [];

/// What we find and exiftool does not, each with its reason.
const ONLY_OURS: [(&str, &str, &str); 1] = [(
    "heif/heif_other/L_xmp_latin1.heic",
    "name",
    "a packet with letters that are not UTF-8, which exiftool does not read; the name is there",
)];

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Found {
    place: bool,
    name: bool,
    serial: bool,
}

impl Found {
    fn all(self) -> [(&'static str, bool); 3] {
        [
            ("place", self.place),
            ("name", self.name),
            ("serial", self.serial),
        ]
    }
}

/// Which tags of exiftool are a place, a name or a serial number; of makers' notes the owner's name alone.
fn expected(tags: &Map<String, Value>) -> Found {
    let mut found = Found::default();
    for (key, value) in tags {
        let (group, tag) = key.split_once(':').unwrap_or(("", key));
        let said = match value {
            Value::String(text) => !text.trim_matches(|c| c == '\0' || c == ' ').is_empty(),
            Value::Null => false,
            _ => true,
        };
        found.name |= said && (group, tag) == ("MakerNotes", "OwnerName");
        if !said || !["EXIF", "XMP", "IPTC", "QuickTime", "PNG", "PDF"].contains(&group) {
            continue;
        }
        match tag {
            "GPSLatitude"
            | "GPSLongitude"
            | "GPSDestLatitude"
            | "GPSDestLongitude"
            | "GPSAreaInformation"
            | "GPSCoordinates"
            | "GPSPosition"
            | "City"
            | "Sub-location"
            | "Province-State"
            | "Country-PrimaryLocationName"
            | "Country-PrimaryLocationCode"
            | "ContentLocationName"
            | "State"
            | "Country"
            | "Location"
            | "LocationCreated"
            | "LocationShown"
            | "CountryCode"
            | "LocationInformation" => found.place = true,
            "Artist" | "Copyright" | "OwnerName" | "CameraOwnerName" | "XPAuthor" | "Creator"
            | "Rights" | "Credit" | "By-line" | "CopyrightNotice" | "Writer-Editor" | "Contact"
            | "Owner"
                if group != "PDF" =>
            {
                found.name = true;
            }
            "SerialNumber" | "BodySerialNumber" | "LensSerialNumber" | "CameraSerialNumber" => {
                found.serial = true;
            }
            _ => {}
        }
    }
    found
}

fn ours(it: &Disclosed) -> Found {
    Found {
        place: it.may_hold_a_place(),
        name: !it.names.is_empty(),
        serial: !it.serials.is_empty(),
    }
}

#[test]
fn places_names_and_serials_agree_with_exiftool() {
    let Some(folder) = reference_folder() else {
        return;
    };
    let samples = folder.join("samples");
    let run = Command::new("exiftool")
        .args(["-j", "-G", "-a", "-ee", "-struct", "-r", "."])
        .current_dir(&samples)
        .output()
        .expect("exiftool runs where the samples are");
    let said: Vec<Map<String, Value>> = serde_json::from_slice(&run.stdout).unwrap();
    let (mut differences, mut counts) = (Vec::new(), BTreeMap::<&str, (usize, usize)>::new());
    for tags in &said {
        let name = tags["SourceFile"]
            .as_str()
            .unwrap()
            .trim_start_matches("./");
        let found = disclosed(&fs::read(samples.join(name)).unwrap());
        for ((what, want), (_, have)) in expected(tags).all().into_iter().zip(ours(&found).all()) {
            let known: &[(&str, &str, &str)] = if want { &NOT_FOUND } else { &ONLY_OURS };
            let count = counts.entry(what).or_default();
            count.0 += usize::from(want);
            count.1 += usize::from(want && have);
            if want != have && !known.iter().any(|it| (it.0, it.1) == (name, what)) {
                differences.push(format!("{name}: {what}: exiftool {want}, we {found:?}"));
            }
        }
    }
    assert!(said.len() >= 900, "only {} files were read", said.len());
    assert!(
        differences.is_empty(),
        "{counts:?}\n{}",
        differences.join("\n")
    );
    for (what, least) in [("place", 10), ("name", 8), ("serial", 10)] {
        assert!(counts[what].0 >= least, "{what}: {counts:?}");
    }
}

/// Where other programs write captions.
const CAPTIONS: [&str; 4] = [
    "XMP-dc:Description",
    "IPTC:Caption-Abstract",
    "IFD0:XPComment",
    "IFD0:ImageDescription",
];

/// Keywords, captions and regions that other programs wrote, over all sample files: what exiftool reads, we read.
#[test]
fn keywords_captions_and_regions_agree_with_exiftool() {
    let Some(folder) = reference_folder() else {
        return;
    };
    let samples = folder.join("samples");
    let tags = [
        "-j",
        "-struct",
        "-r",
        "-G1",
        "-charset",
        "iptc=Latin",
        "-XMP-dc:Subject",
        "-XMP-dc:Description",
        "-IPTC:Keywords",
        "-IPTC:Caption-Abstract",
        "-IFD0:XPKeywords",
        "-IFD0:XPComment",
        "-IFD0:ImageDescription",
        "-XMP-mwg-rs:RegionInfo",
        "-XMP-iptcExt:ImageRegion",
        ".",
    ];
    let run = Command::new("exiftool")
        .args(tags)
        .current_dir(&samples)
        .output()
        .expect("exiftool runs where the samples are");
    let said: Vec<Map<String, Value>> = serde_json::from_slice(&run.stdout).unwrap();
    let list = |it: Option<&Value>| match it {
        Some(Value::Array(all)) => all.clone(),
        Some(one) => vec![one.clone()],
        None => Vec::new(),
    };
    let words = |it: &Value| match it {
        Value::String(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        other => other.to_string(),
    };
    let mut counts = [0; 3];
    for tags in &said {
        let name = tags["SourceFile"].as_str().unwrap();
        let found = asfound::photo::written_in(&fs::read(samples.join(name)).unwrap());
        let mut keywords: Vec<String> = Vec::new();
        for tag in ["XMP-dc:Subject", "IPTC:Keywords", "IFD0:XPKeywords"] {
            for it in list(tags.get(tag)).iter().map(words) {
                if !it.is_empty() && !keywords.contains(&it) {
                    keywords.push(it);
                }
            }
        }
        assert_eq!(found.keywords, keywords, "{name}");
        // Cameras and programs write some of themselves, which are left out.
        let captions: Vec<String> = CAPTIONS
            .iter()
            .flat_map(|it| list(tags.get(*it)))
            .map(|it| words(&it))
            .collect();
        if name.ends_with("L_xmp_latin1.heic") {
            // Not the UTF-8 that XMP asks for, so that exiftool leaves it.
            assert!(found.captions[0].starts_with("Jules Adolphe Aim\u{e9} Louis"));
            continue;
        }
        for it in &found.captions {
            assert!(captions.contains(it), "{name}: {it}, not {captions:?}");
        }
        let regions = tags
            .get("XMP-mwg-rs:RegionInfo")
            .and_then(|it| it.get("RegionList"));
        let regions = list(regions)
            .into_iter()
            .chain(list(tags.get("XMP-iptcExt:ImageRegion")));
        let face = |it: &Value| it.get("Type").is_some_and(|it| it == "Face");
        let regions = regions.filter(|it| !face(it));
        let names: Vec<String> = regions.filter_map(|it| it.get("Name").map(words)).collect();
        let ours: Vec<String> = found.regions.iter().map(|it| it.name.clone()).collect();
        assert_eq!(ours, names, "{name}");
        counts[0] += usize::from(!keywords.is_empty());
        counts[1] += usize::from(!names.is_empty());
        counts[2] += usize::from(!found.captions.is_empty());
    }
    crate::shop::say(&format!(
        "files with keywords, regions, captions: {counts:?}"
    ));
    assert!(counts[0] >= 3 && counts[2] >= 1, "{counts:?}");
}

/// What exiftool writes wherever other programs write it, we read.
#[test]
fn keywords_and_captions_that_exiftool_wrote_come_out() {
    if reference_folder().is_none() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.jpg");
    let plain = samples::jpeg_seeded(64, 48, 3, &samples::Exif::taken("2026:05:03 10:00:00"));
    let write = |words: &[&str]| {
        fs::write(&path, &plain).unwrap();
        let ran = Command::new("exiftool")
            .args(words)
            .arg(&path)
            .output()
            .unwrap();
        assert!(ran.status.success(), "{ran:?}");
        asfound::photo::written_in(&fs::read(&path).unwrap())
    };
    for charset in ["UTF8", "Latin"] {
        let found = write(&[
            "-charset",
            &format!("iptc={charset}"),
            "-IPTC:Keywords=gr\u{fc}n",
            "-IPTC:Keywords=left door",
            "-IPTC:Caption-Abstract=The feet are new, gr\u{fc}n",
            "-XPKeywords=oak;left door; gr\u{f6}\u{df}er",
            "-XPComment=Bought at a fair",
            "-IFD0:ImageDescription=Chest of drawers",
            "-XMP-dc:Description=Restored 1987",
            "-XMP-dc:Subject=oak",
        ]);
        let want = ["oak", "gr\u{fc}n", "left door", "gr\u{f6}\u{df}er"];
        assert_eq!(found.keywords, want, "{charset}");
        let mut captions = found.captions;
        captions.sort();
        let want = [
            "Bought at a fair",
            "Chest of drawers",
            "Restored 1987",
            "The feet are new, gr\u{fc}n",
        ];
        assert_eq!(captions, want, "{charset}");
    }
    let same = write(&[
        "-IFD0:ImageDescription=Restored",
        "-XMP-dc:Description=Restored 1987",
    ]);
    assert_eq!(same.captions, ["Restored 1987"]);
    let own = write(&["-IFD0:ImageDescription=OLYMPUS DIGITAL CAMERA"]);
    assert!(own.is_empty());
}
