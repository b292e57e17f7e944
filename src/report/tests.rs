//! The page as a whole.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::report::Packing;
use crate::report::Reader;
use crate::report::Shot;
use crate::report::ShotKind;
use crate::report::Taken;
use crate::report::detail_area;
use crate::report::fixture;
use crate::report::page;
use crate::report::shots;

/// Width and height of a JPEG, from its frame header (ITU-T T.81, B.2.2).
fn jpeg_size(bytes: &[u8]) -> (u32, u32) {
    let mut at = 2;
    loop {
        let (marker, length) = (bytes[at + 1], usize::from(bytes[at + 2]) * 256 + usize::from(bytes[at + 3]));
        if (0xC0..=0xC2).contains(&marker) {
            let two = |n: usize| u32::from(bytes[at + n]) * 256 + u32::from(bytes[at + n + 1]);
            return (two(7), two(5));
        }
        at += 2 + length;
    }
}

/// Makes pages to look at; `ASFOUND_LOOK` names a folder whose `pictures` have the names of shots.
#[test]
#[ignore = "for looking, not for checking"]
fn look() {
    let Ok(folder) = std::env::var("ASFOUND_LOOK") else { return };
    let folder = Path::new(&folder);
    let assessment = fixture::assessment();
    let mut lines = String::new();
    for (name, reader, packing, draft) in [
        ("page", Reader::Buyer, Packing::OneFile, false),
        ("owner", Reader::Owner, Packing::OneFile, true),
        ("folder", Reader::Buyer, Packing::Folder, false),
    ] {
        let order = crate::report::Order { draft, packing, ..fixture::order(reader) };
        let mut pictures = BTreeMap::new();
        for shot in shots(&assessment, &order) {
            let photo = &assessment.photos[shot.photo as usize - 1];
            let area = match &shot.kind {
                ShotKind::Detail { mark } => {
                    let region = photo.sidecar.marks[*mark].region.as_ref().unwrap();
                    detail_area(region, photo.facts.width, photo.facts.height)
                }
                _ => [0.0, 0.0, 100.0, 100.0],
            };
            lines += &format!("{}\t{}\t{area:?}\n", shot.file_name(), photo.name);
            if let Ok(jpeg) = fs::read(folder.join(shot.file_name())) {
                let (width, height) = jpeg_size(&jpeg);
                pictures.insert(shot, Taken { jpeg, width, height });
            }
        }
        let html = page(&assessment, &fixture::scene(), &order, &pictures).unwrap();
        fs::write(folder.join(format!("{name}.html")), html).unwrap();
    }
    fs::write(folder.join("shots.txt"), lines).unwrap();
}

/// A picture that is no picture; the page never looks inside.
fn stand_ins(shots: Vec<Shot>) -> BTreeMap<Shot, Taken> {
    let taken = |shot: &Shot| Taken {
        jpeg: shot.file_name().into_bytes(),
        width: 320,
        height: 240,
    };
    shots.into_iter().map(|it| { let picture = taken(&it); (it, picture) }).collect()
}
