//! Which finding a mark belongs to, by the numbers given out.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::piece_record::PieceRecord;
use crate::assess::timeline::Timeline;
use crate::model::finding::FindingKey;
use crate::model::finding::NumberedFinding;
use crate::model::ids::FindingNo;
use crate::model::mark::Mark;
use crate::trade::TradeBook;

/// Which finding each mark belongs to.
#[derive(Debug)]
pub(crate) struct Numbers<'a> {
    by_number: BTreeMap<FindingNo, &'a FindingKey>,
    by_key: BTreeMap<&'a FindingKey, FindingNo>,
}

impl<'a> Numbers<'a> {
    /// From the numbers given out; of a number or key given twice, the first counts.
    pub(crate) fn of(findings: &'a [NumberedFinding]) -> Self {
        let mut sorted: Vec<&NumberedFinding> = findings.iter().collect();
        sorted.sort();
        let (mut by_number, mut by_key) = (BTreeMap::new(), BTreeMap::new());
        for it in sorted {
            by_number.entry(it.no).or_insert(&it.key);
            by_key.entry(&it.key).or_insert(it.no);
        }
        Self { by_number, by_key }
    }

    /// The finding a mark belongs to; `None` for observations, statements about parts, and faults without a number.
    pub(crate) fn of_mark(&self, mark: &Mark, book: &TradeBook) -> Option<FindingNo> {
        let is_fault = mark.tag.as_deref().is_none_or(|it| book.tag(it).is_some());
        match mark.finding {
            Some(no) => (is_fault && self.by_number.contains_key(&no)).then_some(no),
            None => self.by_key.get(&key_of(mark, book)?).copied(),
        }
    }

    /// Every number with its key, in order.
    pub(crate) fn all(&self) -> impl Iterator<Item = (FindingNo, &'a FindingKey)> {
        self.by_number.iter().map(|(no, key)| (*no, *key))
    }

    /// The part of a number.
    pub(crate) fn key(&self, no: FindingNo) -> Option<&'a FindingKey> {
        self.by_number.get(&no).copied()
    }
}

/// The key of a fault mark that names no finding.
fn key_of(mark: &Mark, book: &TradeBook) -> Option<FindingKey> {
    let tag = mark.tag.as_deref().filter(|it| book.tag(it).is_some())?;
    Some(FindingKey {
        part: mark.part.clone()?,
        tag: tag.to_owned(),
        which: mark.which.clone().unwrap_or_default(),
    })
}

/// Keys of fault marks that have no number yet, in the order first seen.
#[must_use]
pub fn new_keys(case: &PieceRecord, book: &TradeBook) -> Vec<FindingKey> {
    let known: BTreeSet<&FindingKey> = case.findings.iter().map(|it| &it.key).collect();
    let mut seen = BTreeSet::new();
    let mut keys = Vec::new();
    for said in Timeline::of(case).marks() {
        let key = key_of(said.mark, book).filter(|_| said.mark.finding.is_none());
        let Some(key) = key.filter(|it| !known.contains(it)) else {
            continue;
        };
        if seen.insert(key.clone()) {
            keys.push(key);
        }
    }
    keys
}
