//! The way to an authority and back, against small servers of our own on this machine.

use std::io::BufRead as _;
use std::io::BufReader;
use std::io::Read as _;
use std::io::Write as _;
use std::net::TcpListener;
use std::net::TcpStream;
use std::process::Command;
use std::process::Stdio;
use std::thread;
use std::thread::JoinHandle;
use std::time::Duration;
use std::time::Instant;

use asfound::work::proof::authority::AuthorityError;
use asfound::work::proof::authority::Patience;
use asfound::work::proof::authority::ask;

use crate::stamp_office::Office;
use crate::stamp_office::VALID;
use crate::stamp_office::ready;

/// What one server was asked: the lines of the head, in small letters, and the body.
pub(crate) struct Asked {
    head: Vec<String>,
    pub(crate) body: Vec<u8>,
}

fn listen(stream: &TcpStream) -> Asked {
    let mut reader = BufReader::new(stream);
    let mut head = Vec::new();
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).unwrap();
        let line = line.trim_end().to_lowercase();
        if line.is_empty() {
            break;
        }
        head.push(line);
    }
    let length = head
        .iter()
        .find_map(|it| it.strip_prefix("content-length: "))
        .map_or(0, |it| it.parse().unwrap());
    let mut body = vec![0; length];
    reader.read_exact(&mut body).unwrap();
    Asked { head, body }
}

/// A server that takes this many questions and answers each as told; gives its address.
pub(crate) fn serve(
    questions: usize,
    answer: impl Fn(usize, Asked, &mut TcpStream) + Send + 'static,
) -> (String, JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("http://{}/tsa", listener.local_addr().unwrap());
    let thread = thread::spawn(move || {
        for no in 0..questions {
            let (mut stream, _) = listener.accept().unwrap();
            let asked = listen(&stream);
            answer(no, asked, &mut stream);
        }
    });
    (address, thread)
}

/// The head of an answer.
fn head(status: &str, more: &str) -> Vec<u8> {
    format!("HTTP/1.1 {status}\r\nConnection: close\r\n{more}\r\n").into_bytes()
}

pub(crate) const KIND: &str = "Content-Type: application/timestamp-reply\r\n";

/// Asks a server that sends these bytes and hangs up.
fn answered(bytes: Vec<u8>) -> Result<Vec<u8>, AuthorityError> {
    let (address, thread) = serve(1, move |_, _, stream| {
        // The client may hang up before the last byte.
        let _ = stream.write_all(&bytes);
    });
    let reply = ask(&address, b"question", Patience::default());
    thread.join().unwrap();
    reply
}

pub(crate) fn sent(status: &str, more: &str, body: &[u8]) -> Vec<u8> {
    let length = format!("Content-Length: {}\r\n{more}", body.len());
    [head(status, &length), body.to_vec()].concat()
}

#[test]
fn a_real_authority_is_asked_and_its_reply_is_good() {
    if !ready() {
        return;
    }
    let office = Office::with_authority("P-256");
    let request = office.request("mine");
    // The authority learns the request from the line alone.
    let (address, thread) = {
        let office = Office::with_authority("P-256");
        let root = office.read("root.pem");
        let (send, take) = std::sync::mpsc::channel();
        send.send(root).unwrap();
        let served = serve(1, move |_, asked, stream| {
            assert_eq!(asked.head[0], "post /tsa http/1.1");
            for line in [
                "content-type: application/timestamp-query",
                "accept: application/timestamp-reply",
            ] {
                assert!(asked.head.iter().any(|it| it == line), "{:?}", asked.head);
            }
            office.write("line.tsq", &asked.body);
            let reply = office.reply("line", "");
            let kind = "Content-Type: Application/Timestamp-Reply; a=b\r\n";
            stream.write_all(&sent("200 OK", kind, &reply)).unwrap();
        });
        (served.0, (served.1, take.recv().unwrap()))
    };
    let reply = ask(&address, &request, Patience::default()).unwrap();
    thread.0.join().unwrap();
    office.write("their-root.pem", &thread.1);
    let stamp = office.check_with(&request, &reply, "their-root.pem", &[]);
    assert_eq!(stamp.unwrap().authority, "Test tsa");
}

