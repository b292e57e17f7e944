//! What is told of pieces, photos, findings, repairs, sales and papers, and how it is read back.

use rusqlite::Connection;

use crate::kit::clock::ClockOff;
use crate::kit::digest::Digest;
use crate::model::complaint::Complaint;
use crate::model::finding::FindingKey;
use crate::model::ids::FindingNo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::picture::SmallPicture;
use crate::model::piece::Piece;
use crate::model::repair::Repair;
use crate::model::sale::Sale;
use crate::record::Edition;
use crate::record::KeptFile;
use crate::record::Previews;
use crate::record::RecordError;
use crate::record::tests::add_photo;
use crate::record::tests::book;
use crate::record::tests::facts;
use crate::record::tests::is_refused;
use crate::record::tests::kinds;
use crate::record::tests::no;
use crate::record::tests::now;
use crate::record::tests::piece;
use crate::record::tests::shoot;
use crate::record::tests::text;

#[test]
fn a_piece_is_read_back_as_it_was_told_last() {
    let mut book = book();
    assert_eq!(book.piece(&no()).unwrap(), piece());
    let told = Piece {
        title: "walnut chest".to_owned(),
        ..piece()
    };
    book.change_piece(&told).unwrap();
    assert_eq!(book.piece(&no()).unwrap(), told);
    let line = &book.stock().unwrap()[0];
    assert_eq!((line.title.as_str(), line.photos), ("walnut chest", 0));
    // A shoot without a photo is not told of.
    assert_eq!(line.stage, None);
    assert_eq!(
        (
            book.next_running(2026).unwrap(),
            book.next_running(2027).unwrap()
        ),
        (2, 1)
    );
    assert_eq!(kinds(&book), ["begun", "piece", "shoot", "piece"]);
}

#[test]
fn a_number_that_is_taken_or_missing_is_refused_and_leaves_nothing() {
    let mut book = book();
    let before = book.lines().unwrap();
    assert!(matches!(
        book.add_piece(&piece()),
        Err(RecordError::Taken(_))
    ));
    let other = Piece {
        stock_no: "26-002".parse().unwrap(),
        ..piece()
    };
    assert!(matches!(
        book.change_piece(&other),
        Err(RecordError::NoPiece(_))
    ));
    assert!(matches!(
        book.photos(&other.stock_no),
        Err(RecordError::NoPiece(_))
    ));
    assert!(
        is_refused(book.add_piece(&other)),
        "two pieces in one folder"
    );
    assert_eq!(book.lines().unwrap(), before);
}

#[test]
fn a_photo_is_read_back_with_its_text_its_source_and_its_lines() {
    let mut book = book();
    assert_eq!(add_photo(&mut book, "one", 1).unwrap(), 1);
    assert_eq!(add_photo(&mut book, "two", 1).unwrap(), 2);
    let photos = book.photos(&no()).unwrap();
    assert_eq!((photos.len(), &photos[0].facts), (2, &facts()));
    assert_eq!(photos[0].sidecar.view.as_deref(), Some("top_flat"));
    assert_eq!(
        (photos[1].name.as_str(), photos[1].clock_off.seconds),
        ("two.jpg", -3600)
    );
    assert_eq!(book.taken(&no()).unwrap().len(), 2);
    assert_eq!(book.sources(&no()).unwrap()[0].0.modified_ns, 8);
    assert_eq!(book.shoots(&no()).unwrap(), [shoot()]);
    assert_eq!(
        kinds(&book)[2..],
        ["shoot", "photo", "sidecar", "photo", "sidecar"]
    );
    let private = book.lines().unwrap()[3].private.clone().unwrap();
    assert!(
        private.contains("0042"),
        "the camera's number is private: {private}"
    );
}

#[test]
fn a_photo_comes_in_whole_or_not_at_all() {
    let mut book = book();
    add_photo(&mut book, "one", 1).unwrap();
    let before = (
        book.lines().unwrap(),
        book.photos(&no()).unwrap(),
        book.sources(&no()).unwrap(),
    );
    assert!(is_refused(add_photo(&mut book, "one", 1)), "taken twice");
    assert!(
        is_refused(add_photo(&mut book, "two", 2)),
        "a shoot that is not there"
    );
    let after = (
        book.lines().unwrap(),
        book.photos(&no()).unwrap(),
        book.sources(&no()).unwrap(),
    );
    assert_eq!(before, after);
}

