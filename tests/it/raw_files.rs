//! Camera raw files: kept as they are, shown by the picture that the camera put into them, which is said once.

use std::fs;
use std::process::Command;

use asfound::photo::shown;
use samples::LAYOUTS;
use samples::RawLayout;
use samples::RawSaid;

use crate::oracle_page::unlinked;
use crate::photo_reference::reference_folder;
use crate::proof::folder;
use crate::shop::Shop;

const SAID: RawSaid = RawSaid {
    orientation: 1,
    time: "2026:05:03 10:00:00",
    place: false,
};

fn raw(layout: RawLayout, (width, height): (u32, u32), seed: u32) -> Vec<u8> {
    let rgb = samples::pixels(width, height, seed);
    let large = samples::jpeg_of(width, height, &rgb, None);
    samples::raw_of(layout, &large, &samples::jpeg_bare(160, 107), &SAID)
}

#[test]
fn a_raw_file_is_kept_as_it_is_and_its_preview_is_told_once() {
    let shop = Shop::with_piece();
    shop.ready("");
    let files = [
        ("A.dng", raw(RawLayout::Dng, (1620, 1080), 7)),
        ("B.nef", raw(RawLayout::Nef, (1620, 1080), 8)),
        ("C.orf", raw(RawLayout::Orf, (640, 427), 9)),
    ];
    for (name, bytes) in &files {
        shop.file(name, bytes);
        shop.file(
            format!("{name}.toml"),
            b"view = \"part_whole\"\nparts = [\"top\"]\n",
        );
    }
    let answer = shop.import_json().json();
    assert_eq!(answer["taken"], 3, "{answer}");
    // No fault of theirs: what is told at import is told of other things.
    assert!(!answer.to_string().contains("raw file"), "{answer}");
    for (name, bytes) in &files {
        let stored = shop.stored(&format!("1 purchase 2026-05-03/{name}"));
        assert!(fs::read(stored).unwrap() == *bytes, "{name} was changed");
    }
    let preview = "hown: the preview that the camera put into the raw file";
    let small = format!("{preview}, only 640 x 427 pixels");
    let survey = shop.run(&["survey", "26-001"]);
    let survey = survey.out();
    assert!(
        survey.contains(&format!("  pictures 3, 4: s{preview}\n")),
        "{survey}"
    );
    assert!(
        survey.contains(&format!("  picture 5 C.orf: s{small}\n")),
        "{survey}"
    );
    assert_eq!(survey.matches(preview).count(), 2, "{survey}");
    let report = shop.run(&["report", "26-001", "--json"]).code(0).json();
    let page = fs::read_to_string(report["path"].as_str().unwrap()).unwrap();
    let page = unlinked(&page);
    assert!(page.contains(&format!("{preview}: pictures 3, 4.")));
    assert!(page.contains(&format!("{small}: picture 5.")));
    assert_eq!(page.matches(preview).count(), 2);
    shop.run(&["seal"]).code(0);
    let dossier = folder(&shop, &[]);
    let cover = fs::read_to_string(dossier.join("data/cover.html")).unwrap();
    assert_eq!(cover.matches(preview).count(), 2);
    let whole = fs::read(dossier.join("data/originals/1-purchase/A.dng")).unwrap();
    assert!(whole == files[0].1);
    shop.run(&["verify".as_ref(), dossier.as_os_str()]).code(0);
}

/// exiftool finds the same bytes, by one of the names that it has for such pictures.
#[test]
fn the_picture_in_a_raw_file_is_the_one_that_exiftool_takes_out() {
    if reference_folder().is_none() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    for (layout, ending) in LAYOUTS {
        let bytes = raw(layout, (1620, 1080), 7);
        let path = folder.path().join(format!("it.{ending}"));
        fs::write(&path, &bytes).unwrap();
        let found = ["-PreviewImage", "-JpgFromRaw"].map(|tag| {
            let run = Command::new("exiftool")
                .args(["-b", tag])
                .arg(&path)
                .output();
            run.expect("exiftool runs where the samples are").stdout
        });
        let ours = shown(&bytes).unwrap();
        assert!(found.iter().any(|it| it == ours), "{ending}");
    }
}
