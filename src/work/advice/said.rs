//! What was said of a piece beside its findings, in the lines of the survey: remarks, notes beside pictures, repairs.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::material::remarks::Remark;
use crate::kit::clock::Day;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::mark::Scale;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::left_before;
use crate::model::repair::Repair;
use crate::trade;
use crate::trade::TradeBook;

/// Something that was seen and is no fault.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct RemarkLine {
    pub group: String,
    pub tag: String,
    pub term: String,
    pub part: Option<PartId>,
    pub part_label: String,
    pub state: MarkState,
    /// Why it is no plain sighting, such as `looked for, not found`; empty for one.
    pub unless_seen: String,
    pub which: Option<String>,
    pub size: Option<String>,
    pub level: Option<u8>,
    pub note: Option<String>,
    pub day: Day,
    pub photos: Vec<u32>,
    #[serde(skip)]
    pub words: Vec<String>,
}

/// What was written beside a picture as a whole.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct NoteLine {
    pub photo: u32,
    pub note: Option<String>,
    pub private_note: Option<String>,
    pub scale: Option<Scale>,
    /// Faults that the note names, and no finding of the piece is called so.
    pub names_no_finding: Vec<String>,
}

/// A repair as told.
#[derive(Clone, Debug, Serialize)]
#[expect(missing_docs, reason = "the names are the contract of --json")]
pub struct RepairLine {
    pub no: u32,
    pub method: String,
    pub method_name: String,
    pub day: Day,
    pub findings: Vec<FindingNo>,
    pub parts: Vec<PartId>,
    pub whole_piece: bool,
    pub note: Option<String>,
    pub new_material: Option<String>,
    pub hides: Option<String>,
    pub minutes: Option<u32>,
    pub private_note: Option<String>,
    pub after_leaving: Option<String>,
}

/// Of work of such a day, that the piece had left by then: `dated 2026-07-01, after the delivery of 2026-03-28, and no return is on
/// record`.
pub(in crate::work) fn after_leaving(shoots: &[Shoot], day: Day) -> Option<String> {
    let left = left_before(shoots, day)?;
    Some(format!(
        "dated {day}, after the {} of {}, and no return is on record",
        left.stage, left.day
    ))
}

/// Everything that was seen and is no fault.
#[must_use]
pub fn remark_lines(it: &Assessment) -> Vec<RemarkLine> {
    let line = |it: &Remark| RemarkLine {
        group: it.group.clone(),
        tag: it.tag.clone(),
        term: it.term.clone(),
        part: it.part.clone(),
        part_label: it.part_label.clone(),
        state: it.state,
        unless_seen: it.unless_seen().to_string(),
        which: it.which.clone(),
        size: it.size.clone(),
        level: it.level,
        note: it.note.clone(),
        day: it.day,
        photos: it.photos(),
        words: it.words(),
    };
    it.remarks.iter().map(line).collect()
}

/// Views of what is read on a piece: a note beside one tells a mark by which it is known, such as a burnt-in letter.
const READ: [&str; 2] = ["identity_mark", "label_mark"];

/// What was written beside pictures as a whole.
#[must_use]
pub fn note_lines(it: &Assessment) -> Vec<NoteLine> {
    let book = trade::book();
    let marked = |word: &str| {
        let mut findings = it.findings.iter().filter(|it| it.outcome.is_some());
        findings.any(|it| book.tag(&it.tag).is_some_and(|tag| tag.is_called(word)))
    };
    let unmarked = |note: &str| -> Vec<String> {
        let mut named = book.claims.faults_named(note);
        named.retain(|word| !marked(word));
        named
    };
    let line = |photo: &Photo| {
        let said = &photo.sidecar;
        let some = said.note.is_some() || said.private_note.is_some() || said.scale.is_some();
        some.then(|| NoteLine {
            photo: photo.no,
            note: said.note.clone(),
            private_note: said.private_note.clone(),
            scale: said.scale.clone(),
            names_no_finding: match said.view.as_deref().is_some_and(|it| READ.contains(&it)) {
                true => Vec::new(),
                false => said.note.as_deref().map_or_else(Vec::new, unmarked),
            },
        })
    };
    it.photos.iter().filter_map(line).collect()
}

pub(in crate::work) fn repair_lines(all: &Assessment, book: &TradeBook) -> Vec<RepairLine> {
    let line = |it: &Repair| RepairLine {
        no: it.no,
        method: it.method.clone(),
        method_name: book
            .method(&it.method)
            .map_or_else(|| it.method.replace('_', " "), |it| it.name.clone()),
        day: it.day,
        findings: it.findings.clone(),
        parts: it.parts.clone(),
        whole_piece: it.is_of_whole_piece(),
        note: it.note.clone(),
        new_material: it.new_material.clone(),
        hides: it.hides.clone(),
        minutes: it.minutes,
        private_note: it.private_note.clone(),
        after_leaving: after_leaving(&all.shoots, it.day),
    };
    all.repairs.iter().map(line).collect()
}
