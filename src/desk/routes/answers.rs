//! What can be asked, and its answers.

use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::Path;
use axum::extract::RawQuery;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::http::HeaderValue;
use axum::http::StatusCode;
use axum::http::header;
use axum::middleware::from_fn_with_state;
use axum::response::Response;
use axum::routing::get;
use axum::routing::post;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::desk::auth::gate::not_allowed;
use crate::desk::auth::guard::guard;
use crate::desk::routes::assets::Asset;
use crate::desk::routes::assets::SHELL;
use crate::desk::routes::assets::asset;
use crate::desk::routes::jobs::Kind;
use crate::desk::routes::jobs::Trouble;
use crate::desk::routes::refusal::Refusal;
use crate::desk::routes::refusal::json;
use crate::desk::routes::refusal::typed;
use crate::desk::routes::served::Served;
use crate::kit::digest::Digest;
use crate::work::marking::MarkingSession;
use crate::work::marking::laying::LayQuestion;
use crate::work::marking::measure::Drawn;
use crate::work::marking::mend::MendRequest;
use crate::work::marking::picture::PictureKind;
use crate::work::marking::save::Answer;
use crate::work::marking::save::SaveRequest;

type Shared = State<Arc<Served>>;

/// Every place that can be asked for. A request of the page is one line here and one function below.
pub(in crate::desk) fn router(served: Arc<Served>) -> Router {
    Router::new()
        .route("/", get(shell))
        .route("/assets/{name}", get(file))
        .route("/walk", get(walk))
        .route("/words", get(words))
        .route("/picture/{no}/{kind}", get(picture))
        .route("/version/{no}", get(version))
        .route("/say", post(say))
        .route("/text/{no}", get(text))
        .route("/mend", post(mend))
        .route("/measure", post(measure))
        .route("/face", post(face))
        .route("/offer/{no}/card", get(card))
        .route("/offer/{no}/faces", get(faces))
        .fallback(nothing)
        .method_not_allowed_fallback(elsewhere)
        .layer(from_fn_with_state(Arc::clone(&served), guard))
        .with_state(served)
}

async fn nothing(headers: HeaderMap) -> Response {
    not_found("there is nothing at this address; the page is at /").answer(&headers)
}

async fn elsewhere(headers: HeaderMap) -> Response {
    not_allowed().answer(&headers)
}

async fn shell(headers: HeaderMap) -> Response {
    match asset(SHELL) {
        Some(it) => typed(StatusCode::OK, it.media_type, it.bytes),
        None => nothing(headers).await,
    }
}

async fn file(Path(name): Path<String>, headers: HeaderMap) -> Response {
    match asset(&name) {
        Some(it) if it.name != SHELL => tagged(it, &headers),
        _ => nothing(headers).await,
    }
}

/// A file, or that the browser's copy is still the same.
fn tagged(it: &Asset, headers: &HeaderMap) -> Response {
    let tag = format!("\"{}\"", Digest::of(it.bytes));
    let had = headers.get(header::IF_NONE_MATCH);
    let mut answer = if had.is_some_and(|it| it.as_bytes() == tag.as_bytes()) {
        typed(StatusCode::NOT_MODIFIED, it.media_type, "")
    } else {
        typed(StatusCode::OK, it.media_type, it.bytes)
    };
    let to = answer.headers_mut();
    to.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        to.insert(header::ETAG, tag);
    }
    answer
}

async fn walk(State(served): Shared, headers: HeaderMap) -> Response {
    let done = served.jobs.run(Kind::Book, |door, now| door.walk(now));
    told(done.await, &headers)
}

async fn words(State(served): Shared, headers: HeaderMap) -> Response {
    let done = served.jobs.run(Kind::Book, |door, now| door.words(now));
    told(done.await, &headers)
}

async fn version(State(served): Shared, Path(no): Path<String>, headers: HeaderMap) -> Response {
    let Some(no) = number(&no) else {
        return nothing(headers).await;
    };
    let job = served
        .jobs
        .run(Kind::Book, move |door, now| door.version(now, no));
    told(job.await, &headers)
}

async fn picture(
    State(served): Shared,
    Path((no, kind)): Path<(String, String)>,
    RawQuery(query): RawQuery,
    headers: HeaderMap,
) -> Response {
    let (Some(no), Ok(kind)) = (number(&no), kind.parse::<PictureKind>()) else {
        return nothing(headers).await;
    };
    let lane = match kind {
        PictureKind::Full => Kind::Full,
        PictureKind::Thumb | PictureKind::Middle => Kind::Picture,
    };
    let made = served
        .jobs
        .run(lane, move |door, now| door.picture(now, no, kind));
    let it = match made.await {
        Ok(it) => it,
        Err(trouble) => return refusal(&trouble, StatusCode::NOT_FOUND).answer(&headers),
    };
    let asked = format!("v={}", it.digest);
    let mut answer = typed(StatusCode::OK, it.media_type, it.bytes);
    // Bytes named by their digest never change.
    if query.is_some_and(|it| it == asked) {
        answer.headers_mut().insert(
            header::CACHE_CONTROL,
            HeaderValue::from_static("private, max-age=31536000, immutable"),
        );
    }
    answer
}

