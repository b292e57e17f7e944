//! What a record reads in the texts beside its pictures, against the texts; what is worked out from them, against them.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::evidence::verify::notes::Notes;
use crate::mark;
use crate::model::finding::FindingKey;
use crate::model::ids::StockNo;
use crate::model::mark::Sidecar;
use crate::record::KeptText;
use crate::record::SidecarRow;
use crate::work::book::open_book::OpenBook;
use crate::work::proof::book_rows::Rows;
use crate::work::sidecars::vocabulary;

const CODE: &str = "sidecars";

/// Checks the texts and the findings of a piece; `named` is how many texts the lines name beside each picture.
pub(in crate::work) fn check(
    book: &OpenBook,
    rows: &Rows,
    named: &BTreeMap<(String, u32), usize>,
    notes: &mut Notes,
) {
    texts(book, rows, named, notes);
    findings(rows, notes);
}

fn texts(book: &OpenBook, rows: &Rows, named: &BTreeMap<(String, u32), usize>, notes: &mut Notes) {
    let no = &rows.piece.stock_no;
    // With mistakes in the user's own words, good texts would seem bad.
    let words = book.trade().ok();
    let words = words.map(|trade| vocabulary::of_piece(trade, &rows.piece, &rows.findings));
    for (photo, texts) in &rows.texts {
        if texts.len() > named.get(&(no.to_string(), *photo)).copied().unwrap_or(0) {
            notes.wrong(
                CODE,
                format!("{no}: what is written of picture {photo} is not in the ledger"),
            );
        }
        let good = texts.iter().rposition(|it| it.content.is_some());
        if texts.iter().position(|it| it.in_force) != good {
            notes.wrong(
                CODE,
                format!(
                    "{no}: of picture {photo} another text is in force than the newest good one"
                ),
            );
        }
        let newest = texts.last();
        for row in rows.sidecars.iter().filter(|row| row.photo == *photo) {
            if let Some(newest) = newest {
                complained(notes, no, row, newest, words.as_ref());
            }
        }
        if let Some(words) = &words {
            for it in texts {
                let place = format!("{no}: a text beside picture {photo}");
                compare(notes, &place, it, words);
            }
        }
    }
}

/// What the record says is wrong with the newest text beside a picture, against that text.
fn complained(
    notes: &mut Notes,
    no: &StockNo,
    row: &SidecarRow,
    newest: &KeptText,
    words: Option<&mark::Words>,
) {
    let photo = row.photo;
    if row.complaints.is_empty() {
        if newest.content.is_none() {
            let about = format!(
                "{no}: the newest text beside picture {photo} has mistakes, and the record names none"
            );
            notes.wrong(CODE, about);
        }
        return;
    }
    // Bytes that are no text were replaced when they were kept; what was wrong with them cannot be read again.
    let whole = !newest.text.contains(char::REPLACEMENT_CHARACTER);
    let Some(words) = words.filter(|_| whole) else {
        return;
    };
    let read = mark::read(&row.shown(), &newest.text, words);
    if read.as_ref().err() != Some(&row.complaints) {
        let about = format!(
            "{no}: what the record says is wrong with the text beside picture {photo} is not what is wrong with it by the words of today"
        );
        notes.told(CODE, about);
    }
}

/// What was read in a text, against the text.
fn compare(notes: &mut Notes, place: &str, it: &KeptText, words: &mark::Words) {
    let Some(content) = &it.content else { return };
    match mark::read("", &it.text, words) {
        Ok(read) if serde_json::from_str(content).ok().as_ref() == Some(&read) => {}
        Ok(_) => notes.wrong(
            CODE,
            format!("{place}: what the record reads in it is not what it says"),
        ),
        // Words that are no longer known make a text unreadable, not untrue.
        Err(_) => notes.told(
            CODE,
            format!(
                "{place} uses words that are no longer known; what was read in it cannot be compared"
            ),
        ),
    }
}

/// Every numbered finding is one that some text states, or stated.
fn findings(rows: &Rows, notes: &mut Notes) {
    let read = |it: &KeptText| serde_json::from_str::<Sidecar>(it.content.as_deref()?).ok();
    let sidecars = rows.texts.values().flatten().filter_map(read);
    let mut stated = BTreeSet::new();
    for mark in sidecars.flat_map(|it| it.marks) {
        if let (Some(part), Some(tag)) = (mark.part, mark.tag) {
            stated.insert(FindingKey {
                part,
                tag,
                which: mark.which.unwrap_or_default(),
            });
        }
    }
    let no = &rows.piece.stock_no;
    for it in rows.findings.iter().filter(|it| !stated.contains(&it.key)) {
        let (key, finding) = (&it.key, it.no);
        let about = format!(
            "{no}: {finding} stands for `{}` at `{}`, which no text beside a picture states",
            key.tag, key.part
        );
        notes.wrong("findings", about);
    }
}
