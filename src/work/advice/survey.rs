//! What is recorded of a piece, what is missing, and what it means.

use serde::Serialize;

use crate::advise;
use crate::advise::next::NextStep;
use crate::assess;
use crate::assess::assessment::Assessment;
use crate::assess::assessment::FindingState;
use crate::assess::assessment::Origin;
use crate::assess::assessment::PartState;
use crate::assess::assessment::PieceRecord;
use crate::assess::findings::counts::Counts;
use crate::assess::findings::outcome::Outcome;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::mark::MarkState;
use crate::model::photo::Stage;
use crate::model::sale::Sale;
use crate::model::settings::Settings;
use crate::work::WorkError;
use crate::work::advice::interpretation;
use crate::work::advice::interpretation::MadeLine;
use crate::work::advice::interpretation::MaterialLine;
use crate::work::advice::interpretation::PathsLine;
use crate::work::book::open_book::OpenBook;
use crate::work::sidecars::sync_sidecars::absorb;

/// The survey of a piece, as printed and as `--json` gives it.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct Survey {
    pub piece: PieceLine,
    pub sold: Option<Sale>,
    pub shoots: Vec<ShootLine>,
    pub photos: usize,
    pub counts: Counts,
    pub parts: Vec<PartLine>,
    pub findings: Vec<FindingLine>,
    pub pairs: usize,
    pub picture_notes: Vec<PictureLine>,
    pub materials: Vec<MaterialLine>,
    pub made: MadeLine,
    pub paths: Vec<PathsLine>,
    pub next: Vec<NextStep>,
    pub missing_views: Vec<MissingLine>,
    pub missing_sidecars: Vec<String>,
    pub photos_without_view: Vec<PhotoLine>,
    pub complaints: Vec<ComplaintLine>,
    pub blocked_by: Vec<GapLine>,
}

/// The piece in one line.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct PieceLine {
    pub stock_no: StockNo,
    pub title: String,
    pub form: String,
    pub form_label: String,
    pub height_mm: Option<f64>,
    pub width_mm: Option<f64>,
    pub depth_mm: Option<f64>,
    pub folder: String,
}

/// A shoot in one line.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct ShootLine {
    pub no: u32,
    pub stage: Stage,
    pub day: Day,
    pub photos: usize,
}

/// A part and what was said of it last.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct PartLine {
    pub part: PartId,
    pub label: String,
    pub required: bool,
    pub inner: bool,
    /// `absent`, `not_examined`, `silent`, `sound` or `faults`.
    pub state: &'static str,
    /// Of a part with findings: somebody wrote that nobody looked at it otherwise.
    pub otherwise_not_examined: bool,
    pub findings: Vec<FindingNo>,
    pub material: Option<String>,
}

/// A finding in one line.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct FindingLine {
    pub id: FindingNo,
    pub part: PartId,
    pub part_label: String,
    pub tag: String,
    pub term: String,
    pub which: String,
    pub level: Option<u8>,
    pub size: Option<String>,
    pub state: FindingState,
    pub outcome: Option<Outcome>,
    pub origin: Origin,
    pub origin_why: String,
    pub repairs: Vec<u32>,
    pub history: Vec<HistoryLine>,
}

/// What one shoot said of a finding.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct HistoryLine {
    pub shoot: u32,
    pub stage: Stage,
    pub day: Day,
    pub state: MarkState,
    pub level: Option<u8>,
    pub size: Option<String>,
    pub photos: Vec<u32>,
}

/// A photo by number and name.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct PhotoLine {
    pub no: u32,
    pub sidecar: String,
}

/// What is wrong with one photo as evidence.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct PictureLine {
    pub photo: u32,
    pub name: String,
    pub text: String,
}

/// A view a stage's record lacks.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct MissingLine {
    pub stage: Stage,
    pub view: String,
    pub label: String,
}

