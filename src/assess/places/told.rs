//! A place through time: what each picture that shows it says there.

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::marked_in;
use crate::assess::places::marked_in::MarkedIn;
use crate::assess::places::marked_in::Returned;
use crate::assess::places::other_marks::OtherMark;
use crate::assess::places::other_marks::other_marks;
use crate::assess::places::place::Carrier;
use crate::assess::places::place::Place;
use crate::assess::places::sight::LiesWhole;
use crate::assess::places::sight::SeenWithout;
use crate::assess::places::sight::Share;
use crate::assess::places::sight::Sight;
use crate::assess::places::straight::Strip;
use crate::assess::places::taken_out::PlaceTakenOut;
use crate::assess::places::taken_out::taken_out;
use crate::assess::statements::looking::Looking;
use crate::compare::apart::apart;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::mark::MarkState;

/// What a picture says at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Says {
    /// The finding is marked in it.
    Marked,
    /// Another finding is marked there.
    Other,
    /// It is written beside it that the part was sound.
    Sound,
    /// Nothing.
    Nothing,
}

/// One picture of a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SightTold {
    /// How it sees it.
    #[serde(flatten)]
    pub sight: Sight,
    /// What is said there.
    pub says: Says,
    /// What the mark of the finding says of it.
    pub state: Option<MarkState>,
    /// Other findings that are marked there.
    pub other: Vec<FindingNo>,
}

/// A picture by its number and day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PictureOf {
    /// The photo.
    pub photo: u32,
    /// The day of its shoot.
    pub day: Day,
}

/// A finding's place through time.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct PlaceTold {
    /// Every picture in which its face is laid, in the order of time.
    pub pictures: Vec<SightTold>,
    /// The last picture before the first with it in which all of the place lies well enough, and beside which it is written that
    /// the part was sound.
    pub last_without: Option<SeenWithout>,
    /// The last picture before the first with it in which all of the place lies well enough, and in which it is not marked;
    /// whether anybody looked there is not said.
    pub last_not_marked: Option<LiesWhole>,
    /// The first picture in which it is marked as there.
    pub first_with: Option<PictureOf>,
    /// Its other marks that lie further from the place than both may be off; its uncertainty is no less.
    pub other_marks: Vec<OtherMark>,
    /// Each time that it was repaired or gone, and there again.
    pub returned: Vec<Returned>,
    /// The pictures with a mark of it in which its face is not laid, in the order of time.
    pub not_laid_marked: Vec<MarkedIn>,
    /// How many other pictures have no laid face of that name: whether they show the place is not known.
    pub not_laid: usize,
    /// Pictures of the place that were taken out of the record.
    pub taken_out: Vec<PlaceTakenOut>,
    /// The same spot in the pictures that show all of it, set straight.
    #[serde(skip)]
    pub strip: Option<Strip>,
}

impl SightTold {
    /// Whether all of the place lies in it and nothing is said there: whether something covers it is not known.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.says == Says::Nothing && self.sight.whole().is_some()
    }

    /// `picture 5 of 1 July 2026 (0.9 px/mm: it is too small there)`; `None` where it can show it, or not all of the place lies in it.
    #[must_use]
    pub fn poor(&self) -> Option<String> {
        let sight = &self.sight;
        let why = sight.poor?.text();
        Some(format!(
            "picture {} of {} ({:.1} px/mm: {why})",
            sight.photo,
            sight.day.spoken(),
            sight.px_per_mm
        ))
    }

    /// What is said there, in words: `repaired`, `marked there: F2`, `the part was said to be sound`, `not marked; may not show it`.
    #[must_use]
    pub fn words(&self) -> String {
        let sight = &self.sight;
        match (self.says, self.state) {
            (Says::Marked, state) => {
                state.map_or_else(|| "marked in it".to_owned(), |it| it.said().to_string())
            }
            (Says::Other, _) => {
                let others: Vec<String> = self.other.iter().map(ToString::to_string).collect();
                format!("marked there: {}", others.join(", "))
            }
            (Says::Sound, _) => match sight.poor {
                Some(poor) => format!("the part was said to be sound; {}", poor.text()),
                None => "the part was said to be sound".to_owned(),
            },
            (Says::Nothing, _) if sight.seen == Share::None => String::new(),
            (Says::Nothing, _) if self.is_silent() => {
                "not marked; all of the place lies in it".to_owned()
            }
            (Says::Nothing, _) => match sight.poor {
                Some(poor) => format!("not marked; {}", poor.text()),
                None => "not marked; may not show it".to_owned(),
            },
        }
    }
}

