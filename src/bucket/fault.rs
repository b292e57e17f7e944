//! Why a request came to nothing, in words.

use std::io;

/// What kind of fault it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Nothing lies under that name.
    Missing,
    /// Something lies under that name already, or other bytes than a moment ago.
    Changed,
    /// What lies there is shorter than that.
    Beyond,
    /// No room.
    Full,
    /// What was asked makes no sense.
    Asked,
    /// The server, the key or the way to it: no name in the bucket is to blame.
    Way,
}

/// A request that came to nothing.
#[derive(Debug, thiserror::Error)]
#[error("{what}")]
pub struct BucketFault {
    /// What kind of fault it is.
    pub why: Why,
    what: String,
    /// What to do, in a sentence without a full stop.
    pub hint: Option<&'static str>,
}

impl BucketFault {
    pub(super) fn new(why: Why, what: impl Into<String>, hint: Option<&'static str>) -> Self {
        Self {
            why,
            what: what.into(),
            hint,
        }
    }

    /// The fault within an error of input or output.
    #[must_use]
    pub fn of(error: &io::Error) -> Option<&Self> {
        error.get_ref()?.downcast_ref()
    }

    /// Whether an error tells of the server, the key or the way, so that nothing is known of what was asked for.
    #[must_use]
    pub fn is_of_the_way(error: &io::Error) -> bool {
        Self::of(error).is_some_and(|it| it.why != Why::Missing)
    }

    /// Of an answer that is none of success: its status, and the code and the message in it; `host` and `bucket` are whom was asked for what.
    pub(super) fn answered(status: u16, said: &Said, host: &str, bucket: &str) -> Self {
        let (why, what, hint) = match (said.code.as_str(), status) {
            ("NoSuchBucket", _) => (
                Why::Way,
                format!("`{host}` has no bucket `{bucket}`"),
                "make the bucket first, or put its name right; AWS_ENDPOINT_URL names the server",
            ),
            ("NoSuchKey", _) | (_, 404) => (Why::Missing, "it is not there".to_owned(), ""),
            ("InvalidRange", _) | (_, 416) => {
                (Why::Beyond, "it is shorter than that".to_owned(), "")
            }
            ("XMinioStorageFull" | "QuotaExceeded" | "InsufficientStorage", _) | (_, 507) => (
                Why::Full,
                format!("`{host}` has no room left"),
                "make room there; what was stored is whole: then run the same command again",
            ),
            ("PreconditionFailed" | "ConditionalRequestConflict", _) | (_, 412) => (
                Why::Changed,
                "another program writes there at the same time".to_owned(),
                "let one program at a time write there",
            ),
            _ => {
                let (what, hint) = refused(status, said, host);
                (Why::Way, what, hint)
            }
        };
        Self::new(why, what, Some(hint).filter(|it| !it.is_empty()))
    }

    /// Of a line that broke or never stood.
    pub(super) fn of_line(why: &ureq::Error, host: &str) -> Self {
        let again = "look whether this machine is connected, then run the same command again: it goes on where it stopped";
        let (what, hint) = match why {
            ureq::Error::HostNotFound => (
                format!("no machine called `{host}` was found"),
                "look whether this machine is connected, and how AWS_ENDPOINT_URL is spelt",
            ),
            ureq::Error::Timeout(_) => (format!("`{host}` did not answer in time"), again),
            ureq::Error::Tls(_) | ureq::Error::Rustls(_) | ureq::Error::Pem(_) => untrusted(host),
            // What TLS refused comes wrapped as an error of the line.
            ureq::Error::Io(io) if io.kind() == io::ErrorKind::InvalidData => untrusted(host),
            _ => (format!("`{host}` could not be reached, or hung up"), again),
        };
        Self::new(Why::Way, what, Some(hint))
    }
}

/// Of a server that does not do what it was asked, which says nothing of what lies there: what it says, and what to do.
fn refused(status: u16, said: &Said, host: &str) -> (String, &'static str) {
    match (said.code.as_str(), status) {
        ("InvalidAccessKeyId", _) => (
            format!("`{host}` does not know this key"),
            "put AWS_ACCESS_KEY_ID right",
        ),
        ("SignatureDoesNotMatch", _) => (
            format!("the secret does not fit the key, says `{host}`"),
            "put AWS_SECRET_ACCESS_KEY right",
        ),
        ("ExpiredToken" | "InvalidToken" | "TokenRefreshRequired", _) => (
            "the key was for some hours only, and they are over".to_owned(),
            "get a new key with its AWS_SESSION_TOKEN",
        ),
        ("RequestTimeTooSkewed", _) => (
            format!("the clock of this machine and that of `{host}` differ too much"),
            "set the clock of this machine right",
        ),
        ("InvalidObjectState", _) => (
            "it lies in an archive of the server, which does not give it back at once".to_owned(),
            "call it back from the archive with the means of the server; use no archive class for this prefix",
        ),
        (
            "PermanentRedirect"
            | "TemporaryRedirect"
            | "AuthorizationHeaderMalformed"
            | "IllegalLocationConstraintException",
            _,
        )
        | (_, 301 | 302 | 307 | 308) => (
            match &said.region {
                Some(region) => format!("the bucket lies elsewhere: in the region `{region}`"),
                None => "the bucket lies in another region or on another server".to_owned(),
            },
            "put AWS_REGION right, or AWS_ENDPOINT_URL",
        ),
        ("AccessDenied" | "AllAccessDisabled" | "AccountProblem", _) | (_, 401 | 403) => (
            format!("`{host}` does not allow that to this key{}", said.told()),
            "the key needs the rights to list the bucket and to get and put objects in it",
        ),
        (_, 429 | 500..) => (
            format!(
                "`{host}` could not do it now (HTTP status {status}{})",
                said.told()
            ),
            "wait a while, then run the same command again: it goes on where it stopped",
        ),
        _ => (
            format!("`{host}` answered with HTTP status {status}{}", said.told()),
            "AWS_ENDPOINT_URL must name a server of the S3 type",
        ),
    }
}

fn untrusted(host: &str) -> (String, &'static str) {
    (
        format!("`{host}` does not prove that it is who it says"),
        "nothing was sent; look how AWS_ENDPOINT_URL is spelt, and ask who runs the server",
    )
}

impl From<BucketFault> for io::Error {
    fn from(it: BucketFault) -> Self {
        let kind = match it.why {
            Why::Missing => io::ErrorKind::NotFound,
            Why::Full => io::ErrorKind::StorageFull,
            Why::Beyond | Why::Changed | Why::Asked | Why::Way => io::ErrorKind::Other,
        };
        Self::new(kind, it)
    }
}

/// What an answer says of a fault.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Said {
    /// The code of the fault; empty where none is told.
    pub(super) code: String,
    /// Where the bucket lies.
    pub(super) region: Option<String>,
}

impl Said {
    fn told(&self) -> String {
        match self.code.as_str() {
            "" => String::new(),
            code => format!(": {code}"),
        }
    }
}
