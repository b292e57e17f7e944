//! A real server of the S3 type (moto), started once for all tests, and a line to it that can be cut.
//!
//! Without it the tests that need it are left out and say so; on a build machine (`CI=true`) that is a failure.

use std::collections::BTreeMap;
use std::io::BufRead as _;
use std::io::BufReader;
use std::io::Read as _;
use std::io::Write as _;
use std::net::Shutdown;
use std::net::TcpListener;
use std::net::TcpStream;
use std::process::Child;
use std::process::ChildStdin;
use std::process::ChildStdout;
use std::process::Command;
use std::process::Stdio;
use std::sync::Mutex;
use std::sync::OnceLock;
use std::sync::mpsc::Sender;

use asfound::bucket::access::Access;
use asfound::bucket::objects::Bucket;
use serde_json::Value;

use crate::photo_reference::reference_folder;
use crate::shop::Ran;
use crate::shop::Shop;

/// The server, and how it is given orders.
pub(crate) struct Server {
    /// It ends with the tests, whose end closes its input.
    _child: Child,
    told: Value,
    orders: Mutex<(ChildStdin, BufReader<ChildStdout>)>,
}

/// The server; `None`, told on the screen, where it is not there.
pub(crate) fn server() -> Option<&'static Server> {
    static SERVER: OnceLock<Option<Server>> = OnceLock::new();
    let server = SERVER.get_or_init(|| {
        let folder = reference_folder().map(|it| it.join("moto"));
        let Some(folder) = folder.filter(|it| it.is_dir()) else {
            let on_build_machine = std::env::var_os("CI").is_some_and(|it| it == "true");
            assert!(!on_build_machine, "CI=true, but there is no moto");
            crate::shop::say("left out: the tests against object storage (ASFOUND_REFERENCE)");
            return None;
        };
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/bucket.py");
        let mut child = Command::new("python3")
            .arg(script)
            .env("PYTHONPATH", folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut said = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        said.read_line(&mut line).unwrap();
        let orders = Mutex::new((child.stdin.take().unwrap(), said));
        Some(Server {
            _child: child,
            told: serde_json::from_str(&line).expect("the server tells its port and keys"),
            orders,
        })
    });
    server.as_ref()
}

