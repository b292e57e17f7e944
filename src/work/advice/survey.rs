//! What is recorded of a piece, what is missing, and what it means.

use std::collections::BTreeSet;

use serde::Serialize;
use serde::Serializer;

use crate::advise;
use crate::assess;
use crate::assess::assessment::Assessment;
use crate::assess::assessment::Pair;
use crate::assess::assessment::PictureIssue;
use crate::assess::assessment::PictureNote;
use crate::assess::findings::counts::Counts;
use crate::assess::gaps::lacks::Gap;
use crate::assess::gaps::lacks::MissingView;
use crate::assess::material::clue::Made;
use crate::assess::part_report::Material;
use crate::assess::places::conflicts::PlaceConflict;
use crate::assess::places::coverage::Coverage;
use crate::assess::places::laid_faces::LaidLine;
use crate::assess::places::laid_faces::Unused;
use crate::model::complaint::Undrawn;
use crate::model::ids::PartId;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::sale::FallenSale;
use crate::model::sale::Sale;
use crate::record::Withdrawal;
use crate::trade;
use crate::work::WorkError;
use crate::work::advice::said;
use crate::work::advice::said::NoteLine;
use crate::work::advice::said::RemarkLine;
use crate::work::advice::said::RepairLine;
use crate::work::book::open_book::OpenBook;
use crate::work::piece::days;
use crate::work::piece::days::Told;
use crate::work::piece::recorded::assessment;
use crate::work::piece::recorded::of_set;
use crate::work::piece::recorded::piece_record;
use crate::work::sidecars::sync_sidecars::sync_or_name;
use crate::work::sidecars::sync_sidecars::waiting;

pub use crate::advise::next_step::NextStep;
pub use crate::advise::refinish::advice::PartAdvice;
pub use crate::advise::refinish::advice::PathAdvice;
pub use crate::advise::refinish::advice::Verdict;
pub use crate::assess::findings::finding::Finding;
pub use crate::assess::findings::finding::FindingState;
pub use crate::assess::findings::outcome::Outcome;
pub use crate::assess::part_report::PartReport;
pub use crate::assess::part_report::PartState;

/// The survey of a piece.
#[derive(Clone, Debug)]
pub struct Survey {
    /// What the record means.
    pub assessment: Assessment,
    /// What can still be done with the surface of each part.
    pub advice: Vec<PartAdvice>,
    /// What to do next, the most urgent first.
    pub next: Vec<NextStep>,
    /// The other pieces of its set, by number.
    pub of_set: Vec<StockNo>,
    /// Those of them that are sold.
    pub of_set_sold: Vec<StockNo>,
    /// The label of the form that it had when it was bought, where that is told.
    pub form_before: Option<String>,
    /// The sale, if the piece was sold.
    pub sold: Option<Sale>,
    /// Sales that were told and did not come about.
    pub fell_through: Vec<FallenSale>,
    /// That the piece was withdrawn, if it was.
    pub withdrawn: Option<Withdrawal>,
    /// Whether it was sold, or all that was found is repaired or gone.
    pub work_over: bool,
    /// The repairs, as told.
    pub repairs: Vec<RepairLine>,
    /// Sidecars whose files are gone, as paths in the piece.
    pub missing_sidecars: Vec<String>,
    /// Sidecars that were changed and not taken in, because the book cannot be written to; as paths in the piece.
    pub unread_sidecars: Vec<String>,
}

impl Survey {
    /// The shoots, each with how many photos it has.
    pub fn shoots(&self) -> impl Iterator<Item = (&Shoot, usize)> {
        let photos = &self.assessment.photos;
        let shoots = self.assessment.shoots.iter();
        shoots.map(|shoot| {
            let of_shoot = photos.iter().filter(|it| it.shoot == shoot.no);
            (shoot, of_shoot.count())
        })
    }

    /// The parts that are there and whose material is asked for or has evidence.
    pub fn materials(&self) -> impl Iterator<Item = &PartReport> {
        let told = |it: &&PartReport| {
            let there = !matches!(it.state, PartState::Absent(_)) && !self.is_missing(&it.part);
            there && (it.required || !it.material.evidence.is_empty())
        };
        self.assessment.parts.iter().filter(told)
    }

    /// Whether an open finding says that the part itself is missing.
    fn is_missing(&self, part: &PartId) -> bool {
        let mut of_it = self.assessment.findings.iter();
        of_it.any(|it| {
            let tag = trade::book().tag(&it.tag);
            it.part == *part && it.state.is_open() && tag.is_some_and(|it| it.absence)
        })
    }

