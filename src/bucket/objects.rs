//! A bucket: bytes under names, read in pieces, put whole, listed.

use std::collections::BTreeMap;
use std::fs::File;
use std::io;
use std::io::Read;
use std::path::PathBuf;
use std::sync::Arc;

use ureq::Body;
use ureq::http::Response;

use crate::bucket::access::Access;
use crate::bucket::access::Address;
use crate::bucket::ask::Load;
use crate::bucket::ask::Question;
use crate::bucket::ask::Server;
use crate::bucket::ask::text;
use crate::bucket::fault::BucketFault;
use crate::bucket::fault::Why;
use crate::bucket::listing;
use crate::bucket::listing::Entry;
use crate::kit::digest::Digest;

/// The longest object that can be put at once (Amazon S3 User Guide, "Uploading objects"); longer ones would go in parts.
pub const LONGEST: u64 = 5 * 1024 * 1024 * 1024;

/// Bytes that are got at once: a piece that breaks off is got again.
const PIECE: u64 = 8 * 1024 * 1024;

/// A bucket, or what lies below a prefix in it.
#[derive(Clone)]
pub struct Bucket(Arc<Server>);

impl Bucket {
    /// The one at an address such as `s3://bucket/prefix`; nothing is asked yet.
    ///
    /// # Errors
    /// When that is no address.
    pub fn at(address: &str, access: Access) -> Result<Self, BucketFault> {
        let address = Address::read(address)?;
        Ok(Self(Arc::new(Server::new(address, access))))
    }

    /// A name in it, as it is told.
    #[must_use]
    pub fn shown(&self, name: &str) -> PathBuf {
        self.0.address.shown(name).into()
    }

    /// Begins to read what lies under a name.
    ///
    /// # Errors
    /// With a [`BucketFault`]: when nothing does, or there was no answer.
    pub fn get(&self, name: &str) -> io::Result<Reading> {
        let mut reading = Reading {
            server: Arc::clone(&self.0),
            name: name.to_owned(),
            piece: io::Cursor::new(Vec::new()),
            at: 0,
            long: None,
            tag: None,
        };
        match reading.go_on() {
            // Of nothing there is no part.
            Err(why) if is(&why, Why::Beyond) => reading.long = Some(0),
            begun => begun?,
        }
        Ok(reading)
    }

    /// Puts bytes under a name, in the place of what lies there. They are there whole, or not at all. Gives their tag.
    ///
    /// # Errors
    /// With a [`BucketFault`]: when the server does not confirm it.
    pub fn put(&self, name: &str, bytes: &[u8]) -> io::Result<String> {
        let payload = Digest::of(bytes);
        self.send(name, Load::Bytes(bytes), payload, BTreeMap::new())
    }

    /// Puts bytes under a name under which nothing lies; `false` where something does.
    ///
    /// # Errors
    /// As [`Self::put`].
    pub fn put_new(&self, name: &str, bytes: &[u8]) -> io::Result<bool> {
        let only_new = BTreeMap::from([("if-none-match", "*".to_owned())]);
        match self.send(name, Load::Bytes(bytes), Digest::of(bytes), only_new) {
            Ok(_) => Ok(true),
            Err(why) if is(&why, Why::Changed) => Ok(false),
            Err(why) => Err(why),
        }
    }

    /// Puts a file with the bytes of this digest under a name, as [`Self::put`] does.
    ///
    /// # Errors
    /// As [`Self::put`].
    pub fn put_file(&self, name: &str, file: &File, sha256: Digest) -> io::Result<String> {
        self.send(name, Load::File(file), sha256, BTreeMap::new())
    }

    fn send(
        &self,
        name: &str,
        load: Load<'_>,
        payload: Digest,
        headers: BTreeMap<&'static str, String>,
    ) -> io::Result<String> {
        let question = Question {
            name: Some(name),
            query: BTreeMap::new(),
            headers,
            load,
            payload,
        };
        self.0.ask(&question, |answer| {
            let tag = header(&answer, "etag").unwrap_or_default();
            text(answer).map(|_| tag)
        })
    }

