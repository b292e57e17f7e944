//! Connections: taken, served, ended.

use std::future::Future;
use std::pin::Pin;
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::Request;
use axum::response::Response;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::Service;
use hyper_util::rt::TokioIo;
use hyper_util::rt::TokioTimer;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::net::TcpStream;
use tokio::sync::Semaphore;
use tokio::sync::watch;
use tokio::task::JoinSet;
use tokio::time::sleep;
use tokio::time::timeout;

use crate::desk::server::limits::Limits;
use crate::desk::server::patience::Course;
use crate::desk::server::patience::Patient;

/// Told to one that comes when every connection is taken.
const FULL: &[u8] =
    b"HTTP/1.1 503 Service Unavailable\r\nconnection: close\r\ncontent-length: 0\r\n\r\n";

/// Largest head of a request, bytes.
const HEAD_MAX: usize = 32 * 1024;

/// Serves until `stop` says so; then lets what runs come to its end.
pub(in crate::desk) async fn serve(
    listener: TcpListener,
    router: Router,
    limits: Limits,
    mut stop: watch::Receiver<bool>,
) {
    let places = Arc::new(Semaphore::new(limits.connections));
    let stops = stop.clone();
    let mut running = JoinSet::new();
    loop {
        tokio::select! {
            taken = listener.accept() => {
                let Ok((stream, _)) = taken else {
                    // Out of file handles, for one; some will be free again soon.
                    sleep(Duration::from_millis(50)).await;
                    continue;
                };
                match Arc::clone(&places).try_acquire_owned() {
                    Ok(place) => {
                        let served = one(stream, router.clone(), limits, stops.clone());
                        running.spawn(async move {
                            served.await;
                            drop(place);
                        });
                    }
                    Err(_) => drop(stream.try_write(FULL)),
                }
            }
            Some(_) = running.join_next() => {}
            _ = stop.wait_for(|it| *it) => break,
        }
    }
    drop(listener);
    let ends = async { while running.join_next().await.is_some() {} };
    // Who takes longer is cut off.
    let _ = timeout(limits.closing, ends).await;
}

/// Serves one connection.
async fn one(stream: TcpStream, router: Router, limits: Limits, mut stop: watch::Receiver<bool>) {
    let _ = stream.set_nodelay(true);
    let (patient, course) = Patient::new(stream, limits);
    let service = Followed {
        inner: TowerToHyperService::new(router),
        course,
    };
    let mut builder = http1::Builder::new();
    // The connection's own clocks are tighter; with this one set, the next head is awaited, and they are looked at, at once.
    let longest = limits.idle + limits.head;
    builder
        .max_buf_size(HEAD_MAX)
        .timer(TokioTimer::new())
        .header_read_timeout(longest);
    let mut served = pin!(builder.serve_connection(TokioIo::new(patient), service));
    // An error is the client's: it went away, was too slow, or spoke something else.
    tokio::select! {
        _ = served.as_mut() => return,
        _ = stop.wait_for(|it| *it) => served.as_mut().graceful_shutdown(),
    }
    let _ = served.await;
}

/// Tells a connection's clocks where requests begin and end.
struct Followed {
    inner: TowerToHyperService<Router>,
    course: Course,
}

/// What an answer's making ends with; it never does.
type Never = <TowerToHyperService<Router> as Service<Request<Incoming>>>::Error;

impl Service<Request<Incoming>> for Followed {
    type Response = Response;
    type Error = Never;
    type Future = Pin<Box<dyn Future<Output = Result<Response, Never>> + Send>>;

    fn call(&self, request: Request<Incoming>) -> Self::Future {
        self.course.begins();
        let (answer, course) = (self.inner.call(request), self.course.clone());
        Box::pin(async move {
            let answer = answer.await;
            course.ends();
            answer
        })
    }
}
