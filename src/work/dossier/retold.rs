//! What a sealed text beside a picture said that a later text no longer says.

use std::collections::BTreeMap;

use crate::assess::assessment::Assessment;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::SidecarRead;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::digest::Digest;
use crate::model::mark::Mark;
use crate::model::mark::Sidecar;
use crate::record::KeptText;
use crate::report::Retold;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;
use crate::work::dossier::seals::Sealed;

/// Of every text that was the newest beside its picture when it was sealed, the marks that the next good text does not repeat with
/// the same state, level and measure; notes stay out, as a note may have been taken back for being private.
///
/// # Errors
/// When the record cannot be read.
pub(in crate::work) fn retold(
    book: &OpenBook,
    it: &Assessment,
    lines: &[LedgerLine],
    sealed: &Sealed,
) -> Result<Vec<Retold>, WorkError> {
    let mut kept = book.record.kept_texts(&it.piece.stock_no)?;
    // What was written beside a picture that is out is not told.
    kept.retain(|no, _| it.photos.iter().any(|photo| photo.no == *no));
    let mut newest: BTreeMap<u32, (u64, Sidecar)> = BTreeMap::new();
    let mut all = Vec::new();
    for line in lines {
        let Ok(Entry::Known(EntryKind::Sidecar(it))) = Entry::read(line) else {
            continue;
        };
        let Some(now) = read(&kept, &it) else {
            continue;
        };
        if let Some((before, was)) = newest.get(&it.photo)
            && let Some(seal) = sealed_between(sealed, *before, line.no)
        {
            let was: Vec<Mark> = was
                .marks
                .iter()
                .filter(|it| !says(&now, it))
                .cloned()
                .collect();
            if !was.is_empty() {
                all.push(Retold {
                    photo: it.photo,
                    seal,
                    day: line.at.local_day(),
                    line: line.no,
                    was,
                });
            }
        }
        newest.insert(it.photo, (line.no, now));
    }
    Ok(all)
}

/// What a line's text says; `None` where it could not be read.
pub(in crate::work::dossier) fn read(
    kept: &BTreeMap<u32, Vec<KeptText>>,
    it: &SidecarRead,
) -> Option<Sidecar> {
    let mut texts = kept.get(&it.photo)?.iter();
    let text = texts.find(|text| Digest::of(text.text.as_bytes()) == it.sha256)?;
    serde_json::from_str(text.content.as_deref()?).ok()
}

/// The last seal over the first of two lines and not over the other.
fn sealed_between(sealed: &Sealed, first: u64, next: u64) -> Option<u32> {
    let seals = sealed.seals.iter().rev();
    let mut seals = seals.filter(|it| it.1.size > first && it.1.size <= next);
    seals.next().map(|it| it.0.no)
}

/// Whether a text says the same as this mark, notes and outline aside.
fn says(text: &Sidecar, mark: &Mark) -> bool {
    let what = |it: &Mark| {
        let named = (
            it.tag.clone(),
            it.part.clone(),
            it.which.clone(),
            it.finding,
        );
        (named, it.state, it.level, it.size.clone())
    };
    text.marks.iter().any(|it| what(it) == what(mark))
}