/// A complaint about a sidecar.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct ComplaintLine {
    pub file: String,
    pub line: usize,
    pub column: usize,
    pub message: String,
    pub help: Option<String>,
    #[serde(skip)]
    pub drawn: String,
}

/// What keeps a final report from being printed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct GapLine {
    pub code: String,
    pub message: String,
    pub remedy: String,
}

/// Reads what changed and surveys a piece.
///
/// # Errors
/// When there is no such piece, or the book cannot be read or written.
pub fn survey(book: &mut OpenBook, stock_no: &StockNo) -> Result<Survey, WorkError> {
    let gone = absorb(book, stock_no)?;
    let it = assessment(book, stock_no)?;
    let parts = advise::refinish::paths::paths(&it, &book.trade);
    Ok(Survey {
        piece: piece_line(&it),
        sold: book.record.sale(stock_no)?,
        shoots: shoot_lines(&it),
        photos: it.photos.len(),
        counts: it.counts.clone(),
        parts: part_lines(&it),
        findings: finding_lines(&it),
        pairs: it.pairs.len(),
        picture_notes: picture_lines(&it),
        materials: interpretation::material_lines(&it),
        made: interpretation::made_line(&it),
        paths: interpretation::path_lines(&parts),
        next: advise::next::next(&it, &parts, &book.trade),
        missing_views: missing_lines(&it),
        missing_sidecars: gone,
        photos_without_view: without_view(&it),
        complaints: complaint_lines(&it),
        blocked_by: gap_lines(&it),
    })
}

/// The piece as the record holds it.
pub(in crate::work) fn case(
    book: &OpenBook,
    stock_no: &StockNo,
    settings: Settings,
) -> Result<PieceRecord, WorkError> {
    let complaints = book
        .record
        .sidecars(stock_no)?
        .into_iter()
        .flat_map(|it| it.complaints);
    Ok(PieceRecord {
        piece: book.record.piece(stock_no)?,
        shoots: book.record.shoots(stock_no)?,
        photos: book.record.photos(stock_no)?,
        findings: book.record.findings(stock_no)?,
        repairs: book.record.repairs(stock_no)?,
        complaints: complaints.collect(),
        settings,
    })
}

/// What the record means, as last read.
pub(in crate::work) fn assessment(
    book: &OpenBook,
    stock_no: &StockNo,
) -> Result<Assessment, WorkError> {
    let case = case(book, stock_no, book.settings()?)?;
    Ok(assess::assess(&case, &book.trade))
}

/// What should be said of newly taken photos, and of sidecars and settings that could not be read.
pub(in crate::work) fn warnings(
    book: &OpenBook,
    stock_no: &StockNo,
    new: &[u32],
) -> Result<Vec<String>, WorkError> {
    // The photos are taken in: mistakes in the settings are one more thing to tell, not an end.
    let (settings, mistakes) = book.settings_or_usual()?;
    let it = assess::assess(&case(book, stock_no, settings)?, &book.trade);
    let notes = it
        .picture_notes
        .iter()
        .filter(|note| new.contains(&note.photo));
    let pictures = notes.map(|note| {
        format!(
            "picture {} ({}): {}",
            note.photo,
            name_of(&it, note.photo),
            note.text
        )
    });
    let complaints = it
        .complaints
        .iter()
        .chain(&mistakes)
        .map(|it| format!("{}:{}:{}: {}", it.file, it.line, it.column, it.message));
    Ok(pictures.chain(complaints).collect())
}

fn name_of(it: &Assessment, photo: u32) -> &str {
    let found = it.photos.iter().find(|photo_| photo_.no == photo);
    found.map_or("", |it| it.name.as_str())
}

fn piece_line(it: &Assessment) -> PieceLine {
    let size = it.piece.size;
    PieceLine {
        stock_no: it.piece.stock_no.clone(),
        title: it.piece.title.clone(),
        form: it.piece.form.clone(),
        form_label: it.form_label.clone(),
        height_mm: size.map(|it| it.height_mm),
        width_mm: size.map(|it| it.width_mm),
        depth_mm: size.map(|it| it.depth_mm),
        folder: it.piece.folder.clone(),
    }
}

