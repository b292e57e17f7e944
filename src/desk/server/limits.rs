//! How long the page waits and how much it takes in.

use std::time::Duration;

/// How long is waited for a client, and how much is taken from one.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// For a whole head of a request, from its first byte (or from the start of the connection).
    pub head: Duration,
    /// For a whole request, its body too.
    pub request: Duration,
    /// For its job, the wait for its turn included: no clock of the client's, a large picture on a slow machine takes its time.
    pub job: Duration,
    /// For a client that takes nothing more of its answer.
    pub answer: Duration,
    /// For the next request on a connection that is open.
    pub idle: Duration,
    /// For requests that run when the page is closed.
    pub closing: Duration,
    /// Connections at once; one more is sent away.
    pub connections: usize,
    /// Bytes of a request's body.
    pub body: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(5),
            request: Duration::from_secs(15),
            job: Duration::from_mins(2),
            answer: Duration::from_secs(15),
            idle: Duration::from_secs(60),
            closing: Duration::from_secs(2),
            connections: 64,
            body: 256 * 1024,
        }
    }
}
