//! Checks the record of a stock book against its ledger, and what the record reads in its sidecars against their texts.

use std::collections::BTreeSet;

use serde_json::Value;
use serde_json::json;

use crate::evidence::check::Check;
use crate::evidence::check::Outcome;
use crate::evidence::ledger::entry::EntryKind;
use crate::evidence::ledger::entry::PhotoTaken;
use crate::kit::canon::canonical;
use crate::kit::digest::Digest;
use crate::mark;
use crate::model::facts::Facts;
use crate::model::ids::StockNo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::sale::Sale;
use crate::record::KeptText;
use crate::work::WorkError;
use crate::work::keep::FOLDER;
use crate::work::open_book::OpenBook;
use crate::work::proof::check_book::Lost;
use crate::work::proof::check_book::Tally;
use crate::work::proof::check_book::digest_of;
use crate::work::proof::check_known::Ledger;
use crate::work::proof::check_known::Of;
use crate::work::words;

/// The record against the ledger: pieces, photos, texts, sales and repairs.
pub(in crate::work) fn record(book: &OpenBook, known: &Ledger) -> Result<Check, WorkError> {
    let mut tally = Tally::new(
        "record",
        "photos, sidecars, repairs and sales of the record are those of the ledger",
    );
    let mut seen = 0;
    let mut told = BTreeSet::new();
    for no in book.record.stock_numbers()? {
        let piece = known.told(&no, Of::Piece);
        let piece = piece.and_then(|it| serde_json::from_value::<Piece>(it.clone()).ok());
        if piece != Some(book.piece(&no)?) {
            tally.wrong(format!(
                "{no}: what was told of it is not what the ledger says"
            ));
        }
        let shoots = book.record.shoots(&no)?;
        for photo in book.record.photos(&no)? {
            seen += 1;
            if !photo_agrees(known, &no, &photo, &shoots) {
                tally.wrong(format!(
                    "{no}: picture {} is not the one in the ledger",
                    photo.no
                ));
            }
            if known.is_removed(&no, photo.no) {
                tally.wrong(format!(
                    "{no}: picture {} was taken out, as the ledger says, and is there",
                    photo.no
                ));
            }
        }
        if !sale_agrees(known, &no, book.record.sale(&no)?.as_ref()) {
            tally.wrong(format!(
                "{no}: what was told of its sale is not what the ledger says"
            ));
        }
        for repair in book.record.repairs(&no)? {
            told.insert((no.to_string(), repair.no));
            if !repair_agrees(known, &no, &repair) {
                tally.wrong(format!(
                    "{no}: repair {} is not the one in the ledger",
                    repair.no
                ));
            }
        }
    }
    let lines = known.repairs.keys();
    let gone = lines.filter(|it| !told.contains(it));
    for (no, repair) in gone {
        tally.wrong(format!(
            "{no}: repair {repair} of the ledger is not in the record"
        ));
    }
    let expected = known.photos.len() - known.removed.len().min(known.photos.len());
    if seen < expected {
        tally.wrong(format!(
            "the ledger names {expected} pictures, the record holds {seen}"
        ));
    }
    Ok(tally.check())
}

/// Whether the newest line about a sale, with its private part, is what the record holds.
fn sale_agrees(known: &Ledger, no: &StockNo, sale: Option<&Sale>) -> bool {
    let line = known.sales.get(no.as_str());
    let told = sale.map(|it| json!({"price": it.price, "to": it.to, "note": it.note}));
    line.copied() == sale.map(|it| it.day) && known.told(no, Of::Sale) == told.as_ref()
}

/// Whether the newest line about a repair, with its private part, is what the record holds.
fn repair_agrees(known: &Ledger, no: &StockNo, repair: &Repair) -> bool {
    let line = known.repairs.get(&(no.to_string(), repair.no));
    let same = |it: &EntryKind| {
        matches!(it, EntryKind::Repair(it) if it.method == repair.method && it.findings == repair.findings
        && it.day == repair.day && it.note == repair.note && it.hides == repair.hides && it.new_material == repair.new_material)
    };
    let private = known.told(no, Of::Repair(repair.no));
    line.is_some_and(same) && private.is_some_and(|it| told_so(it, repair))
}

/// Whether the private part of a repair's line is what the record holds.
fn told_so(told: &Value, repair: &Repair) -> bool {
    let same = |key: &str, value: Value| told.get(key).unwrap_or(&Value::Null) == &value;
    same("minutes", json!(repair.minutes))
        && same("cost", json!(repair.cost))
        && same("private_note", json!(repair.private_note))
}

