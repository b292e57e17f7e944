//! A finding through time: what each look at it says, with its picture.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::assess::findings::sighting::Sighting;
use crate::assess::findings::silent_look::SilentLook;
use crate::assess::statements::statement::SoundSeen;
use crate::kit::clock::Day;
use crate::kit::text::small;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::glance::is_past;
use crate::report::sections::work::changed::PairView;
use crate::trade;

/// One look at a finding.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct StageView {
    /// Day and occasion.
    when: String,
    /// What was seen, with measure and level where these are not what the facts say.
    seen: String,
    /// Every word that was written, a sentence each.
    words: Vec<String>,
    /// Which pictures carry its mark.
    pictures: String,
    /// Its pictures on the page.
    figures: Vec<FigureView>,
}

/// All looks at a finding.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct StagesView {
    /// In the order of time.
    pub(in crate::report) looks: Vec<StageView>,
    /// How far the pictures can be compared.
    pub(in crate::report) likeness: Vec<String>,
}

impl StagesView {
    /// Of a finding: the looks on record, the words on the whole part, and the pictures of its pairs that carry no mark of it.
    pub(in crate::report) fn new(sources: &PageContext<'_>, finding: &Finding) -> Self {
        let (mut shown, likeness) = pictures(sources, finding);
        let seen = finding.history.iter();
        let mut looks: Vec<(Day, StageView)> = seen
            .map(|it| (it.day, StageView::seen(sources, finding, it, &mut shown)))
            .collect();
        let sound = finding.said_sound.iter();
        looks.extend(sound.map(|it| (it.day(), StageView::sound(it, &mut shown))));
        let silent = finding.silent.iter();
        looks.extend(silent.map(|it| (it.lies.day(), StageView::silent(it, &mut shown))));
        for (no, figure) in shown {
            let Some(photo) = sources.photo(no) else {
                continue;
            };
            let shoot = sources.shoot_of(photo);
            let day = photo.taken().map(|it| it.day());
            let Some(day) = day.or_else(|| shoot.map(|it| it.day)) else {
                continue;
            };
            let stage = shoot.map_or("", |it| it.stage.word());
            let look = StageView {
                when: format!("{}, {stage}", sources.day_of(photo)),
                seen: String::new(),
                words: Vec::new(),
                pictures: String::new(),
                figures: vec![figure],
            };
            looks.push((day, look));
        }
        looks.sort_by_key(|it| it.0);
        Self {
            looks: looks.into_iter().map(|it| it.1).collect(),
            likeness,
        }
    }
}

/// Whether a look tells of a test that did not find the fault, of one that is told as tested.
fn is_clean_test(finding: &Finding, sighting: &Sighting) -> bool {
    let tag = trade::book().tag(&finding.tag);
    let found = tag.and_then(|it| it.test_found(sighting.level));
    finding.outcome.is_some_and(Outcome::is_test) && found == Some(false)
}

impl StageView {
    fn seen(
        sources: &PageContext<'_>,
        finding: &Finding,
        sighting: &Sighting,
        shown: &mut Vec<(u32, FigureView)>,
    ) -> Self {
        let photos: Vec<u32> = sighting.marks.iter().map(|it| it.photo).collect();
        let words: Vec<String> = said(sources, sighting);
        // What is told with its day below stands beside its picture without one.
        let plain: Vec<String> = sighting
            .notes
            .iter()
            .map(|it| sources.noted(&it.text))
            .collect();
        let mut figures = taken_out(shown, |no| photos.contains(&no));
        for figure in &mut figures {
            figure
                .notes
                .retain(|it| !words.contains(it) && !plain.contains(it));
        }
        let printed: BTreeSet<u32> = photos.iter().copied().collect();
        let level = sighting.level.map(words::level_named);
        let extent = match is_told(finding, sighting) {
            true => String::new(),
            false => match (&sighting.size, level) {
                (None, None) => String::new(),
                (None, Some(level)) => format!(": level {level}"),
                (Some(size), None) => format!(": {size}; no level"),
                (Some(size), Some(level)) => format!(": {size}; level {level}"),
            },
        };
        Self {
            when: format!("{}, {}", sighting.day.spoken(), sighting.stage),
            seen: match is_clean_test(finding, sighting) {
                true => {
                    let told = finding.outcome.map(|it| it.words().to_string());
                    let told = told.unwrap_or_default();
                    match &sighting.size {
                        Some(size) => format!("{told}; {size}."),
                        None => format!("{told}."),
                    }
                }
                false => format!("{}{extent}.", sighting.state.said()),
            },
            words,
            // One picture that stands above the words needs no second number.
            pictures: match printed.len() {
                _ if let Some(apart) = sources.said_apart(sighting) => apart,
                0 => String::new(),
                1 if figures.len() == 1 => String::new(),
                _ => format!("{}.", words::pictures(&photos)),
            },
            figures,
        }
    }

    /// A statement that the part was sound, which does not say what became of the fault.
    fn sound(it: &SoundSeen, shown: &mut Vec<(u32, FigureView)>) -> Self {
        let of = it.wider().unwrap_or("the whole part");
        Self {
            when: it.day().spoken(),
            seen: format!("sound, said of {}.", small(of)),
            words: Vec::new(),
            pictures: format!("Picture {}.", it.photo()),
            figures: taken_out(shown, |no| no == it.photo()),
        }
    }

