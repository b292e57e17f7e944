//! Record values -> findings over shoots, parts, pairs, gaps, cautions: what the record means.
//!
//! In: a case as the record holds it, and the trade book. Out: an assessment. Pure: it cannot fail, reads no clock,
//! and may not know disk, SQL or HTML.

pub mod assessment;
mod carry;
mod cautions;
pub mod claims;
pub mod did;
pub mod faces;
pub mod findings;
pub mod gaps;
pub mod material;
pub(crate) mod missing_support;
pub(crate) mod part_list;
pub mod part_report;
mod parts;
mod pictures;
pub mod piece_record;
pub mod places;
pub mod statements;
mod timeline;
pub(crate) mod worked;

#[cfg(test)]
pub(crate) mod tests;

use std::collections::BTreeMap;

use crate::assess::claims::check;
pub use crate::assess::findings::from_marks::numbers::new_keys;
use crate::assess::findings::from_marks::trace;
use crate::assess::findings::grouping;
use crate::assess::findings::hidden;
use crate::assess::findings::hold;
use crate::assess::findings::pairs;
use crate::assess::findings::taken_out;
use crate::assess::gaps::missing;
use crate::assess::gaps::unexamined;
use crate::assess::gaps::views;
use crate::assess::material::dating;
use crate::assess::material::observations;
use crate::assess::material::remarks;
use crate::assess::material::remarks::Remark;

use crate::assess::assessment::Assessment;
use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::findings::counts::Counts;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::hidden::Hidden;
use crate::assess::findings::pairs::Pairing;
use crate::assess::material::clue::Made;
use crate::assess::material::clue::Observation;
use crate::assess::material::dating::Dating;
use crate::assess::part_list::PartList;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::all_told::Places;
use crate::assess::places::laid_faces::LaidFaces;
use crate::assess::places::place::Carrier;
use crate::assess::statements::looking::Looking;
use crate::assess::statements::reading::Statements;
use crate::assess::timeline::Timeline;
use crate::model::complaint::Complaint;
use crate::model::ids::PartId;
use crate::model::photo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::repair::Repair;
use crate::trade::TradeBook;

/// Says what the record of a piece means. The order of the photos in `case` does not matter.
#[must_use]
pub fn assess(case: &PieceRecord, book: &TradeBook) -> Assessment {
    let time = Timeline::of(case);
    let list = PartList::of(case, book);
    let picture_notes = pictures::notes(&time);
    let statements = Statements::of(case, book, &time, &list);
    let shape = PieceShape::of(book, &case.piece, &list.parts);
    let laid = LaidFaces::of(case, &shape);
    let looking = Looking {
        carrier: Carrier::new(&shape, &laid),
        book,
        time: &time,
        list: &list,
        statements: &statements,
        dim: &pictures::dim(&picture_notes),
    };
    let (findings, hidden, remarks) = settled(case, &looking);
    let parts = parts::parts(case, &looking, &findings, &remarks);
    let missing_views = views::missing(case, book, &time);
    let not_examined = unexamined::unexamined(case, &looking, &parts, &findings, &missing_views);
    let cautions = cautions::cautions(case, book, &time, &list, &parts, &findings);
    let observations = observations::observations(book, &time);
    let made = made(case, &looking, &findings, &observations);
    let ground = ClaimContext {
        case,
        book,
        time: &time,
        list: &list,
        statements: &statements,
        parts: &parts,
        findings: &findings,
        observations: &observations,
        made: &made,
    };
    let claims = check::claims(&ground);
    let places = Places::of(case, &looking, &findings);
    let told = missing::Told::new(&not_examined, &cautions, &claims, &places);
    let (shoots, photos, repairs, complaints) = in_order(case);
    Assessment {
        gaps: missing::gaps(&ground, &told),
        counts: Counts::of(&findings, &parts, &not_examined, &missing_views),
        piece: case.piece.clone(),
        form_label: form_label(case, book),
        carry: carry::lines(&case.piece.form, &list, &parts, &findings, book),
        of_set: 1,
        hangs: list.hangs,
        never_had: part_list::never_had(case, book),
        shoots,
        photos,
        picture_notes,
        unnamed: parts::unnamed(case, &statements, &list),
        parts,
        taken_out: taken_out::taken_out(case, book, &findings),
        pairs: pairs::pairs(&Pairing { looking: &looking }, &findings),
        findings,
        places,
        repairs,
        kinds: kinds(case, book),
        hidden,
        hold: hold::hold(&case.repairs, book),
        observations,
        remarks,
        made,
        lead_before: lead_before(case, book),
        claims,
        missing_views,
        not_examined,
        cautions,
        complaints,
    }
}

/// When it was made, as far as clues bound it.
fn made(
    case: &PieceRecord,
    looking: &Looking<'_>,
    findings: &[Finding],
    observations: &[Observation],
) -> Made {
    dating::made(&Dating {
        book: looking.book,
        list: looking.list,
        findings,
        repairs: &case.repairs,
        observations,
    })
}

/// The kind of every part on the list of the piece's form.
fn kinds(case: &PieceRecord, book: &TradeBook) -> BTreeMap<PartId, String> {
    let parts = book.parts_of(&case.piece.form, &case.piece.choice());
    parts.into_iter().map(|it| (it.id, it.kind)).collect()
}

/// Label of the piece's form; its id where the book has none.
fn form_label(case: &PieceRecord, book: &TradeBook) -> String {
    let form = book.form(&case.piece.form);
    form.map_or_else(|| case.piece.form.clone(), |it| it.label.clone())
}

/// The year of the law of the user's country.
fn lead_before(case: &PieceRecord, book: &TradeBook) -> Option<i16> {
    let country = case.settings.country.as_deref()?;
    book.lead_law(country).map(|it| it.before)
}

/// The findings in their groups, those over which only hiding work lies, and what else was said.
fn settled(case: &PieceRecord, looking: &Looking<'_>) -> (Vec<Finding>, Vec<Hidden>, Vec<Remark>) {
    let mut findings = trace::findings(case, looking);
    let hidden = hidden::hidden(&findings, &case.repairs, looking.book);
    grouping::settle(&mut findings, &hidden);
    let remarks = remarks::remarks(case, looking, &findings);
    (findings, hidden, remarks)
}

/// The lists of the record in the order in which they are told.
fn in_order(case: &PieceRecord) -> (Vec<Shoot>, Vec<Photo>, Vec<Repair>, Vec<Complaint>) {
    let (mut shoots, mut photos) = (case.shoots.clone(), case.photos.clone());
    shoots.sort_by_key(|it| it.no);
    photo::sort(&mut photos, |shoot| shoot as usize);
    let (mut repairs, mut complaints) = (case.repairs.clone(), case.complaints.clone());
    repairs.sort_by_key(|it| it.no);
    complaints.sort_by(|a, b| (&a.file, a.line, a.column).cmp(&(&b.file, b.line, b.column)));
    (shoots, photos, repairs, complaints)
}
