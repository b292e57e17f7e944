//! What a claim asks, which exhibits answer it, and what is missing.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::SaidWord;
use crate::kit::clock::Day;
use crate::kit::text::small;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::dossier::concerned::concerned;
use crate::report::dossier::concerned::lost;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::exhibits::ExhibitView;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::trade;
use crate::trade::entry::asker::Asker;
use crate::trade::entry::asker::asker;
use crate::trade::entry::asker::procedure;
use crate::trade::entry::claim_kind::ClaimKind;
use crate::trade::entry::claim_kind::Concerned;

/// A claim as printed.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct ClaimView {
    label: String,
    question: String,
    answers: String,
    shows: Vec<String>,
    missing: Vec<String>,
    papers: Vec<String>,
    strong: String,
    weak: String,
    askers: Vec<AskerView>,
    procedure: String,
    steps: &'static [String],
}

/// Who may ask.
#[derive(Clone, Debug, Serialize)]
struct AskerView {
    label: &'static str,
    asks: String,
}

impl AskerView {
    fn new(it: &'static Asker) -> Self {
        Self {
            label: &it.label,
            asks: it.asks.join(" "),
        }
    }
}

impl ClaimView {
    /// `None` when the dossier is for no claim.
    pub(in crate::report) fn new(
        sources: &PageContext<'_>,
        cover: &CoverRequest,
        exhibits: &[ExhibitView],
    ) -> Option<Self> {
        let claim = cover.claim?;
        let numbers: Vec<String> = exhibits
            .iter()
            .map(|it| format!("{} ({})", it.no, it.title))
            .collect();
        let answers = match numbers.len() {
            0 => "No exhibit answers it: the record has no picture of what it asks.".to_owned(),
            1 => format!("Look at exhibit {}.", numbers[0]),
            _ => format!("Look at exhibits {}.", words::listed(&numbers)),
        };
        let askers = claim.askers.iter().filter_map(|it| asker(it));
        let procedure = procedure(&claim.procedure);
        Some(Self {
            label: claim.label.clone(),
            question: claim.question.clone(),
            answers,
            shows: claim.shows.clone(),
            missing: missing_for_claim(sources.assessment, cover),
            papers: claim.papers.clone(),
            strong: claim.strong.clone(),
            weak: claim.weak.clone(),
            askers: askers.map(AskerView::new).collect(),
            procedure: procedure.map_or_else(String::new, |it| it.label.clone()),
            steps: procedure.map_or(&[], |it| &it.steps),
        })
    }
}

/// What an answer to the claim still needs; empty without a claim.
#[must_use]
pub fn missing_for_claim(assessment: &Assessment, cover: &CoverRequest) -> Vec<String> {
    let Some(claim) = cover.claim else {
        return Vec::new();
    };
    let findings = concerned(assessment, cover);
    let mut missing = Vec::new();
    if claim.findings != Concerned::None
        && findings.is_empty()
        && lost(assessment, cover).is_empty()
    {
        missing.push(
            "No finding that it could be about is marked in a picture: import the pictures of the complaint and mark the place."
                .to_owned(),
        );
    }
    let has_stage = |stage: Stage| {
        let of = |no: u32| assessment.photos.iter().any(|it| it.shoot == no);
        let mut shoots = assessment.shoots.iter();
        shoots.any(|it| it.stage == stage && of(it.no))
    };
    for stage in claim.stages.iter().filter(|it| !has_stage(**it)) {
        missing.push(format!("No pictures of the {stage} are in the book."));
    }
    missing.extend(views(assessment, claim));
    missing.extend(not_taken(assessment, claim));
    missing.extend(alone(assessment, claim));
    missing.extend(findings.iter().flat_map(|it| unseen(assessment, it)));
    let journey = claim.stages.contains(&Stage::Handover);
    if journey && cover.confirmed.is_empty() {
        missing.push("No paper on which the other side confirms a seal is enclosed.".to_owned());
    }
    if claim.measured {
        missing.extend(findings.iter().flat_map(|it| unmeasured(it)));
    }
    if claim.report {
        missing.extend(report(assessment, cover));
    }
    if cover.seals.iter().all(|it| it.stamped.is_none()) {
        missing.push(
            "No seal has a time stamp: without one, only the owner says when the record was made."
                .to_owned(),
        );
    }
    missing
}

fn views(assessment: &Assessment, claim: &ClaimKind) -> Vec<String> {
    let book = trade::book();
    // Pictures of a hand-over need not name that as their view: the shoot says it.
    let is_stage = |view: &str| claim.stages.iter().any(|it| it.word() == view);
    let wanted = claim
        .views
        .iter()
        .filter(|it| !is_taken(assessment, it) && !is_stage(it));
    wanted
        .map(|it| {
            let label = book.view(it).map_or(it.as_str(), |it| it.label.as_str());
            format!("No picture has the view “{label}” ({it}).")
        })
        .collect()
}

fn is_taken(assessment: &Assessment, view: &str) -> bool {
    let mut photos = assessment.photos.iter();
    photos.any(|it| it.sidecar.view.as_deref() == Some(view))
}

