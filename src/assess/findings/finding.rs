//! One condition of one part, followed over all shoots; plain data.

use serde::Serialize;

use crate::assess::did::Did;
use crate::assess::findings::extent::Extent;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::outcome::Tested;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::findings::silent_look::QuietLook;
use crate::assess::findings::silent_look::SilentLook;
use crate::assess::findings::silent_look::Unpictured;
use crate::assess::places::place::Place;
use crate::assess::places::sight::Sight;
use crate::assess::statements::statement::SoundSeen;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::kind::PartKind;
use crate::trade::entry::tag::Affects;
use crate::trade::entry::tag::Effort;
use crate::trade::entry::tag::Tag;

/// One condition of one part, followed over all shoots.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// Its number.
    #[serde(rename = "id")]
    pub no: FindingNo,
    /// The part.
    pub part: PartId,
    /// The part's label.
    pub part_label: String,
    /// The fault.
    pub tag: String,
    /// The fault's name, such as `White ring or haze`.
    pub term: String,
    /// What that means, for somebody who has never heard it.
    pub plain: String,
    /// Which of several of its kind; empty for the only one.
    pub which: String,
    /// What it was called when it got its number: a mark that says so, and no number, is of this finding.
    #[serde(skip)]
    pub numbered_as: String,
    /// Where it came from.
    pub origin: Origin,
    /// What that rests on, in one sentence.
    pub origin_why: Saying,
    /// What became of it.
    pub state: FindingState,
    /// In which group it is counted; `None` when it is withdrawn.
    pub outcome: Option<Outcome>,
    /// The mark that says, as the newest word, that it is repaired or gone.
    pub closed_by: Option<MarkAt>,
    /// What it was when it was last seen there.
    pub before: Extent,
    /// What can still be seen of it since it was repaired, when somebody wrote how much.
    pub remains: Option<Extent>,
    /// Its level now, or when last seen; 1 trace, 2 visible, 3 heavy, 4 failing.
    pub level: Option<u8>,
    /// Of a fault that only a test tells, at that level: what a test found; `None` while none is told.
    #[serde(skip)]
    pub tested: Option<Tested>,
    /// The criterion of that level for this fault.
    pub level_words: Option<String>,
    /// What that level of it costs: easy, hard, or a reason to stop; `None` for a fault the book does not know.
    pub effort: Option<Effort>,
    /// Its measure now, or when last seen, as written.
    pub size: Option<String>,
    /// The day of the measure, where the level is of another day.
    pub size_of: Option<Day>,
    /// Whether a buyer must be told of it at its level; repaired ones always.
    pub disclose: bool,
    /// Where on the piece it lies; `None` while no mark of it lies on a laid face.
    pub place: Option<Place>,
    /// How the photos in which that face is laid see its place, in the order of time.
    #[serde(skip)]
    pub sights: Vec<Sight>,
    /// Later shoots that say nothing of it, though all of its place lies in one of their pictures.
    pub silent: Vec<SilentLook>,
    /// The newest look at the part since it was last spoken of, where that look says nothing of it.
    pub quiet_since: Option<QuietLook>,
    /// The newest pictures after the piece had left, where it was there before and none of them is of its part.
    #[serde(skip)]
    pub unpictured: Option<Unpictured>,
    /// What was said of it, shoot by shoot.
    pub history: Vec<Sighting>,
    /// The repairs made for it, by number.
    pub repairs: Vec<u32>,
    /// Of those, the ones that deal with a danger or a doubt and leave the fault as it was.
    pub treated: Vec<Treated>,
    /// Of a living danger that was treated or said to be gone: the looks that found nothing of it.
    pub clean_looks: Option<CleanLooks>,
    /// The newest repair after which it is still there, where no picture ever showed it repaired or gone.
    pub still_after: Option<u32>,
    /// Statements, in later shoots, that the part was sound, which do not say what became of it.
    pub said_sound: Vec<SoundSeen>,
}

/// A repair that left the fault as it was.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Treated {
    /// The number of the repair.
    pub repair: u32,
    /// Its day.
    pub day: Day,
    /// Its method.
    pub method: String,
    /// What that does to the fault.
    pub does: Did,
    /// Of a test or a watch: where its result is told, if no mark tells it.
    pub untold: Option<Untold>,
}

/// A test or a watch of which no mark tells the result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Untold {
    /// Perhaps its note does.
    ButNoted,
    /// Nothing does.
    Wholly,
}

impl Untold {
    /// Of a test of which no mark tells the result.
    #[must_use]
    pub fn of(test: &Repair) -> Self {
        match test.note {
            Some(_) => Self::ButNoted,
            None => Self::Wholly,
        }
    }

