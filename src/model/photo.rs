//! Photos and the shoots they belong to.

use std::borrow::Borrow;
use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::CameraTime;
use crate::kit::clock::ClockOff;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;
use crate::model::facts::Facts;
use crate::model::mark::Sidecar;
use crate::tongue::Saying;
use crate::tongue::say;

/// The occasion of a shoot, in the order of a piece's life.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Stage {
    /// Before buying, five minutes.
    Doorstep,
    /// On taking possession, before anything is touched.
    Purchase,
    /// During the work.
    Work,
    /// Finished, as offered.
    Sale,
    /// At the van.
    Handover,
    /// At the buyer's.
    Delivery,
    /// If it comes back.
    Return,
}

/// The text names no stage.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is not a stage; the stages are doorstep, purchase, work, sale, handover, delivery, return"
)]
pub struct StageError(String);

impl Stage {
    /// All stages, in order, with their words.
    pub const ALL: [(Self, &'static str); 7] = [
        (Self::Doorstep, "doorstep"),
        (Self::Purchase, "purchase"),
        (Self::Work, "work"),
        (Self::Sale, "sale"),
        (Self::Handover, "handover"),
        (Self::Delivery, "delivery"),
        (Self::Return, "return"),
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        let found = Self::ALL.iter().find(|(stage, _)| *stage == self);
        found.map_or("purchase", |(_, word)| word)
    }

    /// The same in a sentence.
    #[must_use]
    pub fn saying(self) -> Saying {
        match self {
            Self::Doorstep => say::stage_doorstep(),
            Self::Purchase => say::stage_purchase(),
            Self::Work => say::stage_work(),
            Self::Sale => say::stage_sale(),
            Self::Handover => say::stage_handover(),
            Self::Delivery => say::stage_delivery(),
            Self::Return => say::stage_return(),
        }
    }

    /// `at purchase`, as it ends a sentence.
    #[must_use]
    pub fn at(self) -> Saying {
        match self {
            Self::Doorstep => say::at_doorstep(),
            Self::Purchase => say::at_purchase(),
            Self::Work => say::at_work(),
            Self::Sale => say::at_sale(),
            Self::Handover => say::at_handover(),
            Self::Delivery => say::at_delivery(),
            Self::Return => say::at_return(),
        }
    }

    /// Whether the stage comes before any work on the piece.
    #[must_use]
    pub fn before_work(self) -> bool {
        matches!(self, Self::Doorstep | Self::Purchase)
    }

    /// Whether the piece has left the seller at this stage.
    #[must_use]
    pub fn after_sale(self) -> bool {
        matches!(self, Self::Delivery | Self::Return)
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl FromStr for Stage {
    type Err = StageError;

    fn from_str(text: &str) -> Result<Self, StageError> {
        let found = Self::ALL.iter().find(|(_, word)| *word == text);
        found
            .map(|(stage, _)| *stage)
            .ok_or_else(|| StageError(text.to_owned()))
    }
}

/// The photos of one occasion.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shoot {
    /// Number within the piece, from 1.
    pub no: u32,
    /// The occasion.
    pub stage: Stage,
    /// Its first day, by corrected camera time, else the day of import.
    pub day: Day,
    /// Its folder, a name within the piece's folder, such as `1 purchase 2026-05-03`.
    pub folder: String,
}

/// Days between photos of one shoot; more, and it is another occasion.
pub const SAME_SHOOT_DAYS: i64 = 3;

impl Shoot {
    /// The one that begins after all that a piece ever had, which stand by number.
    #[must_use]
    pub fn after(all: &[Self], stage: Stage, day: Day) -> Self {
        let no = all.last().map_or(1, |it| it.no + 1);
        Self {
            no,
            stage,
            day,
            folder: format!("{no} {stage} {day}"),
        }
    }

    /// Whether a photo of that day may be of it.
    #[must_use]
    pub fn may_hold(&self, day: Day) -> bool {
        self.day.days_to(day).abs() <= SAME_SHOOT_DAYS
    }
}

/// Shoots in the order of time, and whether their days contradict their stages.
///
/// They stand in the order of their days, so that photos imported late still take their place in time. Where the days
/// contradict the stages (a camera whose clock nobody corrected) and the order of import does not, that order is used.
#[must_use]
pub fn in_time(shoots: &[Shoot]) -> (Vec<&Shoot>, bool) {
    let mut by_number: Vec<&Shoot> = shoots.iter().collect();
    by_number.sort_by_key(|it| it.no);
    by_number.dedup_by_key(|it| it.no);
    let mut by_day = by_number.clone();
    by_day.sort_by_key(|it| (it.day, it.stage, it.no));
    match contradictions(&by_day) > contradictions(&by_number) {
        true => (by_number, true),
        false => (by_day, false),
    }
}

/// How often the order of the shoots cannot be: a look before the work right after work or sale, or a delivery at the very
/// beginning. (A piece that came back may be bought, repaired and sold again.)
fn contradictions(shoots: &[&Shoot]) -> usize {
    let at_sellers = |stage: Stage| !stage.before_work() && !stage.after_sale();
    let wrong = |pair: &&[&Shoot]| at_sellers(pair[0].stage) && pair[1].stage.before_work();
    let begins_after = shoots.first().is_some_and(|it| it.stage.after_sale());
    let begins_wrong = begins_after && shoots.iter().any(|it| !it.stage.after_sale());
    shoots.windows(2).filter(wrong).count() + usize::from(begins_wrong)
}

/// The hand-over or delivery after which a day lies, when the piece had not come back until then.
#[must_use]
pub fn left_before(shoots: &[Shoot], day: Day) -> Option<&Shoot> {
    let moved = shoots.iter().filter(|it| it.stage >= Stage::Handover);
    let last = moved
        .filter(|it| it.day < day)
        .max_by_key(|it| (it.day, it.no))?;
    (last.stage != Stage::Return).then_some(last)
}

/// One original and what is known of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Photo {
    /// Number within the piece, from 1, kept for good.
    pub no: u32,
    /// Number of its shoot.
    pub shoot: u32,
    /// That it was put into another shoot since it was taken in, also where it is back in its first one; `None` where it never was.
    pub moved: Option<Moved>,
    /// The folder in which the original lies, a name within the piece's folder: that of the shoot that it was taken in with.
    pub folder: String,
    /// Name of the original in that folder.
    pub name: String,
    /// Name it had where it came from.
    pub source_name: String,
    /// SHA-256 of the original.
    pub digest: Digest,
    /// Length of the original, bytes.
    pub bytes: u64,
    /// What its bytes say.
    pub facts: Facts,
    /// Correction of the camera's clock, given by the user for this device and shoot.
    pub clock_off: ClockOff,
    /// When it was taken into the book.
    pub imported: Moment,
    /// What the user wrote beside it: the last good version.
    pub sidecar: Sidecar,
}

/// That a photo was put into another shoot, once or more often; its original stays where it lies.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moved {
    /// Number of the shoot that it was taken in with.
    pub taken_in_with: u32,
    /// As what it was taken in and where it was put since, by the lines, in their order.
    pub steps: Vec<MoveStep>,
}

