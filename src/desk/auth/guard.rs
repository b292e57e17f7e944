//! What happens to every request and every answer, whatever is asked.

use std::sync::Arc;

use axum::body::Body;
use axum::extract::Request;
use axum::extract::State;
use axum::http::HeaderName;
use axum::http::HeaderValue;
use axum::http::Method;
use axum::http::StatusCode;
use axum::http::header;
use axum::middleware::Next;
use axum::response::Response;
use tokio::time::timeout;

use crate::desk::auth::gate::Admitted;
use crate::desk::routes::refusal::Refusal;
use crate::desk::routes::served::Served;
use crate::desk::server::body;

/// Nothing but the page's own files, and nothing around it. W3C Content Security Policy Level 3.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Headers of every answer.
const ALWAYS: [(HeaderName, &str); 5] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// Lets a request through to its answer, or not.
pub(in crate::desk) async fn guard(
    State(served): State<Arc<Served>>,
    request: Request,
    next: Next,
) -> Response {
    let headers = request.headers().clone();
    let mut answer = match through(&served, request, next).await {
        Ok(it) => it,
        Err(refusal) => refusal.answer(&headers),
    };
    let refused = answer.status() == StatusCode::METHOD_NOT_ALLOWED;
    let dress = answer.headers_mut();
    if refused {
        let both = HeaderValue::from_static("GET, POST");
        dress.entry(header::ALLOW).or_insert(both);
    }
    for (name, value) in ALWAYS {
        dress.insert(name, HeaderValue::from_static(value));
    }
    dress
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    answer
}

async fn through(served: &Served, request: Request, next: Next) -> Result<Response, Refusal> {
    let (head, sent) = request.into_parts();
    let admitted = served.gate.admit(&head.method, &head.uri, &head.headers)?;
    if admitted == Admitted::ByAddress {
        return Ok(let_in(served));
    }
    let body = if head.method == Method::POST {
        let read = body::whole(sent, &head.headers, served.limits.body);
        let read = timeout(served.limits.request, read).await;
        Body::from(read.unwrap_or_else(|_| {
            Err(Refusal::new(
                StatusCode::REQUEST_TIMEOUT,
                "the request did not come to its end in time; nothing was changed",
            ))
        })?)
    } else {
        Body::empty()
    };
    let answer = next.run(Request::from_parts(head, body));
    timeout(served.limits.job, answer).await.map_err(|_| {
        Refusal::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "this takes too long; ask again in a moment",
        )
    })
}

/// The cookie for the secret.
fn let_in(served: &Served) -> Response {
    let mut answer = Response::new(Body::empty());
    *answer.status_mut() = StatusCode::SEE_OTHER;
    for (name, value) in [
        (header::SET_COOKIE, served.gate.cookie_line()),
        (header::LOCATION, served.gate.landing().to_owned()),
    ] {
        // Both are made of plain letters and digits.
        if let Ok(value) = HeaderValue::from_str(&value) {
            answer.headers_mut().insert(name, value);
        }
    }
    answer
}
