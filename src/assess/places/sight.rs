//! How the photos see a place; plain data that only the geometry of laid faces makes.

use serde::Serialize;

use crate::assess::places::place::Carrier;
use crate::assess::places::place::Place;
use crate::assess::places::rounded::hundredth;
use crate::assess::places::rounded::tenth;
use crate::assess::statements::looking::Looking;
use crate::assess::statements::statement::SoundSeen;
use crate::compare::ruler::lying::Drawn;
use crate::compare::seen;
use crate::compare::seen::Seen;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;

pub use crate::compare::seen::Share;

/// The smaller side of a fault has so many px in a picture that can show it.
const LEAST_PX: f64 = 3.0;

/// A line is drawn without a width, and is seen by its length: it shows where what it is taken to be wide (`seen::THIN`) has so
/// many px (common practice, no source; the demo's scratches of 0.9 mm are seen so).
const LEAST_PX_OF_A_LINE: f64 = 1.0;

/// From this angle on, degrees, a face is seen too flat.
pub(crate) const STEEPEST: f64 = 75.0;

/// Why a picture in whose frame all of a place lies cannot show its fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Poor {
    /// It is off by its uncertainty, and may lie partly outside.
    AtTheEdge,
    /// It has too few pixels.
    TooSmall,
    /// Its face is seen too flat.
    TooFlat,
    /// The picture is too dark or blurred.
    Dim,
    /// Nobody looked at the part on that day.
    NotExamined,
}

impl Poor {
    /// In words.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Self::AtTheEdge => "it may lie partly outside",
            Self::TooSmall => "it is too small there",
            Self::TooFlat => "it is seen too flat there",
            Self::Dim => "the picture is too dark or blurred",
            Self::NotExamined => "the part was not examined that day",
        }
    }
}

/// All of a place lies in a picture, large and square enough to show its fault. What lies before it there (a vase, a hand) is not
/// known, nor whether anybody looked: it says nothing of the fault.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LiesWhole {
    photo: u32,
    day: Day,
    #[serde(serialize_with = "hundredth")]
    px_per_mm: f64,
}

impl LiesWhole {
    /// The picture.
    #[must_use]
    pub fn photo(&self) -> u32 {
        self.photo
    }

    /// The day of its shoot.
    #[must_use]
    pub fn day(&self) -> Day {
        self.day
    }

    /// Pixels per mm at the place.
    #[must_use]
    pub fn px_per_mm(&self) -> f64 {
        self.px_per_mm
    }

    /// `all of the place lies in picture 29 of 20 May 2026, at 1.5 px per mm`.
    #[must_use]
    pub fn text(&self) -> Saying {
        say::lies_whole(self.photo, self.day, Arg::tenths(self.px_per_mm))
    }
}

/// A picture in which all of a place lies, and beside which somebody wrote that the part was looked at and found sound. Nothing else
/// lets the record say of a picture that it shows a place without the fault.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct SeenWithout {
    lies: LiesWhole,
}

impl SeenWithout {
    /// `None` where none of these words is written beside this very picture.
    fn of(lies: &LiesWhole, sound: &[SoundSeen]) -> Option<Self> {
        let said = sound.iter().any(|it| it.photo() == lies.photo);
        said.then_some(Self { lies: *lies })
    }

    /// Where and how well all of the place lies in it.
    #[must_use]
    pub fn lies(&self) -> &LiesWhole {
        &self.lies
    }
}

/// How one photo sees a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sight {
    /// The photo.
    pub photo: u32,
    /// The name of its file.
    pub name: String,
    /// Its shoot.
    pub shoot: u32,
    /// The occasion.
    pub stage: Stage,
    /// The day of the shoot.
    pub day: Day,
    /// How much of the place lies in its frame.
    pub seen: Share,
    /// Pixels per mm at the place.
    #[serde(serialize_with = "hundredth")]
    pub px_per_mm: f64,
    /// Between the line of sight and the normal of the face there, degrees.
    #[serde(serialize_with = "tenth")]
    pub angle_deg: f64,
    /// The place in percent of the upright picture; points may lie outside it. `None` where it reaches behind the camera.
    pub region: Option<Vec<[f64; 2]>>,
    /// The evidence, where all of it lies in the picture well enough.
    #[serde(skip)]
    whole: Option<LiesWhole>,
    /// Why it cannot show the fault, though all of the place lies in its frame.
    pub poor: Option<Poor>,
    /// The evidence, where somebody also wrote beside it that the part was sound.
    #[serde(skip)]
    without: Option<SeenWithout>,
    /// Where its shoot stands in time.
    #[serde(skip)]
    pub(crate) rank: usize,
}

