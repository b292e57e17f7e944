//! How well faces are laid from picture to picture: `cargo bench --bench place -- FOLDER... [--rows a,b] [--every N] [--each]`.
//! With `--every 3` only every third case is looked at.
//!
//! A folder holds `photos/` and `truth.json`: rendered pictures of a piece with the map of every face into every picture, and
//! pairs of pictures that show the same face. The error is the mean distance, over 400 points that the first picture shows of
//! the face and that lie in the second, of where the face was laid from where it is, px of a picture of 1600 px. Every second
//! pair is held back: nothing was tuned on it. The last rows, `book`, take the folder as one piece with each face known in one
//! picture.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a program for the screen, and a test"
)]

mod book;
mod cases;
mod change;
mod set;
mod table;

use std::path::Path;
use std::path::PathBuf;
use std::process::Command;

use cases::Row;
use set::Set;

fn main() {
    let mut folders = Vec::new();
    let (mut rows, mut each, mut every) = (Row::all(), false, 1);
    let (mut peer, mut book) = (true, true);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--bench" => {}
            "--each" => each = true,
            "--every" => every = args.next().unwrap().parse().unwrap(),
            "--rows" => {
                let names = args.next().unwrap();
                let asked = |name: &str| names.split(',').any(|it| it == name);
                (peer, book) = (asked("peer"), asked("book"));
                rows = Row::named(&names);
            }
            folder => folders.push(PathBuf::from(folder)),
        }
    }
    if folders.is_empty() {
        println!("no photos: cargo bench --bench place -- FOLDER...; left out");
    }
    for folder in &folders {
        let set = Set::read(folder);
        println!("\n{}", folder.display());
        table::head();
        for row in &rows {
            table::print(row.name, &cases::run(&set, *row, every), each);
        }
        if book {
            table::book(&book::run(&set), each);
        }
        table::prepared(&set.cpu.into_inner().unwrap());
        if peer {
            ask_peer(folder);
        }
    }
}

/// The same pairs by a general-purpose library, where its tools are there.
fn ask_peer(folder: &Path) {
    let script = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/bench/place_peer.sh"
    );
    let done = Command::new("bash").arg(script).arg(folder).status();
    if !done.is_ok_and(|it| it.success()) {
        println!("left out: the peer could not be run");
    }
}
