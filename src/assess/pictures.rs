//! What is wrong with single photos as evidence.

use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::assessment::PictureIssue;
use crate::assess::assessment::PictureNote;
use crate::assess::timeline::Timeline;
use crate::kit::clock::CameraTime;
use crate::model::facts::Format;
use crate::model::facts::Oddity;
use crate::model::photo::Photo;

/// Mean grey (of 255) under which a photo counts as dark. Between the only under-exposed one (56) and the next darkest (95)
/// of the 34 rendered demo photos; a correctly exposed middle grey is near 118.
const DARK_MEAN: f64 = 70.0;

/// Share of nearly black pixels over which a photo counts as dark whatever its mean: a lit spot in a dark frame.
const DARK_SHARE: f64 = 0.55;

/// A photo this much less sharp than the middle of its shoot counts as blurred. Of the 34 rendered demo photos the only
/// blurred one has 0.06 of its shoot's median, the next 0.6.
const BLUR_SHARE: f64 = 0.2;

/// So many photos of one device and shoot make a median worth comparing with.
const BLUR_COMPANY: usize = 4;

/// Under this a photo counts as blurred on its own. Two badly blurred photographs of a computer-vision sample set have
/// 10.9 and 11.0 at their own size, the demo photos' blurred one 10, their least sharp good one 92. There is no universal
/// value, so this is far on the safe side.
const BLUR_FLOOR: f64 = 12.0;

/// Long side, pixels, under which a 1 mm fault in a view one metre wide covers less than 1.5 pixels.
const SMALL_SIDE: u32 = 1500;

/// Long side, pixels, under which the preview of a raw file is far from what the camera saw.
const RAW_SIDE: u32 = 1000;

/// Photos of a burst are at most so many milliseconds apart ...
const BURST_APART: i64 = 3_000;
/// ... and differ in at most so many bits of 64.
const BURST_BITS: u32 = 10;

/// Two codings of one picture differ in at most so many bits of 64. Two different demo photos also differ in only 4, so
/// this never counts where both cameras' times differ.
const SAME_BITS: u32 = 4;

/// Their 256 greys differ by at most so many steps together, half a step in the mean. Of copies of 65 rendered photos at 800 to 1600 pixels, the worst coded at a
/// quality of 45, the farthest is 0.3 steps from its photo; the nearest two that are not the same, a burst, are 0.8 from each other, the two
/// sides of a chest 4.8, a photo and 96 % of it 1.2.
const SAME_GREYS: u32 = 128;

/// A photo so many hours away from every other of its shoot, where the others lie together, counts as one whose clock
/// was off: a day's work has no such gap, a clock of another time zone or a day behind has.
const ALONE_HOURS: i64 = 12;

/// So many dated photos of a shoot make one that stands alone worth telling.
const ALONE_COMPANY: usize = 4;

/// Everything to be said of the photos, in their order.
pub(crate) fn notes(time: &Timeline<'_>) -> Vec<PictureNote> {
    let mut notes = Vec::new();
    for photo in &time.photos {
        let told = [
            dark(photo),
            blurred(photo, time),
            small(photo),
            raw(photo),
            twin(photo, time),
        ];
        let odd = photo
            .facts
            .oddities
            .iter()
            .filter_map(|it| oddity(photo, it));
        let mut its: Vec<PictureNote> = told.into_iter().flatten().chain(odd).collect();
        its.extend(no_time(photo, time));
        its.extend(future(photo));
        its.extend(other_time(photo, time));
        its.extend(other_shoot(photo));
        its.sort_by_key(|it| it.code);
        notes.extend(its);
    }
    notes
}

/// Numbers of the photos that are too dark or blurred to show that something is not there.
pub(crate) fn dim(notes: &[PictureNote]) -> BTreeSet<u32> {
    let bad = |it: &&PictureNote| matches!(it.code, PictureIssue::Dark | PictureIssue::Blurred);
    notes.iter().filter(bad).map(|it| it.photo).collect()
}

fn note(photo: &Photo, code: PictureIssue, text: String) -> PictureNote {
    PictureNote {
        photo: photo.no,
        code,
        text,
    }
}

fn dark(photo: &Photo) -> Option<PictureNote> {
    let facts = &photo.facts;
    let (mean, share) = (facts.brightness, facts.black_share);
    let text = if mean < DARK_MEAN {
        format!("dark: mean brightness {mean:.0} of 255; a surface may not be judged from it")
    } else if share > DARK_SHARE {
        let percent = share * 100.0;
        format!("dark: {percent:.0} % of it is nearly black; a surface may not be judged from it")
    } else {
        return None;
    };
    Some(note(photo, PictureIssue::Dark, text))
}

