//! The marking page's server, met as a browser meets it, and as others would.
//!
//! What each status and header means: RFC 9110 and RFC 9112 (HTTP), RFC 6265 (cookies), RFC 6454 (origins), W3C Fetch
//! Metadata, W3C Content Security Policy Level 3.

use std::fs;
use std::io::Read as _;
use std::io::Write as _;
use std::time::Duration;
use std::time::Instant;

use asfound::desk::DeskError;
use asfound::desk::Limits;
use asfound::desk::MarkingPage;

use crate::desk_client::Ask;
use crate::desk_client::CHANGE;
use crate::desk_client::PATIENCE;
use crate::desk_client::Page;
use crate::desk_client::is_closed;
use crate::desk_client::order;
use crate::desk_client::read_answer;
use crate::desk_client::state;
use crate::shop::Shop;
use samples::Exif;

/// A shop with two photos in its book.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ()).photo("IMG_2.jpg", |_| ());
    shop.import();
    shop
}

fn sidecar(shop: &Shop) -> String {
    fs::read_to_string(shop.stored("1 purchase 2026-05-03/IMG_1.jpg.toml")).unwrap()
}

/// A line along a card that lies in photo 1.
const MEASURE: &str = r#"{"photo":1,"scale":{"width_mm":85.6,"height_mm":null,"corners":[[10.0,50.0],[30.0,50.0]]},"region":{"line":[[10.0,50.0],[60.0,50.0]]}}"#;

/// Time-outs that a test can wait for.
fn hasty() -> Limits {
    Limits {
        head: Duration::from_millis(600),
        request: Duration::from_millis(1500),
        job: Duration::from_millis(1500),
        idle: Duration::from_millis(600),
        closing: Duration::from_millis(500),
        ..Limits::default()
    }
}

#[test]
fn a_browser_with_the_address_is_let_in_and_answered() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let door = page.send(&Ask::visit(&page, &format!("/{}", page.secret)));
    assert_eq!((door.status, door.header("location")), (303, Some("/")));
    let cookie = door.header("set-cookie").unwrap();
    let rest = cookie.strip_prefix(page.cookie.as_str()).unwrap();
    assert_eq!(rest, "; HttpOnly; SameSite=Strict; Path=/");
    assert!(page.cookie.starts_with(&format!("asfound-{}=", page.port)));
    assert!(!cookie.contains(&page.secret), "the secret stays out of it");
    assert_eq!((page.secret.len(), page.cookie.len() > 64), (64, true));

    let shell = page.send(&Ask::get(&page, "/").with("Sec-Fetch-Site", "none"));
    assert_eq!(
        shell.header("content-type"),
        Some("text/html; charset=utf-8")
    );
    assert!(shell.text().contains("/assets/main.mjs"));

    let module = page.send(&Ask::get(&page, "/assets/main.mjs"));
    assert_eq!(
        (
            module.status,
            module.header("content-type"),
            module.header("cache-control")
        ),
        (
            200,
            Some("text/javascript; charset=utf-8"),
            Some("no-cache")
        )
    );
    let tag = module.header("etag").unwrap();
    let again = page.send(&Ask::get(&page, "/assets/main.mjs").with("If-None-Match", tag));
    assert_eq!((again.status, again.body.len()), (304, 0));

    let walk = page.send(&Ask::get(&page, "/walk"));
    let photos = walk.json()["photos"].as_array().unwrap().clone();
    assert_eq!((walk.status, photos.len()), (200, 2));
    assert_eq!(page.send(&Ask::get(&page, "/words")).status, 200);

    let digest = photos[0]["digest"].as_str().unwrap();
    for kind in ["thumb", "middle", "full"] {
        let plain = page.send(&Ask::get(&page, &format!("/picture/1/{kind}")));
        assert_eq!(
            (plain.status, plain.header("content-type")),
            (200, Some("image/jpeg"))
        );
        assert_eq!(plain.header("cache-control"), Some("no-store"));
        assert!(plain.body.starts_with(&[0xff, 0xd8, 0xff]), "a JPEG");
        let named = page.send(&Ask::get(&page, &format!("/picture/1/{kind}?v={digest}")));
        let ever = Some("private, max-age=31536000, immutable");
        assert_eq!(
            (named.header("cache-control"), &named.body),
            (ever, &plain.body)
        );
        let other = page.send(&Ask::get(&page, &format!("/picture/1/{kind}?v=other")));
        assert_eq!(other.header("cache-control"), Some("no-store"));
    }

    let measured = page.send(&Ask::post(&page, "/measure", MEASURE));
    assert_eq!(measured.status, 200, "{measured:?}");
    assert!(measured.json()["length_mm"]["value"].is_number());

    let before = page.send(&Ask::get(&page, "/version/1")).json();
    assert_eq!(before["version"], photos[0]["version"]);
    let said = page.send(&Ask::post(&page, "/say", CHANGE));
    assert_eq!(said.status, 200, "{said:?}");
    assert!(sidecar(&shop).contains("note = \"seen by the window\""));
    let after = page.send(&Ask::get(&page, "/version/1")).json();
    assert_eq!(after["version"], said.json()["version"]);
    assert_ne!(after["version"], before["version"]);
    assert_eq!(page.close().changed, Some(1));
}

