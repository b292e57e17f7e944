//! Answers that say no: a status, and a sentence.

use axum::body::Body;
use axum::http::HeaderMap;
use axum::http::StatusCode;
use axum::http::header;
use axum::response::Response;
use serde::Serialize;

use crate::work::WorkError;

/// Why a request is not answered with what it asks for.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::desk) struct Refusal {
    pub(in crate::desk) status: StatusCode,
    /// What, where, and what to do.
    pub(in crate::desk) message: String,
}

/// What the page says while there is no room; it asks again by itself.
const FULL: &str =
    "the disk is full; make room on it: what you said is kept on this page, and written then";

#[derive(Serialize)]
struct Words<'a> {
    message: &'a str,
}

impl Refusal {
    pub(in crate::desk) fn new(status: StatusCode, message: impl Into<String>) -> Self {
        Self {
            status,
            message: message.into(),
        }
    }

    /// What a job could not do; `asked` is the status where the request itself makes no sense.
    pub(in crate::desk) fn of(error: &WorkError, asked: StatusCode) -> Self {
        let status = match error {
            WorkError::Asked { .. } => asked,
            _ if error.is_full_disk() => return Self::new(StatusCode::INSUFFICIENT_STORAGE, FULL),
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        };
        Self::new(status, told(error))
    }

    /// As text for somebody who looks at it in a browser, as JSON for the page.
    pub(in crate::desk) fn answer(self, headers: &HeaderMap) -> Response {
        let accept = headers.get(header::ACCEPT);
        let accept = accept.and_then(|it| it.to_str().ok()).unwrap_or_default();
        if accept.contains("text/html") {
            let text = format!("{}\n", self.message);
            return typed(self.status, "text/plain; charset=utf-8", text);
        }
        json(
            self.status,
            &Words {
                message: &self.message,
            },
        )
    }
}

/// An error with its causes and what to do, in one line.
fn told(error: &WorkError) -> String {
    let mut text = error.to_string();
    let mut last = text.clone();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        let words = inner.to_string();
        // A wrapped error says the same as its wrapper.
        if words != last {
            text.push_str(&format!(", because {words}"));
            last = words;
        }
        cause = inner.source();
    }
    if let Some(complaint) = error.complaints().first() {
        text.push_str(&format!(": {}", complaint.message));
    }
    if let Some(hint) = error.hint() {
        text.push_str(&format!("; {hint}"));
    }
    text
}

/// An answer of this media type.
pub(in crate::desk) fn typed(
    status: StatusCode,
    media_type: &'static str,
    body: impl Into<Body>,
) -> Response {
    let mut answer = Response::new(body.into());
    *answer.status_mut() = status;
    let value = header::HeaderValue::from_static(media_type);
    answer.headers_mut().insert(header::CONTENT_TYPE, value);
    answer
}

/// An answer in JSON.
pub(in crate::desk) fn json(status: StatusCode, value: &impl Serialize) -> Response {
    match serde_json::to_vec(value) {
        Ok(bytes) => typed(status, "application/json", bytes),
        Err(error) => {
            let text = serde_json::json!({ "message": format!("this cannot be written as JSON: {error}") });
            typed(
                StatusCode::INTERNAL_SERVER_ERROR,
                "application/json",
                text.to_string(),
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io;

    use axum::http::StatusCode;

    use super::Refusal;
    use crate::kit::files::At as _;

    #[test]
    fn a_full_disk_is_called_a_full_disk() {
        let told = |kind: io::ErrorKind| {
            let done: io::Result<()> = Err(kind.into());
            let error = done.at("write", "IMG_1.jpg.toml").unwrap_err().into();
            Refusal::of(&error, StatusCode::NOT_FOUND)
        };
        // RFC 4918, 11.5: 507 Insufficient Storage.
        for kind in [io::ErrorKind::StorageFull, io::ErrorKind::QuotaExceeded] {
            let it = told(kind);
            assert_eq!(it.status.as_u16(), 507);
            assert!(it.message.starts_with("the disk is full; make room"));
        }
        let other = told(io::ErrorKind::PermissionDenied);
        assert_eq!(other.status, StatusCode::INTERNAL_SERVER_ERROR);
    }
}
