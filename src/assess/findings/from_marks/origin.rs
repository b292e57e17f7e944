//! Where a finding came from: never more than the pictures show.

use std::cmp::Ordering;

use crate::assess::findings::finding::Origin;
use crate::assess::findings::from_marks::history;
use crate::assess::findings::from_marks::pictured::Pictured;
use crate::assess::findings::from_marks::pictured::listed;
use crate::assess::findings::from_marks::pictured::picture;
use crate::assess::findings::from_marks::works;
use crate::assess::findings::last_seen::since_known;
use crate::assess::findings::sighting::Sighting;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::sight::LiesWhole;
use crate::assess::places::sight::Share;
use crate::assess::places::sight::Sight;
use crate::assess::statements::looking::Looking;
use crate::assess::statements::looking::Shows;
use crate::assess::statements::statement::SoundSeen;
use crate::kit::text::capital;
use crate::model::finding::FindingKey;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Stage;

/// An origin with the sentence that says what it rests on.
#[derive(Debug)]
pub(crate) struct Told {
    /// Where it came from.
    pub(crate) origin: Origin,
    /// One sentence.
    pub(crate) why: String,
}

impl Told {
    fn unknown(why: String) -> Self {
        Self {
            origin: Origin::Unknown,
            why,
        }
    }
}

/// What is needed to judge one finding.
struct Question<'a> {
    case: &'a PieceRecord,
    key: &'a FindingKey,
    part: &'a PartId,
    history: &'a [Sighting],
    /// How the photos in which its face is laid see its place.
    sights: &'a [Sight],
    looking: &'a Looking<'a>,
}

/// Judges the origin of the finding of `key`.
pub(crate) fn origin(
    case: &PieceRecord,
    key: &FindingKey,
    history: &[Sighting],
    sights: &[Sight],
    looking: &Looking<'_>,
) -> Told {
    let time = looking.time;
    let question = Question {
        case,
        key,
        part: &key.part,
        history,
        sights,
        looking,
    };
    let looked = history::first_telling(history).filter(|it| it.state == MarkState::Gone);
    let looked = looked.map(|it| (it, format!("{} ({})", picture(it, time), it.stage)));
    let Some(first) = history::first_telling(since_known(history)) else {
        let why = match (history, looked) {
            (_, Some((_, at))) => format!("It was looked for in {at}, and not found."),
            ([], _) => "No mark names it any more.".to_owned(),
            _ => "No picture shows it.".to_owned(),
        };
        return Told::unknown(why);
    };
    let seen = format!("{} ({})", picture(first, time), first.stage);
    if let Some((look, at)) = looked {
        let why = format!("It was looked for in {at}, and not found; it is first seen in {seen}.");
        return match first.stage.after_sale() && !look.stage.after_sale() {
            true => Told {
                origin: Origin::AfterSale,
                why,
            },
            false => Told::unknown(why),
        };
    }
    if !first.state.is_there() {
        return Told::unknown(format!(
            "The first picture that names it, {seen}, shows it as repaired; no earlier one shows when it came."
        ));
    }
    match first.stage {
        Stage::Doorstep | Stage::Purchase => question.at_first(first, &seen),
        Stage::Work | Stage::Sale | Stage::Handover => question.by_work(first, &seen),
        Stage::Delivery | Stage::Return => question.after_sale(first, &seen),
    }
}