#[test]
fn an_answer_that_is_no_reply_is_named() {
    let fault = answered(sent("200 OK", "Content-Type: text/html\r\n", b"<p>hello")).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "`127.0.0.1` sent `text/html` instead of a time-stamp reply"
    );
    let fault = answered(sent("200 OK", "", b"x")).unwrap_err();
    assert!(fault.to_string().contains("`nothing named`"), "{fault}");
    for status in [
        "500 Oh",
        "404 No",
        "401 Who",
        "303 There",
        "204 Nothing",
        "301 Nowhere",
    ] {
        let fault = answered(sent(status, KIND, b"")).unwrap_err();
        let want = format!("HTTP status {}", &status[..3]);
        assert!(fault.to_string().contains(&want), "{fault}");
    }
    let fault = answered(b"hello\r\n\r\n".to_vec()).unwrap_err();
    assert!(matches!(fault, AuthorityError::Broken(..)), "{fault:?}");
}

#[test]
fn a_huge_answer_is_cut_off() {
    let most = 1 << 20;
    let full = vec![7; most];
    assert_eq!(answered(sent("200 OK", KIND, &full)).unwrap(), full);
    let fault = answered(sent("200 OK", KIND, &vec![7; most + 1])).unwrap_err();
    assert!(matches!(fault, AuthorityError::Long(_)), "{fault:?}");
    // Without a length, until the client hangs up.
    let (address, thread) = serve(1, |_, _, stream| {
        stream.write_all(&head("200 OK", KIND)).unwrap();
        while stream.write_all(&[7; 8192]).is_ok() {}
    });
    let fault = ask(&address, b"question", Patience::default()).unwrap_err();
    assert!(matches!(fault, AuthorityError::Long(_)), "{fault:?}");
    thread.join().unwrap();
    // A head without an end.
    let (address, thread) = serve(1, |_, _, stream| {
        let _ = stream.write_all(b"HTTP/1.1 200 OK\r\n");
        while stream.write_all(b"X-More: and more\r\n").is_ok() {}
    });
    let fault = ask(&address, b"question", Patience::default()).unwrap_err();
    assert!(matches!(fault, AuthorityError::Broken(..)), "{fault:?}");
    thread.join().unwrap();
}

#[test]
fn a_slow_answer_is_not_waited_for() {
    let hasty = Patience {
        connect: Duration::from_millis(400),
        all: Duration::from_millis(800),
    };
    let silent = |_: usize, _: Asked, stream: &mut TcpStream| {
        let _ = stream.read(&mut [0; 1]);
    };
    let dripping = |_: usize, _: Asked, stream: &mut TcpStream| {
        let _ = stream.write_all(&head("200 OK", &format!("{KIND}Content-Length: 9999\r\n")));
        while stream.write_all(b"x").is_ok() {
            thread::sleep(Duration::from_millis(50));
        }
    };
    for (address, thread) in [serve(1, silent), serve(1, dripping)] {
        let begun = Instant::now();
        let fault = ask(&address, b"question", hasty).unwrap_err();
        assert!(begun.elapsed() < Duration::from_secs(20));
        assert_eq!(fault.to_string(), "`127.0.0.1` did not answer in time");
        thread.join().unwrap();
    }
}

