//! The photo room against reference tools: exiftool for Exif, Pillow and libheif for pictures, OpenCV for
//! sharpness, ImageHash for looks.
//!
//! The samples are fetched, never committed: `tests/reference/fetch.sh FOLDER`, then
//! `ASFOUND_REFERENCE=FOLDER cargo test --test it photo_reference`. Without the folder these tests are left
//! out and say so; on a build machine (`CI=true`) a missing folder is a failure.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use asfound::model::facts::Format;
use asfound::model::facts::Oddity;
use asfound::photo;
use asfound::photo::Limits;
use asfound::photo::Look;
use asfound::photo::PhotoError;
use asfound::photo::PhotoProcessor;
use image::RgbImage;
use serde_json::Value;

use crate::colour;

/// How many tests need the folder.
const TESTS: usize = 9;

/// The folder that `tests/reference/fetch.sh` has prepared, if the environment names one.
pub(crate) fn reference_folder() -> Option<PathBuf> {
    let folder = std::env::var_os("ASFOUND_REFERENCE").map(PathBuf::from);
    let ready = folder.filter(|it| it.join("reference.json").is_file());
    let on_build_machine = std::env::var_os("CI").is_some_and(|it| it == "true");
    assert!(
        ready.is_some() || !on_build_machine,
        "CI=true, but ASFOUND_REFERENCE names no folder prepared by tests/reference/fetch.sh"
    );
    ready
}

/// One sample: what the tools say, and what we make of it.
struct Sample {
    said: Value,
    made: Result<Look, PhotoError>,
    bytes: Vec<u8>,
}

type Samples = BTreeMap<String, Sample>;

/// All samples, developed once; `None`, told on the screen, when there is no folder.
fn samples() -> Option<&'static Samples> {
    static SAMPLES: OnceLock<Option<Samples>> = OnceLock::new();
    let samples = SAMPLES.get_or_init(|| {
        let Some(folder) = reference_folder() else {
            let note =
                format!("left out: {TESTS} tests against reference tools (ASFOUND_REFERENCE)\n");
            // Not by `eprintln`, which the test harness swallows.
            let _ = std::io::stderr().write_all(note.as_bytes());
            return None;
        };
        let text = fs::read(folder.join("reference.json")).unwrap();
        let said: BTreeMap<String, Value> = serde_json::from_slice(&text).unwrap();
        let mut processor = PhotoProcessor::new(Limits::default());
        let develop = |(name, said): (String, Value)| {
            let bytes = fs::read(folder.join("samples").join(&name)).unwrap();
            let made = processor.process(&bytes);
            (name, Sample { said, made, bytes })
        };
        Some(said.into_iter().map(develop).collect())
    });
    samples.as_ref()
}

/// Whatever differed, one a line, or nothing.
fn no_differences(compared: usize, least: usize, differences: &[String]) {
    assert!(
        compared >= least,
        "only {compared} of at least {least} samples were compared"
    );
    assert!(
        differences.is_empty(),
        "{} of {compared} differ:\n{}",
        differences.len(),
        differences.join("\n")
    );
}

/// Exif facts where we differ from exiftool, each with its reason.
const EXIF_DIFFERS: [(&str, &str); 6] = [
    ("pillow/exif_imagemagick.png", RAW_PROFILE),
    ("pillow/exif_imagemagick_orientation.png", RAW_PROFILE),
    (
        "pillow/hopper_bad_exif.jpg",
        "a broken directory: we keep what can be read, exiftool nothing",
    ),
    (
        "pillow/hopper_bigtiff.tif",
        "the Exif crate does not know BigTIFF",
    ),
    (
        "pillow/ifd_tag_type.tiff",
        "directory pointers of type 13, which the Exif crate does not follow",
    ),
    (
        "pillow/pport_g4.tif",
        "a letter outside ASCII, shown by other signs",
    ),
];

const RAW_PROFILE: &str = "Exif as a text chunk of one program, from before PNG had a chunk for it";