#[test]
fn every_answer_forbids_what_the_page_does_not_need() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let asked = [
        Ask::visit(&page, &format!("/{}", page.secret)),
        Ask::visit(&page, "/"),
        Ask::get(&page, "/"),
        Ask::get(&page, "/assets/mark.css"),
        Ask::get(&page, "/walk"),
        Ask::get(&page, "/picture/1/thumb"),
        Ask::get(&page, "/nothing"),
        Ask::get(&page, "/say"),
        Ask::get(&page, "/walk").line("PUT /walk HTTP/1.1"),
        Ask::get(&page, "/walk").with("Host", "evil.example"),
        Ask::post(&page, "/say", "{"),
        Ask::post(&page, "/say", CHANGE),
    ];
    for (n, ask) in asked.iter().enumerate() {
        let got = page.send(ask);
        for (name, value) in [
            (
                "content-security-policy",
                "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
            ),
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(got.header(name), Some(value), "{n}: {got:?}");
        }
        let cache = if n == 3 { "no-cache" } else { "no-store" };
        assert_eq!(got.header("cache-control"), Some(cache), "{n}: {got:?}");
        assert!(
            !got.head.to_lowercase().contains("access-control"),
            "{got:?}"
        );
        if got.status >= 400 {
            let says = got.json_or_text();
            assert!(says.len() > 20, "a sentence says why: {got:?}");
        }
    }
}

/// Sends each request, and sees that it is refused with its status, that no file of the book changed, and that the page
/// still answers.
#[track_caller]
fn all_refused(shop: &Shop, page: &Page, asked: &[(&str, Vec<u8>, u16)]) {
    let before = state(&shop.path("book"));
    for (what, bytes, status) in asked {
        let got = page.send_raw(bytes);
        assert_eq!(got.status, *status, "{what}: {got:?}");
        assert_eq!(state(&shop.path("book")), before, "{what}");
        page.answers();
    }
}

#[test]
fn another_name_of_this_machine_is_refused() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let port = page.port;
    let change = Ask::post(&page, "/say", CHANGE);
    let mut asked = Vec::new();
    let names = [
        format!("127.0.0.1:{port}.evil.example"),
        format!("127.0.0.1.evil.example:{port}"),
        format!("127.evil.example:{port}"),
        format!("localhost:{port}"),
        format!("LOCALHOST:{port}"),
        format!("[::1]:{port}"),
        format!("0.0.0.0:{port}"),
        format!("127.0.0.1:0{port}"),
        format!("127.1:{port}"),
        format!("user@127.0.0.1:{port}"),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{}", port ^ 1),
        String::new(),
    ];
    for name in &names {
        asked.push((
            name.as_str(),
            change.clone().with("Host", name).bytes(),
            421,
        ));
        let door = Ask::visit(&page, &format!("/{}", page.secret)).with("Host", name);
        asked.push((name.as_str(), door.bytes(), 421));
    }
    let own = format!("127.0.0.1:{port}");
    for (what, ask) in [
        ("none", change.clone().without("Host")),
        ("twice", change.clone().and("Host", &own)),
        ("two", change.clone().and("Host", "evil.example")),
        (
            "none, HTTP/1.0",
            change.clone().without("Host").line("POST /say HTTP/1.0"),
        ),
        (
            "in the first line",
            change.clone().line("POST http://evil.example/say HTTP/1.1"),
        ),
        (
            "its own in the first line",
            change
                .clone()
                .line(&format!("POST http://{own}/say HTTP/1.1")),
        ),
    ] {
        asked.push((what, ask.bytes(), 421));
    }
    all_refused(&shop, &page, &asked);
}

