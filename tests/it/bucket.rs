//! A book into object storage and back, against a real server of the S3 type: as with a folder, and what only a bucket brings.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeSet;
use std::fs;
use std::io::Read as _;
use std::process::Stdio;
use std::sync::Arc;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;
use std::sync::mpsc::channel;
use std::time::Duration;

use asfound::kit::digest::Digest;
use serde_json::Value;

use crate::backup::as_book;
use crate::backup::files;
use crate::backup::shop;
use crate::bucket_server::Fate;
use crate::bucket_server::line;
use crate::bucket_server::server;
use crate::shop::Shop;

/// Kills of a backup in a usual run; `ASFOUND_KILLS=40` makes more.
const KILLS: usize = 6;

fn verified(shop: &Shop) -> Value {
    shop.run(&["verify", ".", "--json"]).json()
}

/// The name of the object with the first photo's bytes.
fn photo(shop: &Shop) -> String {
    let original = fs::read(shop.stored("1 purchase 2026-05-03/IMG_1.jpg")).unwrap();
    let name = Digest::of(&original).to_string();
    format!("objects/{}/{name}", &name[..2])
}

#[test]
fn a_book_goes_into_a_bucket_and_comes_back_as_it_was() {
    let Some(server) = server() else { return };
    let (shop, told) = (shop(), server.own());
    fs::write(shop.path("book/empty.txt"), "").unwrap();
    let before = verified(&shop);
    let at = "s3://shop/the book/größer";
    let first = told.run(&shop, &["backup", at, "--json"]).code(0).json();
    assert_eq!((&first["run"], &first["backup"]), (&1.into(), &at.into()));
    let objects = told.objects(at);
    let second = told.run(&shop, &["backup", at, "--json"]).code(0).json();
    assert_eq!(
        (&second["run"], &second["new_bytes"]),
        (&2.into(), &0.into())
    );
    assert_eq!(
        second["not_read_again"], second["files"],
        "nothing is got again"
    );
    let checked = told.run(&shop, &["verify", at, "--json"]).code(0).json();
    assert_eq!(as_book(checked), before);
    // It is laid out as in a folder: the one can be copied into the other.
    let mut folders: BTreeSet<&str> = BTreeSet::new();
    folders.extend(objects.keys().filter_map(|it| Some(it.split_once('/')?.0)));
    assert_eq!(folders, BTreeSet::from(["keys", "objects", "runs"]));
    for (name, bytes) in &objects {
        let digest = Digest::of(bytes).to_string();
        assert!(
            name.contains(&digest) || name.ends_with(".key") || !name.contains('/'),
            "{name}"
        );
        let path = shop.path("copied").join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    shop.run(&["restore", "../copied", "../from copy"]).code(0);
    let back = told.run(&shop, &["restore", at, "../again", "--json"]);
    assert_eq!(back.code(0).json()["verified"], before);
    for again in ["again", "from copy"] {
        assert!(
            files(&shop.path(again)) == files(&shop.path("book")),
            "{again}"
        );
    }
    let runs = told.run(&shop, &["restore", at, "--runs"]).code(0);
    runs.says("1  2026-05-26").says("2  2026-05-26");
    // A dotted name, and no prefix.
    told.run(&shop, &["backup", "s3://dotted.shop"]).code(0);
    told.run(&shop, &["verify", "s3://dotted.shop/"]).code(0);
}

#[test]
fn what_rots_or_is_lost_in_a_bucket_is_told_and_mended_and_mends() {
    let Some(server) = server() else { return };
    let (shop, told, at) = (shop(), server.own(), "s3://shop/rot");
    told.run(&shop, &["backup", at]).code(0);
    let name = photo(&shop);
    let right = told.objects(at)[&name].clone();
    let mut other = right.clone();
    other[700] ^= 1;
    for wrong in [Some(&other), None] {
        let verdict = match wrong {
            Some(bytes) => {
                server.rot("shop", &format!("rot/{name}"), bytes);
                "altered"
            }
            None => {
                server.lose("shop", &format!("rot/{name}"));
                "incomplete"
            }
        };
        told.run(&shop, &["verify", at]).code(1).says(verdict);
        told.run(&shop, &["restore", at, "../half"])
            .code(1)
            .says("is not given back: it is not there, or damaged, in the backup");
        fs::remove_dir_all(shop.path("half")).unwrap();
        told.run(&shop, &["verify", at, "--heal", "."])
            .code(0)
            .says(&format!("put back {at}/{name}"));
        assert_eq!(told.objects(at)[&name], right);
    }
    // A run notices by the tag that its bytes are others, though their length is not.
    server.rot("shop", &format!("rot/{name}"), &other);
    told.run(&shop, &["backup", at])
        .code(1)
        .says("IMG_1.jpg had other bytes in the backup, and was stored there again");
    assert_eq!(told.objects(at)[&name], right);
    let original = shop.stored("1 purchase 2026-05-03/IMG_1.jpg");
    fs::remove_file(&original).unwrap();
    told.run(&shop, &["verify", "--heal", at])
        .code(0)
        .says("put back");
    assert_eq!(fs::read(&original).unwrap(), right);
}

#[test]
fn what_stands_in_the_way_of_a_bucket_is_said_with_what_to_do() {
    let Some(server) = server() else { return };
    let (shop, told, at) = (shop(), server.own(), "s3://shop/way");
    told.run(&shop, &["backup", at]).code(0);
    let before = told.objects(at);
    let wrong_key = told.with("AWS_ACCESS_KEY_ID", "AKIANOBODY0000000000");
    let wrong_secret = told.with("AWS_SECRET_ACCESS_KEY", "no such secret");
    let reader = server.told("reader", server.port());
    let nowhere = told.with("AWS_ENDPOINT_URL", "http://127.0.0.1:9");
    let open = told.with("AWS_ENDPOINT_URL", "http://storage.example");
    for (told, at, said, hint) in [
        (
            &wrong_key,
            at,
            "does not know this key",
            "put AWS_ACCESS_KEY_ID right",
        ),
        (
            &wrong_secret,
            at,
            "the secret does not fit the key",
            "put AWS_SECRET_ACCESS_KEY right",
        ),
        (
            &told,
            "s3://none-such/a",
            "has no bucket `none-such`",
            "make the bucket first",
        ),
        (
            &reader,
            at,
            "does not allow that to this key",
            "to get and put objects",
        ),
        (
            &nowhere,
            at,
            "could not be reached",
            "run the same command again",
        ),
        (
            &open,
            at,
            "others on the way can read the backup",
            "write `https://`",
        ),
        (
            &told,
            "s3://",
            "is no address of a bucket",
            "s3://bucket/folder",
        ),
    ] {
        let ran = told.run(&shop, &["backup", at]).code(2);
        ran.says("could not").says(said).says(hint);
    }
    let mut none = shop.command(env!("CARGO_BIN_EXE_asfound"));
    crate::shop::Ran::of(none.args(["verify", at]))
        .code(2)
        .says("AWS_ACCESS_KEY_ID is not set")
        .says("set AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY to the key of the bucket");
    told.run(&shop, &["verify", "s3://shop/empty"])
        .code(2)
        .says("`s3://shop/empty` is no backup");
    told.run(&shop, &["restore", "s3://shop/empty", "../x"])
        .code(2);
    // Something else lies there, or the backup of another book.
    server.rot("shop", "mine/letter.txt", b"mine");
    told.run(&shop, &["backup", "s3://shop/mine"])
        .code(2)
        .says("`s3://shop/mine` is not empty, and no backup")
        .says("name a prefix under which nothing lies");
    shop.run_in(shop.path(""), &["new-book", "other"]).code(0);
    let mut other = told.command(&shop, &["backup", at]);
    crate::shop::Ran::of(other.current_dir(shop.path("other")))
        .code(2)
        .says("is the backup of another book: `book`, not `other`");
    // A reader may look, and needs no more.
    reader.run(&shop, &["verify", at]).code(0);
    assert!(told.objects(at) == before, "nothing was written");
}

#[test]
fn an_encrypted_backup_in_a_bucket_gives_nothing_away_and_everything_back() {
    let Some(server) = server() else { return };
    let (shop, at) = (shop(), "s3://shop/locked");
    let before = verified(&shop);
    let told = server
        .own()
        .with("ASFOUND_PASSPHRASE", "long words in a row");
    let first = told.run(&shop, &["backup", at, "--encrypt", "--json"]);
    assert_eq!(first.code(0).json()["encrypted"], true);
    for (name, bytes) in told.objects(at) {
        let is_locked = bytes.starts_with(b"age-encryption.org/v1\n");
        assert!(is_locked || name == "asfound-backup.json", "{name}");
    }
    let second = told.run(&shop, &["backup", at, "--json"]).code(0).json();
    assert_eq!(second["new_bytes"], 0);
    server
        .own()
        .run(&shop, &["verify", at])
        .code(2)
        .says("the backup is under a passphrase");
    let checked = told.run(&shop, &["verify", at, "--json"]).code(0).json();
    assert_eq!(as_book(checked), before);
    told.run(&shop, &["restore", at, "../again"]).code(0);
    assert!(files(&shop.path("again")) == files(&shop.path("book")));
    let name = format!("locked/{}", photo(&shop));
    server.rot("shop", &name, b"age-encryption.org/v1\nrot");
    told.run(&shop, &["verify", at]).code(1).says("altered");
    told.run(&shop, &["verify", at, "--heal", "."]).code(0);
}

/// Killed at any moment, a backup leaves the runs before as they were, and the next run is as one that was never disturbed.
#[test]
fn a_killed_backup_leaves_a_bucket_whole() {
    let Some(server) = server() else { return };
    let (shop, told) = (shop(), server.own());
    let count = Arc::new(AtomicUsize::new(0));
    let counted = Arc::clone(&count);
    let clean = line(server.port(), move |_, _| {
        counted.fetch_add(1, Ordering::SeqCst);
        Fate::Carried
    });
    let clean = server.told("shop", clean);
    clean.run(&shop, &["backup", "s3://shop/clean"]).code(0);
    let requests = count.load(Ordering::SeqCst);
    let kills = std::env::var("ASFOUND_KILLS").ok();
    let kills = kills.and_then(|it| it.parse().ok()).unwrap_or(KILLS);
    let at = "s3://shop/killed";
    let mut killed = 0;
    for turn in 0..kills {
        let (told_here, here) = channel();
        let last = requests * turn / kills;
        let held = line(server.port(), move |no, _| match no == last {
            true if turn % 2 == 0 => Fate::Held(told_here.clone()),
            true => Fate::HeldAfter(told_here.clone()),
            false => Fate::Carried,
        });
        let held = server.told("shop", held);
        let mut command = held.command(&shop, &["backup", at]);
        let command = command.stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        // What was stored by those before is not put again, so that a run may end before that request.
        let ended = loop {
            match here.recv_timeout(Duration::from_millis(50)) {
                Ok(()) => break false,
                Err(_) if child.try_wait().unwrap().is_some() => break true,
                Err(_) => {}
            }
        };
        killed += usize::from(!ended);
        child.kill().unwrap();
        child.wait().unwrap();
        for (name, bytes) in told.objects(at) {
            let digest = Digest::of(&bytes).to_string();
            let is_named = !name.starts_with("objects/") && !name.starts_with("runs/");
            assert!(is_named || name.contains(&digest), "half an object: {name}");
        }
    }
    assert!(killed >= kills / 2, "{killed} were killed");
    told.run(&shop, &["backup", at]).code(0);
    told.run(&shop, &["verify", at]).code(0);
    let named = |at: &str| {
        let all = told.objects(at).into_keys();
        all.filter(|it| !it.starts_with("runs/") && !it.contains("asfound"))
            .collect::<BTreeSet<_>>()
    };
    assert!(named(at).is_superset(&named("s3://shop/clean")));
    told.run(&shop, &["restore", at, "../again"]).code(0);
    assert!(files(&shop.path("again")) == files(&shop.path("book")));
}

/// A line that fails now and then is used again; one that fails for good, or a full server, is told, and the run before stays.
#[test]
fn a_line_that_is_cut_is_taken_up_again_and_a_full_server_is_told() {
    let Some(server) = server() else { return };
    let (shop, at) = (shop(), "s3://shop/line");
    const BUSY: &str = "<Error><Code>SlowDown</Code></Error>";
    const FULL: &str = "<Error><Code>XMinioStorageFull</Code></Error>";
    const LATE: &str = "<Error><Code>RequestTimeTooSkewed</Code></Error>";
    const ELSEWHERE: &str =
        "<Error><Code>PermanentRedirect</Code><Region>eu-north-1</Region></Error>";
    let uneven = line(server.port(), |no, _| match no % 23 {
        5 => Fate::CutGoing(900),
        11 => Fate::CutComing(300),
        17 => Fate::Answered(503, BUSY),
        _ => Fate::Carried,
    });
    let told = server.told("shop", uneven);
    told.run(&shop, &["backup", at]).code(0);
    told.run(&shop, &["verify", at]).code(0);
    told.run(&shop, &["restore", at, "../again"]).code(0);
    assert!(files(&shop.path("again")) == files(&shop.path("book")));
    let before = server.own().objects(at);
    fs::write(shop.path("book/new.txt"), "new").unwrap();
    let puts = |status: u16, body: &'static str| {
        line(server.port(), move |_, first| {
            match first.starts_with("PUT") {
                true => Fate::Answered(status, body),
                false => Fate::Carried,
            }
        })
    };
    for (port, said, hint) in [
        (puts(507, FULL), "has no room left", "make room there"),
        (
            puts(403, LATE),
            "the clock of this machine",
            "set the clock",
        ),
        (
            puts(301, ELSEWHERE),
            "in the region `eu-north-1`",
            "put AWS_REGION right",
        ),
        (
            puts(503, BUSY),
            "could not do it now",
            "goes on where it stopped",
        ),
    ] {
        let ran = server.told("shop", port).run(&shop, &["backup", at]);
        ran.code(2).says(said).says(hint);
        assert!(server.own().objects(at) == before, "nothing was written");
    }
    // Where the way fails for good, nothing is said to be lost.
    let cut = line(server.port(), |_, first| {
        match first.contains("/objects/") {
            true => Fate::CutComing(100),
            false => Fate::Carried,
        }
    });
    let ran = server.told("shop", cut).run(&shop, &["verify", at]).code(2);
    ran.says("could not be reached, or hung up");
}