fn blurred(photo: &Photo, time: &Timeline<'_>) -> Option<PictureNote> {
    let facts = &photo.facts;
    let company = time.photos_of(photo.shoot).filter(|it| {
        let other = &it.facts;
        // Sharpness compares only between pictures measured at the same size.
        other.camera == facts.camera && other.sharpness_width == facts.sharpness_width
    });
    let mut values: Vec<f64> = company.map(|it| it.facts.sharpness).collect();
    values.sort_by(f64::total_cmp);
    let median = values[values.len() / 2];
    let sharp = facts.sharpness;
    let text = if values.len() >= BLUR_COMPANY && sharp < BLUR_SHARE * median {
        format!("blurred: sharpness {sharp:.0}, the middle of its shoot is {median:.0}")
    } else if sharp < BLUR_FLOOR {
        format!(
            "blurred: sharpness {sharp:.0}, where a sharp photo of furniture has about 100 and more"
        )
    } else {
        return None;
    };
    Some(note(photo, PictureIssue::Blurred, text))
}

fn small(photo: &Photo) -> Option<PictureNote> {
    let facts = &photo.facts;
    let long = facts.long_side();
    let text = || {
        let covers = f64::from(long) / 1000.0;
        format!(
            "{} x {}: a 1 mm fault covers {covers:.1} pixels in a view one metre wide",
            facts.width, facts.height
        )
    };
    (long < SMALL_SIDE).then(|| note(photo, PictureIssue::Small, text()))
}

/// Alike for all raw files whose picture has pixels enough, so that it can be said once for all of them.
fn raw(photo: &Photo) -> Option<PictureNote> {
    let facts = &photo.facts;
    let only = match facts.long_side() < RAW_SIDE {
        true => format!(", only {} x {} pixels", facts.width, facts.height),
        false => String::new(),
    };
    let text = || format!("shown: the preview that the camera put into the raw file{only}");
    (facts.format == Format::Raw).then(|| note(photo, PictureIssue::RawPreview, text()))
}

/// The photo before this one that is nearly or wholly the same picture: of several, the one that looks most like it, of those the one
/// with the nearest greys, the earliest of those.
fn twin(photo: &Photo, time: &Timeline<'_>) -> Option<PictureNote> {
    let earlier = time.photos.iter().take_while(|it| it.no != photo.no);
    let alike = earlier.filter_map(|it| Some((it, like(it, photo)?)));
    let bits = |it: &Photo| it.facts.look_distance(&photo.facts);
    let near = |it: &Photo| (bits(it), greys_apart(it, photo));
    let (_, (code, text)) =
        alike.min_by_key(|(it, like)| (like.0 != PictureIssue::SamePicture, near(it)))?;
    Some(note(photo, code, text))
}

/// How far their greys are apart; `None` where those of one were not kept.
fn greys_apart(one: &Photo, other: &Photo) -> Option<u32> {
    let both = one.facts.greys.as_ref().zip(other.facts.greys.as_ref());
    both.map(|(a, b)| a.apart(b))
}

fn like(earlier: &Photo, photo: &Photo) -> Option<(PictureIssue, String)> {
    let bits = earlier.facts.look_distance(&photo.facts);
    let claimed = |it: &Photo| it.facts.camera_time.map(CameraTime::sort_key);
    let apart = claimed(earlier)
        .zip(claimed(photo))
        .map(|(a, b)| (b - a).abs());
    let (a, b) = (&earlier.facts, &photo.facts);
    let recoded = (a.format, a.width, a.height) != (b.format, b.width, b.height);
    let no = earlier.no;
    // Where both cameras say the same moment, that speaks for it; another coding has other greys.
    let copied = match apart {
        Some(apart) => apart == 0 && recoded,
        None => greys_apart(earlier, photo).is_none_or(|it| it <= SAME_GREYS),
    };
    if bits <= SAME_BITS && copied {
        let text = format!(
            "the same picture as {no}, or nearly: their looks differ in {bits} of 64 points"
        );
        return Some((PictureIssue::SamePicture, text));
    }
    let apart = apart.filter(|it| *it <= BURST_APART && earlier.shoot == photo.shoot)?;
    let seconds = apart as f64 / 1000.0;
    let text = format!(
        "nearly the same as picture {no}, {seconds:.0} s apart: their looks differ in {bits} of 64 points"
    );
    (bits <= BURST_BITS).then_some((PictureIssue::Burst, text))
}

fn no_time(photo: &Photo, time: &Timeline<'_>) -> Option<PictureNote> {
    let rests_on = match time.shoot_of(photo).day == photo.imported.local_day() {
        true => "the import",
        false => "the day of its shoot",
    };
    let text = format!("the camera gives no time; when it was taken rests on {rests_on}");
    // A copy without camera facts is told as such.
    let copy = photo.facts.oddities.contains(&Oddity::NoExif);
    let none = photo.facts.camera_time.is_none() && !copy;
    none.then(|| note(photo, PictureIssue::NoTime, text))
}

fn future(photo: &Photo) -> Option<PictureNote> {
    let taken = photo.taken()?;
    let text = || {
        format!(
            "the camera says {}, which is after its import on {}",
            taken.spoken(),
            photo.imported.day().spoken()
        )
    };
    taken
        .is_after(photo.imported)
        .then(|| note(photo, PictureIssue::FutureDate, text()))
}

