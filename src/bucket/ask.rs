//! One request and its answer: signed, sent, and sent again where the server or the line failed for the moment.

use std::collections::BTreeMap;
use std::fs::File;
use std::io;
use std::io::Seek as _;
use std::time::Duration;

use ureq::Agent;
use ureq::Body;
use ureq::http::Response;

use crate::bucket::access::Access;
use crate::bucket::access::Address;
use crate::bucket::access::is_loopback;
use crate::bucket::fault::BucketFault;
use crate::bucket::fault::Said;
use crate::bucket::listing;
use crate::bucket::sign::Request;
use crate::bucket::sign::encoded;
use crate::kit::clock::Moment;
use crate::kit::digest::Digest;

/// How long to wait before each further try.
const WAITS: [Duration; 3] = [
    Duration::from_millis(300),
    Duration::from_secs(1),
    Duration::from_secs(4),
];

/// How long a connection may take.
const CONNECT: Duration = Duration::from_secs(10);

/// How long the line may stand still.
const STILL: Duration = Duration::from_secs(60);

/// Longest answer that is read but for the bytes of an object: a thousand names.
const TEXT_MAX: u64 = 4 * 1024 * 1024;

/// Whom to ask.
pub(super) struct Server {
    agent: Agent,
    access: Access,
    pub(super) address: Address,
    is_safe: bool,
    host: String,
    /// Before the name in a path: the bucket, where it does not stand in the name of the machine.
    base: String,
}

/// What is sent along.
pub(super) enum Load<'a> {
    Nothing,
    Bytes(&'a [u8]),
    File(&'a File),
}

/// A question: a put where something is sent along, else a get.
pub(super) struct Question<'a> {
    /// A name below the prefix; `None` asks the bucket itself.
    pub(super) name: Option<&'a str>,
    pub(super) query: BTreeMap<String, String>,
    pub(super) headers: BTreeMap<&'static str, String>,
    pub(super) load: Load<'a>,
    /// SHA-256 of what is sent along.
    pub(super) payload: Digest,
}

impl Server {
    pub(super) fn new(address: Address, access: Access) -> Self {
        let bucket = &address.bucket;
        // A name with dots fits no certificate, and a server of one's own mostly knows no machines named after buckets.
        let (is_safe, host, base) = match &access.endpoint {
            Some((is_safe, machine)) => (*is_safe, machine.clone(), format!("/{bucket}")),
            None => {
                let machine = format!("s3.{}.amazonaws.com", access.region);
                match bucket.contains('.') {
                    true => (true, machine, format!("/{bucket}")),
                    false => (true, format!("{bucket}.{machine}"), String::new()),
                }
            }
        };
        let config = Agent::config_builder()
            .timeout_connect(Some(CONNECT))
            .timeout_per_read(Some(STILL))
            .timeout_per_write(Some(STILL))
            .timeout_recv_response(Some(STILL))
            .max_redirects(0)
            .max_redirects_will_error(false)
            .http_status_as_error(false)
            .user_agent(concat!("asfound/", env!("CARGO_PKG_VERSION")));
        // Nobody reaches this machine itself through a proxy.
        let config = match is_loopback(&host) {
            true => config.proxy(None),
            false => config,
        };
        Self {
            agent: config.build().into(),
            access,
            address,
            is_safe,
            host,
            base,
        }
    }

    /// Asks until there is an answer that `take` can read, or no hope for one; gives what that made of it.
    ///
    /// # Errors
    /// With a [`BucketFault`]: when the answer is none of success, or none came.
    pub(super) fn ask<T>(
        &self,
        question: &Question<'_>,
        take: impl Fn(Response<Body>) -> io::Result<T>,
    ) -> io::Result<T> {
        let mut waits = WAITS.iter();
        loop {
            let (why, may_pass) = match self.once(question, &take) {
                Ok(it) => return Ok(it),
                Err(it) => it,
            };
            match waits.next().filter(|_| may_pass) {
                Some(wait) => std::thread::sleep(*wait),
                None => return Err(why),
            }
        }
    }

    /// Asks once; the fault, and whether it may pass.
    fn once<T>(
        &self,
        question: &Question<'_>,
        take: impl Fn(Response<Body>) -> io::Result<T>,
    ) -> Result<T, (io::Error, bool)> {
        let of_line = |why: &ureq::Error| {
            let may_pass = !matches!(
                why,
                ureq::Error::HostNotFound | ureq::Error::Tls(_) | ureq::Error::Rustls(_)
            );
            (BucketFault::of_line(why, &self.host).into(), may_pass)
        };
        let answer = self.send(question).map_err(|why| of_line(&why))?;
        let status = answer.status().as_u16();
        if matches!(status, 200 | 206) {
            // What breaks here is the line, in the middle of an answer.
            return take(answer).map_err(|why| match BucketFault::of(&why) {
                Some(_) => (why, false),
                None => of_line(&ureq::Error::Io(why)),
            });
        }
        let region = answer.headers().get("x-amz-bucket-region");
        let region = region.and_then(|it| Some(it.to_str().ok()?.to_owned()));
        let said = text(answer).map_or_else(|_| Said::default(), |it| listing::said(&it));
        let said = Said {
            region: said.region.clone().or(region),
            ..said
        };
        let may_pass = matches!(status, 429 | 500 | 502 | 503 | 504)
            || ["SlowDown", "RequestTimeout", "InternalError"].contains(&said.code.as_str());
        let fault = BucketFault::answered(status, &said, &self.host, &self.address.bucket);
        Err((fault.into(), may_pass))
    }

    fn send(&self, question: &Question<'_>) -> Result<Response<Body>, ureq::Error> {
        let name = question
            .name
            .map_or_else(String::new, |it| format!("{}{it}", self.address.prefix));
        let request = Request {
            method: match question.load {
                Load::Nothing => "GET",
                Load::Bytes(_) | Load::File(_) => "PUT",
            },
            host: self.host.clone(),
            path: encoded(&format!("{}/{name}", self.base), true),
            query: question.query.clone(),
            headers: question.headers.clone(),
            payload: question.payload,
        };
        let scheme = if self.is_safe { "https" } else { "http" };
        let query = match request.query() {
            it if it.is_empty() => it,
            it => format!("?{it}"),
        };
        let uri = format!("{scheme}://{}{}{query}", self.host, request.path);
        let headers = request.signed(&self.access, Moment::now());
        let put = || {
            let asked = self.agent.put(&uri);
            headers
                .iter()
                .fold(asked, |it, (name, of)| it.header(*name, of))
        };
        match question.load {
            Load::Nothing => {
                let asked = self.agent.get(&uri);
                let asked = headers
                    .iter()
                    .fold(asked, |it, (name, of)| it.header(*name, of));
                asked.call()
            }
            Load::Bytes(bytes) => put().send(bytes),
            Load::File(mut file) => {
                file.rewind()?;
                put().send(file)
            }
        }
    }
}

/// The text of an answer, to a length.
pub(super) fn text(answer: Response<Body>) -> io::Result<String> {
    let mut body = answer.into_body();
    let read = body.with_config().limit(TEXT_MAX).read_to_vec();
    let bytes = read.map_err(ureq::Error::into_io)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