/// What a command is told of the server.
#[derive(Clone)]
pub(crate) struct Told(pub(crate) BTreeMap<&'static str, String>);

impl Server {
    pub(crate) fn port(&self) -> u16 {
        self.told["port"].as_u64().unwrap().try_into().unwrap()
    }

    /// How the key of `user` opens it, over the line at `port`.
    pub(crate) fn told(&self, user: &str, port: u16) -> Told {
        let key = |at: usize| self.told[user][at].as_str().unwrap().to_owned();
        Told(BTreeMap::from([
            ("AWS_ENDPOINT_URL", format!("http://127.0.0.1:{port}")),
            ("AWS_ACCESS_KEY_ID", key(0)),
            ("AWS_SECRET_ACCESS_KEY", key(1)),
        ]))
    }

    /// The shop's own way to it.
    pub(crate) fn own(&self) -> Told {
        self.told("shop", self.port())
    }

    fn order(&self, order: &str) {
        let (to, from) = &mut *self.orders.lock().unwrap();
        writeln!(to, "{order}").unwrap();
        let mut line = String::new();
        from.read_line(&mut line).unwrap();
        assert_eq!(line, "done\n", "{order}");
    }

    /// Lays other bytes under a name, as rot does.
    pub(crate) fn rot(&self, bucket: &str, name: &str, bytes: &[u8]) {
        let hex: String = bytes.iter().map(|it| format!("{it:02x}")).collect();
        self.order(&format!("put {bucket} {name} {hex}"));
    }

    /// Takes an object away.
    pub(crate) fn lose(&self, bucket: &str, name: &str) {
        self.order(&format!("delete {bucket} {name}"));
    }
}

impl Told {
    pub(crate) fn with(&self, name: &'static str, value: &str) -> Self {
        let mut told = self.clone();
        told.0.insert(name, value.to_owned());
        told
    }

    /// A command of the program that is told so.
    pub(crate) fn command(&self, shop: &Shop, words: &[&str]) -> Command {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command.args(words).envs(&self.0);
        command
    }

    /// It, run to its end; whatever happens, the secret is never printed.
    pub(crate) fn run(&self, shop: &Shop, words: &[&str]) -> Ran {
        let ran = Ran::of(&mut self.command(shop, words));
        let secret = self.0["AWS_SECRET_ACCESS_KEY"].as_str();
        assert!(!ran.out().contains(secret) && !ran.err().contains(secret));
        ran
    }

    /// A place there, opened by the library.
    pub(crate) fn bucket(&self, address: &str) -> Bucket {
        let access = Access::read(&|name| self.0.get(name).cloned());
        Bucket::at(address, access.ok().unwrap()).ok().unwrap()
    }

    /// All that lies in it.
    pub(crate) fn objects(&self, address: &str) -> BTreeMap<String, Vec<u8>> {
        let bucket = self.bucket(address);
        let names = bucket.list("").unwrap().into_iter().map(|it| it.name);
        let bytes = |name: &str| {
            let mut bytes = Vec::new();
            bucket.get(name).unwrap().read_to_end(&mut bytes).unwrap();
            bytes
        };
        names.map(|it| (it.clone(), bytes(&it))).collect()
    }
}

/// What a line does with a request.
pub(crate) enum Fate {
    /// Carries it, and the answer back.
    Carried,
    /// Hangs up after so many bytes of the request were carried.
    CutGoing(usize),
    /// Carries the request, and hangs up after so many bytes of the answer.
    CutComing(usize),
    /// Answers in the place of the server: status and body.
    Answered(u16, &'static str),
    /// Tells that it is here, and nobody answers.
    Held(Sender<()>),
    /// Carries the request, tells that it did, and nobody answers.
    HeldAfter(Sender<()>),
}

/// A line to the server at `to`, on a port of its own; `fate` says what becomes of a request, by its number from 0 and its first line.
pub(crate) fn line(to: u16, fate: impl Fn(usize, &str) -> Fate + Send + 'static) -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    std::thread::spawn(move || {
        let mut held = Vec::new();
        for (no, client) in listener.incoming().enumerate() {
            let mut client = client.unwrap();
            if let Some(request) = request(&mut client) {
                let text = String::from_utf8_lossy(&request).into_owned();
                let fate = fate(no, text.lines().next().unwrap_or_default());
                // That somebody hangs up is what this is about.
                let _ = carry(&mut client, to, &request, &fate);
                if let Fate::Held(told) | Fate::HeldAfter(told) = fate {
                    let _ = told.send(());
                    held.push(client);
                    continue;
                }
            }
            let _ = client.shutdown(Shutdown::Both);
        }
    });
    port
}

/// A request whole: its head, and as much as the head says.
fn request(client: &mut TcpStream) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut piece = [0; 65536];
    loop {
        let end = bytes.windows(4).position(|it| it == b"\r\n\r\n");
        if let Some(end) = end {
            let head = String::from_utf8_lossy(&bytes[..end]).to_lowercase();
            let long = head
                .lines()
                .find_map(|it| it.strip_prefix("content-length: "));
            let long: usize = long.map_or(0, |it| it.parse().unwrap());
            if bytes.len() >= end + 4 + long {
                return Some(bytes);
            }
        }
        match client.read(&mut piece).ok()? {
            0 => return None,
            n => bytes.extend(&piece[..n]),
        }
    }
}

fn carry(client: &mut TcpStream, to: u16, request: &[u8], fate: &Fate) -> std::io::Result<()> {
    if let Fate::Answered(status, body) = fate {
        let long = body.len();
        return write!(
            client,
            "HTTP/1.1 {status} x\r\ncontent-length: {long}\r\nconnection: close\r\n\r\n{body}"
        );
    }
    if let Fate::Held(_) = fate {
        return Ok(());
    }
    let mut server = TcpStream::connect(("127.0.0.1", to))?;
    let going = match fate {
        Fate::CutGoing(most) => request.len().min(*most),
        _ => request.len(),
    };
    server.write_all(&request[..going])?;
    if going < request.len() {
        return Ok(());
    }
    let mut answer = Vec::new();
    server.read_to_end(&mut answer)?;
    if let Fate::HeldAfter(_) = fate {
        return Ok(());
    }
    let coming = match fate {
        Fate::CutComing(most) => answer.len().min(*most),
        _ => answer.len(),
    };
    client.write_all(&answer[..coming])
}