/// A photo that lies alone in time, while at least three in four of its shoot do not.
fn other_time(photo: &Photo, time: &Timeline<'_>) -> Option<PictureNote> {
    let key = |it: &Photo| it.taken().map(CameraTime::sort_key);
    let its: Vec<(u32, i64)> = time
        .photos_of(photo.shoot)
        .filter_map(|it| Some((it.no, key(it)?)))
        .collect();
    let nearest = |no: u32, at: i64| {
        let others = its.iter().filter(move |it| it.0 != no);
        others.min_by_key(|it| (it.1 - at).abs()).copied()
    };
    let is_alone = |no: u32, at: i64| {
        nearest(no, at).is_some_and(|it| (it.1 - at).abs() > ALONE_HOURS * 3_600_000)
    };
    let own = key(photo)?;
    let alone = its.iter().filter(|it| is_alone(it.0, it.1)).count();
    if its.len() < ALONE_COMPANY || alone * 4 > its.len() || !is_alone(photo.no, own) {
        return None;
    }
    let (other, at) = nearest(photo.no, own)?;
    let hours = (own - at).abs() / 3_600_000;
    let side = if own < at { "before" } else { "after" };
    Some(note(
        photo,
        PictureIssue::OtherTime,
        format!(
            "its camera's time lies {hours} h {side} that of picture {other}, the nearest of its shoot; if the clock was off, `asfound clock` puts it right"
        ),
    ))
}

/// That its owner put it into another shoot, with all that it was told as of.
fn other_shoot(photo: &Photo) -> Option<PictureNote> {
    let moved = photo.moved.as_ref()?;
    Some(note(photo, PictureIssue::OtherShoot, moved.words()))
}

fn oddity(photo: &Photo, oddity: &Oddity) -> Option<PictureNote> {
    let (code, text) = match oddity {
        Oddity::NoExif => (
            PictureIssue::Copy,
            "a copy without camera facts: not the original, no date of its own".to_owned(),
        ),
        Oddity::CutOff => (
            PictureIssue::CutOff,
            "the file ends early; the lower part may be missing".to_owned(),
        ),
        Oddity::Damaged(why) => (
            PictureIssue::Damaged,
            format!(
                "damaged inside ({why}): a part of it may be grey or in wrong colours; copy it again from the camera, and import that"
            ),
        ),
        // Said by the missing time.
        Oddity::NoDate(_) => return None,
        Oddity::OrientationOdd(value) => (
            PictureIssue::Other,
            format!("its orientation is given as {value}, which means nothing; shown as stored"),
        ),
        Oddity::ExifUnreadable(why) => (
            PictureIssue::Other,
            format!("its camera facts cannot be read: {why}"),
        ),
        Oddity::SeveralExif => (
            PictureIssue::Other,
            "it holds more than one set of camera facts; the first was used".to_owned(),
        ),
        Oddity::Other(what) => (PictureIssue::Other, what.clone()),
        _ => (PictureIssue::Contradiction, contradiction(oddity)?),
    };
    Some(note(photo, code, text))
}

/// What is said of a picture in which a program is named; a program may bear the name of a person.
const OTHER_PROGRAM: &str = "a program that is not the camera's own is named in it";

impl Assessment {
    /// The same for a reader who is not to be told names: that a program is named, and not which.
    #[must_use]
    pub fn without_program_names(mut self) -> Self {
        for it in &mut self.picture_notes {
            if it.text.starts_with(OTHER_PROGRAM) {
                OTHER_PROGRAM.clone_into(&mut it.text);
            }
        }
        self
    }
}

/// What does not fit together, as it stands there.
fn contradiction(oddity: &Oddity) -> Option<String> {
    Some(match oddity {
        Oddity::Edited(by) => {
            format!("{OTHER_PROGRAM}: {by}")
        }
        Oddity::SatelliteDate { camera, satellite } => format!(
            "the camera's date is {}, the satellites' date is {} (UTC)",
            camera.spoken(),
            satellite.spoken()
        ),
        Oddity::StoredAtOtherTime { taken, stored } => format!(
            "taken {}, but stored or scanned {}, by the same camera facts",
            taken.spoken(),
            stored.spoken()
        ),
        Oddity::ChangedLater { taken, changed } => format!(
            "taken {}; the file was changed later, {}",
            taken.spoken(),
            changed.spoken()
        ),
        Oddity::OtherThumbnail(bits) => format!(
            "the small picture inside it shows something else than the picture: their looks differ in {bits} of 64 points"
        ),
        Oddity::BeforeItsStandard {
            taken,
            edition,
            year,
        } => format!(
            "the camera's date is {}, but it is written by edition {edition} of the Exif standard, which came out in {year}",
            taken.spoken()
        ),
        _ => return None,
    })
}