#[test]
fn exif_facts_agree_with_exiftool() {
    let Some(samples) = samples() else { return };
    let (mut compared, mut differences) = (0, Vec::new());
    for (name, sample) in samples {
        let Ok(look) = &sample.made else { continue };
        if EXIF_DIFFERS.iter().any(|(it, _)| it == name) {
            continue;
        }
        let (facts, said) = (&look.facts, &sample.said["exif"]);
        compared += usize::from(said["time"].is_string());
        let mut compare = |what: &str, ours: Option<String>, theirs: Option<String>| {
            if ours != theirs {
                differences.push(format!("{name}: {what} {ours:?}, exiftool {theirs:?}"));
            }
        };
        let text = |value: &Value| value.as_str().map(str::to_owned);
        let number = |value: &Value| value.as_u64().map(|it| it.to_string());
        let time = facts.camera_time.map(|it| it.to_string());
        compare("time", time.clone(), text(&said["time"]));
        let early = photo::camera_time(&sample.bytes).map(|it| it.0.to_string());
        compare("time without decoding", early, time);
        let orientation = facts.orientation.map(|it| it.to_string());
        compare("orientation", orientation, number(&said["orientation"]));
        let focal = facts.focal_35mm.map(|it| it.to_string());
        compare("focal length", focal, number(&said["focal_35mm"]));
        let camera = match (text(&said["make"]), text(&said["model"])) {
            (Some(make), Some(model)) if !model.starts_with(&make) => {
                Some(format!("{make} {model}"))
            }
            (make, model) => model.or(make),
        };
        compare("camera", facts.camera.clone(), camera);
        if said["serial"].is_string() {
            compare("serial", facts.serial.clone(), text(&said["serial"]));
        }
        let place = facts.place.map(|it| [it.latitude, it.longitude]);
        let theirs: Option<Vec<f64>> = serde_json::from_value(said["place"].clone()).unwrap();
        let near = match (&place, &theirs) {
            (Some(a), Some(b)) => a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-5),
            (a, b) => a.is_none() && b.is_none(),
        };
        if !near {
            compare(
                "place",
                place.map(|it| format!("{it:?}")),
                theirs.map(|it| format!("{it:?}")),
            );
        }
    }
    no_differences(compared, 20, &differences);
}

/// Pictures where we differ from Pillow and libheif, each with its reason.
const PICTURE_DIFFERS: [(&str, &str); 10] = [
    (
        "heif/heif_other/invalid_id.heic",
        "the main picture is not there; each library takes another of the rest",
    ),
    (
        "heif/heif_other/nokia/alpha.heic",
        "no colour matrix is stated; each library assumes its own",
    ),
    (
        "heif/heif_special/guitar_cw90.hif",
        "only the grid says video range; the decoder asks the tiles: ours has less contrast, \
         as the means of both pictures show",
    ),
    (
        "pillow/16bit.r.tif",
        "FillOrder 2, bits of a byte reversed, which the decoder does not know",
    ),
    (
        "pillow/exif_imagemagick_orientation.png",
        "turned by an Exif text chunk that we do not read",
    ),
    (
        "pillow/hopper_bad_exif.jpg",
        "the coded picture itself is damaged; each decoder guesses",
    ),
    (
        "pillow/i_trns.png",
        "a see-through grey of 16 bits, which the script of values does not lay on white",
    ),
    ("pillow/tiff_16bit_RGBa.tiff", PREMULTIPLIED),
    ("pillow/tiff_strip_planar_16bit_RGBa.tiff", PREMULTIPLIED),
    (
        "pillow/xmp_tags_orientation.png",
        "turned by XMP, which we do not read",
    ),
];

const PREMULTIPLIED: &str = "associated alpha, which the decoder takes for plain alpha: too dark";

/// The most by which a picture of 32 x 32 averages may be off, of 255, in the mean.
const NEAR: f64 = 3.0;
/// The same for PNG samples, which are drawings in full colours: a preview keeps a quarter of the colour
/// samples. A picture turned wrongly is more than 40 off.
const NEAR_DRAWN: f64 = 9.0;

