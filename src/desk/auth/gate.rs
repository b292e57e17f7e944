//! Who may come in: a request from this page, or one that brings the secret of the address.

use std::sync::Mutex;
use std::sync::PoisonError;
use std::time::Duration;
use std::time::Instant;

use axum::http::HeaderMap;
use axum::http::Method;
use axum::http::StatusCode;
use axum::http::Uri;
use axum::http::header;

use crate::desk::auth::session::Session;
use crate::desk::routes::refusal::Refusal;
use crate::model::ids::StockNo;

/// For so long the address that the browser is started with lets in, once.
const TICKET_FOR: Duration = Duration::from_secs(60);

/// Says of which piece the page is that sends a request.
pub(in crate::desk) const PIECE: &str = "asfound-piece";

/// Checks requests before anything is done with them.
#[derive(Debug)]
pub(in crate::desk) struct Gate {
    piece: StockNo,
    /// `127.0.0.1:PORT`.
    host: String,
    secret: String,
    cookie_name: String,
    cookie: String,
    /// Where the page opens: `/`, or a photo on it.
    landing: String,
    /// A second secret that lets in once: other users of this machine see the words a browser is started with.
    ticket: Mutex<Option<(String, Instant)>>,
}

/// How a request comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::desk) enum Admitted {
    /// With the secret: it is given the cookie.
    ByAddress,
    /// With the cookie.
    ByCookie,
}

impl Gate {
    /// The gate of a session; the page opens at `photo`.
    pub(in crate::desk) fn new(session: &Session, photo: Option<u32>, ticket: String) -> Self {
        Self {
            piece: session.piece.clone(),
            host: format!("127.0.0.1:{}", session.port),
            secret: session.secret.clone(),
            cookie_name: format!("asfound-{}", session.port),
            cookie: session.cookie.clone(),
            landing: photo.map_or("/".into(), |it| format!("/#picture/{it}")),
            ticket: Mutex::new(Some((ticket, Instant::now()))),
        }
    }

    /// Checks everything about a request but its body.
    pub(in crate::desk) fn admit(
        &self,
        method: &Method,
        uri: &Uri,
        headers: &HeaderMap,
    ) -> Result<Admitted, Refusal> {
        if method != Method::GET && method != Method::POST {
            return Err(not_allowed());
        }
        self.check_host(uri, headers)?;
        self.check_origin(method, headers)?;
        if method == Method::GET && self.is_secret(uri.path().trim_start_matches('/')) {
            return Ok(Admitted::ByAddress);
        }
        if !self.has_cookie(headers) {
            return Err(Refusal::new(
                StatusCode::FORBIDDEN,
                "this page is open to one browser only: open the address that is printed in the terminal (start `asfound mark` again where there is none)",
            ));
        }
        self.check_piece(headers)?;
        if method == Method::POST && one(headers, header::CONTENT_TYPE) != Some("application/json")
        {
            return Err(Refusal::new(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "what is sent here must be application/json",
            ));
        }
        Ok(Admitted::ByCookie)
    }

    /// The whole name, once: anything else is a name that somebody made point to this machine.
    fn check_host(&self, uri: &Uri, headers: &HeaderMap) -> Result<(), Refusal> {
        if one(headers, header::HOST) == Some(self.host.as_str()) && uri.authority().is_none() {
            return Ok(());
        }
        Err(Refusal::new(
            StatusCode::MISDIRECTED_REQUEST,
            format!("this page is at http://{} and has no other name", self.host),
        ))
    }

    /// Another site, and another program that serves this machine on another port, may not reach in by the user's browser.
    fn check_origin(&self, method: &Method, headers: &HeaderMap) -> Result<(), Refusal> {
        let posts = method == Method::POST;
        let site_ok = match headers.contains_key("sec-fetch-site") {
            false => true,
            true => match one(headers, "sec-fetch-site") {
                Some("same-origin") => true,
                Some("none") => !posts,
                _ => false,
            },
        };
        let own = format!("http://{}", self.host);
        let origin_ok = match headers.contains_key(header::ORIGIN) {
            false => !posts,
            true => one(headers, header::ORIGIN) == Some(own.as_str()),
        };
        if site_ok && origin_ok {
            return Ok(());
        }
        Err(Refusal::new(
            StatusCode::FORBIDDEN,
            "this comes from another page; write the address that is printed in the terminal into the browser's address line yourself",
        ))
    }

    /// A page left open from another piece must not write into this one.
    fn check_piece(&self, headers: &HeaderMap) -> Result<(), Refusal> {
        if !headers.contains_key(PIECE) || one(headers, PIECE) == Some(self.piece.as_str()) {
            return Ok(());
        }
        Err(Refusal::new(
            StatusCode::GONE,
            format!(
                "this page is of another piece; the program now shows {}. Start `asfound mark` for the other piece again, and what this page kept is saved",
                self.piece
            ),
        ))
    }

    fn is_secret(&self, given: &str) -> bool {
        if same(given, &self.secret) {
            return true;
        }
        let mut ticket = self.ticket.lock().unwrap_or_else(PoisonError::into_inner);
        let fits =
            |(it, since): &mut (String, Instant)| same(given, it) && since.elapsed() < TICKET_FOR;
        ticket.take_if(fits).is_some()
    }

    fn has_cookie(&self, headers: &HeaderMap) -> bool {
        let all = headers.get_all(header::COOKIE).iter();
        let texts = all.filter_map(|it| it.to_str().ok());
        let pairs = texts
            .flat_map(|it| it.split(';'))
            .filter_map(|it| it.trim().split_once('='));
        let mut found = false;
        for (name, value) in pairs {
            found |= name == self.cookie_name && same(value, &self.cookie);
        }
        found
    }

    /// What a browser is told that comes with the secret: the cookie, and where to go.
    pub(in crate::desk) fn cookie_line(&self) -> String {
        format!(
            "{}={}; HttpOnly; SameSite=Strict; Path=/",
            self.cookie_name, self.cookie
        )
    }

    /// Where the page opens.
    pub(in crate::desk) fn landing(&self) -> &str {
        &self.landing
    }
}

/// Only questions and what the page sends.
pub(in crate::desk) fn not_allowed() -> Refusal {
    Refusal::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "this page knows only GET and POST, each at its own place",
    )
}

/// The value of a header that is there exactly once.
fn one(headers: &HeaderMap, name: impl header::AsHeaderName) -> Option<&str> {
    let mut all = headers.get_all(name).iter();
    match (all.next(), all.next()) {
        (Some(value), None) => value.to_str().ok(),
        _ => None,
    }
}

/// Compares in a time that tells nothing of where two texts differ.
fn same(given: &str, secret: &str) -> bool {
    if given.len() != secret.len() || secret.is_empty() {
        return false;
    }
    let bytes = given.bytes().zip(secret.bytes());
    let differ = bytes.fold(0, |all, (a, b)| std::hint::black_box(all | (a ^ b)));
    std::hint::black_box(differ) == 0
}

#[cfg(test)]
mod tests;