#[test]
fn a_photo_is_put_into_another_shoot_and_stays_where_it_lies() {
    let mut book = book();
    add_photo(&mut book, "one", 1).unwrap();
    let photo = book.photos(&no()).unwrap().remove(0);
    let other = Shoot {
        no: 2,
        stage: Stage::Sale,
        day: "2026-05-09".parse().unwrap(),
        folder: "2 sale 2026-05-09".to_owned(),
    };
    book.move_photos(&no(), &[&photo], &other, &[]).unwrap();
    let moved = book.photos(&no()).unwrap().remove(0);
    assert_eq!((moved.shoot, moved.taken_in_with()), (2, 1));
    assert_eq!((&moved.folder, &moved.name), (&photo.folder, &photo.name));
    assert_eq!(book.all_shoots(&no()).unwrap(), [shoot(), other.clone()]);
    let own = book.shoots(&no()).unwrap();
    assert_eq!((own.len(), &own[0]), (1, &other));
    assert_eq!(kinds(&book)[5..], ["shoot", "moved"]);
    assert_eq!(book.stock().unwrap()[0].stage.as_deref(), Some("sale"));
    // Back again, it is as it was taken in, and every step is told.
    book.move_photos(&no(), &[&moved], &shoot(), &[]).unwrap();
    let mut back = book.photos(&no()).unwrap().remove(0);
    let steps = back.moved.take().unwrap().steps;
    let steps: Vec<Option<Stage>> = steps.iter().map(|it| it.stage).collect();
    let (first, then) = (Some(Stage::Purchase), Some(Stage::Sale));
    assert_eq!((back, steps), (photo, vec![first, then, first]));
    assert_eq!(book.shoots(&no()).unwrap(), [shoot()]);
    assert_eq!(kinds(&book)[7..], ["moved"]);
    assert_eq!(book.at_odds().unwrap(), [""; 0]);
}

#[test]
fn a_photo_that_is_taken_out_keeps_its_number() {
    let mut book = book();
    add_photo(&mut book, "one", 1).unwrap();
    let photo = book.photos(&no()).unwrap().remove(0);
    book.remove_photo(&no(), &photo, "a person in it").unwrap();
    assert_eq!(
        (
            book.photos(&no()).unwrap().len(),
            book.sidecars(&no()).unwrap().len()
        ),
        (0, 0)
    );
    assert_eq!(book.stock().unwrap()[0].photos, 0);
    assert_eq!(add_photo(&mut book, "two", 1).unwrap(), 2);
    assert!(is_refused(book.remove_photo(&no(), &photo, "again")));
    assert_eq!(kinds(&book)[5..], ["removed", "photo", "sidecar"]);
}

#[test]
fn a_clock_is_corrected_for_the_photos_that_are_named() {
    let mut book = book();
    add_photo(&mut book, "one", 1).unwrap();
    add_photo(&mut book, "two", 1).unwrap();
    book.correct_clock(&no(), &[2], ClockOff { seconds: 60 }, &[])
        .unwrap();
    let off = book.photos(&no()).unwrap();
    let off: Vec<i64> = off.iter().map(|it| it.clock_off.seconds).collect();
    assert_eq!(
        (off, kinds(&book).pop().unwrap()),
        (vec![-3600, 60], "clock".to_owned())
    );
}

#[test]
fn the_last_good_text_stays_in_force_and_every_text_is_kept() {
    let mut book = book();
    add_photo(&mut book, "one", 1).unwrap();
    let complaint = Complaint {
        file: "one.jpg.toml".to_owned(),
        line: 1,
        column: 1,
        message: "no".to_owned(),
        help: None,
        drawn: String::new(),
    };
    let complaints = [complaint];
    book.enter_texts(&no(), &[(1, text("viw = 1\n", Err(&complaints)))])
        .unwrap();
    let photo = book.photos(&no()).unwrap().remove(0);
    assert_eq!(photo.sidecar.view.as_deref(), Some("top_flat"));
    assert_eq!(book.sidecars(&no()).unwrap()[0].complaints, complaints);
    assert_eq!(
        book.sidecar_text(&no(), 1).unwrap().unwrap(),
        "view = \"top_flat\"\n"
    );
    assert_eq!(
        book.newest_texts(&no()).unwrap(),
        [(1, "viw = 1\n".to_owned(), None)]
    );
    let kept = book.kept_texts(&no()).unwrap();
    let kept: Vec<bool> = kept[&1].iter().map(|it| it.in_force).collect();
    assert_eq!(kept, [true, false]);
    let missing = book.enter_texts(&no(), &[(1, text("a", Err(&[]))), (9, text("b", Err(&[])))]);
    assert!(is_refused(missing), "a photo that is not there");
    assert_eq!(
        book.kept_texts(&no()).unwrap()[&1].len(),
        2,
        "nothing of it came in"
    );
}

#[test]
fn a_finding_keeps_its_number_for_good() {
    let mut book = book();
    let key = |part: &str, which: &str| FindingKey {
        part: part.parse().unwrap(),
        tag: "crazing".to_owned(),
        which: which.to_owned(),
    };
    let (top, second) = (key("top", ""), key("top", "second"));
    book.number_findings(&no(), std::slice::from_ref(&top))
        .unwrap();
    book.number_findings(&no(), &[second.clone(), top.clone()])
        .unwrap();
    let found = book.findings(&no()).unwrap();
    let found: Vec<_> = found.into_iter().map(|it| (it.no, it.key)).collect();
    assert_eq!(found, [(FindingNo(1), top), (FindingNo(2), second)]);
}

