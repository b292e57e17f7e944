//! Copies of photos that are in the book: told as copies of the right one, or not at all.
//!
//! The photos are a third of the demo's rendered ones; with `ASFOUND_PHOTOS=FOLDER` all of them, and those of a folder.
//! A failure shows how many of each kind came out right, silent, as a neighbour of a burst and wrong.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::path::PathBuf;

use asfound::photo::Limits;
use asfound::photo::PhotoProcessor;
use image::DynamicImage;
use image::Rgb;
use image::RgbImage;
use image::imageops;
use image::imageops::FilterType;
use serde_json::Value;

use crate::shop::Shop;

/// The two photos of a burst are all but the same: a screenshot of the one may pass for one of the other.
const BURST: [&str; 2] = ["K2_20260314_101308", "K2_20260314_101309"];

fn photos(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            photos(&path, found);
        } else if path.extension().is_some_and(|it| it == "jpg") {
            found.push(path);
        }
    }
}

/// The upright photo, its long side as long as this.
fn sized(photo: &DynamicImage, side: u32) -> RgbImage {
    photo.resize(side, side, FilterType::Triangle).into_rgb8()
}

fn jpeg(picture: &RgbImage, quality: u8) -> Vec<u8> {
    let (width, height) = (picture.width() as u16, picture.height() as u16);
    let mut bytes = Vec::new();
    let encoder = jpeg_encoder::Encoder::new(&mut bytes, quality);
    encoder
        .encode(picture, width, height, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    bytes
}

/// So much of a picture, in percent, from so far left and down.
fn cut(of: &RgbImage, from: u32, share: u32) -> RgbImage {
    let part = |side: u32, it: u32| side * it / 100;
    let (w, h) = of.dimensions();
    let (left, top) = (part(w, from), part(h, from));
    imageops::crop_imm(of, left, top, part(w, share), part(h, share)).to_image()
}

/// The picture on the screen of a phone, with bars above and below.
fn screenshot(of: &DynamicImage) -> RgbImage {
    let (width, height) = (585, 1266);
    let shown = of.resize(width, height, FilterType::Triangle).into_rgb8();
    let mut screen = RgbImage::from_pixel(width, height, Rgb([0; 3]));
    let top = (height - shown.height()) / 2;
    imageops::overlay(&mut screen, &shown, 0, i64::from(top));
    screen
}

#[test]
fn a_copy_is_told_of_its_photo_and_never_of_another() {
    let mut all = Vec::new();
    photos(Path::new("demo/photos"), &mut all);
    // A third of them is enough for every day.
    if std::env::var_os("ASFOUND_PHOTOS").is_none() {
        all.sort();
        let mut no = 0..;
        let burst = |it: &PathBuf| BURST.iter().any(|name| it.ends_with(format!("{name}.jpg")));
        all.retain(|it| no.next().unwrap() % 3 == 0 || burst(it));
    }
    if let Some(more) = std::env::var_os("ASFOUND_PHOTOS") {
        photos(Path::new(&more), &mut all);
    }
    // A copy without a date of its own already.
    all.retain(|it| {
        !it.file_stem()
            .unwrap()
            .to_string_lossy()
            .starts_with("chat")
    });
    all.sort();
    let shop = Shop::with_piece();
    let mut processor = PhotoProcessor::new(Limits::default());
    for path in &all {
        let name = path.file_name().unwrap();
        let bytes = fs::read(path).unwrap();
        shop.file(Path::new("own").join(name), &bytes);
        let upright = processor.shrink(&bytes, u32::MAX, 95).unwrap();
        let photo = image::load_from_memory(&upright.jpeg).unwrap();
        let small = sized(&photo, 640);
        let copies: [(&str, Vec<u8>); 10] = [
            ("messenger 1280", jpeg(&sized(&photo, 1280), 70)),
            ("messenger 800", jpeg(&sized(&photo, 800), 45)),
            ("96 %", jpeg(&cut(&small, 2, 96), 75)),
            ("90 %", jpeg(&cut(&small, 0, 90), 75)),
            ("60 %", jpeg(&cut(&small, 20, 60), 75)),
            ("a quarter round", jpeg(&imageops::rotate90(&small), 75)),
            ("half round", jpeg(&imageops::rotate180(&small), 75)),
            ("mirrored", jpeg(&imageops::flip_horizontal(&small), 75)),
            ("upside down", jpeg(&imageops::flip_vertical(&small), 75)),
            ("screenshot", jpeg(&screenshot(&photo), 75)),
        ];
        for (kind, bytes) in copies {
            shop.file(Path::new("copies").join(kind).join(name), &bytes);
        }
    }
    let import = |folder: &str, stage: &str| {
        let folder = format!("../card/{folder}");
        let order = [
            "import", &folder, "--piece", "26-001", "--stage", stage, "--json",
        ];
        let photos = shop.run(&order).json()["photos"].clone();
        let each = photos.as_array().unwrap().iter();
        let file = |it: &Value| PathBuf::from(it["file"].as_str().unwrap());
        each.map(|it| (it["no"].as_u64().unwrap(), file(it)))
            .collect()
    };
    let mut files: BTreeMap<u64, PathBuf> = import("own", "purchase");
    let copies: BTreeMap<u64, PathBuf> = import("copies", "delivery");
    files.extend(copies.clone());
    let stem = |no: u64| files[&no].file_stem().unwrap().to_str().unwrap().to_owned();
    let survey = shop.run(&["survey", "26-001", "--json"]).json();
    // For each kind: right, silent, a neighbour of a burst, another photo.
    let mut counts: BTreeMap<String, [usize; 4]> = BTreeMap::new();
    for (no, file) in &copies {
        let notes = survey["picture_notes"].as_array().unwrap().iter();
        let mut same = notes.filter(|it| it["photo"] == *no && it["code"] == "same_picture");
        let partner = same.next().map(|it| {
            let text = it["text"].as_str().unwrap();
            let number = text.strip_prefix("the same picture as ").unwrap();
            let number: String = number.chars().take_while(char::is_ascii_digit).collect();
            stem(number.parse().unwrap())
        });
        let came = match partner {
            None => 1,
            Some(it) if it == stem(*no) => 0,
            Some(it) if [&*it, &*stem(*no)].iter().all(|it| BURST.contains(it)) => 2,
            Some(_) => 3,
        };
        let kind = file
            .parent()
            .unwrap()
            .file_name()
            .unwrap()
            .to_str()
            .unwrap();
        counts.entry(kind.to_owned()).or_default()[came] += 1;
    }
    assert_eq!(counts.len(), 10);
    for (kind, [right, silent, neighbour, wrong]) in counts.clone() {
        assert_eq!(wrong, 0, "{kind}: {counts:?}");
        let messenger = kind.starts_with("messenger");
        assert!(neighbour == 0 || kind == "screenshot", "{kind}");
        let told = if messenger {
            right
        } else {
            silent + neighbour + right
        };
        assert_eq!(told, all.len(), "{kind}");
    }
}
