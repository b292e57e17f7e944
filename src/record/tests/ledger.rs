//! Seals and the ledger, and books of other ages.

use std::path::Path;

use rusqlite::Connection;

use crate::evidence::ledger::line::LedgerLine;
use crate::kit::digest::Digest;
use crate::record::Record;
use crate::record::RecordError;
use crate::record::STEPS;
use crate::record::StoredSeal;
use crate::record::file::steps;
use crate::record::tests::add_photo;
use crate::record::tests::book;
use crate::record::tests::kinds;
use crate::record::tests::no;
use crate::record::tests::now;
use crate::record::tests::piece;

#[test]
fn a_seal_is_read_back_and_stamped_later() {
    let mut book = book();
    let seal = StoredSeal {
        no: 0,
        statement: "{}".to_owned(),
        signature: vec![1; 64],
        request: vec![2],
        reply: None,
        stamped: None,
    };
    assert_eq!(
        (book.add_seal(&seal).unwrap(), book.add_seal(&seal).unwrap()),
        (1, 2)
    );
    book.stamp_seal(2, &[3], now()).unwrap();
    let seals = book.seals().unwrap();
    assert_eq!(
        (seals[0].reply.as_ref(), seals[1].reply.as_deref()),
        (None, Some(&[3][..]))
    );
    assert_eq!((seals[1].no, seals[1].stamped), (2, Some(now())));
}

#[test]
fn a_line_of_the_ledger_neither_changes_nor_goes() {
    let book = book();
    let before = book.lines().unwrap();
    for (sql, why) in [
        (
            "UPDATE ledger SET piece = ''",
            "a line of the ledger never changes",
        ),
        (
            "DELETE FROM ledger WHERE no = 1",
            "a line of the ledger never goes",
        ),
    ] {
        let refused = book.db.execute(sql, []).unwrap_err();
        assert!(refused.to_string().contains(why), "{refused}");
    }
    assert_eq!(book.lines().unwrap(), before);
}

#[test]
fn lines_are_numbered_for_the_book_and_for_each_piece() {
    let mut book = book();
    add_photo(&mut book, "one", 1).unwrap();
    let read = |it: &crate::record::StoredLine| LedgerLine::read(&it.text).unwrap();
    let lines: Vec<LedgerLine> = book.lines().unwrap().iter().map(read).collect();
    let numbers: Vec<(u64, Option<u64>)> = lines.iter().map(|it| (it.no, it.in_piece)).collect();
    assert_eq!(
        numbers,
        [
            (0, Some(0)),
            (1, Some(0)),
            (2, Some(1)),
            (3, Some(2)),
            (4, Some(3))
        ]
    );
    assert_eq!(book.lines_of(&no()).unwrap(), book.lines().unwrap()[1..]);
    assert_eq!(
        book.first_line().unwrap(),
        book.lines().unwrap().into_iter().next()
    );
    let leaves: Vec<Digest> = lines.iter().map(LedgerLine::leaf).collect();
    assert_eq!(book.leaves().unwrap(), leaves);
}

/// A book of the first format, from before there was a ledger: every step is taken, and its piece gets its line.
#[test]
fn an_older_book_is_brought_up_and_its_ledger_says_that_it_is_younger() {
    let mut db = Connection::open_in_memory().unwrap();
    db.execute_batch(STEPS[0]).unwrap();
    db.pragma_update(None, "application_id", 0x6173_6664)
        .unwrap();
    db.pragma_update(None, "user_version", 1).unwrap();
    let told = serde_json::to_string(&piece()).unwrap();
    let insert = "INSERT INTO piece (stock_no, title, form, folder, taken_in, told) VALUES ('26-001', 'a', 'b', 'c', 'd', ?1)";
    db.execute(insert, [told]).unwrap();
    let path = Path::new("old/book.db").to_owned();
    steps::bring_up(&mut db, &path).unwrap();
    let mut book = Record {
        db,
        path,
        now: now(),
        read_only: false,
        is_covered: false,
    };
    book.begin_ledger().unwrap();
    book.begin_ledger().unwrap();
    assert_eq!(kinds(&book), ["begun", "piece"]);
    let first = book.first_line().unwrap().unwrap().text;
    assert!(
        first.contains("\"built_later\":true") && first.contains("\"book\":\"old\""),
        "{first}"
    );
    assert_eq!(book.piece(&no()).unwrap(), piece());
}

#[test]
fn a_newer_book_and_another_program_s_file_are_left_alone() {
    let path = Path::new("x.db");
    let mut newer = Connection::open_in_memory().unwrap();
    newer
        .pragma_update(None, "application_id", 0x6173_6664)
        .unwrap();
    newer
        .pragma_update(None, "user_version", STEPS.len() + 1)
        .unwrap();
    let refused = steps::bring_up(&mut newer, path).unwrap_err();
    assert!(matches!(refused, RecordError::Newer { found, .. } if found == STEPS.len() + 1));
    let mut other = Connection::open_in_memory().unwrap();
    other.execute_batch("CREATE TABLE a (b)").unwrap();
    assert!(matches!(
        steps::bring_up(&mut other, path),
        Err(RecordError::NotABook(_))
    ));
}
