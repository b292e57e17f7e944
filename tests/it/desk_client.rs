//! A marking page in this process, and a client that sends bytes as they are given.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::collections::BTreeMap;
use std::fs;
use std::io::Read as _;
use std::io::Write as _;
use std::net::TcpStream;
use std::path::Path;
use std::sync::Arc;
use std::thread::JoinHandle;
use std::time::Duration;
use std::time::Instant;

use asfound::desk::Closed;
use asfound::desk::Limits;
use asfound::desk::MarkingPage;
use asfound::desk::MarkingRequest;
use asfound::desk::Stopper;
use asfound::kit::clock::Moment;
use asfound::kit::digest::Digest;
use asfound::work::marking::MarkingSession;

use crate::shop::Shop;

/// How long a test waits for what must come in the end, however busy the machine is.
pub(crate) const PATIENCE: Duration = Duration::from_secs(30);

/// The body of a harmless change: it writes a note into the sidecar of photo 1.
pub(crate) const CHANGE: &str =
    r#"{"photo":1,"changes":[{"do":"note","was":null,"to":"seen by the window"}],"mine":false}"#;

/// A page that is served by a thread of this process.
pub(crate) struct Page {
    pub(crate) port: u16,
    pub(crate) secret: String,
    /// `asfound-PORT=...`, as a browser sends it back.
    pub(crate) cookie: String,
    /// The address that lets in once.
    pub(crate) once: String,
    stopper: Stopper,
    serving: Option<JoinHandle<Closed>>,
}

/// An answer.
#[derive(Clone, Debug)]
pub(crate) struct Got {
    /// 0 where the connection was closed without a word.
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: Vec<u8>,
}

/// A request before it is sent.
#[derive(Clone)]
pub(crate) struct Ask {
    line: String,
    headers: Vec<(String, String)>,
    body: Vec<u8>,
}

/// The order of a page of 26-001 in a shop's book.
pub(crate) fn order(shop: &Shop, limits: Limits) -> MarkingRequest {
    let now: Moment = "2026-05-26T09:00:00Z".parse().unwrap();
    MarkingRequest {
        marking: MarkingSession {
            root: shop.path("book"),
            stock_no: "26-001".parse().unwrap(),
        },
        now: Arc::new(move || now),
        port: None,
        photo: None,
        limits,
    }
}

impl Page {
    /// Serves the piece 26-001 of a shop.
    pub(crate) fn of(shop: &Shop, limits: Limits) -> Self {
        Self::serve(MarkingPage::open(order(shop, limits)).unwrap())
    }

    /// Serves a page that is open.
    pub(crate) fn serve(page: MarkingPage) -> Self {
        let address = page.address();
        let rest = address.strip_prefix("http://127.0.0.1:").unwrap();
        let (port, secret) = rest.split_once('/').unwrap();
        let mut it = Self {
            port: port.parse().unwrap(),
            secret: secret.split('#').next().unwrap().to_owned(),
            cookie: String::new(),
            once: page.address_for_once(),
            stopper: page.stopper(),
            serving: Some(std::thread::spawn(move || page.serve().unwrap())),
        };
        let let_in = it.send(&Ask::visit(&it, &format!("/{}", it.secret)));
        assert_eq!(let_in.status, 303, "{let_in:?}");
        let cookie = let_in.header("set-cookie").unwrap();
        it.cookie = cookie.split(';').next().unwrap().to_owned();
        it
    }

    /// Sends a request on a connection of its own.
    pub(crate) fn send(&self, ask: &Ask) -> Got {
        self.send_raw(&ask.bytes())
    }

    /// Sends bytes on a connection of their own, and reads one answer.
    pub(crate) fn send_raw(&self, bytes: &[u8]) -> Got {
        let mut stream = self.connect();
        // A page that has seen enough may close before all is sent.
        let _ = stream.write_all(bytes);
        if bytes.starts_with(b"HEAD ") {
            return read_head(&mut stream);
        }
        read_answer(&mut stream)
    }

