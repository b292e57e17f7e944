//! A connection that is given up when its client is too slow: with a head, with its next request, or in taking its answer.
//!
//! Not left to `hyper`: its `header_read_timeout` is one clock from the end of an answer to the end of the next head, so that an idle
//! browser (a minute) and a head that drips in (five seconds) could not be told apart; and neither it nor a time-out layer, which
//! ends when the answer is made, gives up a client that takes nothing of it.

use std::future::Future as _;
use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::task::Context;
use std::task::Poll;
use std::time::Duration;

use tokio::io::AsyncRead;
use tokio::io::AsyncWrite;
use tokio::io::ReadBuf;
use tokio::net::TcpStream;
use tokio::time::Instant;
use tokio::time::Sleep;
use tokio::time::sleep_until;

use crate::desk::server::limits::Limits;

/// What a connection is doing.
#[derive(Clone, Copy, Debug)]
enum Phase {
    /// Waiting for the first byte of the next request.
    Idle(Instant),
    /// Waiting for the rest of a head.
    Head(Instant),
    /// A request runs; its body and its job have their own time.
    Running,
}

/// Tells a connection where its requests begin and end.
#[derive(Clone, Debug)]
pub(in crate::desk) struct Course(Arc<Mutex<Phase>>);

impl Course {
    /// A head has been read.
    pub(in crate::desk) fn begins(&self) {
        self.set(Phase::Running);
    }

    /// An answer has been given.
    pub(in crate::desk) fn ends(&self) {
        self.set(Phase::Idle(Instant::now()));
    }

    fn get(&self) -> Phase {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn set(&self, phase: Phase) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = phase;
    }
}

/// A connection with its clocks.
pub(in crate::desk) struct Patient {
    stream: TcpStream,
    course: Course,
    limits: Limits,
    reading: Clock,
    writing: Clock,
    /// Since when nothing could be written.
    stuck: Option<Instant>,
}

impl Patient {
    /// A new connection, whose first head is due, and what tells it of its requests.
    pub(in crate::desk) fn new(stream: TcpStream, limits: Limits) -> (Self, Course) {
        let course = Course(Arc::new(Mutex::new(Phase::Head(Instant::now()))));
        let patient = Self {
            stream,
            course: course.clone(),
            limits,
            reading: Clock::default(),
            writing: Clock::default(),
            stuck: None,
        };
        (patient, course)
    }

    /// Lets a write that waits go on waiting, or gives up.
    fn wait<T>(
        &mut self,
        cx: &mut Context<'_>,
        written: Poll<io::Result<T>>,
    ) -> Poll<io::Result<T>> {
        if written.is_ready() {
            self.stuck = None;
            return written;
        }
        let since = *self.stuck.get_or_insert_with(Instant::now);
        self.writing.wait(cx, since, self.limits.answer)
    }
}

/// Wakes a connection when a time is up.
#[derive(Default)]
struct Clock(Option<Pin<Box<Sleep>>>);

impl Clock {
    /// Pending until `patience` has passed `since`; then an error.
    fn wait<T>(
        &mut self,
        cx: &mut Context<'_>,
        since: Instant,
        patience: Duration,
    ) -> Poll<io::Result<T>> {
        let due = since + patience;
        let sleep = self.0.get_or_insert_with(|| Box::pin(sleep_until(due)));
        if sleep.deadline() != due {
            sleep.as_mut().reset(due);
        }
        sleep
            .as_mut()
            .poll(cx)
            .map(|()| Err(io::ErrorKind::TimedOut.into()))
    }
}

impl AsyncRead for Patient {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let phase = self.course.get();
        let read = Pin::new(&mut self.stream).poll_read(cx, buffer);
        let limits = self.limits;
        match (phase, read.is_ready()) {
            (Phase::Idle(_), true) => self.course.set(Phase::Head(Instant::now())),
            // A byte now and then does not make a head: its time runs from its first byte.
            (_, true) | (Phase::Running, false) => {}
            (Phase::Idle(since), false) => return self.reading.wait(cx, since, limits.idle),
            (Phase::Head(since), false) => return self.reading.wait(cx, since, limits.head),
        }
        read
    }
}

impl AsyncWrite for Patient {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write(cx, bytes);
        self.wait(cx, written)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        parts: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write_vectored(cx, parts);
        self.wait(cx, written)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}
