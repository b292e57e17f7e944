//! The walk round a piece: the map, what was said of every part and photo, the findings, and what is still to say.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::assess;
use crate::assess::assessment::Assessment;
use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::NotLooked;
use crate::compare::figures::Units;
use crate::kit::clock::Day;
use crate::kit::clock::Moment;
use crate::model::complaint::Complaint;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Sidecar;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::report;
use crate::report::PieceMap;
use crate::trade::TradeBook;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Face;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;
use crate::work::marking::again;
use crate::work::marking::again::Again;
use crate::work::marking::finding_lines::FindingOnWalk;
use crate::work::marking::finding_lines::findings;
use crate::work::marking::guess;
use crate::work::marking::guess::Guess;
use crate::work::marking::laying::FaceOnWalk;
use crate::work::marking::laying::faces;
use crate::work::marking::measure::units;
use crate::work::marking::save::version_of;
use crate::work::piece::recorded::piece_record;
use crate::work::report::drawing_input::scene;
use crate::work::sidecars::sync_sidecars::sync_piece;
use crate::work::sidecars::vocabulary;

/// All that the marking page shows of a piece.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct Walk {
    pub piece: PieceOnWalk,
    /// `mm` or `in`: the unit that a plain number gets.
    pub units: Units,
    pub shoots: Vec<ShootOnWalk>,
    /// The sides that can be laid in a picture.
    pub faces: Vec<FaceOnWalk>,
    pub map: PieceMap,
    pub parts: Vec<PartOnWalk>,
    pub photos: Vec<PhotoOnWalk>,
    pub findings: Vec<FindingOnWalk>,
    pub again: Vec<Again>,
    pub missing_views: Vec<ViewOnWalk>,
    pub missing_files: Vec<String>,
}

/// The piece.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct PieceOnWalk {
    pub stock_no: String,
    pub title: String,
    pub form_label: String,
}

/// A shoot.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct ShootOnWalk {
    pub no: u32,
    pub stage: Stage,
    pub day: Day,
    pub label: String,
}

/// A part.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct PartOnWalk {
    pub id: PartId,
    pub label: String,
    pub kind: String,
    pub plain: String,
    pub inner: bool,
    pub whole: PartId,
    /// Faces that measure what lies on it, where they are laid in a picture.
    pub faces: Vec<PartId>,
    /// `silent`, `sound`, `faults`, `not_examined` or `absent`.
    pub state: &'static str,
    pub told: String,
    pub findings: Vec<FindingNo>,
    pub photos: Vec<u32>,
    pub missing_views: Vec<ViewOnWalk>,
}

/// A view that a stage still lacks.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct ViewOnWalk {
    pub stage: Stage,
    pub view: String,
    pub label: String,
}

/// A photo and what is said of it.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract with the page")]
pub struct PhotoOnWalk {
    pub no: u32,
    pub shoot: u32,
    pub name: String,
    /// Of the upright picture, pixels.
    pub width: u32,
    pub height: u32,
    pub taken: Option<String>,
    pub digest: String,
    pub version: String,
    pub said: Sidecar,
    /// Whether nothing is said of it yet.
    pub silent: bool,
    /// What it may be, while that is not said.
    pub guess: Option<Guess>,
    pub complaints: Vec<Complaint>,
    pub notes: Vec<String>,
}

impl MarkingSession {
    /// Reads the sidecars that changed, gives new findings their numbers, and says all that is recorded.
    ///
    /// # Errors
    /// When the book cannot be read or written.
    pub fn walk(&self, now: Moment) -> Result<Walk, WorkError> {
        let mut book = self.open(now)?;
        book.trade()?;
        let missing_files = sync_piece(&mut book, &self.stock_no)?;
        let (settings, _) = book.settings_or_usual()?;
        let case = piece_record(&book, &self.stock_no, settings.clone())?;
        let it = assess(&case, &book.trade);
        let texts = book.record.newest_texts(&self.stock_no)?;
        let texts: BTreeMap<u32, String> = texts
            .into_iter()
            .map(|(no, text, _)| (no, version_of(&text)))
            .collect();
        let listed = vocabulary::parts(&book.trade, &it.piece);
        let shape = PieceShape::of(&book.trade, &it.piece, &listed);
        let scene = scene(&book, &it.piece, &settings);
        Ok(Walk {
            piece: PieceOnWalk {
                stock_no: it.piece.stock_no.to_string(),
                title: it.piece.title.clone(),
                form_label: it.form_label.clone(),
            },
            units: units(&settings),
            shoots: it.shoots.iter().map(shoot_line).collect(),
            faces: faces(&shape),
            map: report::piece_map(&scene),
            parts: parts(&it, &book.trade, &shape, &listed),
            photos: photos(&it, &book.trade, &texts),
            findings: findings(&it),
            again: again::again(&it, &book.trade),
            missing_views: missing(&it).collect(),
            missing_files,
        })
    }
}

fn shoot_line(it: &Shoot) -> ShootOnWalk {
    ShootOnWalk {
        no: it.no,
        stage: it.stage,
        day: it.day,
        label: format!("{} {}, {}", it.no, it.stage, it.day.spoken()),
    }
}