    /// All that lies under names that begin so.
    ///
    /// # Errors
    /// With a [`BucketFault`]: when there was no whole list.
    pub fn list(&self, begin: &str) -> io::Result<Vec<Entry>> {
        let prefix = &self.0.address.prefix;
        let (mut all, mut next) = (Vec::new(), None);
        loop {
            let mut query = BTreeMap::from([
                ("list-type".to_owned(), "2".to_owned()),
                ("prefix".to_owned(), format!("{prefix}{begin}")),
            ]);
            query.extend(next.map(|it| ("continuation-token".to_owned(), it)));
            let question = Question {
                name: None,
                query,
                headers: BTreeMap::new(),
                load: Load::Nothing,
                payload: Digest::of(&[]),
            };
            let xml = self.0.ask(&question, text)?;
            let part = listing::part(&xml, prefix).ok_or_else(|| {
                let hint = "AWS_ENDPOINT_URL must name a server of the S3 type";
                BucketFault::new(Why::Way, "the answer is no list of names", Some(hint))
            })?;
            all.extend(part.entries);
            next = part.next;
            if next.is_none() {
                return Ok(all);
            }
        }
    }
}

fn is(error: &io::Error, why: Why) -> bool {
    BucketFault::of(error).is_some_and(|it| it.why == why)
}

fn header(answer: &Response<Body>, name: &str) -> Option<String> {
    Some(answer.headers().get(name)?.to_str().ok()?.to_owned())
}

/// Reads an object, piece by piece.
pub struct Reading {
    server: Arc<Server>,
    name: String,
    piece: io::Cursor<Vec<u8>>,
    at: u64,
    /// How long it is, once that is told.
    long: Option<u64>,
    tag: Option<String>,
}

impl Reading {
    /// Gets the next piece.
    fn go_on(&mut self) -> io::Result<()> {
        let last = self.at + PIECE - 1;
        let range = format!("bytes={}-{last}", self.at);
        let mut headers = BTreeMap::from([("range", range)]);
        // All pieces are of the same bytes, or the rest is refused.
        headers.extend(self.tag.clone().map(|it| ("if-match", it)));
        let question = Question {
            name: Some(&self.name),
            query: BTreeMap::new(),
            headers,
            load: Load::Nothing,
            payload: Digest::of(&[]),
        };
        let (bytes, long, tag) = self.server.ask(&question, piece)?;
        let got = bytes.len() as u64;
        if self.long.is_some_and(|it| it != long) || (got == 0 && self.at < long) {
            let hint = "AWS_ENDPOINT_URL must name a server of the S3 type";
            let what = "the server gave back another part than was asked for";
            return Err(BucketFault::new(Why::Way, what, Some(hint)).into());
        }
        self.at += got;
        self.long = Some(long);
        self.tag = self.tag.take().or(tag);
        self.piece = io::Cursor::new(bytes);
        Ok(())
    }
}

/// The bytes of a piece, how long the whole is, and its tag.
fn piece(answer: Response<Body>) -> io::Result<(Vec<u8>, u64, Option<String>)> {
    let tag = header(&answer, "etag");
    let of_whole = header(&answer, "content-range");
    let of_whole = of_whole.and_then(|it| it.rsplit_once('/')?.1.parse().ok());
    let told = header(&answer, "content-length").and_then(|it| it.parse::<u64>().ok());
    let mut bytes = Vec::new();
    let mut body = answer.into_body();
    body.as_reader().take(PIECE + 1).read_to_end(&mut bytes)?;
    let got = bytes.len() as u64;
    if told.is_some_and(|it| it != got) {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    Ok((bytes, of_whole.unwrap_or(got), tag))
}

impl Read for Reading {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let n = self.piece.read(out)?;
        if n > 0 || out.is_empty() || self.long.is_none_or(|it| self.at >= it) {
            return Ok(n);
        }
        self.go_on()?;
        self.piece.read(out)
    }
}
