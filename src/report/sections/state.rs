//! State part by part: a schedule of all parts, then each finding.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::findings::silent_look::SilentLook;
use crate::assess::part_report::PartReport;
use crate::assess::statements::statement::SoundSeen;
use crate::assess::worked::Worked;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::model::ids::FindingNo;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::glance::ItemView;
use crate::report::sections::glance::anchor;
use crate::report::sections::glance::is_full;
use crate::report::sections::glance::is_past;
use crate::report::sections::glance::printed;
use crate::report::sections::glance::remains;

/// State part by part.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct StateView {
    /// Every part.
    pub(in crate::report) schedule: Vec<RowView>,
    /// The parts with findings.
    pub(in crate::report) parts: Vec<PartView>,
}

/// A part in the schedule.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct RowView {
    /// Its label.
    pub(in crate::report) label: String,
    /// What was said of it.
    pub(in crate::report) state: String,
    /// Its findings.
    pub(in crate::report) findings: Vec<ItemView>,
    /// Repairs that were done on it, a sentence; empty without one.
    pub(in crate::report) repairs: String,
    /// Numbers of pictures that show it and have a note of their own.
    pub(in crate::report) noted: Vec<u32>,
    /// Numbers of the pictures that show it.
    pub(in crate::report) pictures: String,
}

/// A part with findings.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PartView {
    /// Its label.
    pub(in crate::report) label: String,
    /// Its findings in full.
    pub(in crate::report) findings: Vec<FindingView>,
    /// Those below the level that must be told, a line each.
    pub(in crate::report) brief: Vec<BriefView>,
}

/// A finding in one line.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct BriefView {
    /// Number, name, level, measure.
    pub(in crate::report) item: ItemView,
    /// What became of it.
    pub(in crate::report) state: String,
    /// What was written of it, a sentence each.
    pub(in crate::report) words: Vec<String>,
}

/// A finding in full.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct FindingView {
    /// `F3`.
    pub(in crate::report) no: String,
    /// Where it stands on this page.
    pub(in crate::report) anchor: String,
    /// The fault's name.
    pub(in crate::report) term: String,
    /// Where it is.
    pub(in crate::report) place: String,
    /// What the fault's name means.
    pub(in crate::report) plain: String,
    /// Its sign: `there`, `hidden`, `traces`, `closed` or `unsettled`.
    pub(in crate::report) group: &'static str,
    /// State, level, measure, origin, repairs.
    pub(in crate::report) facts: Vec<FactView>,
    /// Its pictures.
    pub(in crate::report) figures: Vec<FigureView>,
    /// Whether its before and after pictures stand under "What was changed".
    pub(in crate::report) paired: bool,
    /// What was said of it, shoot by shoot.
    pub(in crate::report) history: Vec<HistoryView>,
}

/// What one shoot says of a finding.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct HistoryView {
    /// Day and occasion.
    pub(in crate::report) when: String,
    /// What was seen.
    pub(in crate::report) seen: String,
    /// Level, or a dash.
    pub(in crate::report) level: String,
    /// Measure, or a dash.
    pub(in crate::report) size: String,
    /// Notes and pictures.
    pub(in crate::report) notes: Vec<String>,
}

impl StateView {
    /// Of all parts.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let mut told = BTreeSet::new();
        let reports = &sources.assessment.parts;
        let mut parts: Vec<_> = reports
            .iter()
            .filter_map(|it| PartView::new(sources, &it.label, &it.findings, &mut told))
            .collect();
        let rest = sources.findings().map(|it| it.no);
        let rest: Vec<_> = rest.filter(|it| !told.contains(it)).collect();
        parts.extend(PartView::new(
            sources,
            "Elsewhere on the piece",
            &rest,
            &mut told,
        ));
        Self {
            schedule: reports.iter().map(|it| row(sources, it)).collect(),
            parts,
        }
    }
}

fn row(sources: &PageContext<'_>, part: &PartReport) -> RowView {
    let findings = || part.findings.iter().filter_map(|it| sources.finding(*it));
    let noted = |no: &u32| {
        let photo = sources.photo(*no);
        photo.is_some_and(|it| it.sidecar.note.is_some())
    };
    RowView {
        label: part.label.clone(),
        state: words::part_state(part),
        findings: findings().map(ItemView::new).collect(),
        repairs: repairs(sources, part),
        noted: part.photos.iter().copied().filter(noted).collect(),
        pictures: words::runs(&part.photos),
    }
}

