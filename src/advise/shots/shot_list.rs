//! The pictures a complete record needs at a stage, in the order of one walk round the piece, minus what the book holds.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::part::facts::Facts;
use crate::advise::refinish::advice::Lead;
use crate::advise::shots::area_shot::areas;
use crate::advise::shots::earlier::Earlier;
use crate::advise::shots::held_back;
use crate::advise::shots::shot_words;
use crate::advise::shots::to_take::FaultShot;
use crate::advise::shots::to_take::ShotLine;
use crate::advise::shots::to_take::ShotList;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::sighting::Sighting;
use crate::kit::clock::Day;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::model::piece::PartChoice;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::form::Form;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::hazard::Hazard;
use crate::trade::entry::tag::Tag;
use crate::trade::entry::view::View;
use crate::trade::entry::view::ViewSet;

/// Views that show a fault close, the best for showing it again first.
const CLOSE: [&str; 4] = [
    "defect_scale",
    "defect_close",
    "defect_raking",
    "defect_action",
];

/// The list for a form of which nothing is in the book yet.
#[must_use]
pub fn of_form(form: &Form, choice: &PartChoice, stage: Stage, book: &TradeBook) -> ShotList {
    let parts = book.parts(form, choice);
    let views = book.views_for_choice(form, choice, stage);
    let mut list = ShotList {
        mind: mind(form, &parts, form.is_hung(&parts), &Told::default(), book),
        ..ShotList::default()
    };
    if let Some(set) = book.sets.iter().find(|it| it.stage == stage) {
        list.plus = Saying::shot(&set.plus);
        list.views = lines(set, views, &parts, book);
    }
    list
}

/// The list for a piece in the book: without the views and faults that a picture of the stage shows already.
#[must_use]
pub fn of_piece(it: &Assessment, stage: Stage, book: &TradeBook) -> ShotList {
    let choice = it.piece.choice();
    let form = book.form(&it.piece.form);
    let mut list = form.map_or_else(ShotList::default, |form| {
        of_form(form, &choice, stage, book)
    });
    let photos = it
        .photos
        .iter()
        .filter(|photo| stage_of(it, photo) == Some(stage));
    let taken: BTreeSet<&str> = photos.filter_map(|it| it.sidecar.view.as_deref()).collect();
    let held = list
        .views
        .iter()
        .filter(|it| taken.contains(it.view.as_str()));
    list.held = held.map(|it| it.view.clone()).collect();
    list.views.retain(|it| !taken.contains(it.view.as_str()));
    let out = it.missing_views.iter();
    let out = out.filter(|it| it.stage == stage && !it.taken_out.is_empty());
    list.taken_out = out.cloned().collect();
    if let Some(form) = form {
        let all = book.parts(form, &choice);
        let mut parts = all.clone();
        parts.retain(|part| !it.is_absent(&part.id));
        for line in &mut list.views {
            line.parts.retain(|id| parts.iter().any(|it| it.id == *id));
            line.shows = shot_words::shows(&line.parts, &parts, book);
        }
        list.mind = mind(form, &parts, it.hangs, &Told::of(it, book), book);
        list.mind.extend(seen_before(it, book));
    }
    list.areas = areas(it);
    if shows_faults_again(stage) {
        let owed = wanted(it, stage, book).filter(|fault| !first_seen_later(it, fault, stage));
        let (held, open): (Vec<&Finding>, Vec<&Finding>) =
            owed.partition(|it| is_shown_at(it, stage));
        list.faults_held = held.iter().map(|it| it.no).collect();
        let shots = open.iter().map(|fault| shot_of(it, fault, stage, book));
        list.faults = shots.collect();
        let place = |it: &FaultShot| (place(&it.part, form, &choice, book), it.finding);
        list.faults.sort_by_key(place);
    }
    held_back::hold_back(it, stage, &mut list, book);
    list
}

/// Whether every fault is shown again at this stage: from the sale on.
fn shows_faults_again(stage: Stage) -> bool {
    stage >= Stage::Sale
}

/// Faults that are there or were repaired, those that were gone and have not been looked for since, and once the piece leaves every
/// danger that lived in it: time and the way may show that it does still. A clean test is none.
fn wanted<'a>(
    it: &'a Assessment,
    stage: Stage,
    book: &TradeBook,
) -> impl Iterator<Item = &'a Finding> {
    let leaves = stage >= Stage::Handover;
    let past = |it: &Finding| match it.state {
        FindingState::Withdrawn => true,
        _ if it.outcome.is_some_and(|it| !it.is_fault()) => true,
        FindingState::Gone if leaves && lived(it, book) => false,
        FindingState::Gone => it.not_told_since().is_none(),
        _ => false,
    };
    let wanted: Vec<&Finding> = it.findings.iter().filter(|it| !past(it)).collect();
    wanted.into_iter()
}