    /// The piece as `--json` tells it.
    fn piece_answer(&self) -> PieceAnswer<'_> {
        let it = &self.assessment;
        let size = it.piece.size;
        PieceAnswer {
            stock_no: &it.piece.stock_no,
            title: &it.piece.title,
            form: &it.piece.form,
            form_label: &it.form_label,
            folder: &it.piece.folder,
            height_mm: size.map(|it| it.height_mm),
            width_mm: size.map(|it| it.width_mm),
            depth_mm: size.map(|it| it.depth_mm),
            weight: &it.piece.weight,
            size_taken: &it.piece.size_taken,
            never_had: &it.piece.never_had,
            form_before: &it.piece.form_before,
            set: &it.piece.set,
            of_set: &self.of_set,
            of_set_sold: &self.of_set_sold,
        }
    }

    /// The photos of which no view is said.
    pub fn photos_without_view(&self) -> impl Iterator<Item = &Photo> {
        let photos = self.assessment.photos.iter();
        photos.filter(|it| it.sidecar.view.is_none())
    }

    /// The file name of a photo; empty where there is none of that number.
    #[must_use]
    pub fn photo_name(&self, no: u32) -> &str {
        name_of(&self.assessment, no)
    }
}

/// The survey as `--json` gives it: the assessment and the advice, laid out by the names that scripts know.
#[derive(Serialize)]
struct Answer<'a> {
    piece: PieceAnswer<'a>,
    sold: &'a Option<Sale>,
    fell_through: &'a [FallenSale],
    withdrawn: &'a Option<Withdrawal>,
    work_over: bool,
    shoots: Vec<ShootAnswer<'a>>,
    photos: usize,
    counts: &'a Counts,
    parts: &'a [PartReport],
    findings: &'a [Finding],
    remarks: Vec<RemarkLine>,
    notes: Vec<NoteLine>,
    repairs: &'a [RepairLine],
    pairs: usize,
    before_after: &'a [Pair],
    picture_notes: Vec<NoteAnswer<'a>>,
    materials: Vec<MaterialAnswer<'a>>,
    made: &'a Made,
    paths: &'a [PartAdvice],
    next: &'a [NextStep],
    faces: &'a [LaidLine],
    unused_faces: &'a [Unused],
    place_conflicts: &'a [PlaceConflict],
    coverage: &'a [Coverage],
    missing_views: &'a [MissingView],
    missing_sidecars: &'a [String],
    unread_sidecars: &'a [String],
    photos_without_view: Vec<BareAnswer>,
    complaints: Vec<Undrawn<'a>>,
    blocked_by: &'a [Gap],
}

/// A piece without what was told of it in private.
#[derive(Serialize)]
struct PieceAnswer<'a> {
    stock_no: &'a StockNo,
    title: &'a str,
    form: &'a str,
    form_label: &'a str,
    folder: &'a str,
    height_mm: Option<f64>,
    width_mm: Option<f64>,
    depth_mm: Option<f64>,
    weight: &'a Option<String>,
    size_taken: &'a Option<String>,
    never_had: &'a [PartId],
    form_before: &'a Option<String>,
    set: &'a Option<String>,
    of_set: &'a [StockNo],
    of_set_sold: &'a [StockNo],
}

#[derive(Serialize)]
struct ShootAnswer<'a> {
    #[serde(flatten)]
    shoot: &'a Shoot,
    photos: usize,
}

#[derive(Serialize)]
struct NoteAnswer<'a> {
    #[serde(flatten)]
    note: &'a PictureNote,
    name: &'a str,
}

#[derive(Serialize)]
struct MaterialAnswer<'a> {
    part: &'a PartId,
    label: &'a str,
    #[serde(flatten)]
    material: &'a Material,
}

#[derive(Serialize)]
struct BareAnswer {
    no: u32,
    sidecar: String,
}

