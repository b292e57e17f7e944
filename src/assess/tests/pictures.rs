//! Single photos as evidence.

use crate::assess::assessment::PictureIssue;
use crate::assess::tests::build::Build;
use crate::kit::clock::ClockOff;
use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::model::photo::Stage;

/// One measured photo: name, side pixels, sharpness, brightness, black share, look, camera time.
type Measured = (&'static str, u32, f64, f64, f64, u64, &'static str);

/// The 34 rendered demo photos, measured with Pillow and numpy (Laplacian with the 4-neighbour kernel and reflected border
/// at a long side of 1024 by area averaging; ITU-R 601 grey; 9 x 8 difference hash by area averaging).
const DEMO: [Measured; 34] = [
    (
        "K2_20260314_100211",
        2016,
        439.1,
        143.9,
        0.005,
        0x6123_0b81_8106_0010,
        "2026-03-14T10:02:11",
    ),
    (
        "K2_20260314_100320",
        2016,
        198.1,
        144.0,
        0.003,
        0x2222_4060_e007_0000,
        "2026-03-14T10:03:20",
    ),
    (
        "K2_20260314_100402",
        2016,
        143.2,
        143.9,
        0.001,
        0x4041_4501_0706_01c0,
        "2026-03-14T10:04:02",
    ),
    (
        "K2_20260314_100431",
        2016,
        145.3,
        143.8,
        0.002,
        0xc041_4531_4706_01c0,
        "2026-03-14T10:04:31",
    ),
    (
        "K2_20260314_100515",
        2016,
        236.5,
        143.6,
        0.005,
        0xc0c2_c2e0_a200_0300,
        "2026-03-14T10:05:15",
    ),
    (
        "K2_20260314_100558",
        2016,
        238.7,
        95.1,
        0.079,
        0xf367_71f1_7170_f0f8,
        "2026-03-14T10:05:58",
    ),
    (
        "K2_20260314_100640",
        2016,
        273.5,
        143.2,
        0.002,
        0xc141_4347_26ac_d480,
        "2026-03-14T10:06:40",
    ),
    (
        "K2_20260314_100725",
        2016,
        620.7,
        142.1,
        0.010,
        0x2c09_4514_00a0_a183,
        "2026-03-14T10:07:25",
    ),
    (
        "K2_20260314_100810",
        2016,
        372.4,
        142.7,
        0.003,
        0x070b_049b_b6ce_bca4,
        "2026-03-14T10:08:10",
    ),
    (
        "K2_20260314_100905",
        2016,
        171.2,
        145.3,
        0.014,
        0x6c6c_6c20_e80f_14f0,
        "2026-03-14T10:09:05",
    ),
    (
        "K2_20260314_101012",
        2016,
        165.4,
        141.1,
        0.008,
        0x1814_e4e4_d490_50d0,
        "2026-03-14T10:10:12",
    ),
    (
        "K2_20260314_101050",
        2016,
        98.8,
        140.9,
        0.009,
        0xe4e4_e4e4_61bc_6070,
        "2026-03-14T10:10:50",
    ),
    (
        "K2_20260314_101144",
        2016,
        94.2,
        143.1,
        0.000,
        0x00fc_7e4b_c786_0226,
        "2026-03-14T10:11:44",
    ),
    (
        "K2_20260314_101230",
        2016,
        169.0,
        140.2,
        0.001,
        0x9808_0ccc_0c53_5321,
        "2026-03-14T10:12:30",
    ),
    (
        "K2_20260314_101308",
        2016,
        145.3,
        141.1,
        0.000,
        0x8088_a5ad_2c6c_6464,
        "2026-03-14T10:13:08",
    ),
    (
        "K2_20260314_101309",
        2016,
        144.7,
        141.1,
        0.000,
        0x8088_a5ad_6c6c_6464,
        "2026-03-14T10:13:09",
    ),
    (
        "K2_20260314_101420",
        2016,
        9.4,
        140.1,
        0.000,
        0x0404_8c9c_9889_8899,
        "2026-03-14T10:14:20",
    ),
    (
        "K2_20260501_172820",
        2016,
        322.7,
        135.6,
        0.015,
        0x0c94_dcdc_4c4d_4c4c,
        "2026-05-01T17:28:20",
    ),
    (
        "K2_20260502_182005",
        2016,
        490.6,
        142.9,
        0.007,
        0x63bf_8baf_2706_0610,
        "2026-05-02T18:20:05",
    ),
    (
        "K2_20260502_182210",
        2016,
        174.6,
        143.0,
        0.001,
        0xe2e1_150d_0e0c_4090,
        "2026-05-02T18:22:10",
    ),
    (
        "K2_20260502_182251",
        2016,
        192.8,
        142.8,
        0.002,
        0x6263_4735_0606_41d0,
        "2026-05-02T18:22:51",
    ),
    (
        "K2_20260502_182330",
        2016,
        292.5,
        141.2,
        0.006,
        0xe0c3_5372_7212_9280,
        "2026-05-02T18:23:30",
    ),
    (
        "K2_20260502_182412",
        2016,
        135.4,
        56.0,
        0.147,
        0xf3e6_f3f1_a1a1_80ce,
        "2026-05-02T18:24:12",
    ),
    (
        "K2_20260502_182502",
        2016,
        329.8,
        142.4,
        0.001,
        0x4141_85a6_bebc_f4c8,
        "2026-05-02T18:25:02",
    ),
    (
        "K2_20260502_182615",
        2016,
        170.3,
        134.2,
        0.008,
        0x9854_9494_9410_1818,
        "2026-05-02T18:26:15",
    ),
    (
        "K2_20260502_182659",
        2016,
        131.6,
        140.0,
        0.000,
        0xe0fc_7e4f_c787_0626,
        "2026-05-02T18:26:59",
    ),
    (
        "K2_20260502_182740",
        2016,
        172.9,
        134.0,
        0.000,
        0x9888_c8ca_5a53_230b,
        "2026-05-02T18:27:40",
    ),
    (
        "K2_20260520_114110",
        2016,
        387.0,
        143.5,
        0.003,
        0xfc9c_041c_1b1f_1fff,
        "2026-05-20T11:41:10",
    ),
    (
        "K2_20260520_114203",
        2016,
        309.0,
        140.7,
        0.000,
        0xfcbf_17b3_7392_82c0,
        "2026-05-20T11:42:03",
    ),
    (
        "K2_20260520_114244",
        2016,
        125.6,
        136.3,
        0.000,
        0xd89c_ac6b_5b5b_3335,
        "2026-05-20T11:42:44",
    ),
    (
        "M5_0231",
        2016,
        387.2,
        124.7,
        0.000,
        0x1f59_5959_1131_1b1a,
        "2026-05-24T20:16:20",
    ),
    (
        "M5_0236",
        2016,
        146.9,
        137.4,
        0.000,
        0x7fb5_a561_6dc9_991b,
        "2026-05-25T09:03:12",
    ),
    (
        "M5_0238",
        2016,
        120.0,
        136.3,
        0.000,
        0xd899_bdff_5fdb_d7f3,
        "2026-05-25T09:04:40",
    ),
    (
        "chat-0007",
        1280,
        458.9,
        136.9,
        0.001,
        0xe06c_5f4f_4fe7_918c,
        "",
    ),
];