/// Whether it is a danger that lives.
fn lived(it: &Finding, book: &TradeBook) -> bool {
    book.tag(&it.tag).is_some_and(Tag::lives)
}

/// The newest shoot of a stage; a list made once it is there asks for what it lacks.
fn newest_of(it: &Assessment, stage: Stage) -> Option<(Day, u32)> {
    let shoots = it.shoots.iter().filter(|it| it.stage == stage);
    shoots.map(|it| (it.day, it.no)).max()
}

/// Whether a fault came to light only after the newest shoot of the stage: that shoot could not show it.
fn first_seen_later(it: &Assessment, fault: &Finding, stage: Stage) -> bool {
    let first = fault.history.iter().map(|it| (it.day, it.shoot)).min();
    newest_of(it, stage).is_some_and(|newest| first > Some(newest))
}

fn is_shown_at(fault: &Finding, stage: Stage) -> bool {
    let mut seen = fault.history.iter().filter(|it| it.stage == stage);
    seen.any(|it| it.state.tells() && !it.marks.is_empty())
}

fn stage_of(it: &Assessment, photo: &Photo) -> Option<Stage> {
    let shoot = it.shoots.iter().find(|it| it.no == photo.shoot);
    shoot.map(|it| it.stage)
}

/// Lines for views, those that come first before the walk.
fn lines(set: &ViewSet, views: Vec<&View>, parts: &[FormPart], book: &TradeBook) -> Vec<ShotLine> {
    let line = |view: &View| {
        let shown: Vec<PartId> = parts
            .iter()
            .filter(|it| view.shows_part(it))
            .map(|it| it.id.clone())
            .collect();
        let stop = match set.first.contains(&view.id) {
            true => say::shot_first(),
            false => {
                let mut stops = book.stops.iter();
                let stop = stops.find(|it| it.views.contains(&view.id));
                stop.map_or_else(Saying::nothing, |it| Saying::shot(&it.label))
            }
        };
        ShotLine {
            view: view.id.clone(),
            label: Saying::view(&view.label),
            stop,
            how: Saying::shot(&view.how),
            light: Saying::shot(&view.light),
            card: view.card.as_deref().map(Saying::shot),
            shows: shot_words::shows(&shown, parts, book),
            parts: shown,
            why: Saying::shot(&view.why),
        }
    };
    let (first, walk): (Vec<&View>, Vec<&View>) =
        views.into_iter().partition(|it| set.first.contains(&it.id));
    first.into_iter().chain(walk).map(line).collect()
}

/// What the record tells of hazards, by their ids.
#[derive(Default)]
struct Told<'a> {
    /// Told to the buyer.
    cautions: BTreeSet<&'a str>,
    /// Found by a test, and not told to be gone.
    found: BTreeSet<&'a str>,
    /// Looked for by tests wherever it may be, and not found.
    clean: BTreeSet<&'a str>,
}

impl<'a> Told<'a> {
    fn of(it: &'a Assessment, book: &TradeBook) -> Self {
        let ids = |found: bool| {
            let all = it.cautions.iter().filter(move |it| it.found || !found);
            all.map(|it| it.hazard.as_str()).collect()
        };
        let facts = Facts::of_all(it, book);
        Self {
            cautions: ids(false),
            found: ids(true),
            clean: { is_clean_of_lead(&facts).then_some("lead") }
                .into_iter()
                .collect(),
        }
    }
}

/// Whether each part that may be painted was tested, and none has lead.
fn is_clean_of_lead(facts: &BTreeMap<PartId, Facts>) -> bool {
    let clean = |it: &Facts| it.fault("lead_paint") > 0 && it.lead() == Lead::NotSuspected;
    let bare = |it: &Facts| {
        it.lead() == Lead::NotSuspected && !it.possible(Fact::Finish).contains(&"paint")
    };
    facts.values().any(clean) && facts.values().all(|it| clean(it) || bare(it))
}