#[test]
fn other_pages_and_programs_are_refused() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let port = page.port;
    let change = Ask::post(&page, "/say", CHANGE);
    let mut asked = Vec::new();
    let origins = [
        "null".to_owned(),
        "http://evil.example".to_owned(),
        format!("http://127.0.0.1:{}", port ^ 1),
        format!("http://127.0.0.1:{port}.evil.example"),
        format!("http://127.0.0.1:{port}/"),
        format!("https://127.0.0.1:{port}"),
        format!("http://localhost:{port}"),
        String::new(),
    ];
    for origin in &origins {
        let ask = change.clone().with("Origin", origin);
        asked.push((origin.as_str(), ask.bytes(), 403));
    }
    let own = format!("http://127.0.0.1:{port}");
    let get = Ask::get(&page, "/walk");
    let zeros = format!("asfound-{port}={}", "0".repeat(64));
    let of_other_port = page.cookie.replacen("asfound-", "asfound-1", 1);
    let token = page.cookie.split_once('=').unwrap().1;
    let secret_as_cookie = format!("asfound-{port}={}", page.secret);
    let short = page.cookie[..page.cookie.len() - 1].to_owned();
    for (what, ask, status) in [
        ("no origin", change.clone().without("Origin"), 403),
        ("two origins", change.clone().and("Origin", &own), 403),
        (
            "cross-site",
            change.clone().with("Sec-Fetch-Site", "cross-site"),
            403,
        ),
        (
            "same-site",
            change.clone().with("Sec-Fetch-Site", "same-site"),
            403,
        ),
        (
            "by hand",
            change.clone().with("Sec-Fetch-Site", "none"),
            403,
        ),
        (
            "two sites",
            change.clone().and("Sec-Fetch-Site", "cross-site"),
            403,
        ),
        (
            "cross-site question",
            get.clone().with("Sec-Fetch-Site", "cross-site"),
            403,
        ),
        (
            "same-site question",
            get.clone().with("Sec-Fetch-Site", "same-site"),
            403,
        ),
        (
            "origin of a question",
            get.clone().with("Origin", "null"),
            403,
        ),
        ("no cookie", change.clone().without("Cookie"), 403),
        ("no cookie, question", get.clone().without("Cookie"), 403),
        (
            "no cookie, asset",
            Ask::visit(&page, "/assets/main.mjs"),
            403,
        ),
        (
            "no cookie, no such place",
            Ask::visit(&page, "/nothing"),
            403,
        ),
        ("wrong cookie", change.clone().with("Cookie", &zeros), 403),
        (
            "cookie of another port",
            change.clone().with("Cookie", &of_other_port),
            403,
        ),
        (
            "secret as cookie",
            change.clone().with("Cookie", &secret_as_cookie),
            403,
        ),
        ("short cookie", change.clone().with("Cookie", &short), 403),
        (
            "wrong secret",
            Ask::visit(&page, &format!("/{}", "0".repeat(64))),
            403,
        ),
        (
            "cookie as secret",
            Ask::visit(&page, &format!("/{token}")),
            403,
        ),
        (
            "half a secret",
            Ask::visit(&page, &format!("/{}", &page.secret[..32])),
            403,
        ),
        (
            "secret in another place",
            Ask::visit(&page, &format!("/assets/{}", page.secret)),
            403,
        ),
        (
            "address on another page",
            Ask::visit(&page, &format!("/{}", page.secret)).with("Sec-Fetch-Site", "cross-site"),
            403,
        ),
        (
            "a form",
            change.clone().with("Content-Type", "text/plain"),
            415,
        ),
        (
            "a form",
            change
                .clone()
                .with("Content-Type", "application/x-www-form-urlencoded"),
            415,
        ),
        (
            "its letters",
            change
                .clone()
                .with("Content-Type", "application/json; charset=utf-8"),
            415,
        ),
        ("no type", change.clone().without("Content-Type"), 415),
        (
            "two types",
            change.clone().and("Content-Type", "application/json"),
            415,
        ),
        (
            "page of another piece",
            change.clone().with("Asfound-Piece", "26-002"),
            410,
        ),
    ] {
        asked.push((what, ask.bytes(), status));
    }
    all_refused(&shop, &page, &asked);
    let seen = page.send(&Ask::visit(&page, "/"));
    assert!(
        seen.text()
            .contains("open the address that is printed in the terminal")
    );
    assert_eq!(
        seen.header("content-type"),
        Some("text/plain; charset=utf-8")
    );
}