fn demo() -> Build {
    let mut build = Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .shoot(Stage::Sale, "2026-05-02")
        .shoot(Stage::Handover, "2026-05-20")
        .shoot(Stage::Delivery, "2026-05-24");
    for (name, side, sharpness, brightness, black_share, look, time) in DEMO {
        build = build.photo("", &[], vec![]).but(|it| {
            it.name = name.to_owned();
            it.facts = Facts {
                width: side,
                height: side * 3 / 4,
                sharpness,
                brightness,
                black_share,
                look,
                camera_time: (!time.is_empty()).then(|| time.parse().unwrap()),
                ..it.facts.clone()
            };
            it.shoot = match &time.get(..7) {
                Some("2026-03") => 1,
                Some("2026-05") if name.starts_with("M5") => 4,
                Some("2026-05") if name.contains("0520") => 3,
                Some(_) => 2,
                None => 4,
            };
            if time.is_empty() {
                it.facts.camera = None;
                it.facts.oddities.push(Oddity::NoExif);
            } else if name.starts_with("M5") {
                it.facts.camera = Some("Orrery M5".to_owned());
            }
            if name == "K2_20260501_172820" {
                it.clock_off = ClockOff { seconds: 90_000 };
            }
        });
    }
    build
}

/// What the set's own description says of it: one under-exposed, one blurred, one burst pair, one messenger copy.
#[test]
fn the_demo_photos_get_the_notes_they_deserve() {
    let told = demo().assess();
    let name = |no: u32| {
        let photo = told.photos.iter().find(|it| it.no == no);
        photo.map(|it| it.name.clone()).unwrap()
    };
    let notes: Vec<(String, PictureIssue)> = told
        .picture_notes
        .iter()
        .map(|it| (name(it.photo), it.code))
        .collect();
    let want = [
        ("K2_20260314_101309", PictureIssue::Burst),
        ("K2_20260314_101420", PictureIssue::Blurred),
        ("K2_20260502_182412", PictureIssue::Dark),
        ("chat-0007", PictureIssue::Small),
        ("chat-0007", PictureIssue::Copy),
    ];
    let want: Vec<_> = want
        .iter()
        .map(|(name, code)| ((*name).to_owned(), *code))
        .collect();
    assert_eq!(notes, want);
    let small = told
        .picture_notes
        .iter()
        .find(|it| it.code == PictureIssue::Small);
    assert_eq!(
        small.unwrap().text,
        "1280 x 960: a 1 mm fault covers 1.3 pixels in a view one metre wide"
    );
}