/// Exact averages of the areas of a grid of 32 x 32.
fn averages(picture: &RgbImage) -> Vec<f64> {
    // For each of the 32 spans of a side: its pixels, each with the share that lies inside.
    let spans = |side: u32| -> Vec<Vec<(u32, f64)>> {
        let step = f64::from(side) / 32.0;
        let inside = |n: u32, from: f64, to: f64| {
            let share = to.min(f64::from(n + 1)) - from.max(f64::from(n));
            (share > 1e-9).then_some((n, share / step))
        };
        let span = |n: u32| {
            let (from, to) = (f64::from(n) * step, f64::from(n + 1) * step);
            (0..side).filter_map(|n| inside(n, from, to)).collect()
        };
        (0..32).map(span).collect()
    };
    let (columns, rows) = (spans(picture.width()), spans(picture.height()));
    let mut averages = Vec::new();
    for row in &rows {
        for column in &columns {
            let mut sum = [0.0; 3];
            for (y, high) in row {
                for (x, wide) in column {
                    let pixel = picture.get_pixel(*x, *y).0;
                    for (sum, colour) in sum.iter_mut().zip(pixel) {
                        *sum += high * wide * f64::from(colour);
                    }
                }
            }
            averages.extend(sum);
        }
    }
    averages
}

#[test]
fn upright_pictures_agree_with_pillow_and_libheif() {
    let Some(samples) = samples() else { return };
    let (mut compared, mut differences) = (0, Vec::new());
    for (name, sample) in samples {
        let said = &sample.said["picture"];
        let (Some(small), Ok(look)) = (said["small"].as_array(), &sample.made) else {
            continue;
        };
        if PICTURE_DIFFERS.iter().any(|(it, _)| it == name) {
            continue;
        }
        compared += 1;
        let facts = &look.facts;
        let ours = (u64::from(facts.width), u64::from(facts.height));
        let theirs = (said["width"].as_u64(), said["height"].as_u64());
        if theirs != (Some(ours.0), Some(ours.1)) {
            differences.push(format!("{name}: size {ours:?}, Pillow {theirs:?}"));
            continue;
        }
        let preview = image::load_from_memory(&look.preview.jpeg)
            .unwrap()
            .into_rgb8();
        // Smaller ones are stretched by each tool in its own way.
        if preview.width() < 32 || preview.height() < 32 {
            continue;
        }
        let mine = averages(&preview);
        let theirs: Vec<f64> = small.iter().filter_map(Value::as_f64).collect();
        assert_eq!(mine.len(), theirs.len());
        let off = |(a, b): (&f64, &f64)| (a - b).abs();
        let off = mine.iter().zip(&theirs).map(off).sum::<f64>() / theirs.len() as f64;
        let near = match facts.format {
            Format::Png => NEAR_DRAWN,
            _ => NEAR,
        };
        if off > near {
            differences.push(format!("{name}: {:?}, {off:.1} of 255 off", facts.format));
        }
    }
    no_differences(compared, 300, &differences);
}

/// Whether the data of a photo were found damaged.
fn is_damaged(look: &Look) -> bool {
    let damaged = |it: &Oddity| matches!(it, Oddity::Damaged(_));
    look.facts.oddities.iter().any(damaged)
}

/// libjpeg's warnings are the reference. At least as many damaged files are noted as it warns of, and none that it
/// finds nothing in.
#[test]
fn damage_inside_is_noted_where_libjpeg_warns_of_it() {
    let Some(samples) = samples() else { return };
    let (mut compared, mut differences) = (0, Vec::new());
    for (name, sample) in samples {
        let (Some(warned), Ok(look)) = (sample.said["warned"].as_bool(), &sample.made) else {
            continue;
        };
        compared += 1;
        if is_damaged(look) && !warned {
            differences.push(format!("{name}: {:?}", look.facts.oddities));
        }
    }
    no_differences(compared, 55, &differences);
    let folder = reference_folder().unwrap();
    let said = fs::read(folder.join("damaged.json")).unwrap();
    let said: BTreeMap<String, bool> = serde_json::from_slice(&said).unwrap();
    let mut processor = PhotoProcessor::new(Limits::default());
    let noted = said.keys().filter(|name| {
        let bytes = fs::read(folder.join("damaged").join(name)).unwrap();
        processor.process(&bytes).is_ok_and(|it| is_damaged(&it))
    });
    let (noted, warned) = (noted.count(), said.values().filter(|it| **it).count());
    assert_eq!(said.len(), 64);
    assert!(
        noted >= 39 && noted >= warned,
        "{noted} noted, {warned} warned of"
    );
}