/// One of the occasions that a photo was told as of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MoveStep {
    /// The occasion, as the line meant it; `None` where no line tells that of the shoot.
    pub stage: Option<Stage>,
    /// The day on which that was told.
    pub on: Day,
    /// The line that tells it.
    pub line: u64,
}

impl MoveStep {
    /// `with the sale pictures on 26 May 2026 (line 12)`.
    #[must_use]
    pub fn words(&self) -> String {
        let stage = self
            .stage
            .map_or_else(|| "other".to_owned(), |it| it.to_string());
        format!(
            "with the {stage} pictures on {} (line {})",
            self.on.spoken(),
            self.line
        )
    }
}

impl Moved {
    /// Every step: `taken into the book with the sale pictures on 26 May 2026 (line 12); put with the delivery pictures ... by the owner`.
    #[must_use]
    pub fn words(&self) -> String {
        let steps = self.steps.iter().enumerate();
        let steps = steps.map(|(n, it)| match n {
            0 => format!("taken into the book {}", it.words()),
            _ => format!("put by the owner {}", it.words()),
        });
        let steps: Vec<String> = steps.collect();
        match steps.is_empty() {
            true => "put by the owner into another shoot, and no line tells of it".to_owned(),
            false => steps.join("; "),
        }
    }
}

/// An original that was taken out of the record, with what was written beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct RemovedPhoto {
    /// As it was.
    pub photo: Photo,
    /// Why it was taken out, in the owner's words.
    pub why: String,
    /// When.
    pub removed: Moment,
}

/// Whether a camera's name holds `part`, in any letters.
#[must_use]
pub fn is_named(camera: Option<&str>, part: &str) -> bool {
    let camera = camera.unwrap_or_default().to_lowercase();
    camera.contains(&part.to_lowercase())
}

/// The shoots in whose photos all cameras say how far from UTC their clock stands: there the instant counts, elsewhere the
/// local time as it stands.
fn shoots_of_instants<'a>(photos: impl Iterator<Item = &'a Photo>) -> BTreeSet<u32> {
    let (mut all, mut bare) = (BTreeSet::new(), BTreeSet::new());
    for it in photos {
        all.insert(it.shoot);
        if it.taken().is_some_and(|it| !it.knows_offset()) {
            bare.insert(it.shoot);
        }
    }
    &all - &bare
}

/// Sorts photos by the place of their shoot, then by corrected camera time; those without a time come last, by number.
pub fn sort<P: Borrow<Photo>>(photos: &mut [P], place: impl Fn(u32) -> usize) {
    let by_instant = shoots_of_instants(photos.iter().map(P::borrow));
    photos.sort_by_key(|it| {
        let it: &Photo = it.borrow();
        let taken = it.taken();
        let key = match by_instant.contains(&it.shoot) {
            true => taken.and_then(CameraTime::instant),
            false => taken.map(CameraTime::sort_key),
        };
        (place(it.shoot), key.is_none(), key, it.no)
    });
}

impl Photo {
    /// The camera's time with the correction; `None` when the camera gave none.
    #[must_use]
    pub fn taken(&self) -> Option<CameraTime> {
        let claimed = self.facts.camera_time?;
        Some(claimed.corrected(self.clock_off))
    }

    /// Whether it is of the camera of that name, or of a part of it, in any letters.
    #[must_use]
    pub fn is_of_camera(&self, name: &str) -> bool {
        is_named(self.facts.camera.as_deref(), name)
    }

    /// The number of the shoot that it was taken in with.
    #[must_use]
    pub fn taken_in_with(&self) -> u32 {
        self.moved
            .as_ref()
            .map_or(self.shoot, |it| it.taken_in_with)
    }

    /// The name of its sidecar in the folder of the original.
    #[must_use]
    pub fn sidecar_name(&self) -> String {
        format!("{}.toml", self.name)
    }

    /// Its sidecar's path in the piece, as complaints call it.
    #[must_use]
    pub fn sidecar_shown(&self) -> String {
        format!("{}/{}", self.folder, self.sidecar_name())
    }
}