    /// A connection.
    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream
    }

    /// Whether a proper request is answered.
    #[track_caller]
    pub(crate) fn answers(&self) {
        let got = self.send(&Ask::get(self, "/version/1"));
        assert_eq!(got.status, 200, "the page still answers: {got:?}");
    }

    /// Waits until a proper request is answered.
    #[track_caller]
    pub(crate) fn answers_in_the_end(&self) {
        let begun = Instant::now();
        while self.send(&Ask::get(self, "/version/1")).status != 200 {
            assert!(begun.elapsed() < PATIENCE, "never answered again");
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// Tells it to stop; does not wait.
    pub(crate) fn stop(&self) {
        self.stopper.stop();
    }

    /// Stops it, and waits until it is closed.
    pub(crate) fn close(mut self) -> Closed {
        self.stop();
        self.serving.take().unwrap().join().unwrap()
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        self.stopper.stop();
        if let Some(serving) = self.serving.take() {
            let _ = serving.join();
        }
    }
}

impl Ask {
    /// A browser that is sent to a place by its user, without any cookie.
    pub(crate) fn visit(page: &Page, path: &str) -> Self {
        Self {
            line: format!("GET {path} HTTP/1.1"),
            headers: Vec::new(),
            body: Vec::new(),
        }
        .with("Host", &format!("127.0.0.1:{}", page.port))
        .with("Accept", "text/html,application/xhtml+xml")
        .with("Sec-Fetch-Site", "none")
    }

    /// A question of the page.
    pub(crate) fn get(page: &Page, path: &str) -> Self {
        Self::visit(page, path)
            .with("Accept", "*/*")
            .with("Sec-Fetch-Site", "same-origin")
            .with("Cookie", &page.cookie)
    }

    /// Something that the page sends.
    pub(crate) fn post(page: &Page, path: &str, body: &str) -> Self {
        let mut it = Self::get(page, path)
            .line(&format!("POST {path} HTTP/1.1"))
            .with("Origin", &format!("http://127.0.0.1:{}", page.port))
            .with("Content-Type", "application/json")
            .with("Content-Length", &body.len().to_string());
        it.body = body.as_bytes().to_vec();
        it
    }

    /// Another first line.
    pub(crate) fn line(mut self, line: &str) -> Self {
        line.clone_into(&mut self.line);
        self
    }

    /// With this header, in the place of one of its name.
    pub(crate) fn with(self, name: &str, value: &str) -> Self {
        self.without(name).and(name, value)
    }

    /// With this header besides one of its name.
    pub(crate) fn and(mut self, name: &str, value: &str) -> Self {
        self.headers.push((name.to_owned(), value.to_owned()));
        self
    }

    /// Without a header.
    pub(crate) fn without(mut self, name: &str) -> Self {
        self.headers.retain(|it| !it.0.eq_ignore_ascii_case(name));
        self
    }

    /// Its head, to the empty line.
    pub(crate) fn head(&self) -> Vec<u8> {
        let lines = self.headers.iter().map(|(a, b)| format!("{a}: {b}\r\n"));
        let lines: String = lines.collect();
        format!("{}\r\n{lines}\r\n", self.line).into_bytes()
    }

    /// All of it.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        [self.head(), self.body.clone()].concat()
    }
}

impl Got {
    /// The value of a header.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let lines = self.head.lines().filter_map(|it| it.split_once(": "));
        let mut found = lines.filter(|it| it.0.eq_ignore_ascii_case(name));
        let first = found.next().map(|it| it.1);
        assert!(found.next().is_none(), "{name} twice:\n{}", self.head);
        first
    }

    /// The body as text.
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// The sentence of a refusal, in JSON or as it is.
    pub(crate) fn json_or_text(&self) -> String {
        if self.header("content-type") == Some("application/json") {
            return self.json()["message"]
                .as_str()
                .unwrap_or_default()
                .to_owned();
        }
        self.text()
    }

    /// The body as JSON.
    #[track_caller]
    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }
}

/// Reads one answer: its head, and as many bytes as that promises.
pub(crate) fn read_answer(stream: &mut TcpStream) -> Got {
    let mut got = read_head(stream);
    let length = got.header("content-length");
    let length = length.map_or(0, |it| it.parse().unwrap());
    let length = if got.status == 304 { 0 } else { length };
    got.body = vec![0; length];
    stream.read_exact(&mut got.body).unwrap();
    got
}

/// Reads the head of an answer.
fn read_head(stream: &mut TcpStream) -> Got {
    let mut bytes = Vec::new();
    let mut byte = [0];
    while !bytes.ends_with(b"\r\n\r\n") {
        match stream.read(&mut byte) {
            Ok(1) => bytes.push(byte[0]),
            // Closed, reset, or nothing for a long time.
            _ => break,
        }
    }
    let head = String::from_utf8(bytes).unwrap();
    let status = head.split(' ').nth(1).and_then(|it| it.parse().ok());
    Got {
        status: status.unwrap_or(0),
        head,
        body: Vec::new(),
    }
}

/// Whether the other side closes a connection within its read time-out.
pub(crate) fn is_closed(stream: &mut TcpStream) -> bool {
    let mut rest = Vec::new();
    match stream.read_to_end(&mut rest) {
        Ok(_) => true,
        Err(error) => error.kind() == std::io::ErrorKind::ConnectionReset,
    }
}

/// Every file below a folder with the digest of its bytes.
pub(crate) fn state(folder: &Path) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let digest = Digest::of(&fs::read(&path).unwrap());
                found.insert(path.display().to_string(), digest.to_string());
            }
        }
    }
    found
}