impl Question<'_> {
    /// There when the piece came in, unless work that is told of that part may be older than the picture. Of work of the same day the
    /// order is not known; what was done for the fault itself on that day did not bring it.
    fn at_first(&self, first: &Sighting, seen: &str) -> Told {
        let works = works::of(self.case, self.key);
        let part = self.spoken();
        if let Some(work) = works.iter().find(|it| it.repair.day < first.day) {
            return Told::unknown(format!(
                "It is in {seen}; {} is dated {}, before that.",
                work.on(&part),
                work.repair.day.spoken()
            ));
        }
        let mut same_day = works.iter().filter(|it| it.repair.day == first.day);
        let (mut its, other) = (same_day.clone(), same_day.find(|it| !it.is_its));
        if let Some(work) = other {
            return Told::unknown(format!(
                "It is in {seen}; {} is of the same day, and which of the two came first is not known.",
                work.on(&part)
            ));
        }
        let any = self.case.repairs.iter().any(|it| it.day <= first.day);
        let why = match (its.next(), any) {
            (Some(work), _) => format!(
                "{} is of the same day, and no older work on {part} is on record",
                work.on(&part)
            ),
            (None, true) => format!("taken before any work on {part}"),
            (None, false) => "taken before any work".to_owned(),
        };
        let link = if why.starts_with("taken") { "," } else { ";" };
        Told {
            origin: Origin::Found,
            why: format!("It is in {seen}{link} {why}."),
        }
    }

    /// A clause on a repair of the fault itself that is older than its first picture: it is older than that then.
    fn repaired_before(&self, first: &Sighting) -> Option<String> {
        let works = works::of(self.case, self.key);
        let early = works.iter().find(|it| it.is_its)?.repair;
        (early.day < first.day).then(|| {
            format!(
                "; repair {} of {}, before that, is told as one for it",
                early.no,
                early.day.spoken()
            )
        })
    }

    /// Came with the work only when somebody wrote last, on a day before it, that the part was sound, that part was worked on since, on a
    /// day before its first picture, and no repair before that was for it: what was sound after the work did not come with it. A picture in which nobody marked it says nothing of when it came.
    fn by_work(&self, first: &Sighting, seen: &str) -> Told {
        let early = self.repaired_before(first);
        let own = early.as_deref().unwrap_or_default();
        let Some(sound) = self.sound(first, |it| !it.after_sale()) else {
            let part = self.spoken();
            let weak = match self.place_unmarked(first, Stage::before_work) {
                Some((_, lies)) => format!("; {}", not_marked(&lies)),
                None => self.weakly_shown(first, Stage::before_work),
            };
            return Told::unknown(format!(
                "It is first seen in {seen}; no statement from before the work says that {part} was sound{weak}{own}."
            ));
        };
        let rests_on = self.says_sound(&sound);
        let works = works::of(self.case, self.key);
        // A repair of the fault itself did not make it.
        let mut others = works.iter().filter(|it| it.reaches && !it.is_its);
        let (from, to) = (sound.day(), first.day);
        let between = others
            .clone()
            .find(|it| from < it.repair.day && it.repair.day < to);
        if let (Some(work), None) = (between, &early) {
            return Told {
                origin: Origin::ByWork,
                why: format!(
                    "{}; the fault is first seen in {seen}; repair {} of {} lies between.",
                    capital(&rests_on),
                    work.repair.no,
                    work.repair.day.spoken()
                ),
            };
        }
        let same_day = others.find(|it| [from, to].contains(&it.repair.day));
        let same_day = same_day.map_or_else(String::new, |it| {
            format!(
                "; {} is of {}, and which of the two came first is not known",
                it.on(&self.spoken()),
                it.repair.day.spoken()
            )
        });
        Told {
            origin: Origin::BetweenLooks,
            why: format!(
                "First seen between {} and {}: {rests_on}; the fault is first seen in {seen}{same_day}{own}.",
                from.spoken(),
                to.spoken()
            ),
        }
    }

    /// First seen after the piece had left, on a part recorded without a mark of it at the sale or the handover: somebody wrote that it
    /// was sound, all of the place lies in a picture where nobody marked it, or a whole view of the part on which nobody laid the face
    /// does not have the mark.
    fn after_sale(&self, first: &Sighting, seen: &str) -> Told {
        let part = self.spoken();
        let whole = self.unmarked(first, Shows::Whole);
        let sound = self.sound(first, at_sale);
        let shown = self.place_unmarked(first, at_sale);
        let newer =
            |(rank, _): &(usize, LiesWhole)| sound.as_ref().is_none_or(|it| it.rank < *rank);
        let shown = shown.filter(newer).map(|(_, lies)| not_marked(&lies));
        let said: Vec<String> = sound
            .iter()
            .map(|it| self.says_sound(it))
            .chain(shown)
            .collect();
        let rests_on = match (said.as_slice(), whole.as_slice()) {
            ([_, ..], _) => said.join("; "),
            ([], []) => {
                let some = self.unmarked(first, Shows::Some);
                let mut weak = match some.as_slice() {
                    [] => String::new(),
                    some => format!(
                        "; {part} is in {}, which may not show the place",
                        listed(some)
                    ),
                };
                weak.push_str(&self.weakly_shown(first, at_sale));
                weak.push_str(&self.not_examined(first, at_sale));
                return Told::unknown(format!(
                    "It is first seen in {seen}; no clear picture of the whole part and no statement from the sale or the handover shows {part} without it{weak}."
                ));
            }
            ([], whole) => {
                let newest = whole.iter().map(|it| it.0).max();
                let mut later = self.unmarked(first, Shows::Some);
                later.retain(|it| Some(it.0) > newest);
                let later = match later.as_slice() {
                    [] => String::new(),
                    later => format!("; later in {}, which may not show the place", listed(later)),
                };
                let whole = listed(whole);
                format!("{part} is in {whole}, and it is not marked there{later}")
            }
        };
        Told {
            origin: Origin::AfterSale,
            why: format!("It is first seen in {seen}; {rests_on}."),
        }
    }

    /// The newest picture of an earlier shoot of such a stage in which all of the place lies and nobody marked it, with where it stands
    /// in time.
    fn place_unmarked(
        &self,
        first: &Sighting,
        stage: fn(Stage) -> bool,
    ) -> Option<(usize, LiesWhole)> {
        let earlier = self.earlier(first, stage).into_iter().rev();
        earlier
            .filter(|it| !self.is_spoken_of(it.photo))
            .find_map(|it| Some((it.rank, *it.whole()?)))
    }

    /// The sights of earlier shoots of such a stage in which the part was looked at, in the order of time.
    fn earlier(&self, first: &Sighting, stage: fn(Stage) -> bool) -> Vec<&Sight> {
        let before = self.looking.time.rank(first.shoot);
        let unseen = |rank| self.looking.statements.is_unseen_at(rank, self.part);
        let looked = |it: &&Sight| it.without().is_some() || !unseen(it.rank);
        let sights = self.sights.iter().filter(looked);
        sights
            .filter(|it| it.rank < before && stage(it.stage))
            .collect()
    }

    /// What the best of the pictures that show the place too badly lacks; empty where none shows anything of it.
    fn weakly_shown(&self, first: &Sighting, stage: fn(Stage) -> bool) -> String {
        let earlier = self.earlier(first, stage).into_iter();
        let shown = earlier.filter(|it| it.seen != Share::None && !self.is_spoken_of(it.photo));
        let best = shown.max_by(|a, b| {
            (a.seen, a.px_per_mm)
                .partial_cmp(&(b.seen, b.px_per_mm))
                .unwrap_or(Ordering::Equal)
        });
        let Some(sight) = best else {
            return String::new();
        };
        let how = match sight.seen {
            Share::All => "all of the place, but too small, too flat or too near its edge to judge",
            _ => "only part of the place",
        };
        format!(
            "; picture {} of {} shows {how} ({:.1} px per mm, {:.0} degrees off square)",
            sight.photo,
            sight.day.spoken(),
            sight.px_per_mm,
            sight.angle_deg
        )
    }

    /// That the part was not examined in the newest earlier shoot of such a stage that says so; empty where none does.
    fn not_examined(&self, first: &Sighting, stage: fn(Stage) -> bool) -> String {
        let (time, said) = (self.looking.time, self.looking.statements);
        let shoots = time.shoots.iter().enumerate();
        let mut earlier = shoots.take(time.rank(first.shoot)).rev();
        let last = earlier.find(|(n, it)| stage(it.stage) && said.not_examined_at(*n, self.part));
        let day = last.map(|(_, it)| {
            format!(
                "; {} was not examined on {}",
                self.spoken(),
                it.day.spoken()
            )
        });
        day.unwrap_or_default()
    }

    /// Whether a mark of the finding is in this photo.
    fn is_spoken_of(&self, photo: u32) -> bool {
        let mut marks = self.history.iter().flat_map(|it| &it.marks);
        marks.any(|it| it.photo == photo)
    }

    /// The last statement, in an earlier shoot of such a stage, that the part was sound.
    fn sound(&self, first: &Sighting, stage: fn(Stage) -> bool) -> Option<SoundSeen> {
        let time = self.looking.time;
        let before = time.rank(first.shoot);
        let said = self.looking.statements.sound(self.part).into_iter();
        let mut newest_first = said.rev();
        newest_first.find(|it| it.rank < before && stage(time.shoots[it.rank].stage))
    }

    /// `picture 3 of 2 May 2026 says that the top was sound`.
    fn says_sound(&self, sound: &SoundSeen) -> String {
        let part = self.spoken();
        let (photo, day) = (sound.photo(), sound.day().spoken());
        match sound.wider() {
            None => format!("picture {photo} of {day} says that {part} was sound"),
            Some(whole) => {
                let whole = spoken(whole);
                format!(
                    "picture {photo} of {day} says that {whole} was sound, and {part} is seen with it"
                )
            }
        }
    }

    /// Photos of the sale and the handover that show so much of the part, can be judged, and say nothing of the fault; none of a shoot
    /// in which the part was not examined. Where its face is laid, how the place is seen decides, and not the view.
    fn unmarked(&self, first: &Sighting, shows: Shows) -> Vec<Pictured> {
        let time = self.looking.time;
        let before = time.rank(first.shoot);
        let laid = |no: u32| self.sights.iter().any(|it| it.photo == no);
        let fits = |photo: &&Photo| {
            let rank = time.rank(photo.shoot);
            rank < before
                && !self.looking.statements.is_unseen_at(rank, self.part)
                && at_sale(time.shoot_of(photo).stage)
                && self.looking.shows(photo, self.part) == Some(shows)
                && !self.looking.dim.contains(&photo.no)
                && !self.is_spoken_of(photo.no)
                && !laid(photo.no)
        };
        let photos = time.photos.iter().copied().filter(fits);
        let pictured = |it: &Photo| {
            let shoot = time.shoot_of(it);
            (shoot.day, shoot.stage, it.no)
        };
        photos.map(pictured).collect()
    }

    /// The part in a sentence.
    fn spoken(&self) -> String {
        spoken(&self.looking.list.label(self.part))
    }
}

/// A part in a sentence: `the left side`, `drawer 2`.
fn spoken(label: &str) -> String {
    let lower = label.to_lowercase();
    if lower.contains(|it: char| it.is_ascii_digit()) {
        return lower;
    }
    format!("the {lower}")
}

/// `all of the place lies in picture 29 of 20 May 2026, at 1.5 px per mm, and it is not marked there`.
fn not_marked(lies: &LiesWhole) -> String {
    format!("{}, and it is not marked there", lies.text())
}

fn at_sale(stage: Stage) -> bool {
    matches!(stage, Stage::Sale | Stage::Handover)
}
