//! What a claim asks, which exhibits and words answer it, and what is missing.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::kit::clock::Day;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::exhibits::ExhibitView;
use crate::report::dossier::missing::missing_for_claim;
use crate::report::dossier::repairs_told;
use crate::report::page::claimed;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::work::changed::PairView;
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
    /// The repairs on record by part, where it asks what was done.
    repairs: Vec<String>,
    /// What the record says to it, by exhibit.
    answers: Vec<AnswerView>,
    /// The exhibits that show only pictures.
    also: Vec<AnswerView>,
    /// When the pictures of all exhibits entered the book.
    entered: String,
    /// The two pictures that answer it first.
    pair: Option<PairView>,
    said: Vec<FactView>,
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

/// What an exhibit says to the question.
#[derive(Clone, Debug, Serialize)]
struct AnswerView {
    no: usize,
    title: String,
    lines: Vec<String>,
}

impl AnswerView {
    fn new(it: &ExhibitView) -> Self {
        Self {
            no: it.no,
            title: it.title.clone(),
            lines: it.answers.clone(),
        }
    }
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
        exhibits: &mut [ExhibitView],
    ) -> Option<Self> {
        let claim = cover.claim?;
        let all = exhibits.iter().map(AnswerView::new);
        let (answers, also) = all.partition(|it| !it.lines.is_empty());
        let askers = claim.askers.iter().filter_map(|it| asker(it));
        let procedure = procedure(&claim.procedure);
        Some(Self {
            label: claim.label.clone(),
            question: claim.question.clone(),
            repairs: match claim.findings {
                Concerned::Repaired => repairs_told::by_part(sources, cover),
                _ => Vec::new(),
            },
            answers,
            also,
            entered: entered(sources, exhibits),
            pair: first_pair(exhibits, claim),
            said: match claim.described {
                true => described(sources, cover),
                false => unborne(sources, cover),
            },
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

/// The first pair of an exhibit that answers the question; where none does, of the first exhibit. Where the claim asks what the way did,
/// the first of before and after it, if there is one.
fn first_pair(exhibits: &mut [ExhibitView], claim: &ClaimKind) -> Option<PairView> {
    let answers = exhibits.iter().any(|it| !it.answers.is_empty());
    let asked = exhibits
        .iter_mut()
        .take(if answers { usize::MAX } else { 1 });
    let mut asked: Vec<&mut ExhibitView> = asked
        .filter(|it| !answers || !it.answers.is_empty())
        .collect();
    let journey =
        claim.findings == Concerned::AfterSale || claim.stages.iter().any(|it| it.after_sale());
    let over = |it: &PairView| journey && it.is_over_the_way();
    let first = asked.iter_mut().find_map(|it| it.take_pair(over));
    first.or_else(|| asked.into_iter().find_map(|it| it.take_pair(|_| true)))
}

/// When the pictures of the exhibits entered the book: whoever asks when it came, asks for that too.
fn entered(sources: &PageContext<'_>, exhibits: &[ExhibitView]) -> String {
    let photos = exhibits.iter().flat_map(|it| &it.pictures);
    let photos = photos.filter_map(|it| sources.photo(it.no));
    let days: BTreeSet<Day> = photos.map(|it| it.imported.local_day()).collect();
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        return String::new();
    };
    let when = match first == last {
        true => format!("on {}", first.spoken()),
        false => format!("from {} to {}", first.spoken(), last.spoken()),
    };
    format!(
        "The pictures shown here were entered in the book {when}, by the clock of the owner's computer."
    )
}

/// Of the title and the description those that claim what the record does not show.
fn unborne(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<FactView> {
    let (mut facts, mark) = (described(sources, cover), claimed::mark());
    facts.retain(|it| it.lines.iter().any(|line| line.contains(&mark)));
    facts
}

/// What the record says of the piece in words: its title, what the owner wrote about it, and the new material of its repairs.
fn described(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<FactView> {
    let piece = &sources.assessment.piece;
    let mut facts = vec![FactView::new("Title", words::sentence(&piece.title))];
    let about = piece.about.as_deref();
    facts.extend(about.map(|it| FactView::new("Description", words::sentence(it))));
    let new = repairs_told::new_material(sources, cover);
    let new = (!new.is_empty()).then(|| FactView {
        name: "New material".to_owned(),
        lines: new,
    });
    facts.extend(new);
    facts
}
