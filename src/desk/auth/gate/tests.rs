//! The gate without any network. What each header means: RFC 9110 (Host, 421), RFC 6454 (Origin), RFC 6265 (Cookie),
//! W3C Fetch Metadata (Sec-Fetch-Site).

use axum::http::HeaderMap;
use axum::http::HeaderName;
use axum::http::Method;
use axum::http::StatusCode;
use axum::http::Uri;

use crate::desk::auth::gate::Admitted;
use crate::desk::auth::gate::Gate;
use crate::desk::auth::session::Session;
use crate::desk::auth::session::secret;

fn session() -> Session {
    Session {
        piece: "26-001".parse().unwrap(),
        port: 4001,
        secret: secret().unwrap(),
        cookie: secret().unwrap(),
        used: "2026-05-26T09:00:00Z".parse().unwrap(),
    }
}

/// The headers of the page's own requests, changed by `change`: a value replaces, `None` takes away.
fn headers(session: &Session, change: &[(&str, Option<&str>)]) -> HeaderMap {
    let cookie = format!("other=1; asfound-4001={}", session.cookie);
    let mut lines = vec![
        ("host", "127.0.0.1:4001"),
        ("origin", "http://127.0.0.1:4001"),
        ("sec-fetch-site", "same-origin"),
        ("content-type", "application/json"),
        ("cookie", cookie.as_str()),
    ];
    for (name, value) in change {
        lines.retain(|it| it.0 != *name);
        lines.extend(value.map(|it| (*name, it)));
    }
    let parsed = lines.iter().map(|(name, value)| {
        let name: HeaderName = name.parse().unwrap();
        (name, value.parse().unwrap())
    });
    parsed.collect()
}

fn ask(method: &str, path: &str, change: &[(&str, Option<&str>)]) -> Result<Admitted, StatusCode> {
    let session = session();
    let gate = Gate::new(&session, None, secret().unwrap());
    let path: Uri = path.parse().unwrap();
    let method = Method::from_bytes(method.as_bytes()).unwrap();
    let headers = headers(&session, change);
    let done = gate.admit(&method, &path, &headers);
    done.map_err(|it| it.status)
}

#[test]
fn the_pages_own_requests_come_in() {
    assert_eq!(ask("GET", "/walk", &[]), Ok(Admitted::ByCookie));
    assert_eq!(ask("POST", "/say", &[]), Ok(Admitted::ByCookie));
    // A person's own visit, and a browser that sends none of this.
    let none = [("sec-fetch-site", Some("none")), ("origin", None)];
    assert_eq!(ask("GET", "/", &none), Ok(Admitted::ByCookie));
    let old = [("sec-fetch-site", None), ("origin", None)];
    assert_eq!(ask("GET", "/", &old), Ok(Admitted::ByCookie));
    let named = [("asfound-piece", Some("26-001"))];
    assert_eq!(ask("POST", "/say", &named), Ok(Admitted::ByCookie));
}

#[test]
fn everything_else_stays_out() {
    let (forbidden, misdirected) = (StatusCode::FORBIDDEN, StatusCode::MISDIRECTED_REQUEST);
    for host in [
        "127.0.0.1:4001.evil.example",
        "127.0.0.1.evil.example:4001",
        "localhost:4001",
        "127.0.0.1",
        "127.0.0.1:40010",
        "[::1]:4001",
        "",
    ] {
        let asked = ask("GET", "/walk", &[("host", Some(host))]);
        assert_eq!(asked, Err(misdirected), "{host}");
    }
    assert_eq!(ask("GET", "/walk", &[("host", None)]), Err(misdirected));
    let absolute = "http://127.0.0.1:4001/walk";
    assert_eq!(ask("GET", absolute, &[]), Err(misdirected));
    for origin in [
        Some("null"),
        Some("http://127.0.0.1:4002"),
        Some("http://localhost:4001"),
        Some("https://127.0.0.1:4001"),
        Some("http://127.0.0.1:4001.evil.example"),
        None,
    ] {
        let asked = ask("POST", "/say", &[("origin", origin)]);
        assert_eq!(asked, Err(forbidden), "{origin:?}");
    }
    for site in ["cross-site", "same-site", "none", "nonsense"] {
        let asked = ask("POST", "/say", &[("sec-fetch-site", Some(site))]);
        assert_eq!(asked, Err(forbidden), "{site}");
    }
    for site in ["cross-site", "same-site"] {
        let asked = ask("GET", "/walk", &[("sec-fetch-site", Some(site))]);
        assert_eq!(asked, Err(forbidden), "{site}");
    }
    let wrong = format!("asfound-4001={}", "0".repeat(64));
    for cookie in [None, Some("asfound-4001="), Some(wrong.as_str())] {
        let asked = ask("GET", "/walk", &[("cookie", cookie)]);
        assert_eq!(asked, Err(forbidden), "{cookie:?}");
    }
    for kind in [
        None,
        Some("text/plain"),
        Some("application/json; charset=utf-8"),
    ] {
        let asked = ask("POST", "/say", &[("content-type", kind)]);
        assert_eq!(asked, Err(StatusCode::UNSUPPORTED_MEDIA_TYPE), "{kind:?}");
    }
    for method in ["HEAD", "PUT", "DELETE", "OPTIONS", "TRACE", "PATCH", "ANY"] {
        let asked = ask(method, "/walk", &[]);
        assert_eq!(asked, Err(StatusCode::METHOD_NOT_ALLOWED), "{method}");
    }
    let other = [("asfound-piece", Some("26-002"))];
    assert_eq!(ask("POST", "/say", &other), Err(StatusCode::GONE));
}

#[test]
fn the_secret_opens_again_and_again_and_the_ticket_once() {
    let session = session();
    let ticket = secret().unwrap();
    let gate = Gate::new(&session, Some(12), ticket.clone());
    let headers = headers(&session, &[("cookie", None), ("origin", None)]);
    let ask = |path: &str| {
        let uri: Uri = format!("/{path}").parse().unwrap();
        gate.admit(&Method::GET, &uri, &headers)
            .map_err(|it| it.status)
    };
    for _ in 0..3 {
        assert_eq!(ask(&session.secret), Ok(Admitted::ByAddress));
    }
    assert_eq!(ask(&ticket), Ok(Admitted::ByAddress));
    assert_eq!(ask(&ticket), Err(StatusCode::FORBIDDEN));
    assert_eq!(ask(&session.cookie), Err(StatusCode::FORBIDDEN));
    assert_eq!(ask(&session.secret[1..]), Err(StatusCode::FORBIDDEN));
    assert_eq!(gate.landing(), "/#picture/12");
}