/// More than one piece, with the line cut in the middle of one, and none at all.
#[test]
fn a_long_object_is_got_in_pieces_and_an_empty_one_in_none() {
    let Some(server) = server() else { return };
    let long: Vec<u8> = (0..9_000_000_u32).map(|it| it.to_le_bytes()[1]).collect();
    let cut = line(server.port(), |no, _| match no {
        2 => Fate::CutComing(4_000_000),
        _ => Fate::Carried,
    });
    let bucket = server.told("shop", cut).bucket("s3://shop/pieces");
    bucket.put("long", &long).unwrap();
    let mut got = Vec::new();
    let mut reading = bucket.get("long").unwrap();
    reading.read_exact(&mut [0; 10]).unwrap();
    reading.read_to_end(&mut got).unwrap();
    assert!(got == long[10..]);
    // Other bytes put in between are no end of these.
    let mut reading = bucket.get("long").unwrap();
    bucket.put("long", &long[..8_999_999]).unwrap();
    let why = reading.read_to_end(&mut got).unwrap_err();
    assert!(
        why.to_string().contains("another program writes there"),
        "{why}"
    );
    bucket.put("empty", b"").unwrap();
    assert_eq!(
        bucket.get("empty").unwrap().read_to_end(&mut got).unwrap(),
        0
    );
    assert!(bucket.put_new("once", b"a").unwrap() && !bucket.put_new("once", b"b").unwrap());
    let listed = bucket.list("l").unwrap();
    assert_eq!((listed.len(), listed[0].bytes), (1, 8_999_999));
}