/// `Repairs 2 and 3 were done on it.`: those that name it or a part of it, or a finding there.
pub(in crate::report) fn repairs(sources: &PageContext<'_>, part: &PartReport) -> String {
    let assessment = sources.assessment;
    let done = assessment.repairs.iter().filter(|it| {
        let worked = Worked::by(it, &assessment.findings);
        let mut on = worked.parts().iter();
        on.any(|it| *it == part.part || it.whole() == part.part)
    });
    let done: Vec<u32> = done.map(|it| it.no).collect();
    match done.as_slice() {
        [] => String::new(),
        [one] => format!("Repair {one} was done on it."),
        _ => format!("Repairs {} were done on it.", words::runs(&done)),
    }
}

impl PartView {
    /// `None` without findings that were not told before.
    fn new(
        sources: &PageContext<'_>,
        label: &str,
        findings: &[FindingNo],
        told: &mut BTreeSet<FindingNo>,
    ) -> Option<Self> {
        let new = findings.iter().filter(|it| told.insert(**it));
        let new: Vec<_> = new.filter_map(|it| sources.finding(*it)).collect();
        if new.is_empty() {
            return None;
        }
        let full = |it: &&&Finding| is_full(sources, it);
        let brief = new.iter().filter(|it| !full(it)).map(|it| BriefView {
            item: ItemView::new(it),
            state: sources.state(it),
            words: it.history.iter().flat_map(said).collect(),
        });
        Some(Self {
            label: label.to_owned(),
            brief: brief.collect(),
            findings: new
                .iter()
                .filter(full)
                .map(|it| FindingView::new(sources, it))
                .collect(),
        })
    }
}

impl FindingView {
    fn new(sources: &PageContext<'_>, finding: &Finding) -> Self {
        let about = PairAbout::Finding(finding.no);
        let paired = sources.assessment.pairs.iter().any(|it| it.about == about);
        let figures = match paired {
            true => Vec::new(),
            false => figures(sources, finding),
        };
        Self {
            no: finding.no.to_string(),
            anchor: anchor(finding),
            term: finding.term.clone(),
            place: words::place(finding),
            plain: words::sentence(&finding.plain),
            group: words::sign(finding.outcome),
            facts: facts(sources, finding),
            figures,
            paired,
            history: told(finding),
        }
    }
}

/// The measure goes first: a number before every other word.
fn facts(sources: &PageContext<'_>, finding: &Finding) -> Vec<FactView> {
    let sentence = |text: &str| words::sentence(&capital(text));
    let mut facts = vec![
        measure(finding),
        level(finding),
        FactView::new("State", sentence(&sources.state(finding))),
    ];
    let mut origin = FactView::new("Origin", sentence(words::origin(finding.origin)));
    origin.lines.push(words::sentence(&finding.origin_why));
    origin.lines.retain(|it| !it.is_empty());
    facts.push(origin);
    if !finding.repairs.is_empty() {
        let repairs = words::runs(&finding.repairs);
        facts.push(FactView::new(
            "Repair",
            format!("Number {repairs}, under What was changed."),
        ));
    }
    facts
}

fn measure(finding: &Finding) -> FactView {
    let said = |size: Option<String>| size.unwrap_or_else(|| "not measured".to_owned());
    if !is_past(finding) {
        let size = said(words::dated(finding.size.as_deref(), finding.size_of));
        let mut fact = FactView::new("Measure", words::sentence(&capital(&size)));
        fact.lines.extend(drawn(finding));
        return fact;
    }
    let then = said(words::dated(
        finding.before.size.as_deref(),
        finding.before.size_of,
    ));
    let mut fact = FactView::new("Measure", format!("Before: {then}."));
    fact.lines
        .extend(remains(finding).map(|it| format!("Remains: {it}.")));
    fact
}

/// Of a fault that nobody measured: how large it is drawn on a laid face.
fn drawn(finding: &Finding) -> Option<String> {
    let place = finding.place.as_ref().filter(|_| finding.size.is_none())?;
    let [_, _, width, height] = place.bounds();
    (width.max(height) > 0.0).then(|| {
        format!(
            "Drawn in picture {} within {width:.0} x {height:.0} mm of the {}, \u{b1} {:.0} mm.",
            place.from.photo,
            place.face,
            place.uncertainty_mm.max(1.0)
        )
    })
}