#[test]
fn other_methods_places_and_words_are_refused() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let get = Ask::get(&page, "/walk");
    let change = Ask::post(&page, "/say", CHANGE);
    let mut asked = Vec::new();
    for method in [
        "HEAD", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "get",
    ] {
        for place in ["/walk", "/say", "/"] {
            let line = format!("{method} {place} HTTP/1.1");
            let bytes = get.clone().line(&line).bytes();
            asked.push((method, bytes, 405));
        }
    }
    for (what, ask, status) in [
        ("GET of a change", Ask::get(&page, "/say"), 405),
        (
            "POST of a question",
            change.clone().line("POST /walk HTTP/1.1"),
            405,
        ),
        (
            "POST of the page",
            change.clone().line("POST / HTTP/1.1"),
            405,
        ),
        ("no such place", Ask::get(&page, "/book.db"), 404),
        ("no such photo", Ask::get(&page, "/picture/99/thumb"), 404),
        ("no such kind", Ask::get(&page, "/picture/1/huge"), 404),
        ("no number", Ask::get(&page, "/picture/+1/thumb"), 404),
        (
            "too large a number",
            Ask::get(&page, "/picture/99999999999/thumb"),
            404,
        ),
        ("no such version", Ask::get(&page, "/version/99"), 404),
        ("no JSON", Ask::post(&page, "/say", "note = 1"), 400),
        ("nothing", Ask::post(&page, "/say", ""), 400),
        (
            "no photo named",
            Ask::post(&page, "/say", r#"{"changes":[]}"#),
            400,
        ),
        (
            "more than is known",
            Ask::post(
                &page,
                "/say",
                r#"{"photo":1,"changes":[],"mine":false,"path":"/"}"#,
            ),
            400,
        ),
        ("GET of a measure", Ask::get(&page, "/measure"), 405),
        (
            "no measure",
            Ask::post(&page, "/measure", r#"{"photo":1}"#),
            400,
        ),
        (
            "a measure of no photo",
            Ask::post(
                &page,
                "/measure",
                &MEASURE.replace("\"photo\":1", "\"photo\":99"),
            ),
            422,
        ),
        (
            "a change of no photo",
            Ask::post(
                &page,
                "/say",
                &CHANGE.replace("\"photo\":1", "\"photo\":99"),
            ),
            422,
        ),
    ] {
        asked.push((what, ask.bytes(), status));
    }
    all_refused(&shop, &page, &asked);
    let other = page.send(&get.line("DELETE /walk HTTP/1.1"));
    assert_eq!(other.header("allow"), Some("GET, POST"));
}

#[test]
fn no_spelling_of_a_path_leaves_the_list_of_files() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let mut asked = Vec::new();
    for path in [
        "/assets/../Cargo.toml",
        "/assets/../../etc/passwd",
        "/assets/%2e%2e/Cargo.toml",
        "/assets/%2e%2e%2fCargo.toml",
        "/assets/..%2f..%2fetc%2fpasswd",
        "/assets/..%5c..%5cbook.db",
        "/assets/%252e%252e%252fbook.db",
        "/assets/....//book.db",
        "/assets//etc/passwd",
        "/assets/%2fetc%2fpasswd",
        "/assets/./main.mjs",
        "/assets/main.mjs/",
        "/assets/main.mjs%00.css",
        "/assets/MAIN.MJS",
        "/assets/mark.html",
        "/assets/report/style.css",
        "/assets/style.css",
        "/assets/",
        "/assets",
        "//assets/main.mjs",
        "/../book.db",
        "/%2e%2e/book.db",
        "/book.key",
        "/.desk.session",
        "/picture/../1/thumb",
        "/picture/1/..%2f..%2fbook.db",
        "/picture/1%2f..%2f2/thumb",
    ] {
        asked.push((path, Ask::get(&page, path).bytes(), 404));
    }
    // What is no UTF-8 is no name at all.
    asked.push(("no UTF-8", Ask::get(&page, "/assets/%ff%fe").bytes(), 400));
    all_refused(&shop, &page, &asked);
}

