//! The place of a finding through time: whether this very spot was whole, when, and how well it was seen.

use std::path::Path;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::places::marked_in::MarkedIn;
use crate::assess::places::marked_in::Returned;
use crate::assess::places::told::PictureOf;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::report;
use crate::report::Packing;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::out;
use crate::work::piece::recorded::assessment;
use crate::work::progress::Progress;
use crate::work::report::crops;
use crate::work::sidecars::sync_sidecars::sync_or_name;

pub use crate::assess::places::other_marks::OtherMark;
pub use crate::assess::places::sight::LiesWhole;
pub use crate::assess::places::sight::SeenWithout;
pub use crate::assess::places::sight::Share;
pub use crate::assess::places::taken_out::PlaceTakenOut;
pub use crate::assess::places::told::SightTold;

/// A finding's place, and the pictures that show it.
#[derive(Clone, Debug, Serialize)]
pub struct WhereSeen {
    /// The finding.
    pub finding: FindingNo,
    /// What it is, such as `White ring or haze, top`.
    pub title: String,
    /// The face on which it lies.
    pub face: PartId,
    /// Its points on the face, mm.
    pub outline_mm: Vec<[f64; 2]>,
    /// Its width and height along the edges of the face, mm.
    pub size_mm: [f64; 2],
    /// By how much a point may be off, mm, k = 2; no less than its other marks lie off.
    pub uncertainty_mm: f64,
    /// The picture in which it was drawn.
    pub from_photo: u32,
    /// Its other marks that lie further off than both may be off.
    pub other_marks: Vec<OtherMark>,
    /// Every picture in which the face is laid, in the order of time.
    pub pictures: Vec<SightTold>,
    /// The last picture before the first with it in which all of the place lies well enough, and beside which it is written that
    /// the part was sound.
    pub last_without: Option<SeenWithout>,
    /// The last picture before the first with it in which all of the place lies well enough, and in which it is not marked.
    pub last_not_marked: Option<LiesWhole>,
    /// The first picture in which it is marked as there.
    pub first_with: Option<PictureOf>,
    /// Pictures of the place that were taken out of the record.
    pub taken_out: Vec<PlaceTakenOut>,
    /// Each time that it was repaired or gone, and there again.
    pub returned: Vec<Returned>,
    /// The pictures with a mark of it in which its face is not laid, in the order of time.
    pub not_laid_marked: Vec<MarkedIn>,
    /// How many other pictures have no laid face of that name: whether they show the place is not known.
    pub not_laid: usize,
    /// When it came and came back: a name and a sentence each.
    #[serde(skip)]
    pub turns: Vec<(&'static str, String)>,
    /// The pictures in which all of the place lies and which cannot show it, with the reason of each.
    #[serde(skip)]
    pub poor: Vec<String>,
    /// The page with the pictures, once it is written.
    pub page: Option<String>,
}

/// Finds the place of a finding in every picture.
///
/// # Errors
/// When there is no such piece or finding, no mark of it lies on a laid face, or the book cannot be read.
pub fn where_seen(
    book: &mut OpenBook,
    stock_no: &StockNo,
    no: FindingNo,
) -> Result<WhereSeen, WorkError> {
    sync_or_name(book, stock_no)?;
    let mut it = assessment(book, stock_no)?;
    let Some(finding) = it.findings.iter().find(|it| it.no == no) else {
        return Err(WorkError::no_finding(stock_no, no));
    };
    let conflicts = it.places.conflicts.iter();
    if let Some(conflict) = conflicts.clone().find(|it| it.finding == no) {
        return Err(WorkError::asked_with(
            format!(
                "where {no} lies on the piece is not known: {}",
                conflict.text
            ),
            conflict.advice.clone(),
        ));
    }
    let Some(place) = &finding.place else {
        return Err(no_place(&it, finding));
    };
    let told = it.places.findings.remove(&no).unwrap_or_default();
    let round = |it: f64| (it * 10.0).round() / 10.0;
    let [_, _, width, height] = place.bounds();
    Ok(WhereSeen {
        finding: no,
        title: format!("{}, {}", finding.term, finding.placed()),
        face: place.face.clone(),
        outline_mm: place.outline_mm.iter().map(|it| it.map(round)).collect(),
        size_mm: [width, height].map(round),
        uncertainty_mm: round(place.uncertainty_mm),
        from_photo: place.from.photo,
        turns: told.turns(),
        poor: told.poor(),
        other_marks: told.other_marks,
        returned: told.returned,
        not_laid_marked: told.not_laid_marked,
        not_laid: told.not_laid,
        page: None,
        pictures: told.pictures,
        taken_out: told.taken_out,
        last_without: told.last_without,
        last_not_marked: told.last_not_marked,
        first_with: told.first_with,
    })
}

/// Writes the same spot through time as a page that needs no network: to `place`, into it when it is a folder, or beside the shoots.
///
/// # Errors
/// When fewer than two pictures show the place well enough, or the page cannot be written.
pub fn write_page(
    book: &OpenBook,
    stock_no: &StockNo,
    told: &mut WhereSeen,
    place: Option<&Path>,
    progress: &dyn Progress,
) -> Result<(), WorkError> {
    let no = told.finding;
    let it = assessment(book, stock_no)?;
    let today = book.now.local_day();
    let shots = report::place_shots(&it, no, today);
    let finding = it.findings.iter().find(|it| it.no == no);
    let Some(finding) = finding.filter(|_| !shots.is_empty()) else {
        return Err(too_few(told, stock_no));
    };
    let pictures = crops::take(book, &it, &shots, Packing::OneFile, progress)?;
    let page = report::place_page(&it, finding, today, &pictures)?;
    let name = format!("where {no}.html");
    let path = out::place(place, &book.piece_folder(&it.piece), &name)?;
    out::write(&path, page.as_bytes())?;
    told.page = Some(path.display().to_string());
    Ok(())
}

/// That there is nothing to put side by side, why, and what helps.
fn too_few(told: &WhereSeen, stock_no: &StockNo) -> WorkError {
    let (no, face) = (told.finding, &told.face);
    let poor = told.poor.join("; ");
    let (why, what) = match poor.is_empty() {
        true => (
            String::new(),
            format!(
                "lay the {face} by hand in another picture that shows it, or `asfound lay {stock_no}` finds it there"
            ),
        ),
        false => (
            format!("; all of it lies in {poor}"),
            format!(
                "take the place again from nearer and from the front, and lay the {face} in that picture"
            ),
        ),
    };
    let what_is = "fewer than two pictures show all of the place";
    WorkError::asked_with(
        format!("{what_is} of {no} well enough: there is nothing to put side by side{why}"),
        what,
    )
}

/// That it is not known where a finding lies, and what helps.
fn no_place(it: &Assessment, finding: &Finding) -> WorkError {
    let (no, stock_no) = (finding.no, &it.piece.stock_no);
    let mut out = it.taken_out.iter();
    match out.find(|it| it.withdrawn.contains(&no)) {
        Some(out) => WorkError::asked_with(
            format!(
                "{no} is withdrawn: it went with picture {}, which was taken out on {}",
                out.photo,
                out.out.spoken()
            ),
            format!(
                "`asfound put-back {stock_no} --photo {}` brings the picture back",
                out.photo
            ),
        ),
        None if finding.state == FindingState::Withdrawn => WorkError::asked_with(
            format!("{no} is withdrawn: no mark names it any more"),
            "write its mark again beside a picture that shows it",
        ),
        None => WorkError::asked_with(
            format!(
                "where {no} lies on the piece is not known: no mark of it lies on a face that is laid in its picture"
            ),
            "lay the face: add a `[[face]]` with its four corners to the sidecar of a picture in which the fault is marked",
        ),
    }
}