/// The lines to mind, in the order of the trade book.
fn mind(
    form: &Form,
    parts: &[FormPart],
    hangs: bool,
    told: &Told<'_>,
    book: &TradeBook,
) -> Vec<Saying> {
    let kinds: BTreeSet<&str> = parts.iter().map(|it| it.kind.as_str()).collect();
    let calls = |it: &Hazard| {
        let rule = &it.applies;
        let by_form = (rule.tip_over && form.tip_over && !hangs)
            || (rule.hangs && hangs)
            || rule.forms.contains(&form.id);
        by_form || rule.kinds.iter().any(|it| kinds.contains(it.as_str()))
    };
    let lines = book.hazards.iter().filter_map(|it| {
        let line = it.on_the_spot.as_ref()?;
        let id = it.id.as_str();
        let applies = line.always || told.cautions.contains(id) || calls(it);
        let found = { it.found.as_ref() }.filter(|_| told.found.contains(id));
        let say = found.and_then(|it| it.on_the_spot.as_ref());
        (applies && !told.clean.contains(id)).then(|| Saying::shot(say.unwrap_or(&line.say)))
    });
    lines.collect()
}

/// What to mind of what was seen before, each once.
fn seen_before<'a>(it: &'a Assessment, book: &'a TradeBook) -> impl Iterator<Item = Saying> {
    let cues = it.observations.iter().filter_map(|it| book.cue(&it.cue));
    let told: BTreeSet<&str> = cues.filter_map(|it| it.on_the_spot.as_deref()).collect();
    told.into_iter().map(Saying::shot)
}

/// Where on the walk a part is first seen.
fn place(part: &PartId, form: Option<&Form>, choice: &PartChoice, book: &TradeBook) -> usize {
    let parts = form.map_or_else(Vec::new, |it| book.parts(it, choice));
    let at = |id: &PartId| {
        let part = parts.iter().find(|it| it.id == *id)?;
        book.views.iter().position(|it| it.shows_part(part))
    };
    at(part).or_else(|| at(&part.whole())).unwrap_or(usize::MAX)
}

fn shot_of(it: &Assessment, fault: &Finding, stage: Stage, book: &TradeBook) -> FaultShot {
    let earlier = earlier(it, fault, stage);
    let view = earlier
        .as_ref()
        .and_then(|it| book.view(it.view.as_deref()?));
    let close = book.view("defect_close");
    let card = close.and_then(|it| it.card.as_deref()).map(Saying::shot);
    let term = Saying::fault(&fault.term);
    FaultShot {
        finding: fault.no,
        part: fault.part.clone(),
        part_label: fault.part_label.clone(),
        term: match fault.which.is_empty() {
            true => term,
            false => say::fault_which(term, Saying::Own(fault.which.clone())),
        },
        state: fault.state,
        first: match lived(fault, book) && !fault.treated.is_empty() {
            true => say::shot_treated(),
            false => Saying::nothing(),
        },
        how: shot_words::how(earlier.as_ref(), view),
        light: shot_words::light(it, earlier.as_ref(), view),
        card: card.unwrap_or_default(),
        earlier,
    }
}

/// The picture to take again: of the newest earlier occasion, a close one before one of the whole.
fn earlier(it: &Assessment, fault: &Finding, stage: Stage) -> Option<Earlier> {
    let newest = newest_of(it, stage);
    let before = |it: &&Sighting| {
        let told = it.state != MarkState::NotExamined && !it.marks.is_empty();
        let earlier = newest.is_none_or(|newest| (it.day, it.shoot) < newest);
        told && earlier && it.stage != stage
    };
    let seen = fault.history.iter().filter(before);
    let sighting = seen.max_by_key(|it| (it.day, it.shoot))?;
    let rank = |photo: &Photo| {
        let view = photo.sidecar.view.as_deref();
        let close = CLOSE.iter().position(|it| Some(*it) == view);
        let marks = sighting.marks.iter().filter(|it| it.photo == photo.no);
        let mut regions = marks.filter_map(|it| photo.sidecar.marks.get(it.mark)?.region.as_ref());
        (
            close.unwrap_or(CLOSE.len()),
            regions.next().is_none(),
            photo.no,
        )
    };
    let photos = it
        .photos
        .iter()
        .filter(|photo| sighting.marks.iter().any(|it| it.photo == photo.no));
    let photo = photos.min_by_key(|it| rank(it))?;
    Some(Earlier {
        photo: photo.no,
        name: photo.name.clone(),
        view: photo.sidecar.view.clone(),
        stage: sighting.stage,
        day: sighting.day,
    })
}

#[cfg(test)]
mod tests;