#[test]
fn a_large_body_is_counted_and_refused() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let most = Limits::default().body;
    // Spaces before JSON are JSON: only the length is wrong.
    let fits = format!("{}{CHANGE}", " ".repeat(most - CHANGE.len()));
    assert_eq!(page.send(&Ask::post(&page, "/say", &fits)).status, 200);
    let large = format!(" {fits}");
    let change = Ask::post(&page, "/say", &large);
    let chunked = change
        .clone()
        .without("Content-Length")
        .with("Transfer-Encoding", "chunked");
    let in_chunks = |body: &str, end: &str| {
        let mut bytes = chunked.head();
        for chunk in body.as_bytes().chunks(60_000) {
            bytes.extend(format!("{:x}\r\n", chunk.len()).bytes());
            bytes.extend(chunk);
            bytes.extend(b"\r\n");
        }
        bytes.extend(end.bytes());
        bytes
    };
    let good = in_chunks(CHANGE, "0\r\n\r\n");
    assert_eq!(
        page.send_raw(&good).status,
        200,
        "chunks themselves are fine"
    );
    let head = change.clone().with("Content-Length", "99999999999").head();
    let both = [
        chunked.clone().and("Content-Length", "3").head(),
        b"0\r\n\r\n".to_vec(),
    ]
    .concat();
    let asked = [
        ("one byte too many", change.bytes(), 413),
        ("promised", head, 413),
        ("in chunks", in_chunks(&large, "0\r\n\r\n"), 413),
        (
            "in chunks without end",
            in_chunks(&large.repeat(5), ""),
            413,
        ),
        (
            "two lengths",
            change.clone().and("Content-Length", "3").bytes(),
            400,
        ),
        (
            "no number",
            change.clone().with("Content-Length", "-3").bytes(),
            400,
        ),
        ("a broken chunk", in_chunks("{}", "zz\r\n"), 400),
        ("chunks and a length", both, 400),
    ];
    all_refused(&shop, &page, &asked);
}

#[test]
fn slow_clients_are_given_up_and_hold_nobody_up() {
    let shop = shop();
    let page = Page::of(&shop, hasty());
    let before = state(&shop.path("book"));
    let ask = Ask::post(&page, "/say", CHANGE).bytes();
    // Twenty of each: silent, half a head, half a body.
    let mut slow = Vec::new();
    for _ in 0..20 {
        for part in [0, 60, ask.len() - 10] {
            let mut stream = page.connect();
            stream.write_all(&ask[..part]).unwrap();
            slow.push((part, stream));
        }
    }
    page.answers();
    for (part, stream) in &mut slow {
        let got = read_answer(stream);
        let status = if *part == ask.len() - 10 { 408 } else { 0 };
        assert_eq!(got.status, status, "{part}: {got:?}");
        assert!(is_closed(stream), "{part}");
    }
    assert_eq!(
        state(&shop.path("book")),
        before,
        "half a request changes nothing"
    );
    page.answers();
}

#[test]
fn a_byte_now_and_then_does_not_keep_a_connection() {
    let shop = shop();
    let limits = Limits {
        idle: Duration::from_secs(30),
        ..hasty()
    };
    let page = Page::of(&shop, limits);
    let mut stream = page.connect();
    let bytes = Ask::get(&page, "/walk").bytes();
    let cut = bytes.iter().any(|byte| {
        std::thread::sleep(Duration::from_millis(50));
        stream.write_all(&[*byte]).is_err()
    });
    assert!(cut, "it took {} bytes one by one", bytes.len());
    page.answers();
}

#[test]
fn an_open_connection_is_kept_for_a_while() {
    let shop = shop();
    let limits = Limits {
        idle: Duration::from_millis(1500),
        ..Limits::default()
    };
    let page = Page::of(&shop, limits);
    let mut stream = page.connect();
    let ask = Ask::get(&page, "/version/1").bytes();
    for _ in 0..3 {
        stream.write_all(&ask).unwrap();
        assert_eq!(read_answer(&mut stream).status, 200);
        std::thread::sleep(Duration::from_millis(100));
    }
    assert!(is_closed(&mut stream), "idle for too long");
}

