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
use crate::model::finding::FindingKey;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;

/// An origin with the sentence that says what it rests on.
#[derive(Debug)]
pub(crate) struct Told {
    /// Where it came from.
    pub(crate) origin: Origin,
    /// One sentence.
    pub(crate) why: Saying,
}

impl Told {
    fn unknown(why: Saying) -> Self {
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
    let looked = looked.map(|it| (it, picture(it, time)));
    let Some(first) = history::first_telling(since_known(history)) else {
        let why = match (history, looked) {
            (_, Some((_, at))) => say::why_looked_not_found(at),
            ([], _) => say::why_no_mark(),
            _ => say::why_no_picture(),
        };
        return Told::unknown(why);
    };
    let seen = picture(first, time);
    if !first.state.is_there() {
        return Told::unknown(say::why_first_is_repaired(seen));
    }
    if let Some((look, at)) = looked {
        let why = say::why_looked_then_seen(at, seen);
        return match first.stage.after_sale() && !look.stage.after_sale() {
            true => Told {
                origin: Origin::AfterSale,
                why,
            },
            false => Told::unknown(why),
        };
    }
    match first.stage {
        Stage::Doorstep | Stage::Purchase => question.at_first(first, seen),
        Stage::Work | Stage::Sale | Stage::Handover => question.by_work(first, seen),
        Stage::Delivery | Stage::Return => question.after_sale(first, seen),
    }
}

impl Question<'_> {
    /// There when the piece came in, unless work that is told of that part may be older than the picture. Of work of the same day the
    /// order is not known; what was done for the fault itself on that day did not bring it.
    fn at_first(&self, first: &Sighting, seen: Saying) -> Told {
        let works = works::of(self.case, self.key);
        let part = self.spoken();
        if let Some(work) = works.iter().find(|it| it.repair.day < first.day) {
            let why = say::why_work_older(seen, work.on(&part), work.repair.day);
            return Told::unknown(why);
        }
        let mut same_day = works.iter().filter(|it| it.repair.day == first.day);
        let (mut its, other) = (same_day.clone(), same_day.find(|it| !it.is_its));
        if let Some(work) = other {
            return Told::unknown(say::why_work_same_day(seen, work.on(&part)));
        }
        let any = self.case.repairs.iter().any(|it| it.day <= first.day);
        let why = match (its.next(), any) {
            (Some(work), _) => say::why_own_work_same_day(seen, work.on(&part), part),
            (None, true) => say::why_before_work_on(seen, part),
            (None, false) => say::why_before_work(seen),
        };
        Told {
            origin: Origin::Found,
            why,
        }
    }

    /// A clause on a repair of the fault itself that is older than its first picture: it is older than that then.
    fn repaired_before(&self, first: &Sighting) -> Option<Saying> {
        let works = works::of(self.case, self.key);
        let early = works.iter().find(|it| it.is_its)?.repair;
        (early.day < first.day).then(|| say::own_repair_before(early.no, early.day))
    }

    /// Came with the work only when somebody wrote last, on a day before it, that the part was sound, that part was worked on since, on a
    /// day before its first picture, and no repair before that was for it: what was sound after the work did not come with it. A picture in which nobody marked it says nothing of when it came.
    fn by_work(&self, first: &Sighting, seen: Saying) -> Told {
        let own = self.repaired_before(first);
        let part = self.spoken();
        let Some(sound) = self.sound(first, |it| !it.after_sale()) else {
            let weak = match self.place_unmarked(first, Stage::before_work) {
                Some((_, lies)) => Some(say::lies_unmarked(lies.text())),
                None => self.weakly_shown(first, Stage::before_work),
            };
            let first = say::why_no_sound_before_work(seen, part);
            return Told::unknown(whole(first, [weak, own]));
        };
        let rests_on = self.says_sound(&sound);
        let works = works::of(self.case, self.key);
        // A repair of the fault itself did not make it.
        let mut others = works.iter().filter(|it| it.reaches && !it.is_its);
        let (from, to) = (sound.day(), first.day);
        let between = others
            .clone()
            .find(|it| from < it.repair.day && it.repair.day < to);
        if let (Some(work), None) = (between, &own) {
            return Told {
                origin: Origin::ByWork,
                why: say::why_by_work(rests_on, seen, work.repair.no, work.repair.day),
            };
        }
        let same_day = others.find(|it| [from, to].contains(&it.repair.day));
        let same_day = same_day.map(|it| say::same_day_work(it.on(&part), it.repair.day));
        Told {
            origin: Origin::BetweenLooks,
            why: whole(say::why_between(from, to, rests_on, seen), [same_day, own]),
        }
    }

