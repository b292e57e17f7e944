//! When what was told entered the book, and whether that was after the pictures of the claim.

use crate::kit::clock::Day;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::lines::line_told::InBook;
use crate::report::dossier::lines::line_told::WordsInBook;
use crate::report::page::context::PageContext;
use crate::report::page::words;

/// What a mark says, in a clause.
fn said(sources: &PageContext<'_>, mark: &Mark) -> String {
    let finding = mark.finding.map(|it| it.to_string());
    let tag = mark.tag.as_ref().map(|it| it.replace('_', " "));
    let part = mark.part.as_ref();
    let part = part.map(|it| small(&sources.part_label(it)));
    let which = mark.which.clone();
    let state = (mark.finding.is_some() || mark.state != MarkState::Present)
        .then(|| mark.state.said().to_string());
    let measured = mark.size.is_some() || mark.level.is_some();
    let measure = words::measured_then(mark.state, mark.size.as_deref(), mark.level);
    let measure = measure.filter(|_| measured);
    let measure = measure.map(|it| it.to_string());
    let all = [finding, tag, part, which, state, measure];
    all.into_iter()
        .flatten()
        .collect::<Vec<String>>()
        .join(", ")
}

/// When the words beside a picture entered the book, a line for each time.
pub(in crate::report) fn beside(
    sources: &PageContext<'_>,
    photo: &Photo,
    words: &WordsInBook,
) -> Vec<String> {
    let it = &photo.sidecar;
    let view = it.view.iter().map(|_| ("the view".to_owned(), words.view));
    let note = it.note.iter().map(|_| ("the note".to_owned(), words.note));
    let marks = it.marks.iter().enumerate();
    let marks = marks.flat_map(|(n, mark)| {
        let entered = |all: &[Option<InBook>]| all.get(n).copied().flatten();
        let what = said(sources, mark);
        let (told, noted) = (entered(&words.marks), entered(&words.mark_notes));
        let note = noted.filter(|_| noted != told);
        let note = note.map(|_| (format!("the note of {what}"), noted));
        std::iter::once((what, told)).chain(note)
    });
    let mut times: Vec<(Option<InBook>, Vec<String>)> = Vec::new();
    for (what, entered) in view.chain(note).chain(marks) {
        match times.iter_mut().find(|it| it.0 == entered) {
            Some((_, all)) => all.push(what),
            None => times.push((entered, vec![what])),
        }
    }
    times.sort_by_key(|it| it.0.map(|it| it.line));
    let alone = times.len() == 1;
    let line = |(entered, what): (Option<InBook>, Vec<String>)| {
        let when = entered.map_or_else(|| "no line has it".to_owned(), |it| it.words());
        let what = match alone {
            true => String::new(),
            false => format!("{}: ", what.join("; ")),
        };
        words::sentence(&format!("{what}{when}"))
    };
    times.into_iter().map(line).collect()
}

/// What was said of a part, or of findings, beside pictures from before the piece left, and entered the book after the pictures from
/// afterwards had come in: a sentence for each picture and time.
pub(in crate::report) fn later(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
    part: &PartId,
    is_of: &dyn Fn(u32, usize) -> bool,
) -> Vec<String> {
    let mut times: Vec<(u32, InBook, Vec<String>)> = Vec::new();
    for photo in &sources.assessment.photos {
        let proof = cover.proofs.get(&photo.no);
        let entered = proof.map_or(&[][..], |it| it.words.marks.as_slice());
        let notes = proof.map_or(&[][..], |it| it.words.mark_notes.as_slice());
        let marks = photo.sidecar.marks.iter().zip(entered).enumerate();
        for (n, (mark, entered)) in marks {
            let late = |it: &Option<InBook>| it.filter(|it| it.after.is_some());
            let noted = notes.get(n).and_then(late);
            let (entered, what) = match (late(entered), noted) {
                (Some(entered), _) => (entered, said(sources, mark)),
                (None, Some(noted)) => {
                    let note = mark.note.as_deref().unwrap_or_default();
                    (
                        noted,
                        format!("the note of {}: {note}", said(sources, mark)),
                    )
                }
                (None, None) => continue,
            };
            let of_part = mark.part.as_ref();
            let of_part = of_part.is_some_and(|it| it == part || *it == part.whole());
            let is_meant = is_of(photo.no, n) || (of_part && is_statement(mark));
            if !is_meant {
                continue;
            }
            let same = times.iter_mut();
            let mut same = same.filter(|it| it.0 == photo.no && it.1 == entered);
            match same.next() {
                Some(it) => it.2.push(what),
                None => times.push((photo.no, entered, vec![what])),
            }
        }
    }
    let line = |(photo, entered, what): (u32, InBook, Vec<String>)| {
        words::sentence(&format!(
            "Said later, beside picture {photo}: {}; written into the book on {}",
            what.join("; "),
            entered.words()
        ))
    };
    let is_its = |it: &PartId| it == part || *it == part.whole();
    let label = |it: &PartId| is_its(it).then(|| sources.assessment.label(it));
    let of_piece = cover.lacks.iter().filter(|it| it.entered.after.is_some());
    let of_piece = of_piece.map(|it| (it.clause(label), it.entered.words()));
    let of_piece = of_piece.filter(|it| !it.0.is_empty()).map(|(what, when)| {
        let said =
            format!("Said later, beside no picture: {what}; written into the book on {when}");
        words::sentence(&said)
    });
    times.into_iter().map(line).chain(of_piece).collect()
}

/// Whether a mark says of its part that it was sound, absent or not examined.
fn is_statement(mark: &Mark) -> bool {
    let tag = mark.tag.as_deref();
    tag.is_some_and(|it| ["sound", "absent", "not_examined"].contains(&it))
}

/// The words that entered the book after the pictures from afterwards: day, line and a clause, each picture and line once.
pub(in crate::report) fn all_later(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
) -> Vec<(Day, u64, String)> {
    let mut all: Vec<(Day, u64, String)> = Vec::new();
    for (no, proof) in &cover.proofs {
        let (it, photo) = (&proof.words, sources.photo(*no));
        for entered in it.all() {
            let Some(after) = entered.after else { continue };
            let which = photo.map_or_else(
                || format!("picture {no}"),
                |it| sources.picture_words(it).to_string(),
            );
            let what = format!(
                "Words beside {which} entered, after the pictures of the {} came in",
                after.stage
            );
            let row = (entered.day, entered.line, what);
            if !all.contains(&row) {
                all.push(row);
            }
        }
    }
    all
}