#[test]
fn one_connection_too_many_is_sent_away_until_there_is_room() {
    let shop = shop();
    let limits = Limits {
        connections: 4,
        // None is given up while the others come, on a busy machine too.
        head: Duration::from_secs(3),
        ..hasty()
    };
    let page = Page::of(&shop, limits);
    // The connection before may hold a place for a moment, so that one of four is sent away; a sixth is in any case.
    let silent: Vec<_> = (0..5).map(|_| page.connect()).collect();
    let mut sixth = page.connect();
    assert_eq!(read_answer(&mut sixth).status, 503);
    assert!(is_closed(&mut sixth));
    page.answers_in_the_end();
    drop(silent);
}

#[test]
fn a_client_that_does_not_take_its_answers_is_given_up() {
    let shop = Shop::with_piece();
    // What follows the end of a JPEG is not looked at. Four of it are larger than all buffers between the two.
    let small = samples::jpeg(1520, 60, &Exif::taken("2026:05:03 10:00:00"));
    let large = [small, vec![0; 24 << 20]].concat();
    shop.file("IMG_1.jpg", &large).import();
    let limits = Limits {
        connections: 1,
        answer: Duration::from_millis(1500),
        ..Limits::default()
    };
    let page = Page::of(&shop, limits);
    let ask = Ask::get(&page, "/picture/1/full").bytes();
    // The place may still be held by the connection before, for a moment.
    let greedy = loop {
        let mut stream = page.connect();
        let mut first = [0; 12];
        let sent = stream.write_all(&ask.repeat(4));
        if sent.is_ok() && stream.read_exact(&mut first).is_ok() && first == *b"HTTP/1.1 200" {
            break stream;
        }
        std::thread::sleep(Duration::from_millis(50));
    };
    let second = page.send(&Ask::get(&page, "/version/1")).status;
    assert_eq!(second, 503, "the one place is taken");
    page.answers_in_the_end();
    // Taken in time, it comes whole; a place becomes free a moment after its client has gone.
    drop(greedy);
    page.answers_in_the_end();
    std::thread::sleep(Duration::from_millis(200));
    let whole = page.send(&Ask::get(&page, "/picture/1/full"));
    assert_eq!((whole.status, whole.body == large), (200, true));
}

#[test]
fn several_requests_in_a_row_are_answered_in_a_row_and_garbage_ends_them() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let before = state(&shop.path("book"));
    let one = Ask::get(&page, "/version/1").bytes();
    let mut stream = page.connect();
    stream
        .write_all(
            &[
                one.clone(),
                one.clone(),
                b"\0\x01 garbage\r\n\r\n".to_vec(),
                one.clone(),
            ]
            .concat(),
        )
        .unwrap();
    let got: Vec<u16> = (0..4).map(|_| read_answer(&mut stream).status).collect();
    assert_eq!(got, [200, 200, 400, 0]);
    // A change behind a refused request, in its body, is a body.
    let hidden = Ask::post(&page, "/say", CHANGE).bytes();
    let hidden = String::from_utf8(hidden).unwrap();
    let outer = Ask::post(&page, "/say", &hidden).with("Origin", "null");
    let mut stream = page.connect();
    stream.write_all(&outer.bytes()).unwrap();
    assert_eq!(read_answer(&mut stream).status, 403);
    assert_eq!(read_answer(&mut stream).status, 0);
    for garbage in [
        &b"\x16\x03\x01\x02\0\x01\0\x01\xfc\x03\x03"[..],
        b"GET\r\n\r\n",
        b"GET /walk HTTP/9.9\r\n\r\n",
        b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
        b"\r\n\r\n\r\n\r\n",
        &[0xff; 4000],
        &[b'A'; 100_000],
    ] {
        let mut stream = page.connect();
        let _ = stream.write_all(garbage);
        let _ = stream.shutdown(std::net::Shutdown::Write);
        let got = read_answer(&mut stream).status;
        assert!([0, 400, 414, 431].contains(&got), "{got}: {garbage:?}");
        page.answers();
    }
    assert_eq!(state(&shop.path("book")), before);
}

#[test]
fn an_old_client_is_answered_and_let_go() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let ask = Ask::get(&page, "/version/1").line("GET /version/1 HTTP/1.0");
    let mut stream = page.connect();
    stream.write_all(&ask.bytes()).unwrap();
    assert_eq!(read_answer(&mut stream).status, 200);
    assert!(is_closed(&mut stream));
}