#[test]
fn a_line_that_breaks_is_told() {
    let fault = answered(Vec::new()).unwrap_err();
    assert!(
        matches!(fault, AuthorityError::Unreachable(..)),
        "{fault:?}"
    );
    let mut cut = sent("200 OK", KIND, &[7; 100]);
    cut.truncate(cut.len() - 40);
    let fault = answered(cut).unwrap_err();
    assert!(
        matches!(
            fault,
            AuthorityError::Unreachable(..) | AuthorityError::Broken(..)
        ),
        "{fault:?}"
    );
    // Nobody listens at a port that has just been given back.
    let address = TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap();
    let fault = ask(
        &format!("http://{address}"),
        b"question",
        Patience::default(),
    )
    .unwrap_err();
    assert!(
        matches!(fault, AuthorityError::Unreachable(..)),
        "{fault:?}"
    );
    let nowhere = ask(
        "http://nowhere.invalid/tsa",
        b"question",
        Patience::default(),
    );
    assert!(nowhere.is_err());
}

#[test]
fn a_question_is_sent_on_three_times_and_no_more() {
    let (address, thread) = serve(4, |no, asked, stream| {
        assert_eq!(asked.body, b"question");
        assert!(asked.head[0].starts_with("post /"), "{}", asked.head[0]);
        let answer = match no {
            0 => sent("307 On", "Location: /b/c\r\n", b""),
            1 => sent("302 On", "Location: d\r\n", b""),
            2 => sent("308 On", "Location: /e\r\n", b"moved"),
            _ => sent("200 OK", KIND, asked.head[0].as_bytes()),
        };
        stream.write_all(&answer).unwrap();
    });
    let reply = ask(&address, b"question", Patience::default()).unwrap();
    assert_eq!(reply, b"post /e http/1.1");
    thread.join().unwrap();
    let (address, thread) = serve(4, |_, _, stream| {
        let answer = sent("307 On", "Location: /tsa\r\n", b"");
        stream.write_all(&answer).unwrap();
    });
    let fault = ask(&address, b"question", Patience::default()).unwrap_err();
    assert!(matches!(fault, AuthorityError::Redirects(_)), "{fault:?}");
    thread.join().unwrap();
}

/// A machine whose certificate no root of the web stands behind, and one that does not speak TLS at all.
#[test]
fn a_safe_connection_is_only_made_to_who_proves_it() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let open = listener.local_addr().unwrap();
    let thread = thread::spawn(move || {
        let (mut stream, _) = listener.accept().unwrap();
        let _ = stream.read(&mut [0; 1024]);
        let _ = stream.write_all(&sent("400 What", "", b"speak plainly"));
    });
    let fault = ask(
        &format!("https://{open}/tsa"),
        b"question",
        Patience::default(),
    );
    let fault = fault.unwrap_err();
    assert!(matches!(fault, AuthorityError::Untrusted(..)), "{fault:?}");
    thread.join().unwrap();
    if !ready() {
        return;
    }
    let office = Office::new("P-256");
    office.key("web", "P-256");
    let name = "subjectAltName=IP:127.0.0.1\nextendedKeyUsage=serverAuth\n";
    office.certify("web", "root", name, VALID);
    let free = TcpListener::bind("127.0.0.1:0")
        .unwrap()
        .local_addr()
        .unwrap();
    let mut server = Command::new("openssl")
        .args([
            "s_server", "-quiet", "-www", "-key", "web.key", "-cert", "web.pem", "-accept",
        ])
        .arg(free.port().to_string())
        .current_dir(office.folder())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let up = (0..100).any(|_| {
        thread::sleep(Duration::from_millis(100));
        TcpStream::connect(free).is_ok()
    });
    let fault = ask(
        &format!("https://{free}/tsa"),
        b"question",
        Patience::default(),
    );
    server.kill().unwrap();
    server.wait().unwrap();
    assert!(up);
    let fault = fault.unwrap_err();
    assert!(matches!(fault, AuthorityError::Untrusted(..)), "{fault:?}");
    // TLS itself works: it is the unknown root that is refused.
    let why = std::error::Error::source(&fault).unwrap().to_string();
    assert!(why.contains("UnknownIssuer"), "{why}");
}