/// The views of the stages of the claim that were not taken, a line each stage, without those that another line tells: views that
/// nobody ever took, fixed ones of one side of the journey, and all of a stage without any picture.
fn not_taken(assessment: &Assessment, claim: &ClaimKind) -> Vec<String> {
    let book = trade::book();
    let told = |view: &String| {
        let fixed = book.view(view).is_some_and(|it| it.fixed);
        claim.views.contains(view) && (fixed || !is_taken(assessment, view))
    };
    let of = |stage: &Stage| {
        let views = assessment.missing_views.iter();
        let views = views.filter(|it| it.stage == *stage && !told(&it.view));
        let labels: Vec<&str> = views.map(|it| it.label.as_str()).collect();
        let mut shoots = assessment.shoots.iter().filter(|it| it.stage == *stage);
        let any = shoots.any(|shoot| assessment.photos.iter().any(|it| it.shoot == shoot.no));
        (any && !labels.is_empty())
            .then(|| format!("Views not taken ({stage}): {}.", labels.join("; ")))
    };
    claim.stages.iter().filter_map(of).collect()
}

/// The days on which a finding or its part was not examined, as somebody wrote.
fn unseen(assessment: &Assessment, finding: &Finding) -> Vec<String> {
    let name = format!("{}, {}", finding.no, finding.term);
    let looks = finding.history.iter();
    let looks = looks.filter(|it| it.state == MarkState::NotExamined);
    let mut days: Vec<Day> = looks.map(|it| it.day).collect();
    let mut lines: Vec<String> = days
        .iter()
        .map(|it| format!("{name}, was not examined on {}.", it.spoken()))
        .collect();
    let belongs =
        |part: &&PartReport| part.part == finding.part || part.part == finding.part.whole();
    let parts = assessment.parts.iter().filter(belongs);
    for part in parts {
        let said = part.said.iter();
        let said = said.filter(|it| it.word == SaidWord::NotExamined);
        for day in said.filter_map(|it| it.day) {
            if !days.contains(&day) {
                days.push(day);
                let on = day.spoken();
                lines.push(format!(
                    "{name}: {} was not examined on {on}.",
                    small(&part.label)
                ));
            }
        }
    }
    lines
}

/// Views of the claim that were taken on one side of the journey alone, where the claim asks for both: nothing can be held against
/// nothing.
fn alone(assessment: &Assessment, claim: &ClaimKind) -> Vec<String> {
    let book = trade::book();
    let on_side = |photo: &Photo, after: bool| {
        let mut shoots = assessment.shoots.iter();
        shoots.any(|it| it.no == photo.shoot && it.stage.after_sale() == after)
    };
    let taken = |view: &str, after: bool| {
        let mut photos = assessment.photos.iter();
        photos.any(|it| it.sidecar.view.as_deref() == Some(view) && on_side(it, after))
    };
    // That a side has no pictures at all is said once.
    let both = [false, true].iter().all(|after| {
        let mut photos = assessment.photos.iter();
        photos.any(|it| on_side(it, *after))
    });
    let asks = both && claim.stages.iter().any(|it| it.after_sale());
    let wanted = claim.views.iter().filter(|_| asks);
    let wanted = wanted.filter_map(|it| book.view(it).filter(|it| it.fixed));
    let lines = wanted.filter_map(|it| {
        let when = match [false, true].map(|after| taken(&it.id, after)) {
            [true, false] => "after",
            [false, true] => "before",
            _ => return None,
        };
        let label = &it.label;
        Some(format!(
            "The record has no picture with the view “{label}” ({}) from {when} the piece left.",
            it.id
        ))
    });
    lines.collect()
}

/// A number on both ends of the journey, or what is lacking of it.
fn unmeasured(finding: &Finding) -> Vec<String> {
    let measured = |after: bool| {
        let mut history = finding.history.iter();
        history.any(|it| it.stage.after_sale() == after && it.size.is_some())
    };
    let lacks = [(false, "before the piece left"), (true, "after it arrived")];
    let lacks = lacks.into_iter().filter(|it| !measured(it.0));
    lacks
        .map(|(_, when)| format!("{}, {}, was not measured {when}.", finding.no, finding.term))
        .collect()
}

/// An edition for the buyer that is not younger than the sale, as it was told last, or the hand-over.
fn report(assessment: &Assessment, cover: &CoverRequest) -> Option<String> {
    let mut editions = cover.editions.iter().filter(|it| it.reader == "buyer");
    let left = assessment.shoots.iter();
    let left = left
        .filter(|it| it.stage >= Stage::Handover)
        .map(|it| it.day);
    let limit: Option<Day> = left.chain(cover.sales.last().copied()).min();
    let Some(limit) = limit else {
        return editions
            .next()
            .is_none()
            .then(|| "No edition of the report for the buyer is on record.".to_owned());
    };
    let early = editions.any(|it| it.made <= limit);
    (!early).then(|| {
        format!(
            "No edition of the report for the buyer is as old as the day the piece left or was sold, {}.",
            limit.spoken()
        )
    })
}