    /// A shoot that says nothing of it, though all of its place lies in one of its pictures.
    fn silent(it: &SilentLook, shown: &mut Vec<(u32, FigureView)>) -> Self {
        Self {
            when: format!("{}, {}", it.lies.day().spoken(), it.stage),
            seen: "not marked.".to_owned(),
            words: Vec::new(),
            pictures: format!("All of the place lies in picture {}.", it.lies.photo()),
            figures: taken_out(shown, |no| no == it.lies.photo()),
        }
    }
}

/// Whether the facts of the finding say this measure and level already.
fn is_told(finding: &Finding, sighting: &Sighting) -> bool {
    let told = match (is_past(finding), sighting.state.is_there()) {
        (false, _) => Some((finding.level, &finding.size)),
        (true, true) => Some((finding.before.level, &finding.before.size)),
        (true, false) => finding
            .remains
            .as_ref()
            .filter(|_| matches!(finding.outcome, Some(Outcome::Traces | Outcome::Hidden)))
            .map(|it| (it.level, &it.size)),
    };
    told == Some((sighting.level, &sighting.size))
}

fn taken_out(shown: &mut Vec<(u32, FigureView)>, is: impl Fn(u32) -> bool) -> Vec<FigureView> {
    let (mine, rest) = std::mem::take(shown).into_iter().partition(|it| is(it.0));
    *shown = rest;
    let mine: Vec<(u32, FigureView)> = mine;
    mine.into_iter().map(|it| it.1).collect()
}

/// Every measure that its line does not say, with its day, and every word of a finding that is told in a line.
pub(in crate::report) fn in_brief(sources: &PageContext<'_>, finding: &Finding) -> Vec<String> {
    let mut told = Vec::new();
    for it in &finding.history {
        let size = it.size.iter().filter(|_| !is_told(finding, it));
        told.extend(size.map(|size| words::sentence(&format!("{}: {size}", it.day.spoken()))));
        told.extend(said(sources, it));
    }
    told
}

/// Every word that a shoot says of a finding, a sentence each.
fn said(sources: &PageContext<'_>, sighting: &Sighting) -> Vec<String> {
    let words = sighting.words();
    words.iter().map(|it| sources.noted(it)).collect()
}

/// The pictures of its pairs, each once.
pub(in crate::report) fn paired(sources: &PageContext<'_>, finding: &Finding) -> Vec<FigureView> {
    let (shown, _) = of_pairs(sources, finding);
    shown.into_iter().map(|it| it.1).collect()
}

/// The pictures of its pairs, each once, with what is said of their likeness; of a finding without a pair, its best ones.
fn pictures(sources: &PageContext<'_>, finding: &Finding) -> (Vec<(u32, FigureView)>, Vec<String>) {
    let (shown, likeness) = of_pairs(sources, finding);
    match shown.is_empty() {
        true => (alone(sources, finding), likeness),
        false => (shown, likeness),
    }
}

fn of_pairs(sources: &PageContext<'_>, finding: &Finding) -> (Vec<(u32, FigureView)>, Vec<String>) {
    let about = PairAbout::Finding(finding.no);
    let pairs = sources.assessment.pairs.iter();
    let pairs: Vec<&Pair> = pairs.filter(|it| it.about == about).collect();
    let mut shown: Vec<(u32, FigureView)> = Vec::new();
    let mut likeness = Vec::new();
    for pair in pairs {
        let Some(view) = PairView::new(sources, pair) else {
            continue;
        };
        if !likeness.contains(&view.likeness) {
            likeness.push(view.likeness);
        }
        for (no, mut figure) in [
            (pair.before.photo, view.before),
            (pair.after.photo, view.after),
        ] {
            figure.caption = format!("Picture {no}");
            match shown.iter_mut().find(|it| it.0 == no) {
                // What one pair says of a picture, the other may not.
                Some((_, known)) => {
                    let more = figure.notes.into_iter();
                    let more: Vec<String> = more.filter(|it| !known.notes.contains(it)).collect();
                    known.notes.extend(more);
                }
                None => shown.push((no, figure)),
            }
        }
    }
    (shown, likeness)
}

/// The best picture of the last shoot that points at it, and of the first, if that is another.
fn alone(sources: &PageContext<'_>, finding: &Finding) -> Vec<(u32, FigureView)> {
    let tag = finding.no.to_string();
    let what = format!("{}: {}", finding.term, finding.placed());
    let shown = |sighting: &Sighting| sources.best_mark(sighting);
    let last = finding.history.iter().rev().find_map(shown);
    let first = finding
        .history
        .iter()
        .find_map(shown)
        .filter(|it| Some(*it) != last);
    let marks = first.into_iter().chain(last);
    let figures = marks.filter_map(|at| {
        let photo = sources.photo(at.photo)?;
        let mut figure = FigureView::of_mark(sources, photo, at.mark, &tag, &what);
        figure.caption = format!("Picture {}", photo.no);
        Some((photo.no, figure))
    });
    figures.collect()
}