/// The level with the criterion that goes with it.
fn level(finding: &Finding) -> FactView {
    let (level, criterion) = printed(finding);
    let text = level.map_or_else(|| "not stated".to_owned(), words::level_named);
    let text = match is_past(finding) {
        true => format!("Before: {text}."),
        false => capital(&format!("{text}.")),
    };
    let mut fact = FactView::new("Level", text);
    fact.lines
        .extend(criterion.map(|it| format!("Its criterion: {}", words::sentence(it))));
    fact
}

/// The best picture of the last shoot that points at it, and of the first, if that is another.
fn figures(sources: &PageContext<'_>, finding: &Finding) -> Vec<FigureView> {
    let tag = finding.no.to_string();
    let what = format!("{}: {}", finding.term, words::place(finding));
    let shown = |sighting: &Sighting| best(sources, sighting);
    let last = finding.history.iter().rev().find_map(shown);
    let first = finding
        .history
        .iter()
        .find_map(shown)
        .filter(|it| Some(*it) != last);
    let marks = first.into_iter().chain(last);
    let figures = marks.filter_map(|at| {
        let photo = sources.photo(at.photo)?;
        Some(FigureView::of_mark(sources, photo, at.mark, &tag, &what))
    });
    figures.collect()
}

/// The mark that covers most of its picture, in pictures without a weakness if there are any.
fn best(sources: &PageContext<'_>, sighting: &Sighting) -> Option<MarkAt> {
    let cover = |at: &MarkAt| {
        let [_, _, w, h] = sources.mark(*at)?.region.as_ref()?.bounds();
        Some(w.max(h))
    };
    let sound = |at: &MarkAt| sources.weaknesses(at.photo).is_empty();
    let marks = sighting
        .marks
        .iter()
        .filter_map(|at| Some((*at, cover(at)?)));
    let best = marks.reduce(|a, b| {
        let better = (sound(&b.0), b.1) > (sound(&a.0), a.1);
        if better { b } else { a }
    });
    best.map(|(at, _)| at)
}

/// Every word that a shoot says of a finding, a sentence each.
fn said(sighting: &Sighting) -> Vec<String> {
    sighting.words().iter().map(|it| words::noted(it)).collect()
}

/// What was said of it shoot by shoot, with the words on the whole part among them by their days.
fn told(finding: &Finding) -> Vec<HistoryView> {
    let seen = finding.history.iter().map(|it| (it.day, history(it)));
    let sound = finding.said_sound.iter().map(|it| (it.day(), sound(it)));
    let silent = finding.silent.iter();
    let silent = silent.map(|it| (it.lies.day(), not_marked(it)));
    let mut rows: Vec<_> = seen.chain(sound).chain(silent).collect();
    rows.sort_by_key(|it| it.0);
    rows.into_iter().map(|it| it.1).collect()
}

/// A statement that the part was sound, which does not say what became of the fault.
fn sound(it: &SoundSeen) -> HistoryView {
    let of = it.wider().unwrap_or("the whole part");
    HistoryView {
        when: it.day().spoken(),
        seen: "Sound".to_owned(),
        level: "–".to_owned(),
        size: "–".to_owned(),
        notes: vec![
            words::sentence(&format!("Said of {}", small(of))),
            format!("Picture {}.", it.photo()),
        ],
    }
}

/// A shoot that says nothing of it, though all of its place lies in one of its pictures.
fn not_marked(it: &SilentLook) -> HistoryView {
    HistoryView {
        when: format!("{}, {}", it.lies.day().spoken(), it.stage),
        seen: "Not marked".to_owned(),
        level: "–".to_owned(),
        size: "–".to_owned(),
        notes: vec![format!(
            "All of the place lies in picture {}.",
            it.lies.photo()
        )],
    }
}

fn history(sighting: &Sighting) -> HistoryView {
    let dash = || "–".to_owned();
    let photos: Vec<_> = sighting.marks.iter().map(|it| it.photo).collect();
    let mut notes = said(sighting);
    if !photos.is_empty() {
        let word = if photos.iter().any(|it| *it != photos[0]) {
            "Pictures"
        } else {
            "Picture"
        };
        notes.push(format!("{word} {}.", words::runs(&photos)));
    }
    HistoryView {
        when: format!("{}, {}", sighting.day.spoken(), sighting.stage),
        seen: capital(words::seen(sighting.state)),
        level: sighting.level.map_or_else(dash, words::level_named),
        size: sighting.size.clone().unwrap_or_else(dash),
        notes,
    }
}
