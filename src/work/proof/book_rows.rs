//! What a record holds of one piece, as rows and as the lines that would be written of them today.

use std::collections::BTreeMap;

use serde_json::Value;
use serde_json::json;

use crate::evidence::ledger::entry::EditionMade;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::Kept;
use crate::evidence::ledger::entry::PhotoRemoved;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::evidence::ledger::entry::SaleRecorded;
use crate::evidence::ledger::entry_rows::FindingNumbered;
use crate::evidence::ledger::entry_rows::PhotoMoved;
use crate::evidence::ledger::entry_rows::PieceWithdrawn;
use crate::evidence::ledger::entry_rows::SealStamped;
use crate::evidence::ledger::entry_rows::ShootBegun;
use crate::evidence::ledger::entry_rows::TakenIn;
use crate::evidence::verify::notes::Notes;
use crate::evidence::verify::source::Retold;
use crate::kit::clock::Moment;
use crate::model::finding::NumberedFinding;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::sale::Sale;
use crate::record::Edition;
use crate::record::KeptFile;
use crate::record::KeptText;
use crate::record::MovedRow;
use crate::record::RecordError;
use crate::record::RemovedRow;
use crate::record::SidecarRow;
use crate::record::StoredSeal;
use crate::record::Withdrawal;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// The rows of one piece.
pub(in crate::work) struct Rows {
    pub(in crate::work) piece: Piece,
    pub(in crate::work) shoots: Vec<Shoot>,
    pub(in crate::work) photos: Vec<Photo>,
    pub(in crate::work) texts: BTreeMap<u32, Vec<KeptText>>,
    pub(in crate::work) findings: Vec<NumberedFinding>,
    pub(in crate::work) editions: Vec<(String, Edition)>,
    pub(in crate::work) sidecars: Vec<SidecarRow>,
    removed: Vec<RemovedRow>,
    moved: Vec<MovedRow>,
    pub(in crate::work) kept: Vec<KeptFile>,
    repairs: Vec<Repair>,
    sale: Option<Sale>,
    withdrawal: Option<Withdrawal>,
}

impl Rows {
    /// Reads them; of rows that make no sense it is told, and they are left out. `None` when the piece itself makes none.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub(in crate::work) fn read(
        book: &OpenBook,
        no: &StockNo,
        notes: &mut Notes,
    ) -> Result<Option<Self>, WorkError> {
        let record = &book.record;
        let piece = sense(record.piece(no).map(Some), notes)?;
        let Some(piece) = piece else { return Ok(None) };
        Ok(Some(Self {
            piece,
            shoots: sense(record.all_shoots(no), notes)?,
            photos: sense(record.photos(no), notes)?,
            texts: sense(record.kept_texts(no), notes)?,
            findings: sense(record.findings(no), notes)?,
            editions: sense(record.editions(no), notes)?,
            sidecars: sense(record.sidecars(no), notes)?,
            removed: sense(record.removed_photos(no), notes)?,
            moved: sense(record.moved_photos(no), notes)?,
            kept: sense(record.kept(no), notes)?,
            repairs: sense(record.repairs(no), notes)?,
            sale: sense(record.sale(no), notes)?,
            withdrawal: sense(record.withdrawal(no), notes)?,
        }))
    }

    /// The lines that would be written of them today.
    pub(in crate::work) fn retold(&self) -> Vec<Retold> {
        let mut all = Vec::new();
        let mut entered = |kind: EntryKind, told: Option<Value>, at: Option<Moment>| {
            all.push(Retold {
                piece: self.piece.stock_no.to_string(),
                kind,
                told,
                at,
            });
        };
        for (kind, at) in self.dated() {
            entered(kind, None, Some(at));
        }
        let mut say = |kind: EntryKind, told: Option<Value>| entered(kind, told, None);
        let taken = EntryKind::Piece(TakenIn::from(&self.piece));
        say(taken, Some(json!(self.piece)));
        for it in &self.shoots {
            say(EntryKind::Shoot(ShootBegun::of(it, false)), None);
        }
        for it in &self.findings {
            say(EntryKind::Finding(FindingNumbered::of(it, false)), None);
        }
        for photo in &self.photos {
            if let Some(kind) = self.photo(photo) {
                say(EntryKind::Photo(kind), Some(json!(photo.facts)));
            }
        }
        for it in &self.repairs {
            say(EntryKind::Repair(it.into()), Some(private_of_repair(it)));
        }
        for (reader, it) in &self.editions {
            let made = EditionMade {
                reader: reader.clone(),
                no: it.no,
                sha256: it.digest,
                made: it.made,
            };
            let stated = it.stated.as_deref().map(serde_json::from_str::<Value>);
            let stated = stated.map(|it| json!({"stated": it.unwrap_or_default()}));
            say(EntryKind::Edition(made), stated);
        }
        if let Some(it) = &self.sale {
            let told = json!({"price": it.price, "to": it.to, "note": it.note});
            say(EntryKind::Sale(SaleRecorded { day: it.day }), Some(told));
        }
        all
    }

    /// Those that keep when they were entered.
    fn dated(&self) -> Vec<(EntryKind, Moment)> {
        let removed = self.removed.iter().map(|it| {
            let gone = PhotoRemoved {
                photo: it.no,
                sha256: it.digest,
                why: it.why.clone(),
            };
            (EntryKind::Removed(gone), it.removed)
        });
        let moved = self.moved.iter().map(|it| {
            let moved = PhotoMoved {
                photo: it.photo,
                sha256: it.digest,
                shoot: it.shoot,
            };
            (EntryKind::Moved(moved), it.at)
        });
        let kept = self.kept.iter().map(|it| {
            let kept = Kept {
                name: it.name.clone(),
                sha256: it.sha256,
            };
            (EntryKind::Kept(kept), it.kept)
        });
        let withdrawn = self.withdrawal.iter().map(|it| {
            let why = it.why.clone();
            (EntryKind::Withdrawn(PieceWithdrawn { why }), it.at)
        });
        removed.chain(moved).chain(kept).chain(withdrawn).collect()
    }

    /// As it was taken in.
    fn photo(&self, photo: &Photo) -> Option<PhotoTaken> {
        let taken_in_with = photo.taken_in_with();
        let shoot = self.shoots.iter().find(|it| it.no == taken_in_with)?;
        Some(PhotoTaken {
            photo: photo.no,
            shoot: shoot.no,
            stage: shoot.stage,
            name: photo.name.clone(),
            sha256: photo.digest,
            bytes: photo.bytes,
            camera_time: photo.facts.camera_time,
            clock_off: photo.clock_off,
            imported: photo.imported,
        })
    }
}

/// The line that would be written of a seal's time stamp today; `None` without one.
pub(in crate::work) fn stamp(it: &StoredSeal) -> Option<Retold> {
    let (reply, at) = (it.reply.as_deref()?, it.stamped?);
    Some(Retold {
        piece: String::new(),
        kind: EntryKind::Stamp(SealStamped::of(it.no, reply, at, false)),
        told: None,
        at: None,
    })
}

/// What makes no sense is told, and nothing is taken for it.
fn sense<T: Default>(read: Result<T, RecordError>, notes: &mut Notes) -> Result<T, WorkError> {
    match read {
        Err(error @ RecordError::Nonsense(_)) => {
            notes.wrong("record", error.to_string());
            Ok(T::default())
        }
        read => Ok(read?),
    }
}

fn private_of_repair(it: &Repair) -> Value {
    json!({
        "minutes": it.minutes,
        "cost": it.cost,
        "private_note": it.private_note,
    })
}