#[test]
fn the_address_a_browser_is_started_with_lets_in_once() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let path = format!("/{}", page.once.rsplit('/').next().unwrap());
    assert!(!page.once.contains(&page.secret));
    assert_eq!(page.send(&Ask::visit(&page, &path)).status, 303);
    assert_eq!(page.send(&Ask::visit(&page, &path)).status, 403);
}

#[test]
fn what_runs_comes_to_its_end_when_the_page_is_closed() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let mut stream = page.connect();
    let ask = Ask::post(&page, "/say", CHANGE).bytes();
    let (first, rest) = ask.split_at(ask.len() - 10);
    stream.write_all(first).unwrap();
    page.answers();
    page.stop();
    std::thread::sleep(Duration::from_millis(100));
    assert!(std::net::TcpStream::connect(("127.0.0.1", page.port)).is_err());
    stream.write_all(rest).unwrap();
    assert_eq!(read_answer(&mut stream).status, 200);
    assert_eq!(page.close().changed, Some(1));
    assert!(sidecar(&shop).contains("seen by the window"));
}

#[test]
fn who_never_ends_is_cut_off_when_the_page_is_closed() {
    let shop = shop();
    let limits = Limits {
        closing: Duration::from_millis(300),
        ..Limits::default()
    };
    let page = Page::of(&shop, limits);
    let mut stream = page.connect();
    let ask = Ask::post(&page, "/say", CHANGE).bytes();
    stream.write_all(&ask[..ask.len() - 10]).unwrap();
    page.answers();
    let begun = Instant::now();
    assert_eq!(page.close().changed, Some(0));
    assert!(begun.elapsed() < PATIENCE, "{:?}", begun.elapsed());
}

#[test]
fn a_page_comes_back_where_it_was_and_another_piece_gets_another_place() {
    let shop = shop();
    shop.piece("oak table");
    let page = Page::of(&shop, Limits::default());
    let (port, secret, cookie) = (page.port, page.secret.clone(), page.cookie.clone());
    let busy = MarkingPage::open(order(&shop, Limits::default()))
        .err()
        .unwrap();
    let DeskError::OpenAlready(Some((piece, address))) = &busy else {
        panic!("{busy}")
    };
    assert_eq!(piece.to_string(), "26-001");
    assert_eq!(*address, format!("http://127.0.0.1:{port}/{secret}"));
    page.close();

    let again = Page::of(&shop, Limits::default());
    assert_eq!(
        (again.port, &again.secret, &again.cookie),
        (port, &secret, &cookie)
    );
    again.close();

    let mut other = order(&shop, Limits::default());
    other.marking.stock_no = "26-002".parse().unwrap();
    let other = Page::serve(MarkingPage::open(other).unwrap());
    assert_ne!(
        other.port, port,
        "what the browser keeps for one piece never reaches another"
    );
    assert_ne!(other.secret, secret);
    let left_open = Ask::get(&other, "/walk").with("Cookie", &cookie);
    assert_eq!(other.send(&left_open).status, 403);
    other.close();

    let mut late = order(&shop, Limits::default());
    let tomorrow = "2026-05-27T09:00:00Z".parse().unwrap();
    late.now = std::sync::Arc::new(move || tomorrow);
    let late = Page::serve(MarkingPage::open(late).unwrap());
    assert_eq!(late.port, port);
    assert!(
        late.secret != secret && late.cookie != cookie,
        "a day later the secrets are new"
    );
}

#[test]
fn a_port_that_is_taken_is_told() {
    let shop = shop();
    let page = Page::of(&shop, Limits::default());
    let port = page.port;
    page.close();
    let taken = std::net::TcpListener::bind(("127.0.0.1", port)).unwrap();
    let elsewhere = MarkingPage::open(order(&shop, Limits::default())).unwrap();
    assert!(elsewhere.notes()[0].contains(&format!("port {port} is taken")));
    drop(elsewhere);
    let mut named = order(&shop, Limits::default());
    named.port = Some(port);
    let error = MarkingPage::open(named).err().unwrap();
    assert_eq!(
        error.to_string(),
        format!("port {port} of 127.0.0.1 cannot be had")
    );
    drop(taken);
}