    /// `the result is not told`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::ButNoted => "what it found stands only in its note",
            Self::Wholly => "the result is not told",
        }
    }
}

/// Looks at a living danger since it was last there or treated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct CleanLooks {
    /// Those that found nothing, each long enough after the one before.
    pub told: u8,
    /// How many show that it is gone.
    pub of: u8,
    /// Whether it was not treated yet, and has to be.
    pub untreated: bool,
}

impl CleanLooks {
    /// Whether they show that it is gone.
    #[must_use]
    pub fn are_enough(self) -> bool {
        self.told >= self.of && !self.untreated
    }

    /// `no clean watch on record`.
    #[must_use]
    pub fn words(self) -> Saying {
        let Self { told, of, .. } = self;
        match told {
            0 => say::no_clean_watch(),
            _ => say::clean_watches(told, of),
        }
    }
}

impl Treated {
    /// `treated on 2 May 2026 (repair 3)`, with the day as it is written there.
    fn words(&self, day: impl Fn(Day) -> Arg) -> Saying {
        let done = self.does.words(day(self.day), self.repair);
        match self.untold {
            Some(Untold::Wholly) => say::did_result_not_told(done),
            Some(Untold::ButNoted) => say::did_result_in_note(done),
            None => done,
        }
    }
}

impl Finding {
    /// `F2 split, Top`, with which of several it is.
    #[must_use]
    pub fn named(&self) -> Saying {
        let no = self.no.to_string();
        say::finding_named(no, Saying::fault(&self.term), self.placed())
    }

    /// The last statement that the part was sound, newer than every word on a fault that is not known to be repaired or gone:
    /// the two disagree.
    #[must_use]
    pub fn disputed_by(&self) -> Option<&SoundSeen> {
        let last = self.history.last().map(|it| it.day);
        let unsettled = self.state.is_open() || self.state == FindingState::RepairUnseen;
        let sound = self.said_sound.last().filter(|_| unsettled)?;
        (Some(sound.day()) >= last).then_some(sound)
    }

    /// The two newest looks of which the later says worse and gives a lower level.
    #[must_use]
    pub fn worse_with_less(&self) -> Option<(&Sighting, &Sighting)> {
        let levelled: Vec<&Sighting> = self
            .history
            .iter()
            .filter(|it| it.level.is_some())
            .collect();
        let odd =
            |two: &&[&Sighting]| two[1].state == MarkState::Worse && two[1].level < two[0].level;
        let two = levelled.windows(2).rev().find(odd)?;
        Some((two[0], two[1]))
    }

    /// The shoot in which it was first said to be there.
    #[must_use]
    pub fn first_shoot(&self) -> Option<u32> {
        let mut there = self.history.iter().filter(|it| it.state.is_there());
        there.next().map(|it| it.shoot)
    }

    /// Whether it is or was a fault of the piece: marks name it, and it was not only looked for in vain.
    #[must_use]
    pub fn was_there(&self) -> bool {
        !matches!(self.state, FindingState::Withdrawn | FindingState::NotFound)
    }

    /// Whether something has still to be done about it: it is there, and nothing that may be its end was done since it was last
    /// seen there; or it is said to be repaired, and what remains is heavy. A test, a treatment, a watch and a cover over what spreads
    /// are no end.
    #[must_use]
    pub fn is_to_do(&self) -> bool {
        let is_there = self.state.is_open() && !self.done_since_there().any(|it| it.does.ends());
        is_there || self.heavy_remains().is_some()
    }

    /// The level of what is there: what is covered is as it was before.
    #[must_use]
    pub fn level_there(&self) -> Option<u8> {
        let covered = self
            .before
            .level
            .filter(|_| self.outcome == Some(Outcome::Hidden));
        covered.or(self.level)
    }

    /// The level at which it may harm: of what is repaired, that of what remains; else the worse of now and before.
    #[must_use]
    pub fn level_of_harm(&self) -> Option<u8> {
        self.heavy_remains()
            .or_else(|| self.level.max(self.before.level))
    }

    /// Whether it was treated since it was last seen there, so that only a watch shows whether that worked.
    #[must_use]
    pub fn is_treated(&self) -> bool {
        let mut since = self.done_since_there();
        self.state.is_open() && since.any(|it| it.does == Did::Treats)
    }

    /// Whether it was watched for what lives in it, and nobody told what that showed.
    #[must_use]
    pub fn is_watch_untold(&self) -> bool {
        let untold = |it: &Treated| it.does == Did::Watches && it.untold.is_some();
        self.treated.iter().any(untold)
    }