fn shoot_lines(it: &Assessment) -> Vec<ShootLine> {
    let line = |shoot: &crate::model::photo::Shoot| ShootLine {
        no: shoot.no,
        stage: shoot.stage,
        day: shoot.day,
        photos: it
            .photos
            .iter()
            .filter(|photo| photo.shoot == shoot.no)
            .count(),
    };
    it.shoots.iter().map(line).collect()
}

fn part_lines(it: &Assessment) -> Vec<PartLine> {
    let line = |part: &assess::assessment::PartReport| PartLine {
        part: part.part.clone(),
        label: part.label.clone(),
        required: part.required,
        inner: part.part.is_inner(),
        state: match part.state {
            PartState::Absent { .. } => "absent",
            PartState::NotExamined { .. } => "not_examined",
            PartState::Silent => "silent",
            PartState::Sound { .. } => "sound",
            PartState::Faults => "faults",
        },
        otherwise_not_examined: part.otherwise.is_some(),
        findings: part.findings.clone(),
        material: part.material.settled.clone(),
    };
    it.parts.iter().map(line).collect()
}

fn finding_lines(it: &Assessment) -> Vec<FindingLine> {
    let history = |it: &assess::assessment::Sighting| HistoryLine {
        shoot: it.shoot,
        stage: it.stage,
        day: it.day,
        state: it.state,
        level: it.level,
        size: it.size.clone(),
        photos: it.marks.iter().map(|it| it.photo).collect(),
    };
    let line = |it: &assess::assessment::Finding| FindingLine {
        id: it.no,
        part: it.part.clone(),
        part_label: it.part_label.clone(),
        tag: it.tag.clone(),
        term: it.term.clone(),
        which: it.which.clone(),
        level: it.level,
        size: it.size.clone(),
        state: it.state,
        outcome: it.outcome,
        origin: it.origin,
        origin_why: it.origin_why.clone(),
        repairs: it.repairs.clone(),
        history: it.history.iter().map(history).collect(),
    };
    it.findings.iter().map(line).collect()
}

fn picture_lines(it: &Assessment) -> Vec<PictureLine> {
    let line = |note: &assess::assessment::PictureNote| PictureLine {
        photo: note.photo,
        name: name_of(it, note.photo).to_owned(),
        text: note.text.clone(),
    };
    it.picture_notes.iter().map(line).collect()
}

fn missing_lines(it: &Assessment) -> Vec<MissingLine> {
    let line = |it: &assess::gaps::lacks::MissingView| MissingLine {
        stage: it.stage,
        view: it.view.clone(),
        label: it.label.clone(),
    };
    it.missing_views.iter().map(line).collect()
}

fn without_view(it: &Assessment) -> Vec<PhotoLine> {
    let folder = |no: u32| {
        it.shoots
            .iter()
            .find(|it| it.no == no)
            .map_or("", |it| it.folder.as_str())
    };
    let bare = it.photos.iter().filter(|it| it.sidecar.view.is_none());
    bare.map(|it| PhotoLine {
        no: it.no,
        sidecar: format!("{}/{}", folder(it.shoot), it.sidecar_name()),
    })
    .collect()
}

fn complaint_lines(it: &Assessment) -> Vec<ComplaintLine> {
    let line = |it: &crate::model::complaint::Complaint| ComplaintLine {
        file: it.file.clone(),
        line: it.line,
        column: it.column,
        message: it.message.clone(),
        help: it.help.clone(),
        drawn: it.drawn.clone(),
    };
    it.complaints.iter().map(line).collect()
}

pub(in crate::work) fn gap_lines(it: &Assessment) -> Vec<GapLine> {
    let line = |it: &assess::gaps::lacks::Gap| GapLine {
        code: it.code.clone(),
        message: it.message.clone(),
        remedy: it.remedy.clone(),
    };
    it.gaps.iter().map(line).collect()
}
