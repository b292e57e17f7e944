//! Single photos as evidence.

use crate::assess::assessment::PictureIssue;
use crate::assess::tests::build::Build;
use crate::assess::tests::measured::demo;
use crate::model::facts::Facts;
use crate::model::facts::Format;
use crate::model::facts::Greys;
use crate::model::facts::Oddity;
use crate::model::photo::Stage;

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

/// Of two that look like it, the nearer one is the picture that was copied.
#[test]
fn a_copy_is_told_of_the_nearest_picture() {
    let first = crate::assess::tests::build::facts(1, None).look;
    let build = two()
        .but(|it| it.facts.look = first ^ 0b11)
        .photo("", &[], vec![])
        .but(|it| {
            it.facts.look = first ^ 0b111;
            it.facts.camera_time = None;
        });
    let notes = build.assess().picture_notes;
    let same = notes.iter().find(|it| it.code == PictureIssue::SamePicture);
    assert!(
        same.unwrap().text.starts_with("the same picture as 2,"),
        "{notes:?}"
    );
}

/// Two pictures of one scene whose looks are alike: the greys tell which of them was copied, and that a crop is of neither.
#[test]
fn greys_tell_a_copy_from_a_crop_and_a_neighbour() {
    let first = crate::assess::tests::build::facts(1, None).look;
    let greys = |step: u8| Some(Greys(std::array::from_fn(|it| it as u8 / 2 + step)));
    let told = |step: u8| {
        let build = two()
            .but(|it| (it.facts.look, it.facts.greys) = (first, greys(4)))
            .photo("", &[], vec![])
            .but(|it| {
                (it.facts.look, it.facts.greys) = (first, greys(step));
                it.facts.camera_time = None;
            });
        let mut build = build;
        build.case.photos[0].facts.greys = greys(8);
        let notes = build.assess().picture_notes;
        let same = notes.iter().find(|it| it.code == PictureIssue::SamePicture);
        same.map(|it| it.text.split(',').next().unwrap().to_owned())
    };
    assert_eq!(told(4).as_deref(), Some("the same picture as 2"));
    assert_eq!(told(8).as_deref(), Some("the same picture as 1"));
    assert_eq!(told(6), None);
}

#[test]
fn odd_files_are_told() {
    use PictureIssue as P;
    for (oddity, want) in [
        (Oddity::CutOff, Some(P::CutOff)),
        (
            Oddity::Damaged("data are left".to_owned()),
            Some(P::Damaged),
        ),
        (
            Oddity::Edited("an editor".to_owned()),
            Some(P::Contradiction),
        ),
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
fn of_a_raw_file_is_told_what_is_shown() {
    let of = |width: u32, height: u32| {
        let build = two().but(|it| {
            it.facts.format = Format::Raw;
            (it.facts.width, it.facts.height) = (width, height);
        });
        let notes = build.assess().picture_notes;
        let mut raw = notes
            .iter()
            .filter(|it| it.code == PictureIssue::RawPreview);
        raw.next().map(|it| it.text.clone()).unwrap()
    };
    let shown = "shown: the preview that the camera put into the raw file";
    assert_eq!(of(1000, 667), shown);
    assert_eq!(of(999, 666), format!("{shown}, only 999 x 666 pixels"));
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
