//! Where a finding came from: never more than the pictures show.

use std::collections::BTreeSet;

use crate::assess::assessment::MarkAt;
use crate::assess::assessment::Origin;
use crate::assess::assessment::Sighting;
use crate::assess::findings::history;
use crate::assess::parts;
use crate::assess::parts::PartList;
use crate::assess::parts::SoundAt;
use crate::assess::timeline::Timeline;
use crate::kit::clock::Day;
use crate::model::finding::FindingKey;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::trade::TradeBook;

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
    part: &'a PartId,
    history: &'a [Sighting],
    time: &'a Timeline<'a>,
    book: &'a TradeBook,
    list: &'a PartList,
    /// Photos too dark or blurred to show that something is not there.
    dim: &'a BTreeSet<u32>,
}

/// Judges the origin of the finding of `key`.
pub(crate) fn origin(
    key: &FindingKey,
    history: &[Sighting],
    time: &Timeline<'_>,
    book: &TradeBook,
    list: &PartList,
    dim: &BTreeSet<u32>,
) -> Told {
    let question = Question {
        part: &key.part,
        history,
        time,
        book,
        list,
        dim,
    };
    let Some(first) = history.iter().find(|it| history::tells(it.state)) else {
        let why = match history {
            [] => "No mark names it any more.",
            _ => "No picture shows it.",
        };
        return Told::unknown(why.to_owned());
    };
    let seen = format!("{} ({})", picture(first, time), first.stage);
    if !first.state.is_there() {
        let word = match first.state {
            MarkState::Repaired => "repaired",
            _ => "gone",
        };
        return Told::unknown(format!(
            "The first picture that names it, {seen}, shows it as {word}; no earlier one shows when it came."
        ));
    }
    match first.stage {
        Stage::Doorstep | Stage::Purchase => Told {
            origin: Origin::Found,
            why: format!("It is in {seen}, taken before any work."),
        },
        Stage::Work | Stage::Sale | Stage::Handover => question.by_work(first, &seen),
        Stage::Delivery | Stage::Return => question.after_sale(first, &seen),
    }
}

impl Question<'_> {
    /// Came with the work only when somebody wrote, before it, that the part was sound.
    fn by_work(&self, first: &Sighting, seen: &str) -> Told {
        let Some(sound) = self.sound(first, Stage::before_work) else {
            let part = self.spoken();
            return Told::unknown(format!(
                "It is first seen in {seen}; no statement from before the work says that {part} was sound."
            ));
        };
        Told {
            origin: Origin::ByWork,
            why: format!(
                "Picture {} of {} says that {} was sound; the fault is first seen in {seen}.",
                sound.photo,
                sound.day.spoken(),
                self.spoken()
            ),
        }
    }

    /// First seen after the piece had left, on a part recorded without it at the sale or the handover.
    fn after_sale(&self, first: &Sighting, seen: &str) -> Told {
        let part = self.spoken();
        let pictures = self.pictures_without(first);
        let sound = self.sound(first, at_sale);
        let rests_on = match (pictures.is_empty(), sound) {
            (false, _) => {
                let (word, listed) = (plural(&pictures), listed(&pictures));
                format!("{part} is in {word} {listed} without it")
            }
            (true, Some(sound)) => {
                let day = sound.day.spoken();
                format!(
                    "picture {} of {day} says that {part} was sound",
                    sound.photo
                )
            }
            (true, None) => {
                return Told::unknown(format!(
                    "It is first seen in {seen}; no clear picture and no statement from the sale or the handover shows {part} without it."
                ));
            }
        };
        Told {
            origin: Origin::AfterSale,
            why: format!("It is first seen in {seen}; {rests_on}."),
        }
    }

    /// The last statement, in an earlier shoot of such a stage, that the part was sound.
    fn sound(&self, first: &Sighting, stage: fn(Stage) -> bool) -> Option<SoundAt> {
        let before = self.time.rank(first.shoot);
        let said = parts::sound_statements(self.part, self.time, self.book);
        let said = said.filter(|it| it.rank < before && stage(self.time.shoots[it.rank].stage));
        said.last()
    }

    /// Photos of the sale and the handover that show the part, can be judged, and say nothing of the fault.
    fn pictures_without(&self, first: &Sighting) -> Vec<(Day, u32)> {
        let before = self.time.rank(first.shoot);
        let whole = self.part.whole();
        let with_whole = self.list.shows_with_whole(self.part);
        let shown = |it: &PartId| it == self.part || (with_whole && *it == whole);
        let spoken_of = |no: u32| {
            let mut marks = self.history.iter().flat_map(|it| &it.marks);
            marks.any(|it| it.photo == no)
        };
        let fits = |photo: &&Photo| {
            self.time.rank(photo.shoot) < before
                && at_sale(self.time.shoot_of(photo).stage)
                && photo.sidecar.parts.iter().any(shown)
                && !self.dim.contains(&photo.no)
                && !spoken_of(photo.no)
        };
        let photos = self.time.photos.iter().copied().filter(fits);
        photos
            .map(|it| (self.time.shoot_of(it).day, it.no))
            .collect()
    }

    /// The part in a sentence: `the left side`, `drawer 2`.
    fn spoken(&self) -> String {
        let label = self.list.label(self.part);
        let lower = label.to_lowercase();
        if lower.contains(|it: char| it.is_ascii_digit()) {
            return lower;
        }
        format!("the {lower}")
    }
}

fn at_sale(stage: Stage) -> bool {
    matches!(stage, Stage::Sale | Stage::Handover)
}

/// The first photo of a sighting that says what the sighting says, with its day.
fn picture(sighting: &Sighting, time: &Timeline<'_>) -> String {
    let says = |at: &&MarkAt| time.mark(**at).is_some_and(|it| it.state == sighting.state);
    let at = sighting.marks.iter().find(says);
    let number = at.map_or(0, |it| it.photo);
    format!("picture {number} of {}", sighting.day.spoken())
}

fn plural(pictures: &[(Day, u32)]) -> &'static str {
    match pictures {
        [_] => "picture",
        _ => "pictures",
    }
}

/// `21 and 22 of 2 May 2026 and 29 of 20 May 2026`; at most the first four of a day.
fn listed(pictures: &[(Day, u32)]) -> String {
    let days = pictures.chunk_by(|a, b| a.0 == b.0);
    let day = |photos: &[(Day, u32)]| {
        let numbers: Vec<String> = photos.iter().take(4).map(|it| it.1.to_string()).collect();
        let more = if photos.len() > 4 { " and others" } else { "" };
        format!("{}{more} of {}", joined(&numbers), photos[0].0.spoken())
    };
    joined(&days.map(day).collect::<Vec<String>>())
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn joined(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