    fn done_since_there(&self) -> impl Iterator<Item = &Treated> {
        let mut newest_first = self.history.iter().rev();
        let seen = newest_first.find(|it| it.state.is_there()).map(|it| it.day);
        self.treated.iter().filter(move |it| Some(it.day) >= seen)
    }

    /// What was done about it that left it as it was, and how many clean watches are on record; days as they are written there.
    #[must_use]
    pub fn dealt_with(&self, day: impl Fn(Day) -> Arg) -> Vec<Saying> {
        let done = self.treated.iter().map(|it| it.words(&day));
        let looks = self.clean_looks.map(CleanLooks::words);
        done.chain(looks).collect()
    }
}

/// Where a finding came from, as far as the record shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// There when the piece came in.
    Found,
    /// Came with the work: the part was looked at before and the fault was not there, and work on it lies between.
    ByWork,
    /// Not there at one look, there at a later one; nothing on record says how it came.
    BetweenLooks,
    /// First seen after the piece had left, on a part that was recorded without it before.
    AfterSale,
    /// The record does not show when it came.
    Unknown,
}

/// What became of a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FindingState {
    /// There, as at first.
    Open,
    /// There, and more than at first.
    Worse,
    /// There, and less than at first.
    Better,
    /// A picture since says that it is repaired, or after a repair that it is gone.
    Repaired,
    /// A repair is recorded, but no picture after it.
    RepairUnseen,
    /// There after it was repaired or gone, or after a repair that was to mend it.
    Reopened,
    /// Looked for and no longer there, without a repair on record.
    Gone,
    /// Looked for and not found, and nothing says that it was ever there.
    NotFound,
    /// Last looked for in a picture that cannot show it.
    NotVisible,
    /// No mark names it any more; its number is kept.
    Withdrawn,
}

impl FindingState {
    /// Whether a finding counts as still there: everything that is not repaired or gone.
    #[must_use]
    pub fn is_open(self) -> bool {
        match self {
            Self::Open | Self::Worse | Self::Better | Self::Reopened | Self::NotVisible => true,
            Self::Repaired | Self::RepairUnseen | Self::Gone | Self::NotFound | Self::Withdrawn => {
                false
            }
        }
    }
}

/// From this level on a fault is heavy: seen across the room, in the way of use, or getting worse.
pub const HEAVY: u8 = 3;

/// The danger of paint, which has a caution of its own.
const LEAD: &str = "lead";

/// From this level on a part cannot be used, is unsafe, or material is lost.
pub const FAILING: u8 = 4;

/// From which level on a fault takes of what a part of this kind carries.
fn gives_from(tag: &Tag, kind: &PartKind) -> u8 {
    let strength = tag.affects.contains(&Affects::Structure);
    let of_kind = kind.gives_from.filter(|_| strength);
    tag.gives_from.or(of_kind).unwrap_or(HEAVY)
}

/// Whether somebody may come to harm on a fault of a part of this kind: one of strength or safety that is failing, or heavy where a
/// part carries. An unknown level of a fault of safety is never better. What the mark names on its part counts as well. Whether it is
/// still there is not asked here.
#[must_use]
pub fn is_failing(it: &Finding, kind: &str, book: &TradeBook) -> bool {
    let Some(tag) = book.tag(&it.tag) else {
        return false;
    };
    let affects = |what: Affects| tag.affects.contains(&what);
    let mut on = { book.kind(kind).into_iter() }.chain(book.kind_called(&it.which));
    let whole = it.part.whole();
    let whole = book.kinds.iter().find(|it| it.name == whole.as_str());
    let of_use = affects(Affects::Structure) || affects(Affects::Function);
    let safety = affects(Affects::Safety) && !tag.hazards.iter().any(|it| it == LEAD);
    match it.level_of_harm() {
        Some(level) => {
            let harms = safety && level >= tag.harms_from.unwrap_or(HEAVY);
            let fails = level >= FAILING && affects(Affects::Structure);
            let falls = match &tag.lets_go {
                Some(at) => {
                    level == at.level && on.chain(whole).any(|it| at.kinds.contains(&it.id))
                }
                None => of_use && on.any(|it| it.carries && level >= gives_from(tag, it)),
            };
            harms || fails || falls
        }
        None => safety,
    }
}

/// Whether it is covered and not cured, and somebody may come to harm on it.
#[must_use]
pub fn is_covered_danger(it: &Finding, kind: &str, book: &TradeBook) -> bool {
    it.outcome == Some(Outcome::Hidden) && is_failing(it, kind, book)
}