impl Sight {
    /// That all of the place lies in the picture, well enough for its fault.
    #[must_use]
    pub fn whole(&self) -> Option<&LiesWhole> {
        self.whole.as_ref()
    }

    /// That the picture shows the place without the fault.
    #[must_use]
    pub fn without(&self) -> Option<&SeenWithout> {
        self.without.as_ref()
    }
}

/// How every photo in which the face of a place is laid sees it, in the order of time.
pub(crate) fn sights(looking: &Looking<'_>, place: &Place, part: &PartId) -> Vec<Sight> {
    let carrier = looking.carrier;
    let photos = looking.time.photos.iter().copied();
    let sound = looking.statements.sound(part);
    photos
        .filter_map(|it| sight(looking, &carrier, place, (part, &sound), it))
        .collect()
}

fn sight(
    looking: &Looking<'_>,
    carrier: &Carrier<'_>,
    place: &Place,
    (part, sound): (&PartId, &[SoundSeen]),
    photo: &Photo,
) -> Option<Sight> {
    let view = carrier.laid.view(photo.no, &place.face)?;
    let outline = &place.outline_mm;
    let seen = seen::seen(
        &view.lying,
        &view.camera,
        place.kind,
        outline,
        place.uncertainty_mm,
    );
    let shoot = looking.time.shoot_of(photo);
    let [w, h] = view.lying.px();
    let percent = |[x, y]: &[f64; 2]| [x / w, y / h].map(|it| (it * 1e4).round() / 100.0);
    let rank = looking.time.rank(photo.shoot);
    // Where nobody looked at the part on that day, as somebody wrote, no picture of the day shows what is not marked in it; unless
    // it is written beside this one that the part is sound.
    let unseen = |it: &PartId| looking.statements.is_unseen_at(rank, it);
    let looked = sound.iter().any(|it| it.photo() == photo.no);
    let dim = looking.dim.contains(&photo.no);
    let unseen = !looked && [part, &place.face].into_iter().any(unseen);
    let poor = poor(&seen, place.kind)
        .or(dim.then_some(Poor::Dim))
        .or(unseen.then_some(Poor::NotExamined));
    let all = seen.share == Share::All;
    let whole = (all && poor.is_none()).then_some(LiesWhole {
        photo: photo.no,
        day: shoot.day,
        px_per_mm: seen.px_per_mm,
    });
    Some(Sight {
        photo: photo.no,
        name: photo.name.clone(),
        shoot: shoot.no,
        stage: shoot.stage,
        day: shoot.day,
        without: whole.and_then(|it| SeenWithout::of(&it, sound)),
        whole,
        poor: poor.filter(|_| all),
        seen: seen.share,
        px_per_mm: seen.px_per_mm,
        angle_deg: seen.angle_deg,
        region: seen.region_px.map(|it| it.iter().map(percent).collect()),
        rank,
    })
}

/// What keeps a picture from showing all of a place, even where that is off by its uncertainty, large and square enough.
fn poor(seen: &Seen, kind: Drawn) -> Option<Poor> {
    let least = match kind {
        Drawn::Line => LEAST_PX_OF_A_LINE,
        Drawn::Area | Drawn::Spot => LEAST_PX,
    };
    match seen {
        it if !it.surely_all => Some(Poor::AtTheEdge),
        it if it.angle_deg >= STEEPEST => Some(Poor::TooFlat),
        it if it.smaller_px < least => Some(Poor::TooSmall),
        _ => None,
    }
}
