//! What a ledger says, the newest of each thing.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::evidence::ledger::entry::EditionMade;
use crate::evidence::ledger::entry::Entry;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::ledger::line::LedgerLine;
use crate::kit::clock::Day;
use crate::kit::digest::Digest;
use crate::model::ids::StockNo;
use crate::record::StoredLine;

/// The newest of what the ledger says, by piece and number.
#[derive(Default)]
pub(in crate::work) struct Ledger {
    pub(in crate::work) photos: BTreeMap<(String, u32), PhotoTaken>,
    pub(in crate::work) removed: BTreeMap<(String, u32), Digest>,
    pub(in crate::work) texts: BTreeMap<(String, u32), Vec<Digest>>,
    pub(in crate::work) repairs: BTreeMap<(String, u32), EntryKind>,
    pub(in crate::work) editions: BTreeMap<(String, String, u32), EditionMade>,
    /// Papers and messages, by piece, in the order in which they were put by.
    pub(in crate::work) kept: BTreeMap<String, Vec<(String, Digest)>>,
    pub(in crate::work) sales: BTreeMap<String, Day>,
    /// What was told privately, by piece.
    pub(in crate::work) private: BTreeMap<(String, Of), Value>,
}

/// What a private part is of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::work) enum Of {
    /// The piece itself.
    Piece,
    /// A repair, by number.
    Repair(u32),
    /// A photo, by number: what its bytes say of camera and place.
    Photo(u32),
    /// Its sale.
    Sale,
    /// An edition, by reader and number.
    Edition(String, u32),
}

/// The newest private parts of each.
pub(in crate::work) fn private<'a>(
    lines: impl Iterator<Item = &'a LedgerLine>,
    stored: &[StoredLine],
) -> BTreeMap<(String, Of), Value> {
    let texts: BTreeMap<u64, &String> = stored
        .iter()
        .filter_map(|it| Some((it.no, it.private.as_ref()?)))
        .collect();
    let mut newest = BTreeMap::new();
    for line in lines {
        let of = match Entry::read(line) {
            Ok(Entry::Known(EntryKind::Piece(_))) => Of::Piece,
            Ok(Entry::Known(EntryKind::Repair(it))) => Of::Repair(it.no),
            Ok(Entry::Known(EntryKind::Photo(it))) => Of::Photo(it.photo),
            Ok(Entry::Known(EntryKind::Sale(_))) => Of::Sale,
            Ok(Entry::Known(EntryKind::Edition(it))) => Of::Edition(it.reader, it.no),
            _ => continue,
        };
        let told = texts.get(&line.no);
        let told = told.and_then(|it| serde_json::from_str::<Value>(it).ok());
        if let Some(told) = told.and_then(|it| it.get("told").cloned()) {
            newest.insert((line.piece.clone(), of), told);
        }
    }
    newest
}

impl Ledger {
    /// Of its lines.
    pub(in crate::work) fn of<'a>(lines: impl Iterator<Item = &'a LedgerLine>) -> Self {
        let mut it = Self::default();
        for line in lines {
            let piece = line.piece.clone();
            match Entry::read(line) {
                Ok(Entry::Known(EntryKind::Photo(photo))) => {
                    it.photos.insert((piece, photo.photo), photo);
                }
                Ok(Entry::Known(EntryKind::Clock(clock))) => {
                    for no in clock.photos {
                        if let Some(photo) = it.photos.get_mut(&(piece.clone(), no)) {
                            photo.clock_off = clock.clock_off;
                        }
                    }
                }
                Ok(Entry::Known(EntryKind::Removed(gone))) => {
                    it.removed.insert((piece, gone.photo), gone.sha256);
                }
                Ok(Entry::Known(EntryKind::Sidecar(read))) => {
                    it.texts
                        .entry((piece, read.photo))
                        .or_default()
                        .push(read.sha256);
                }
                Ok(Entry::Known(EntryKind::Repair(told))) => {
                    it.repairs.insert((piece, told.no), EntryKind::Repair(told));
                }
                Ok(Entry::Known(EntryKind::Edition(made))) => {
                    it.editions
                        .insert((piece, made.reader.clone(), made.no), made);
                }
                Ok(Entry::Known(EntryKind::Kept(kept))) => {
                    let list = it.kept.entry(piece).or_default();
                    list.push((kept.name, kept.sha256));
                }
                Ok(Entry::Known(EntryKind::Sale(sale))) => {
                    it.sales.insert(piece, sale.day);
                }
                _ => {}
            }
        }
        it
    }

    /// What was told privately of something.
    pub(in crate::work) fn told(&self, stock_no: &StockNo, of: Of) -> Option<&Value> {
        self.private.get(&(stock_no.to_string(), of))
    }

    pub(in crate::work) fn is_removed(&self, stock_no: &StockNo, photo: u32) -> bool {
        self.removed.contains_key(&(stock_no.to_string(), photo))
    }
}