#[test]
fn repairs_are_numbered_and_put_right_in_place() {
    let mut book = book();
    let repair = Repair {
        no: 9,
        findings: vec![FindingNo(1)],
        parts: Vec::new(),
        method: "strip".to_owned(),
        day: "2026-05-20".parse().unwrap(),
        new_material: None,
        hides: None,
        note: Some("a note".to_owned()),
        minutes: Some(95),
        cost: None,
        private_note: Some("slow".to_owned()),
    };
    assert_eq!(book.add_repair(&no(), &repair).unwrap(), 1);
    let mended = Repair {
        no: 1,
        method: "sand".to_owned(),
        ..repair
    };
    book.change_repair(&no(), &mended).unwrap();
    assert_eq!(book.repairs(&no()).unwrap(), [mended]);
    assert_eq!(kinds(&book)[3..], ["repair", "repair"]);
    let line = &book.lines().unwrap()[4];
    assert!(
        line.text.contains("a note") && !line.text.contains("slow"),
        "{}",
        line.text
    );
    assert!(line.private.as_ref().unwrap().contains("slow"));
}

#[test]
fn the_sale_told_last_is_in_force_and_both_stay_in_the_ledger() {
    let mut book = book();
    assert_eq!(book.sale(&no()).unwrap(), None);
    let sale = |day: &str| Sale {
        day: day.parse().unwrap(),
        price: None,
        to: Some("a couple".to_owned()),
        note: None,
    };
    book.tell_sale(&no(), &sale("2026-06-30")).unwrap();
    book.tell_sale(&no(), &sale("2026-06-29")).unwrap();
    assert_eq!(book.sale(&no()).unwrap(), Some(sale("2026-06-29")));
    assert_eq!(kinds(&book)[3..], ["sale", "sale"]);
}

#[test]
fn an_edition_has_its_number_once_for_each_reader() {
    let mut book = book();
    let edition = Edition {
        no: 1,
        made: "2026-06-21".parse().unwrap(),
        digest: Digest::of(b"page"),
        path: "reports/buyer-01.html".to_owned(),
        stated: Some("{\"v\":1}".to_owned()),
    };
    book.add_edition(&no(), "owner", &edition).unwrap();
    book.add_edition(&no(), "buyer", &edition).unwrap();
    assert!(is_refused(book.add_edition(&no(), "buyer", &edition)));
    let found = book.editions(&no()).unwrap();
    let of = |reader: &str| (reader.to_owned(), edition.clone());
    assert_eq!(found, [of("buyer"), of("owner")]);
    assert_eq!(kinds(&book)[3..], ["edition", "edition"]);
}

#[test]
fn a_paper_is_kept_under_a_name_of_its_own() {
    let mut book = book();
    let digest = Digest::of(b"listing");
    book.add_kept(&no(), "listing.html", digest).unwrap();
    assert!(is_refused(book.add_kept(&no(), "listing.html", digest)));
    let kept = KeptFile {
        name: "listing.html".to_owned(),
        sha256: digest,
        kept: now(),
    };
    assert_eq!(book.kept(&no()).unwrap(), [kept]);
}

#[test]
fn small_pictures_are_kept_by_kind_and_made_again_when_broken() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("previews.db");
    let picture = |width: u32| SmallPicture {
        jpeg: vec![0xff, 0xd8],
        width,
        height: 2,
    };
    let digest = Digest::of(b"one");
    let mut previews = Previews::open(&path).unwrap();
    let (thumb, preview) = (picture(320), picture(1600));
    previews
        .put(digest, &[("thumb", &thumb), ("preview", &preview)])
        .unwrap();
    previews.put(digest, &[("thumb", &picture(300))]).unwrap();
    assert_eq!(previews.get(digest, "preview").unwrap(), Some(preview));
    assert_eq!(previews.get(digest, "thumb").unwrap(), Some(picture(300)));
    assert_eq!(previews.get(Digest::of(b"two"), "thumb").unwrap(), None);
    drop(previews);
    let mut previews = Previews::open(&path).unwrap();
    assert_eq!(previews.get(digest, "thumb").unwrap(), Some(picture(300)));
    drop(previews);
    // Made in a way that is no longer ours.
    let db = Connection::open(&path).unwrap();
    db.pragma_update(None, "user_version", 0).unwrap();
    drop(db);
    let mut previews = Previews::open(&path).unwrap();
    assert_eq!(previews.get(digest, "thumb").unwrap(), None);
    drop(previews);
    std::fs::write(
        &path,
        b"no database at all, and longer than a header of one would be: 100 bytes ............",
    )
    .unwrap();
    let mut previews = Previews::open(&path).unwrap();
    assert_eq!(previews.get(digest, "thumb").unwrap(), None);
}
