//! The user's words that a buyer will read, and where they stand.

use std::collections::BTreeSet;

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::worked::Worked;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;

/// A text of the user.
#[derive(Clone, Debug)]
pub(crate) struct Text {
    /// As typed.
    pub(crate) text: String,
    /// Where it is printed.
    pub(crate) place: Saying,
    /// The file or the command that set it.
    pub(crate) told_by: String,
    /// The parts it is about; empty for the piece.
    pub(crate) about: Vec<PartId>,
    /// The mark beside which it stands: what that says, its own words may say as well.
    pub(crate) of_mark: Option<OfMark>,
    /// Whether it tells of work and of new material, and so of nothing that the piece was before.
    pub(crate) of_work: bool,
}

/// What a mark says for the words that stand beside it.
#[derive(Clone, Debug)]
pub(crate) struct OfMark {
    /// Its finding.
    pub(crate) finding: Option<FindingNo>,
    /// Whether it says that the fault is not there, or tells a test that did not find it.
    pub(crate) not_there: bool,
    /// How the trade book tells its level of that fault; `None` of a mark without one.
    pub(crate) criterion: Option<String>,
    /// The observation that it is, where it is one that is there.
    pub(crate) cue: Option<String>,
}

/// All of them: piece, photos in order, repairs.
pub(crate) fn texts(ground: &ClaimContext<'_>) -> Vec<Text> {
    let mut texts = of_piece(ground);
    for photo in &ground.time.photos {
        texts.extend(of_photo(ground, photo));
    }
    let mut repairs: Vec<&Repair> = ground.case.repairs.iter().collect();
    repairs.sort_by_key(|it| it.no);
    texts.extend(repairs.into_iter().flat_map(|it| of_repair(ground, it)));
    texts
}

fn of_piece(ground: &ClaimContext<'_>) -> Vec<Text> {
    let piece = &ground.case.piece;
    let rows = [
        (Some(&piece.title), say::place_title(), "--title"),
        (piece.about.as_ref(), say::place_about(), "--about"),
        (piece.weight.as_ref(), say::place_weight(), "--weight"),
    ];
    let texts = rows.into_iter().filter_map(|(text, place, option)| {
        Some(Text {
            text: text?.clone(),
            place,
            told_by: format!("`asfound amend {} {option} \"...\"`", piece.stock_no),
            about: Vec::new(),
            of_mark: None,
            of_work: false,
        })
    });
    texts.collect()
}

fn of_photo(ground: &ClaimContext<'_>, photo: &Photo) -> Vec<Text> {
    let file = format!("`{}`", photo.sidecar_shown());
    let mut texts = Vec::new();
    if let Some(note) = &photo.sidecar.note {
        texts.push(Text {
            text: note.clone(),
            place: say::place_note(photo.no),
            told_by: format!("`note` in {file}"),
            about: photo.sidecar.parts.clone(),
            of_mark: None,
            of_work: false,
        });
    }
    for mark in &photo.sidecar.marks {
        let about = part_of(ground, mark);
        let of_mark = of_mark(ground, mark);
        let mut rows = vec![("note", &mark.note), ("which", &mark.which)];
        // The measure of an observation may name a wood or a size; that of a fault is a measure.
        rows.push(("size", &mark.size));
        for (key, text) in rows {
            let Some(text) = text else { continue };
            texts.push(Text {
                text: text.clone(),
                place: say::place_mark(photo.no),
                told_by: format!("`{key}` of the mark {} in {file}", named(mark)),
                about: about.iter().cloned().collect(),
                of_mark: Some(of_mark.clone()),
                of_work: false,
            });
        }
    }
    texts
}

fn named(mark: &Mark) -> String {
    match (mark.finding, &mark.tag) {
        (Some(no), _) => format!("of {no}"),
        (None, Some(tag)) => format!("`{tag}`"),
        (None, None) => "without a tag".to_owned(),
    }
}

fn of_mark(ground: &ClaimContext<'_>, mark: &Mark) -> OfMark {
    let of = ground.findings.iter().find(|it| {
        let same = mark.part.as_ref() == Some(&it.part) && mark.tag.as_ref() == Some(&it.tag);
        mark.finding.map_or(same, |no| no == it.no)
    });
    let tag = of.and_then(|it| ground.book.tag(&it.tag));
    let clean = tag.and_then(|it| it.test_found(mark.level)) == Some(false);
    OfMark {
        finding: of.map(|it| it.no),
        not_there: mark.state == MarkState::Gone || clean,
        criterion: tag
            .zip(mark.level)
            .and_then(|it| it.0.criterion(it.1))
            .map(str::to_owned),
        cue: mark.tag.clone().filter(|_| mark.state.is_there()),
    }
}

/// The part that a mark is about, by itself or by its finding.
fn part_of(ground: &ClaimContext<'_>, mark: &Mark) -> Option<PartId> {
    let by_finding = || {
        let no = mark.finding?;
        let found = ground.findings.iter().find(|it| it.no == no);
        found.map(|it| it.part.clone())
    };
    mark.part.clone().or_else(by_finding)
}

fn of_repair(ground: &ClaimContext<'_>, repair: &Repair) -> Vec<Text> {
    let (no, stock_no) = (repair.no, &ground.case.piece.stock_no);
    let about = Worked::by(repair, ground.findings);
    let about: BTreeSet<&PartId> = about.parts().iter().collect();
    let rows = [
        (
            &repair.new_material,
            say::place_material(no),
            "--new-material",
        ),
        (&repair.hides, say::place_hides(no), "--hides"),
        (&repair.note, say::place_repair(no), "--note"),
    ];
    let texts = rows.into_iter().filter_map(|(text, place, option)| {
        Some(Text {
            text: text.clone()?,
            place,
            told_by: format!("`asfound repair {stock_no} --again {no} {option} \"...\"`"),
            about: about.iter().map(|it| (*it).clone()).collect(),
            of_mark: None,
            of_work: true,
        })
    });
    texts.collect()
}
