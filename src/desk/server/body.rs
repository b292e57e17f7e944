//! The body of a request, counted as it comes.

use std::future::poll_fn;
use std::pin::Pin;

use axum::body::Body;
use axum::body::Bytes;
use axum::http::HeaderMap;
use axum::http::StatusCode;
use axum::http::header;
use hyper::body::Body as _;

use crate::desk::routes::refusal::Refusal;

/// So many times the limit is read and thrown away, so that a client that sends too much can still read the answer.
const PATIENCE: usize = 4;

/// Reads a body of at most `most` bytes.
///
/// # Errors
/// When it is longer, or breaks off.
pub(in crate::desk) async fn whole(
    mut body: Body,
    headers: &HeaderMap,
    most: usize,
) -> Result<Bytes, Refusal> {
    let too_long = || {
        Refusal::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            format!("this is too much at once: at most {most} bytes are taken"),
        )
    };
    let said = headers.get(header::CONTENT_LENGTH);
    let said = said.and_then(|it| it.to_str().ok()?.parse::<usize>().ok());
    if said.is_some_and(|it| it > most * PATIENCE) {
        return Err(too_long());
    }
    let mut bytes = Vec::new();
    let mut length = 0;
    while let Some(frame) = poll_fn(|cx| Pin::new(&mut body).poll_frame(cx)).await {
        let frame = frame.map_err(|_| {
            Refusal::new(
                StatusCode::BAD_REQUEST,
                "the request broke off; nothing was changed",
            )
        })?;
        // What follows the last part of a body carries nothing that is asked for.
        let Ok(data) = frame.into_data() else {
            continue;
        };
        length += data.len();
        if length > most * PATIENCE {
            return Err(too_long());
        }
        if length <= most {
            bytes.extend_from_slice(&data);
        }
    }
    if length > most {
        return Err(too_long());
    }
    Ok(Bytes::from(bytes))
}