/// Tells the places of findings; of one without a place only which of its pictures were taken out.
pub(crate) fn told(
    case: &PieceRecord,
    looking: &Looking<'_>,
    finding: &Finding,
    all: &[Finding],
) -> PlaceTold {
    let Some(place) = &finding.place else {
        return PlaceTold {
            taken_out: taken_out(case, looking, finding),
            ..PlaceTold::default()
        };
    };
    let marked = marked_in::marked(looking, finding);
    let laid = |no: u32| finding.sights.iter().any(|it| it.photo == no);
    let unlaid = marked.iter().filter(|it| !laid(it.photo));
    let not_laid_marked: Vec<MarkedIn> = unlaid.copied().collect();
    let pictures: Vec<SightTold> = finding
        .sights
        .iter()
        .map(|sight| said(looking, finding, place, sight, all))
        .collect();
    let marks = || finding.history.iter().flat_map(|it| &it.marks);
    let shown = finding.sights.iter().filter_map(|sight| {
        let mut own = marks().filter(|it| it.photo == sight.photo);
        let drawn = own.find_map(|it| looking.time.mark(*it).filter(|it| it.region.is_some()));
        // A picture that may not show it proves nothing.
        let is_shown = sight.seen == Share::All && drawn.is_some() || sight.whole().is_some();
        is_shown.then_some((sight.photo, drawn))
    });
    let carrier = looking.carrier;
    let places = carrier.of_marks(looking.time, &finding.part, &finding.history);
    PlaceTold {
        pictures,
        other_marks: other_marks(&places),
        returned: marked_in::returned(looking, finding, &marked),
        not_laid: looking.time.photos.len() - finding.sights.len() - not_laid_marked.len(),
        not_laid_marked,
        taken_out: taken_out(case, looking, finding),
        strip: Strip::of(&looking.carrier, place, &shown.collect::<Vec<_>>()),
        ..turning(looking, finding)
    }
}

fn said(
    looking: &Looking<'_>,
    finding: &Finding,
    place: &Place,
    sight: &Sight,
    all: &[Finding],
) -> SightTold {
    let marks = finding.history.iter().flat_map(|it| &it.marks);
    let mut own = marks.filter(|it| it.photo == sight.photo);
    let state = own.find_map(|it| Some(looking.time.mark(*it)?.state));
    let other = match sight.seen {
        Share::None => Vec::new(),
        _ => others(looking, &looking.carrier, finding, place, sight.photo, all),
    };
    let sound = looking.statements.sound(&finding.part);
    let sound = sound.iter().any(|it| it.photo() == sight.photo);
    let says = match (state, other.is_empty(), sound) {
        (Some(_), ..) => Says::Marked,
        (None, false, _) => Says::Other,
        (None, true, true) => Says::Sound,
        (None, true, false) => Says::Nothing,
    };
    SightTold {
        sight: sight.clone(),
        says,
        state,
        other,
    }
}

/// Findings of which a mark in this photo touches the place.
fn others(
    looking: &Looking<'_>,
    carrier: &Carrier<'_>,
    finding: &Finding,
    place: &Place,
    photo: u32,
    all: &[Finding],
) -> Vec<FindingNo> {
    let round = place.round();
    let touches = |at: &MarkAt, other: &Finding| {
        let mark = looking.time.mark(*at)?;
        let marked = mark.state.is_there().then_some(mark)?;
        let there = carrier.of_mark(*at, marked, &other.part)?;
        let near = there.face == place.face && apart(&round, &there.round()) == 0.0;
        Some(near)
    };
    let others = all.iter().filter(|it| it.no != finding.no);
    let others = others.filter(|other| {
        let marks = other.history.iter().flat_map(|it| &it.marks);
        let mut here = marks.filter(|it| it.photo == photo);
        here.any(|at| touches(at, other) == Some(true))
    });
    others.map(|it| it.no).collect()
}

/// The first picture with the fault, and the last ones before it that have all of the place.
fn turning(looking: &Looking<'_>, finding: &Finding) -> PlaceTold {
    let marks = finding.history.iter().flat_map(|it| &it.marks);
    let there = |at: &&MarkAt| {
        looking
            .time
            .mark(**at)
            .is_some_and(|it| it.state.is_there())
    };
    let order = |no: u32| looking.time.photos.iter().position(|it| it.no == no);
    let first = marks.filter(there).min_by_key(|it| order(it.photo));
    let photo = first.and_then(|it| looking.time.photo(it.photo));
    let first_with = photo.map(|it| PictureOf {
        photo: it.no,
        day: looking.time.shoot_of(it).day,
    });
    let before = |it: &&Sight| first.is_some_and(|first| order(it.photo) < order(first.photo));
    let named = |no: u32| {
        let mut marks = finding.history.iter().flat_map(|it| &it.marks);
        marks.any(|it| it.photo == no)
    };
    let earlier = finding.sights.iter().filter(before);
    let unmarked = earlier.filter(|it| !named(it.photo));
    let mut without = unmarked.clone().filter_map(Sight::without);
    let mut whole = unmarked.filter_map(Sight::whole);
    PlaceTold {
        last_without: without.next_back().copied(),
        last_not_marked: whole.next_back().copied(),
        first_with,
        ..PlaceTold::default()
    }
}
