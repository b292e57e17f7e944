//! Asking a time-stamp authority over HTTP (RFC 3161, section 3.4): a request goes out, the reply comes back unread.
//!
//! What comes back proves nothing before `evidence::stamp` has checked it; so an open connection is allowed where the user
//! names one, but nobody is led from a safe one to an open one.

use std::error::Error;
use std::io;
use std::time::Duration;
use std::time::Instant;

use ureq::Agent;
use ureq::Body;
use ureq::http::Response;
use ureq::http::Uri;
use ureq::http::header::CONTENT_TYPE;
use ureq::http::header::LOCATION;

use crate::evidence::stamp::REPLY_MAX;

/// What a request is sent as.
const QUERY: &str = "application/timestamp-query";

/// What a reply must be sent as.
const REPLY: &str = "application/timestamp-reply";

/// Most times that one question is sent on.
const REDIRECTS_MAX: usize = 3;

/// How long to wait.
#[derive(Clone, Copy, Debug)]
pub struct Patience {
    /// For a connection.
    pub connect: Duration,
    /// For everything, from the name of the machine to the last byte, wherever the question is sent on to.
    pub all: Duration,
}

impl Default for Patience {
    fn default() -> Self {
        Self {
            connect: Duration::from_secs(10),
            all: Duration::from_secs(30),
        }
    }
}