fn missing(it: &Assessment) -> impl Iterator<Item = ViewOnWalk> {
    it.missing_views.iter().map(|it| ViewOnWalk {
        stage: it.stage,
        view: it.view.clone(),
        label: it.label.clone(),
    })
}

/// Every part of the form, inner ones after their outer part, then those that only the user named.
fn parts(
    it: &Assessment,
    trade: &TradeBook,
    shape: &PieceShape,
    listed: &[FormPart],
) -> Vec<PartOnWalk> {
    let report = |id: &PartId| it.parts.iter().find(|part| part.part == *id);
    let known = listed
        .iter()
        .map(|part| on_walk(it, (trade, shape), part, report(&part.id)));
    let further = it
        .parts
        .iter()
        .filter(|part| !listed.iter().any(|it| it.id == part.part));
    let further = further.map(|part| {
        let bare = FormPart {
            id: part.part.clone(),
            label: part.label.clone(),
            kind: String::new(),
            required: part.required,
            inner: part.part.is_inner(),
            face: Face::Inside,
            seen_with_whole: false,
        };
        on_walk(it, (trade, shape), &bare, Some(part))
    });
    known.chain(further).collect()
}

fn on_walk(
    it: &Assessment,
    (trade, shape): (&TradeBook, &PieceShape),
    part: &FormPart,
    report: Option<&PartReport>,
) -> PartOnWalk {
    let (state, told) = told(it, &part.id, report);
    let shows = |view: &ViewOnWalk| {
        let found = trade.view(&view.view);
        found.is_some_and(|it| it.shows_part(part))
    };
    let photos = match report {
        Some(report) => report.photos.clone(),
        None => laid_on(it, &part.id),
    };
    PartOnWalk {
        id: part.id.clone(),
        label: part.label.clone(),
        kind: part.kind.clone(),
        plain: trade
            .kind(&part.kind)
            .map_or(String::new(), |it| it.plain.clone()),
        inner: part.inner,
        whole: part.id.whole(),
        faces: flat_faces::of_part(shape, &part.id),
        state,
        told,
        findings: report.map(|it| it.findings.clone()).unwrap_or_default(),
        photos,
        missing_views: missing(it).filter(shows).collect(),
    }
}

/// Photos of an inner part of which nothing was said yet.
fn laid_on(it: &Assessment, part: &PartId) -> Vec<u32> {
    let laid = it
        .photos
        .iter()
        .filter(|it| it.sidecar.parts.contains(part));
    laid.map(|it| it.no).collect()
}

/// What was said of a part; the three silences keep three different words.
fn told(it: &Assessment, part: &PartId, report: Option<&PartReport>) -> (&'static str, String) {
    let state = report.map(|it| &it.state).or_else(|| it.unnamed.get(part));
    let of = |wider: Option<&str>| wider.map_or_else(String::new, |it| format!(" (said of {it})"));
    let not_examined = |it: &NotLooked| match it.why() {
        None => format!("not examined{}", of(it.wider())),
        Some(why) => format!("not examined: {why}{}", of(it.wider())),
    };
    match state {
        Some(PartState::Silent) if report.is_some_and(|it| it.remarked) => {
            ("silent", "no statement on faults yet".to_owned())
        }
        None | Some(PartState::Silent) => ("silent", "nothing said yet".to_owned()),
        Some(PartState::Sound(it)) => (
            "sound",
            format!("looked for, nothing found{}", of(it.wider())),
        ),
        Some(PartState::NotExamined(it)) => ("not_examined", not_examined(it)),
        Some(PartState::Absent(it)) => ("absent", format!("not there{}", of(it.wider()))),
        Some(PartState::Faults) => {
            let report = report.filter(|it| it.counts.all() > 0);
            let counted = report.map_or_else(String::new, |it| it.counts.text().to_string());
            let otherwise = report.and_then(|it| it.otherwise.as_ref());
            let rest = otherwise.map_or_else(String::new, |it| {
                format!("; otherwise {}", not_examined(it))
            });
            ("faults", format!("{counted}{rest}"))
        }
    }
}

fn photos(
    it: &Assessment,
    trade: &TradeBook,
    versions: &BTreeMap<u32, String>,
) -> Vec<PhotoOnWalk> {
    let mut guesses = guess::guesses(it, trade);
    let mut line = |photo: &Photo| {
        let file = photo.sidecar_shown();
        let complaints = it.complaints.iter();
        let notes = it.picture_notes.iter().filter(|it| it.photo == photo.no);
        PhotoOnWalk {
            no: photo.no,
            shoot: photo.shoot,
            name: photo.name.clone(),
            width: photo.facts.width,
            height: photo.facts.height,
            taken: photo.taken().map(|it| it.spoken()),
            digest: photo.digest.to_string(),
            version: versions.get(&photo.no).cloned().unwrap_or_default(),
            said: photo.sidecar.clone(),
            silent: photo.sidecar == Sidecar::default(),
            guess: guesses.remove(&photo.no),
            complaints: complaints.filter(|it| it.file == file).cloned().collect(),
            notes: notes.map(|it| it.text.to_string()).collect(),
        }
    };
    it.photos.iter().map(&mut line).collect()
}