/// What two averages are apart at the most, CIEDE2000, in the mean.
const SAME_COLOUR: f64 = 1.0;

/// Pillow's ImageCms is the reference: the same photo in two wide colour spaces and every coding.
#[test]
fn colours_of_every_coding_are_those_of_their_profile() {
    let Some(samples) = samples() else { return };
    let (mut compared, mut differences) = (0, Vec::new());
    for (name, sample) in samples {
        if !name.starts_with("colour/") {
            continue;
        }
        let preview = &sample.made.as_ref().unwrap().preview;
        let preview = image::load_from_memory(&preview.jpeg).unwrap().into_rgb8();
        let mine = averages(&preview);
        let theirs = sample.said["picture"]["small"].as_array().unwrap();
        let theirs: Vec<f64> = theirs.iter().filter_map(Value::as_f64).collect();
        let apart = colour::mean_difference(&mine, &theirs);
        compared += 1;
        if apart > SAME_COLOUR {
            differences.push(format!("{name}: {apart:.2}"));
        }
    }
    no_differences(compared, 10, &differences);
}

/// A camera that writes Adobe RGB without a profile says so in its block alone (DCF option file, JEITA CP-3461): the same
/// pixels with their profile are the reference.
#[test]
fn adobe_rgb_without_a_profile_is_told_by_the_camera() {
    let Some(reference) = reference_folder() else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let with = fs::read(reference.join("samples/colour/adobe_rgb.jpg")).unwrap();
    let bare = |name: &str, more: &[&str]| {
        let path = folder.path().join(name);
        fs::write(&path, &with).unwrap();
        let mut exiftool = Command::new("exiftool");
        exiftool.args(["-q", "-q", "-overwrite_original", "-icc_profile:all="]);
        assert!(exiftool.args(more).arg(&path).status().unwrap().success());
        fs::read(path).unwrap()
    };
    let mut processor = PhotoProcessor::new(Limits::default());
    let mut seen = |bytes: &[u8]| {
        let preview = processor.process(bytes).unwrap().preview;
        averages(&image::load_from_memory(&preview.jpeg).unwrap().into_rgb8())
    };
    let wanted = seen(&with);
    let told = seen(&bare(
        "told.jpg",
        &["-InteropIndex=R03", "-ColorSpace#=65535"],
    ));
    let untold = seen(&bare("untold.jpg", &[]));
    let [told, untold] = [told, untold].map(|it| colour::mean_difference(&it, &wanted));
    assert!(told < 0.1, "{told}");
    assert!(untold > SAME_COLOUR, "{untold}");
}

