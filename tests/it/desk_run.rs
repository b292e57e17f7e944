//! `asfound mark` as it is run in a terminal.

use std::fs;
use std::io::BufRead as _;
use std::io::BufReader;
use std::io::Read as _;
use std::process::Child;
use std::process::Command;
use std::process::Stdio;
use std::sync::atomic::AtomicUsize;
use std::sync::atomic::Ordering;
use std::time::Duration;
use std::time::Instant;

use serde_json::Value;

use crate::desk_client::PATIENCE;
use crate::desk_client::read_answer;
use crate::shop::Ran;
use crate::shop::Shop;
use samples::Exif;

/// A shop with one photo in its book.
fn shop() -> Shop {
    let shop = Shop::with_piece();
    shop.photo("IMG_1.jpg", |_| ());
    shop.import();
    shop
}

/// A run of the program that goes on; killed when dropped.
struct Run {
    child: Child,
    /// The first line of standard output.
    line: String,
}

impl Run {
    fn of(shop: &Shop, words: &[&str]) -> Self {
        let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
        command
            .arg("mark")
            .args(words)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap())
            .read_line(&mut line)
            .unwrap();
        Self { child, line }
    }

    /// The address without its fragment.
    fn address(&self) -> &str {
        self.line.trim().split('#').next().unwrap()
    }

    /// Waits until the page answers.
    fn answers(&self) -> String {
        let rest = self.address().strip_prefix("http://").unwrap();
        let (host, secret) = rest.split_once('/').unwrap();
        let begun = Instant::now();
        loop {
            if let Ok(mut stream) = std::net::TcpStream::connect(host) {
                let ask =
                    format!("GET /{secret} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
                let mut answer = String::new();
                std::io::Write::write_all(&mut stream, ask.as_bytes()).unwrap();
                stream.read_to_string(&mut answer).unwrap();
                assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
                return answer;
            }
            assert!(begun.elapsed() < PATIENCE, "no answer");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Sends it a signal by its name, and waits until it is gone.
    #[cfg(unix)]
    fn signal(mut self, name: &str) -> Ran {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-s", name, &id]).status();
        assert!(sent.unwrap().success());
        let status = self.child.wait().unwrap();
        let mut stderr = Vec::new();
        let mut from = self.child.stderr.take().unwrap();
        from.read_to_end(&mut stderr).unwrap();
        let it = std::process::Output {
            status,
            stdout: self.line.clone().into_bytes(),
            stderr,
        };
        Ran::ended(format!("mark, then {name}"), it)
    }
}

impl Drop for Run {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[cfg(unix)]
#[test]
fn it_prints_its_address_and_ends_well_at_ctrl_c() {
    let shop = shop();
    for name in ["INT", "TERM"] {
        let run = Run::of(&shop, &["26-001", "--no-open"]);
        run.answers();
        let line = run.line.clone();
        let plain = line.trim_end().strip_prefix("http://127.0.0.1:").unwrap();
        let (port, secret) = plain.split_once('/').unwrap();
        assert!(port.parse::<u16>().is_ok() && secret.len() == 64, "{line}");
        run.signal(name)
            .code(0)
            .stderr("it stays on this machine; Ctrl-C ends it\nclosed; no sidecar was changed\n");
    }
    let run = Run::of(&shop, &["26-001", "--no-open", "--photo", "1"]);
    assert!(run.line.ends_with("#picture/1\n"), "{}", run.line);
    assert!(run.answers().contains("location: /#picture/1\r\n"));
    let text = shop.stored("1 purchase 2026-05-03/IMG_1.jpg.toml");
    fs::write(text, "view = \"front_whole\"\n").unwrap();
    run.signal("INT")
        .code(0)
        .says("closed; 1 sidecar changed\n");
}

#[cfg(unix)]
#[test]
fn killed_and_started_again_it_is_where_it_was() {
    let shop = shop();
    let first = Run::of(&shop, &["26-001", "--no-open"]);
    let cookie = |answer: &str| {
        let lines = answer.lines().map(str::to_owned);
        lines
            .filter(|it| it.starts_with("set-cookie"))
            .collect::<Vec<_>>()
    };
    let (line, given) = (first.line.clone(), cookie(&first.answers()));
    let second = shop.run(&["mark", "26-001", "--no-open"]);
    let told = format!("the marking page of this book is open already, for 26-001, at {line}");
    let second = second.code(2).stdout("").says(&told);
    assert!(second.err().contains("Ctrl-C in its window"), "{second}");
    drop(first);
    let again = Run::of(&shop, &["26-001", "--no-open"]);
    assert_eq!(again.line, line);
    assert_eq!(cookie(&again.answers()), given);
    drop(again);
    let told = Run::of(&shop, &["26-001", "--no-open", "--json"]);
    let told: Value = serde_json::from_str(&told.line).unwrap();
    assert_eq!(
        told,
        serde_json::json!({ "piece": "26-001", "address": line.trim() })
    );
}

#[test]
fn what_cannot_be_opened_is_told() {
    let shop = shop();
    shop.run(&["mark", "26-009", "--no-open"])
        .code(2)
        .stdout("")
        .stderr(
            "could not: there is no piece 26-009 in this book\n  `asfound stock` lists the pieces\n",
        );
    shop.run(&["mark", "26-001", "--no-open", "--photo", "7"])
        .code(2)
        .stdout("")
        .stderr(
            "could not: 26-001 has no photo 7\n  `asfound survey` counts the photos of a piece\n",
        );
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    shop.run(&["mark", "26-001", "--no-open", "--port", &port])
        .code(2)
        .stdout("")
        .says(&format!("port {port} of 127.0.0.1 cannot be had, because"));
    // Stands for a folder that cannot be written to, also where the tests run as one who may do all.
    fs::remove_file(shop.path("book/.desk.lock")).unwrap();
    fs::create_dir(shop.path("book/.desk.lock")).unwrap();
    shop.run(&["mark", "26-001", "--no-open"])
        .code(2)
        .stdout("")
        .stderr(&format!(
            "could not: this book cannot be written to here, so nothing said on the page could be kept, because could not open `{}`\n  \
             copy the book to a place where you may write, or change the rights of its folder\n",
            shop.path("book/.desk.lock").display()
        ));
}

#[test]
fn a_machine_without_a_browser_is_told_and_served() {
    let shop = shop();
    let mut command = shop.command(env!("CARGO_BIN_EXE_asfound"));
    command
        .args(["mark", "26-001"])
        .env("PATH", shop.path("nowhere"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
    let first = lines.next().unwrap().unwrap();
    let second = lines.next().unwrap().unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    if cfg!(target_os = "linux") {
        assert!(first.contains("no browser could be started"), "{first}");
        assert_eq!(second, "it stays on this machine; Ctrl-C ends it");
    }
}

#[test]
fn its_files_disturb_no_other_command() {
    let shop = shop();
    let run = Run::of(&shop, &["26-001", "--no-open"]);
    run.answers();
    assert!(shop.path("book/.desk.session").is_file());
    shop.run(&["seal"]).code(0);
    shop.run(&["verify"]).code(0);
    shop.photo("IMG_2.jpg", |_| ());
    shop.import().says("1 photo taken");
    shop.run(&["survey", "26-001"]).code(0);
    drop(run);
    shop.run(&["verify"]).code(0);
    assert!(shop.stored_names().iter().all(|it| !it.contains(".desk")));
}

/// A large piece, all of it looked at: what the program holds at its most, Linux.
#[cfg(target_os = "linux")]
#[test]
fn five_hundred_photos_do_not_fill_the_memory() {
    let shop = Shop::with_piece();
    for no in 0..500 {
        let time = format!("2026:05:03 {:02}:{:02}:00", 8 + no / 60, no % 60);
        let jpeg = samples::jpeg_seeded(200, 60, no, &Exif::taken(&time));
        shop.file(format!("IMG_{no}.jpg"), &jpeg);
    }
    shop.import().says("500 photos taken");
    // Then each picture is made anew.
    fs::remove_file(shop.path("book/previews.db")).unwrap();
    let run = Run::of(&shop, &["26-001", "--no-open"]);
    let answer = run.answers();
    let cookie = answer.split("set-cookie: ").nth(1).unwrap();
    let cookie = cookie.split(';').next().unwrap();
    let host = run.address().split('/').nth(2).unwrap();
    let thumbs = (1..=500).map(|no| format!("/picture/{no}/thumb"));
    let middles = (1..=50).map(|no| format!("/picture/{no}/middle"));
    let fulls = (1..=20).map(|no| format!("/picture/{no}/full"));
    let asked: Vec<String> = thumbs.chain(middles).chain(fulls).collect();
    let bytes = AtomicUsize::new(0);
    // As many connections as browsers open to one host.
    std::thread::scope(|scope| {
        for lane in 0..6 {
            let (asked, bytes) = (&asked, &bytes);
            scope.spawn(move || {
                let mut stream = std::net::TcpStream::connect(host).unwrap();
                for path in asked.iter().skip(lane).step_by(6) {
                    let head =
                        format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\r\n");
                    std::io::Write::write_all(&mut stream, head.as_bytes()).unwrap();
                    let got = read_answer(&mut stream);
                    assert_eq!(got.status, 200, "{path}: {got:?}");
                    bytes.fetch_add(got.body.len(), Ordering::Relaxed);
                }
            });
        }
    });
    let status = fs::read_to_string(format!("/proc/{}/status", run.child.id())).unwrap();
    let peak = status
        .lines()
        .find_map(|it| it.strip_prefix("VmHWM:"))
        .unwrap();
    let peak: usize = peak.trim().trim_end_matches(" kB").parse().unwrap();
    assert!(bytes.into_inner() > 570 * 500, "pictures came");
    assert!(peak < 150 * 1024, "{peak} kB at its most");
}
