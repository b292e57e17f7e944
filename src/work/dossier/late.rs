//! What was told, or told otherwise, only after a piece had left.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::assess::findings::sighting::MarkAt;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::Day;
use crate::model::mark::Mark;
use crate::model::photo::Photo;
use crate::model::piece::told::FactTold;
use crate::model::piece::told::LackTold;
use crate::report::InBook;
use crate::report::LateMark;
use crate::report::LateRepair;
use crate::report::LateWords;
use crate::report::WordsInBook;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::written::Written;
use crate::work::dossier::written::is_after_sale;
use crate::work::dossier::written::shoot_changes;

/// What was told of a piece, or told otherwise, only after it had left; `None` where nothing was. And the day on which it had left, by what
/// came first: the day first told of its sale, or that on which the first pictures from afterwards came in.
///
/// # Errors
/// When the record cannot be read.
pub(in crate::work) fn late_words(
    book: &OpenBook,
    it: &Assessment,
) -> Result<(Option<LateWords>, Option<Day>), WorkError> {
    let lines = book.record.lines_of(&it.piece.stock_no)?;
    let lines = lines
        .iter()
        .filter_map(|it| LedgerLine::read(&it.text).ok());
    let lines: Vec<LedgerLine> = lines.collect();
    let written = Written::of(book, it, &lines, None)?;
    let Some((since, day)) = written.left() else {
        return Ok((None, None));
    };
    let mut words = LateWords::none(since);
    for photo in it.photos.iter().filter(|photo| !is_after_sale(it, photo)) {
        let told = written.beside(it, photo);
        words.marks.extend(written.late_marks(photo, &told));
        if told.all().any(|it| it.after.is_some()) {
            words.pictures.push(photo.no);
        }
    }
    for line in lines.iter().filter(|it| written.is_later(it)) {
        match Entry::read(line) {
            Ok(Entry::Known(EntryKind::Photo(of))) => {
                let mut own = it.photos.iter().filter(|it| it.no == of.photo);
                words
                    .photos
                    .extend(own.find(|photo| !is_after_sale(it, photo)).map(|it| it.no));
            }
            Ok(Entry::Known(EntryKind::Clock(it))) => words.clocks.extend(it.photos),
            _ => {}
        }
    }
    let shoots = shoot_changes(&lines).into_iter();
    let late = |line: u64| { lines.iter() }.any(|it| it.no == line && written.is_later(it));
    words.shoots = shoots.filter(|it| late(it.line)).map(|it| it.no).collect();
    words.repairs = written.late_repairs();
    let told = book.record.pieces_told(&it.piece.stock_no)?;
    let facts = FactTold::all(&told).into_iter();
    words.facts = facts
        .filter(|it| written.after(it.line, it.at).is_some())
        .collect();
    let lacks = LackTold::all(&told).into_iter();
    words.lacks = lacks
        .filter(|it| written.after(it.line, it.at).is_some())
        .collect();
    Ok(((!words.is_none()).then_some(words), Some(day)))
}

impl Written<'_> {
    /// Those that were told, or told otherwise, after the piece had left.
    fn late_repairs(&self) -> BTreeMap<u32, LateRepair> {
        let told = self.repairs_told().into_iter();
        let late = told.filter_map(|(no, all)| {
            let newest = all.last().filter(|it| it.1.after.is_some())?;
            let was = all.iter().rev().find(|it| it.1.after.is_none());
            Some((
                no,
                LateRepair {
                    on: newest.1.day,
                    was: was.map(|(it, _)| (it.method.clone(), it.day, it.note.clone())),
                },
            ))
        });
        late.collect()
    }

    /// When the marks of a picture from before the sale were told or changed after the piece had left.
    fn late_marks(&self, photo: &Photo, told: &WordsInBook) -> Vec<(MarkAt, LateMark)> {
        let texts = self.texts.get(&photo.no).map_or(&[][..], Vec::as_slice);
        let before = |mark: &Mark| {
            let mut early = texts.iter().filter(|it| !self.is_later(it.0));
            early.any(|it| it.1.marks.iter().any(|it| is_of_same(it, mark)))
        };
        let marks = photo.sidecar.marks.iter().enumerate();
        let late = marks.filter_map(|(n, mark)| {
            let late = |all: &[Option<InBook>]| {
                all.get(n)
                    .copied()
                    .flatten()
                    .filter(|it| it.after.is_some())
            };
            let on = late(&told.marks).or_else(|| late(&told.mark_notes))?.day;
            let at = MarkAt {
                photo: photo.no,
                mark: n,
            };
            Some(match before(mark) {
                true => (at, LateMark::Changed(on)),
                false => (at, LateMark::Told(on)),
            })
        });
        late.collect()
    }
}

/// Whether two marks are of the same thing, whatever they say of it.
fn is_of_same(a: &Mark, b: &Mark) -> bool {
    let numbered = a.finding.is_some() && a.finding == b.finding;
    numbered || (&a.tag, &a.part, &a.which) == (&b.tag, &b.part, &b.which)
}