/// TIFFs coded as no camera or phone does (palettes, Lab, 2, 4, 12 and 32 bits, signed numbers, JPEG colour,
/// fax codings): refused with the advice to export them.
const TOO_RARE: [&str; 35] = [
    "pillow/10ct_32bit_128.tiff",
    "pillow/12bit.cropped.tif",
    "pillow/16_bit_binary_pgm.tiff",
    "pillow/16bit.s.tif",
    "pillow/8bit.s.tif",
    "pillow/child_ifd.tiff",
    "pillow/compression.tif",
    "pillow/hopper.Lab.tif",
    "pillow/hopper_gray_4bpp.tif",
    "pillow/hopper_lzma.tif",
    "pillow/lab-green.tif",
    "pillow/lab-red.tif",
    "pillow/lab.tif",
    "pillow/multipage-lastframe.tif",
    "pillow/multipage-mmap.tiff",
    "pillow/multipage.tiff",
    "pillow/multipage_multiple_frame_loop.tiff",
    "pillow/multipage_out_of_order.tiff",
    "pillow/no_rows_per_strip.tif",
    "pillow/old-style-jpeg-compression.tif",
    "pillow/rdf.tif",
    "pillow/separate_planar_extra_samples.tiff",
    "pillow/tiff_gray_2_4_bpp/hopper2.tif",
    "pillow/tiff_gray_2_4_bpp/hopper2I.tif",
    "pillow/tiff_gray_2_4_bpp/hopper2IR.tif",
    "pillow/tiff_gray_2_4_bpp/hopper2R.tif",
    "pillow/tiff_gray_2_4_bpp/hopper4.tif",
    "pillow/tiff_gray_2_4_bpp/hopper4I.tif",
    "pillow/tiff_gray_2_4_bpp/hopper4IR.tif",
    "pillow/tiff_gray_2_4_bpp/hopper4R.tif",
    "pillow/tiff_strip_ycbcr_jpeg_1x1_sampling.tif",
    "pillow/tiff_strip_ycbcr_jpeg_2x2_sampling.tif",
    "pillow/tiff_tiled_ycbcr_jpeg_1x1_sampling.tif",
    "pillow/tiff_tiled_ycbcr_jpeg_2x2_sampling.tif",
    "pillow/total-pages-zero.tif",
];

/// Broken files out of which Pillow still makes something: cut off, cycles, wrong sizes.
const TOO_BROKEN: [&str; 6] = [
    "heif/heif_truncated/truncated.heic",
    "pillow/g4-fillorder-test.tif",
    "pillow/multipage_single_frame_loop.tiff",
    "pillow/old-style-jpeg-compression-no-samplesperpixel.tif",
    "pillow/tiff_wrong_bits_per_sample_2.tiff",
    "pillow/truncated_app14.jpg",
];

/// The TIFF decoder panics on tiles with separate planes; the panic is caught and told.
const GIVES_UP: [&str; 4] = [
    "pillow/tiff_tiled_planar_16bit_RGB.tiff",
    "pillow/tiff_tiled_planar_16bit_RGBa.tiff",
    "pillow/tiff_tiled_planar_lzw.tiff",
    "pillow/tiff_tiled_planar_raw.tif",
];

#[test]
fn what_pillow_opens_is_not_refused() {
    let Some(samples) = samples() else { return };
    let (mut compared, mut differences) = (0, Vec::new());
    for (name, sample) in samples {
        if sample.said["picture"]["small"].is_null() {
            continue;
        }
        compared += 1;
        let name = name.as_str();
        let expected = match &sample.made {
            Ok(_) => !TOO_RARE.contains(&name) && !TOO_BROKEN.contains(&name),
            Err(PhotoError::NotYet { .. }) => TOO_RARE.contains(&name),
            Err(PhotoError::Broken(_)) => TOO_BROKEN.contains(&name),
            Err(PhotoError::GaveUp) => GIVES_UP.contains(&name),
            Err(_) => false,
        };
        if !expected {
            let made = sample.made.as_ref().map(|look| &look.facts);
            differences.push(format!("{name}: {made:?}"));
        }
    }
    no_differences(compared, 400, &differences);
}

/// Mostly one flat black, where the bits of a look are a toss-up.
const FLAT: &str = "pillow/tiff_wrong_bits_per_sample_3.tiff";

#[test]
fn sharpness_and_look_agree_with_opencv_and_imagehash() {
    let Some(samples) = samples() else { return };
    let (mut compared, mut differences) = (0, Vec::new());
    for (name, sample) in samples {
        let said = &sample.said["picture"];
        let (Some(sharpness), Ok(look)) = (said["sharpness"].as_f64(), &sample.made) else {
            continue;
        };
        // Photos, not the drawn text of the PNG samples: there flat neighbours make bits a toss-up.
        if look.facts.format == Format::Png
            || look.facts.width.min(look.facts.height) < 120
            || sharpness < 20.0
        {
            continue;
        }
        if PICTURE_DIFFERS.iter().any(|(it, _)| it == name) {
            continue;
        }
        compared += 1;
        let ours = look.facts.sharpness;
        if (ours - sharpness).abs() > 0.03 * sharpness {
            differences.push(format!(
                "{name}: sharpness {ours:.1}, OpenCV {sharpness:.1}"
            ));
        }
        let theirs = u64::from_str_radix(said["look"].as_str().unwrap(), 16).unwrap();
        let bits = (look.facts.look ^ theirs).count_ones();
        if bits > 4 && name != FLAT {
            differences.push(format!(
                "{name}: {bits} bits of the look differ from ImageHash"
            ));
        }
    }
    no_differences(compared, 70, &differences);
}