/// Whether the line about a photo, with its private part, is what the record holds.
fn photo_agrees(known: &Ledger, no: &StockNo, photo: &Photo, shoots: &[Shoot]) -> bool {
    let shoot = shoots.iter().find(|it| it.no == photo.shoot);
    let same = |line: &PhotoTaken| {
        line.sha256 == photo.digest
            && line.bytes == photo.bytes
            && line.name == photo.name
            && line.shoot == photo.shoot
            && shoot.is_some_and(|it| it.stage == line.stage)
            && line.camera_time == photo.facts.camera_time
            && line.clock_off == photo.clock_off
            && line.imported == photo.imported
    };
    let line = known.photos.get(&(no.to_string(), photo.no));
    let told = known.told(no, Of::Photo(photo.no));
    line.is_some_and(same) && told.is_some_and(|it| facts_agree(it, &photo.facts))
}

/// Whether all that the ledger tells of the facts is so in the record, in the ledger's spelling, in which a number is a double
/// (RFC 8785). What a newer program reads besides, an older line cannot tell.
fn facts_agree(told: &Value, facts: &Facts) -> bool {
    let facts = serde_json::to_value(facts).unwrap_or_default();
    let spelled = |it: Option<&Value>| canonical(it.unwrap_or(&Value::Null)).ok();
    told.as_object().is_some_and(|told| {
        let mut all = told.iter();
        all.all(|(key, value)| spelled(Some(value)) == spelled(facts.get(key)))
    })
}

/// Papers and messages against the ledger, and their files against their digests.
pub(in crate::work) fn kept(
    book: &OpenBook,
    known: &Ledger,
    lost: &mut Vec<Lost>,
) -> Result<Check, WorkError> {
    let mut tally = Tally::new(
        "kept",
        "every paper and message that was put by has the bytes with which it came in",
    );
    for no in book.record.stock_numbers()? {
        let papers = book.record.kept(&no)?;
        let lines = known.kept.get(no.as_str());
        if lines.map_or(&[][..], Vec::as_slice) != papers {
            tally.wrong(format!(
                "{no}: the papers that were put by are not those of the ledger"
            ));
        }
        let folder = book.piece_folder(&book.piece(&no)?).join(FOLDER);
        for (name, digest) in papers {
            let path = folder.join(&name);
            match digest_of(&path) {
                Some(it) if it == digest => continue,
                None => tally.missing(format!("{no}: `{name}` is gone or cannot be read")),
                Some(_) => {
                    tally.wrong(format!(
                        "{no}: `{name}` has other bytes than it came in with"
                    ));
                }
            }
            lost.push(Lost {
                path,
                digest,
                bytes: None,
            });
        }
    }
    Ok(tally.check())
}

/// Every text of every sidecar against the ledger, and what the record reads in it against the text itself.
pub(in crate::work) fn sidecars(book: &OpenBook, known: &Ledger) -> Result<Check, WorkError> {
    let mut tally = Tally::new(
        "sidecars",
        "every text is the one in the ledger, the newest good one is in force, and the record reads in it what it says",
    );
    // With mistakes in the user's own words, good texts would seem bad.
    let readable = book.trade().is_ok();
    for no in book.record.stock_numbers()? {
        let mut kept = book.record.kept_texts(&no)?;
        let words = match readable {
            true => Some(words::of_piece(
                &book.trade,
                &book.piece(&no)?,
                &book.record.findings(&no)?,
            )),
            false => None,
        };
        for ((_, photo), lines) in known
            .texts
            .range((no.to_string(), 0)..=(no.to_string(), u32::MAX))
        {
            let texts = kept.remove(photo).unwrap_or_default();
            let digests = texts.iter().map(|it| Digest::of(it.text.as_bytes()));
            if !digests.eq(lines.iter().copied()) {
                tally.wrong(format!(
                    "{no}: the texts beside picture {photo} are not those of the ledger"
                ));
            }
            let good = texts.iter().rposition(|it| it.content.is_some());
            if texts.iter().position(|it| it.in_force) != good {
                tally.wrong(format!(
                    "{no}: of picture {photo} another text is in force than the newest good one"
                ));
            }
            if let Some(words) = &words {
                for it in &texts {
                    compare(&mut tally, &no, *photo, it, words);
                }
            }
        }
        for photo in kept.into_keys() {
            tally.wrong(format!(
                "{no}: what is written of picture {photo} is not in the ledger"
            ));
        }
    }
    let mut check = tally.check();
    // Words that are no longer known make a text unreadable, not untrue.
    if check.outcome == Outcome::Missing {
        check.outcome = Outcome::Told;
    }
    Ok(check)
}

/// What was read in a text, against the text.
fn compare(tally: &mut Tally, no: &StockNo, photo: u32, it: &KeptText, words: &mark::Words) {
    let Some(content) = &it.content else { return };
    match mark::read("", &it.text, words) {
        Ok(read) if serde_json::from_str(content).ok().as_ref() == Some(&read) => {}
        Ok(_) => tally.wrong(format!(
            "{no}: what the record reads in the text beside picture {photo} is not what the text says"
        )),
        Err(_) => tally.missing(format!(
            "{no}: a text beside picture {photo} uses words that are no longer known; what was read in it cannot be compared"
        )),
    }
}