    /// First seen after the piece had left, on a part recorded without a mark of it at the sale or the handover: somebody wrote that it
    /// was sound, all of the place lies in a picture where nobody marked it, or a whole view of the part on which nobody laid the face
    /// does not have the mark.
    fn after_sale(&self, first: &Sighting, seen: Saying) -> Told {
        let part = self.spoken();
        let whole_views = self.unmarked(first, Shows::Whole);
        let sound = self.sound(first, at_sale);
        let shown = self.place_unmarked(first, at_sale);
        let newer =
            |(rank, _): &(usize, LiesWhole)| sound.as_ref().is_none_or(|it| it.rank < *rank);
        let shown = shown.filter(newer);
        let shown = shown.map(|(_, lies)| say::lies_unmarked(lies.text()));
        let said: Vec<Saying> = sound
            .iter()
            .map(|it| self.says_sound(it))
            .chain(shown)
            .collect();
        let rests_on = match (said.is_empty(), whole_views.as_slice()) {
            (false, _) => Saying::Parted(said),
            (true, []) => {
                let some = self.unmarked(first, Shows::Some);
                let some = (!some.is_empty()).then(|| listed(&some));
                let weak = [
                    some.map(|it| say::part_in_some(part.clone(), it)),
                    self.weakly_shown(first, at_sale),
                    self.not_examined(first, at_sale),
                ];
                return Told::unknown(whole(say::why_not_shown_at_sale(seen, part), weak));
            }
            (true, views) => {
                let newest = views.iter().map(|it| it.0).max();
                let mut later = self.unmarked(first, Shows::Some);
                later.retain(|it| Some(it.0) > newest);
                let later = (!later.is_empty()).then(|| say::later_in(listed(&later)));
                let unmarked = say::part_unmarked_in(part, listed(views));
                Saying::Parted(std::iter::once(unmarked).chain(later).collect())
            }
        };
        Told {
            origin: Origin::AfterSale,
            why: say::why_after_sale(seen, rests_on),
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

    /// What the best of the pictures that show the place too badly lacks; `None` where none shows anything of it.
    fn weakly_shown(&self, first: &Sighting, stage: fn(Stage) -> bool) -> Option<Saying> {
        let earlier = self.earlier(first, stage).into_iter();
        let shown = earlier.filter(|it| it.seen != Share::None && !self.is_spoken_of(it.photo));
        let best = shown.max_by(|a, b| {
            (a.seen, a.px_per_mm)
                .partial_cmp(&(b.seen, b.px_per_mm))
                .unwrap_or(Ordering::Equal)
        });
        let sight = best?;
        let (px, angle) = (
            Arg::tenths(sight.px_per_mm),
            format!("{:.0}", sight.angle_deg),
        );
        Some(match sight.seen {
            Share::All => say::weak_all(sight.photo, sight.day, px, angle),
            _ => say::weak_part(sight.photo, sight.day, px, angle),
        })
    }

    /// That the part was not examined in the newest earlier shoot of such a stage that says so; `None` where none does.
    fn not_examined(&self, first: &Sighting, stage: fn(Stage) -> bool) -> Option<Saying> {
        let (time, said) = (self.looking.time, self.looking.statements);
        let shoots = time.shoots.iter().enumerate();
        let mut earlier = shoots.take(time.rank(first.shoot)).rev();
        let last = earlier.find(|(n, it)| stage(it.stage) && said.not_examined_at(*n, self.part));
        last.map(|(_, it)| say::part_not_examined_on(self.spoken(), it.day))
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
    fn says_sound(&self, sound: &SoundSeen) -> Saying {
        let part = self.spoken();
        let (photo, day) = (sound.photo(), sound.day());
        match sound.wider() {
            None => say::says_sound(photo, day, part),
            Some(whole) => say::says_sound_wider(photo, day, Saying::part(whole), part),
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
    fn spoken(&self) -> Saying {
        Saying::part(&self.looking.list.label(self.part))
    }
}

/// A sentence with what is said beside it.
fn whole<const N: usize>(first: Saying, more: [Option<Saying>; N]) -> Saying {
    let more = more.into_iter().flatten();
    Saying::Parted(std::iter::once(first).chain(more).collect()).sentence()
}

fn at_sale(stage: Stage) -> bool {
    matches!(stage, Stage::Sale | Stage::Handover)
}