/// HEIC files with something to trip over; sizes and facts by libheif and exiftool.
#[test]
fn heic_traps_are_passed() {
    let Some(samples) = samples() else { return };
    let of = |name: &str| &samples[&format!("heif/{name}")];
    let facts = |name: &str| &of(name).made.as_ref().unwrap().facts;
    // Turned by its box; applying Exif Orientation 6 as well would turn it twice.
    let arrow = facts("heif_other/arrow.heic");
    assert_eq!((arrow.width, arrow.height), (3024, 4032));
    assert_eq!(arrow.orientation, Some(6));
    assert_eq!(arrow.format, Format::Heic);
    // Exif greater than 131070 bytes.
    let big = facts("heif_special/xiaomi.heic");
    assert!(big.camera_time.is_some(), "{:?}", big.oddities);
    // Two Exif blocks: the first counts, as with exiftool.
    let two = facts("heif_other/empty_icc.heic");
    let time = two.camera_time.unwrap().to_string();
    assert!(time.starts_with("2021-07-06T16:08:14.164"), "{time}");
    assert!(two.oddities.contains(&Oddity::SeveralExif));
    // 200 megapixels in a coding that is read whole are refused before anything is decoded.
    let large = of("heif_special/200MP.heic").made.as_ref().unwrap_err();
    assert_eq!(
        large.to_string(),
        "it would take 802 MB of memory to read, and the limit is 370; export it smaller, or as a plain JPEG, and take that one in; \
         `asfound keep` puts the file by"
    );
    for (name, why) in [
        ("heif_corrupted/empty.heic", "the file is empty"),
        ("heif_corrupted/corrupted.heic", "broken"),
        ("heif_corrupted/corrupted.hif", "broken"),
        ("heif_truncated/truncated.heic", "broken"),
    ] {
        let said = of(name).made.as_ref().unwrap_err().to_string();
        assert!(said.contains(why), "{name}: {said}");
    }
}

/// No sample, however broken, makes a decoder panic, but the known ones.
#[test]
fn no_other_sample_makes_a_decoder_give_up() {
    let Some(samples) = samples() else { return };
    let gave_up = samples
        .iter()
        .filter(|(_, it)| matches!(it.made, Err(PhotoError::GaveUp)));
    let names: Vec<&str> = gave_up.map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, GIVES_UP);
    assert!(samples.len() > 600);
}

/// What camera facts of the samples do not fit together, by name: everything else fits.
const CONTRADICT: [(&str, &str); 3] = [
    ("pillow/broken_exif_dpi.jpg", "changed"),
    ("pillow/broken_exif_dpi.jpg", "thumbnail"),
    ("pillow/ultrahdr.jpg", "thumbnail"),
];

#[test]
fn contradictions_are_rare_and_known() {
    let Some(samples) = samples() else { return };
    let mut told = Vec::new();
    for (name, sample) in samples {
        let Ok(look) = &sample.made else { continue };
        for it in &look.facts.oddities {
            let word = match it {
                Oddity::SatelliteDate { .. } => "satellite",
                Oddity::StoredAtOtherTime { .. } => "stored",
                Oddity::ChangedLater { .. } => "changed",
                Oddity::OtherThumbnail(_) => "thumbnail",
                Oddity::BeforeItsStandard { .. } => "standard",
                _ => continue,
            };
            told.push((name.as_str(), word));
        }
    }
    assert_eq!(told, CONTRADICT);
}