impl Serialize for Survey {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let it = &self.assessment;
        let notes = it.picture_notes.iter().map(|note| NoteAnswer {
            note,
            name: self.photo_name(note.photo),
        });
        let materials = self.materials().map(|part| MaterialAnswer {
            part: &part.part,
            label: &part.label,
            material: &part.material,
        });
        let bare = self.photos_without_view().map(|photo| BareAnswer {
            no: photo.no,
            sidecar: photo.sidecar_shown(),
        });
        Answer {
            piece: self.piece_answer(),
            sold: &self.sold,
            fell_through: &self.fell_through,
            withdrawn: &self.withdrawn,
            work_over: self.work_over,
            shoots: self
                .shoots()
                .map(|(shoot, photos)| ShootAnswer { shoot, photos })
                .collect(),
            photos: it.photos.len(),
            counts: &it.counts,
            parts: &it.parts,
            findings: &it.findings,
            remarks: said::remark_lines(it),
            notes: said::note_lines(it),
            repairs: &self.repairs,
            pairs: it.pairs.len(),
            before_after: &it.pairs,
            picture_notes: notes.collect(),
            materials: materials.collect(),
            made: &it.made,
            paths: &self.advice,
            next: &self.next,
            faces: &it.places.faces,
            unused_faces: &it.places.unused,
            place_conflicts: &it.places.conflicts,
            coverage: &it.places.coverage,
            missing_views: &it.missing_views,
            missing_sidecars: &self.missing_sidecars,
            unread_sidecars: &self.unread_sidecars,
            photos_without_view: bare.collect(),
            complaints: it.complaints.iter().map(Undrawn).collect(),
            blocked_by: &it.gaps,
        }
        .serialize(to)
    }
}

/// Reads what changed and surveys a piece. In a book that cannot be written to, what changed is named instead.
///
/// # Errors
/// When there is no such piece, or the book cannot be read.
pub fn survey(book: &mut OpenBook, stock_no: &StockNo) -> Result<Survey, WorkError> {
    let sidecars = sync_or_name(book, stock_no)?;
    let assessment = assessment(book, stock_no)?;
    let advice = advise::refinish::paths::paths(&assessment, &book.trade);
    let sold = book.record.sale(stock_no)?;
    let before = assessment.piece.form_before.as_deref();
    let form_before = before.map(|id| {
        let form = book.trade.form(id);
        form.map_or_else(|| id.to_owned(), |it| it.label.clone())
    });
    let of_set = of_set(book, &assessment.piece)?;
    let mut of_set_sold = Vec::new();
    for no in &of_set {
        of_set_sold.extend(book.record.sale(no)?.map(|_| no.clone()));
    }
    Ok(Survey {
        of_set,
        of_set_sold,
        form_before,
        next: advise::next::next(&assessment, &advice, &book.trade, sold.is_some()),
        work_over: sold.is_some() || advise::next::is_done(&assessment),
        sold,
        fell_through: book.record.fallen_sales(stock_no)?,
        withdrawn: book.record.withdrawal(stock_no)?,
        repairs: said::repair_lines(&assessment, &book.trade),
        missing_sidecars: sidecars.gone,
        unread_sidecars: waiting(sidecars.unread)?,
        advice,
        assessment,
    })
}

/// What to do next with a piece, by what was last read of it: nothing is looked at again.
///
/// # Errors
/// When there is no such piece, or the book cannot be read.
pub fn next_steps(book: &OpenBook, stock_no: &StockNo) -> Result<Vec<NextStep>, WorkError> {
    let it = assessment(book, stock_no)?;
    let advice = advise::refinish::paths::paths(&it, &book.trade);
    let sold = book.record.sale(stock_no)?.is_some();
    Ok(advise::next::next(&it, &advice, &book.trade, sold))
}

/// What should be said of newly taken photos, and of sidecars and settings that could not be read.
pub(in crate::work) fn warnings(
    book: &OpenBook,
    stock_no: &StockNo,
    new: &[u32],
) -> Result<Vec<String>, WorkError> {
    // The photos are taken in: mistakes in the settings are one more thing to tell, not an end.
    let (settings, mistakes) = book.settings_or_usual()?;
    let it = assess::assess(&piece_record(book, stock_no, settings)?, &book.trade);
    let notes = it
        .picture_notes
        .iter()
        .filter(|note| new.contains(&note.photo))
        // That is no fault of a raw file; the survey says it once for all of them.
        .filter(|note| note.code != PictureIssue::RawPreview);
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
    let mut warnings: Vec<String> = pictures.chain(complaints).collect();
    let of_new = it.photos.iter().filter(|it| new.contains(&it.no));
    for shoot in of_new.map(|it| it.shoot).collect::<BTreeSet<u32>>() {
        warnings.extend(days::odd(book, stock_no, Told::Shoot(shoot))?);
    }
    Ok(warnings)
}

fn name_of(it: &Assessment, photo: u32) -> &str {
    let found = it.photos.iter().find(|it| it.no == photo);
    found.map_or("", |it| it.name.as_str())
}