fn two() -> Build {
    Build::chest()
        .shoot(Stage::Purchase, "2026-03-14")
        .photo("", &[], vec![])
        .photo("", &[], vec![])
}

fn codes(build: &Build) -> Vec<(u32, PictureIssue)> {
    build
        .assess()
        .picture_notes
        .iter()
        .map(|it| (it.photo, it.code))
        .collect()
}

/// The same picture as HEIC and as JPEG has one camera time; two pictures of one scene have two.
#[test]
fn the_same_picture_in_two_codings_is_told() {
    let alike = |time: &str| {
        two().but(|it| {
            it.facts.look = crate::assess::tests::build::facts(1, None).look ^ 0b1011;
            it.facts.format = Format::Heic;
            it.facts.camera_time = Some(time.parse().unwrap());
        })
    };
    assert_eq!(
        codes(&alike("2026-03-14T10:01:00")),
        [(2, PictureIssue::SamePicture)]
    );
    assert_eq!(
        codes(&alike("2026-03-14T10:01:02")),
        [(2, PictureIssue::Burst)]
    );
    assert_eq!(codes(&alike("2026-03-14T10:02:00")), []);
}

/// A messenger copy of a photo that is there: its copy has neither time nor size of its own.
#[test]
fn a_messenger_copy_of_a_known_photo_is_told() {
    let build = two().but(|it| {
        it.facts = Facts {
            look: crate::assess::tests::build::facts(1, None).look,
            width: 1280,
            height: 960,
            camera_time: None,
            oddities: vec![Oddity::NoExif],
            ..it.facts.clone()
        }
    });
    use PictureIssue as P;
    assert_eq!(
        codes(&build),
        [(2, P::Small), (2, P::SamePicture), (2, P::Copy)]
    );
}

#[test]
fn odd_files_are_told() {
    use PictureIssue as P;
    for (oddity, want) in [
        (Oddity::CutOff, Some(P::CutOff)),
        (Oddity::Edited("an editor".to_owned()), Some(P::Other)),
        (
            Oddity::ExifUnreadable("too large".to_owned()),
            Some(P::Other),
        ),
        (Oddity::SeveralExif, Some(P::Other)),
        (Oddity::OrientationOdd(9), Some(P::Other)),
        (Oddity::NoDate("    ".to_owned()), None),
    ] {
        let build = two().but(|it| it.facts.oddities.push(oddity.clone()));
        let want: Vec<_> = want.map(|it| (2, it)).into_iter().collect();
        assert_eq!(codes(&build), want, "{oddity:?}");
    }
    let no_time = two().but(|it| it.facts.camera_time = None);
    assert_eq!(codes(&no_time), [(2, P::NoTime)]);
    let future =
        two().but(|it| it.facts.camera_time = Some("2031-01-01T00:00:00".parse().unwrap()));
    assert_eq!(codes(&future), [(2, P::FutureDate)]);
}

#[test]
fn sharpness_is_compared_only_within_a_shoot_and_a_device() {
    let five = |other: &str| {
        let mut build = two()
            .photo("", &[], vec![])
            .photo("", &[], vec![])
            .photo("", &[], vec![]);
        for photo in &mut build.case.photos[1..] {
            photo.facts.camera = Some(other.to_owned());
            photo.facts.sharpness = 1000.0;
        }
        codes(&build)
    };
    assert_eq!(five("Kestrel K2"), [(1, PictureIssue::Blurred)]);
    assert_eq!(five("Orrery M5"), []);
}