async fn say(State(served): Shared, headers: HeaderMap, body: Bytes) -> Response {
    let saying: SaveRequest = match read(&body) {
        Ok(it) => it,
        Err(refusal) => return refusal.answer(&headers),
    };
    let done = served
        .jobs
        .run(Kind::Book, move |door, now| door.say(now, &saying));
    saved(done.await, &headers)
}

/// What came of writing.
fn saved(done: Result<Answer, Trouble>, headers: &HeaderMap) -> Response {
    match done {
        Ok(Answer::Said(it)) => json(StatusCode::OK, &it),
        Ok(Answer::Conflict(it)) => json(StatusCode::CONFLICT, &it),
        Ok(Answer::Wrong(it)) => json(StatusCode::UNPROCESSABLE_ENTITY, &it),
        Err(trouble) => refusal(&trouble, StatusCode::UNPROCESSABLE_ENTITY).answer(headers),
    }
}

async fn text(State(served): Shared, Path(no): Path<String>, headers: HeaderMap) -> Response {
    let Some(no) = number(&no) else {
        return nothing(headers).await;
    };
    let job = served
        .jobs
        .run(Kind::Book, move |door, now| door.text_beside(now, no));
    told(job.await, &headers)
}

async fn mend(State(served): Shared, headers: HeaderMap, body: Bytes) -> Response {
    let asked: MendRequest = match read(&body) {
        Ok(it) => it,
        Err(refusal) => return refusal.answer(&headers),
    };
    let job = served
        .jobs
        .run(Kind::Book, move |door, now| door.mend(now, &asked));
    saved(job.await, &headers)
}

async fn measure(State(served): Shared, headers: HeaderMap, body: Bytes) -> Response {
    let drawn: Drawn = match read(&body) {
        Ok(it) => it,
        Err(refusal) => return refusal.answer(&headers),
    };
    let job = served
        .jobs
        .run(Kind::Book, move |door, now| door.measure(now, &drawn));
    match job.await {
        Ok(it) => json(StatusCode::OK, &it),
        Err(trouble) => refusal(&trouble, StatusCode::UNPROCESSABLE_ENTITY).answer(&headers),
    }
}

async fn face(State(served): Shared, headers: HeaderMap, body: Bytes) -> Response {
    let asked: LayQuestion = match read(&body) {
        Ok(it) => it,
        Err(refusal) => return refusal.answer(&headers),
    };
    let job = served
        .jobs
        .run(Kind::Book, move |door, now| door.ask_face(now, &asked));
    told(job.await, &headers)
}

async fn card(State(served): Shared, Path(no): Path<String>, headers: HeaderMap) -> Response {
    let Some(no) = number(&no) else {
        return nothing(headers).await;
    };
    let look = move |door: &MarkingSession, now| door.offer_card(now, no);
    told(served.jobs.run(Kind::Look, look).await, &headers)
}

async fn faces(State(served): Shared, Path(no): Path<String>, headers: HeaderMap) -> Response {
    let Some(no) = number(&no) else {
        return nothing(headers).await;
    };
    let look = move |door: &MarkingSession, now| door.offer_faces(now, no);
    told(served.jobs.run(Kind::Look, look).await, &headers)
}

/// A whole number as a path has it: digits, and nothing else.
fn number(text: &str) -> Option<u32> {
    let plain = text.bytes().all(|it| it.is_ascii_digit());
    text.parse().ok().filter(|_| plain)
}

/// What the page sent.
fn read<T: DeserializeOwned>(body: &[u8]) -> Result<T, Refusal> {
    serde_json::from_slice(body).map_err(|error| {
        Refusal::new(
            StatusCode::BAD_REQUEST,
            format!("this is not what the page sends ({error}); load the page again"),
        )
    })
}

fn told(done: Result<impl Serialize, Trouble>, headers: &HeaderMap) -> Response {
    match done {
        Ok(it) => json(StatusCode::OK, &it),
        Err(trouble) => refusal(&trouble, StatusCode::NOT_FOUND).answer(headers),
    }
}

fn refusal(trouble: &Trouble, asked: StatusCode) -> Refusal {
    match trouble {
        Trouble::Work(error) => Refusal::of(error, asked),
        Trouble::Broken => Refusal::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "the program broke down over this; what was saved before is safe. Say what you did to who keeps the program",
        ),
    }
}

fn not_found(message: &str) -> Refusal {
    Refusal::new(StatusCode::NOT_FOUND, message)
}