/// Why no reply came; each names the machine.
#[derive(Debug, thiserror::Error)]
pub enum AuthorityError {
    /// Not an address of the web.
    #[error("`{0}` is not an address that begins with `https://` or `http://`")]
    Address(String),
    /// The name leads nowhere.
    #[error("no machine called `{0}` was found; is this one connected?")]
    NotFound(String),
    /// Nobody listens, or the line broke.
    #[error("`{0}` could not be reached, or hung up")]
    Unreachable(String, #[source] io::Error),
    /// Too slow.
    #[error("`{0}` did not answer in time")]
    Slow(String),
    /// Its certificate for the web is not trusted.
    #[error("`{0}` does not prove that it is who it says")]
    Untrusted(String, #[source] Box<ureq::Error>),
    /// An answer of another kind than 200.
    #[error("`{0}` answered with HTTP status {1} instead of a time stamp")]
    Status(String, u16),
    /// Another type of content.
    #[error("`{0}` sent `{1}` instead of a time-stamp reply")]
    Kind(String, String),
    /// Longer than any reply.
    #[error("`{0}` sent more than a time-stamp reply can hold")]
    Long(String),
    /// Sent on too often.
    #[error("`{0}` sent the question on once too often")]
    Redirects(String),
    /// Sent on from a safe connection to an open one.
    #[error("`{0}` sent the question on from a safe connection to an open one")]
    Downgrade(String),
    /// Anything else that is no proper answer.
    #[error("the answer of `{0}` cannot be read")]
    Broken(String, #[source] Box<dyn Error + Send + Sync>),
}

/// Sends a request (DER) to an authority and gives its reply, which is still to be checked.
///
/// # Errors
/// When no reply came.
pub fn ask(address: &str, request: &[u8], patience: Patience) -> Result<Vec<u8>, AuthorityError> {
    let begun = Instant::now();
    let mut uri = read_address(address)?;
    for _ in 0..=REDIRECTS_MAX {
        let left = patience.all.saturating_sub(begun.elapsed());
        if left.is_zero() {
            return Err(AuthorityError::Slow(host(&uri)));
        }
        let agent = agent(&uri, patience.connect.min(left), left);
        let sent = agent
            .post(&uri)
            .header(CONTENT_TYPE, QUERY)
            .header("accept", REPLY)
            .send(request);
        let answer = sent.map_err(|why| fault(&uri, why))?;
        match answer.status().as_u16() {
            200 => return body(&uri, answer),
            301 | 302 | 307 | 308 => uri = next(&uri, &answer)?,
            other => return Err(AuthorityError::Status(host(&uri), other)),
        }
    }
    Err(AuthorityError::Redirects(host(&uri)))
}

/// One connection for one question; redirects are followed by [`ask`], since the question must stay a question.
fn agent(uri: &Uri, connect: Duration, all: Duration) -> Agent {
    let config = Agent::config_builder()
        .timeout_connect(Some(connect))
        .timeout_global(Some(all))
        .max_redirects(0)
        .http_status_as_error(false)
        .user_agent(concat!("asfound/", env!("CARGO_PKG_VERSION")));
    // Nobody reaches this machine itself through a proxy.
    let own = matches!(uri.host(), Some("localhost" | "127.0.0.1" | "[::1]"));
    let config = if own { config.proxy(None) } else { config };
    config.build().into()
}

fn read_address(address: &str) -> Result<Uri, AuthorityError> {
    let uri: Option<Uri> = address.trim().parse().ok();
    let web = |it: &Uri| matches!(it.scheme_str(), Some("http" | "https"));
    let named = |it: &Uri| it.host().is_some_and(|it| !it.is_empty());
    uri.filter(|it| web(it) && named(it))
        .ok_or_else(|| AuthorityError::Address(address.to_owned()))
}

/// Where an answer sends us on to.
fn next(from: &Uri, answer: &Response<Body>) -> Result<Uri, AuthorityError> {
    let status = || AuthorityError::Status(host(from), answer.status().as_u16());
    let place = answer.headers().get(LOCATION).ok_or_else(status)?;
    onward(from, place.to_str().map_err(|_| status())?)
}

/// A place as `Location` gives it (RFC 9110, section 10.2.2), seen from an address.
fn onward(from: &Uri, place: &str) -> Result<Uri, AuthorityError> {
    let scheme = from.scheme_str().unwrap_or("https");
    let machine = from.authority().map_or("", |it| it.as_str());
    let folder = from.path().rsplit_once('/').map_or("", |it| it.0);
    let whole = if place.contains("://") {
        place.to_owned()
    } else if place.starts_with("//") {
        format!("{scheme}:{place}")
    } else if place.starts_with('/') {
        format!("{scheme}://{machine}{place}")
    } else {
        format!("{scheme}://{machine}{folder}/{place}")
    };
    let to = read_address(&whole)?;
    if scheme == "https" && to.scheme_str() != Some("https") {
        return Err(AuthorityError::Downgrade(host(from)));
    }
    Ok(to)
}

fn body(uri: &Uri, answer: Response<Body>) -> Result<Vec<u8>, AuthorityError> {
    let kind = answer.headers().get(CONTENT_TYPE);
    let kind = kind.map_or("", |it| it.to_str().unwrap_or("?"));
    let bare = kind.split(';').next().unwrap_or("").trim();
    if !bare.eq_ignore_ascii_case(REPLY) {
        let kind = if kind.is_empty() {
            "nothing named"
        } else {
            kind
        };
        return Err(AuthorityError::Kind(
            host(uri),
            kind.chars().take(80).collect(),
        ));
    }
    let mut body = answer.into_body();
    let most = u64::try_from(REPLY_MAX).unwrap_or(u64::MAX);
    let read = body.with_config().limit(most).read_to_vec();
    read.map_err(|why| fault(uri, why))
}

fn host(uri: &Uri) -> String {
    uri.host().unwrap_or_default().to_owned()
}

fn fault(uri: &Uri, why: ureq::Error) -> AuthorityError {
    let host = host(uri);
    match why {
        ureq::Error::Timeout(_) => AuthorityError::Slow(host),
        ureq::Error::HostNotFound => AuthorityError::NotFound(host),
        ureq::Error::BodyExceedsLimit(_) => AuthorityError::Long(host),
        ureq::Error::Tls(_) | ureq::Error::Rustls(_) | ureq::Error::Pem(_) => {
            AuthorityError::Untrusted(host, Box::new(why))
        }
        ureq::Error::Io(io) if is_tls(&io) => {
            AuthorityError::Untrusted(host, Box::new(ureq::Error::Io(io)))
        }
        ureq::Error::Io(io) if io.kind() == io::ErrorKind::TimedOut => AuthorityError::Slow(host),
        ureq::Error::Io(io) => AuthorityError::Unreachable(host, io),
        ureq::Error::ConnectionFailed => {
            AuthorityError::Unreachable(host, io::ErrorKind::NotConnected.into())
        }
        other => AuthorityError::Broken(host, Box::new(other)),
    }
}

/// Whether the TLS below a connection refused, which comes wrapped as an error of the line.
fn is_tls(io: &io::Error) -> bool {
    io.kind() == io::ErrorKind::InvalidData
}

#[cfg(test)]
mod tests {
    use super::AuthorityError;
    use super::onward;
    use super::read_address;

    #[test]
    fn addresses_are_of_the_web() {
        for good in [
            "http://127.0.0.1:8080/tsa",
            " https://stamps.example ",
            "https://[::1]/a?b",
        ] {
            assert!(read_address(good).is_ok(), "{good}");
        }
        for wrong in [
            "",
            "stamps.example",
            "/tsa",
            "ftp://stamps.example",
            "http://",
            "http:///a",
            "file:///a",
            "ht tp://a",
        ] {
            let fault = read_address(wrong).unwrap_err();
            assert!(matches!(fault, AuthorityError::Address(_)), "{wrong}");
        }
    }

    /// RFC 3986, section 5.2, as far as a redirect needs it.
    #[test]
    fn a_question_is_sent_on_but_never_into_the_open() {
        let from = read_address("https://stamps.example:444/a/tsa?x=1").unwrap();
        for (place, want) in [
            ("https://other.example/b", "https://other.example/b"),
            ("//other.example/b", "https://other.example/b"),
            ("/b", "https://stamps.example:444/b"),
            ("b?y=2", "https://stamps.example:444/a/b?y=2"),
        ] {
            assert_eq!(onward(&from, place).unwrap().to_string(), want);
        }
        for open in ["http://stamps.example:444/a", "http://other.example/"] {
            let fault = onward(&from, open).unwrap_err();
            assert!(matches!(fault, AuthorityError::Downgrade(it) if it == "stamps.example"));
        }
        let fault = onward(&from, "gopher://stamps.example/").unwrap_err();
        assert!(matches!(fault, AuthorityError::Address(_)));
        let open = read_address("http://stamps.example/a").unwrap();
        assert!(onward(&open, "https://stamps.example/a").is_ok());
    }
}
