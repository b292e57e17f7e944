//! How well faces are laid from picture to picture: `cargo bench --bench place -- FOLDER... [--rows a,b] [--each]`.
//!
//! A folder holds `photos/` and `truth.json`: rendered pictures of a piece with the map of every face into every picture, and
//! pairs of pictures that show the same face. The error is the mean distance, over 400 points that the first picture shows of
//! the face and that lie in the second, of where the face was laid from where it is, px of a picture of 1600 px. Every second
//! pair is held back: nothing was tuned on it.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a program for the screen, and a test"
)]

mod cases;
mod change;
mod set;
mod table;

use std::path::PathBuf;

use cases::Row;
use set::Set;

fn main() {
    let mut folders = Vec::new();
    let (mut rows, mut each) = (Row::all(), false);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--bench" => {}
            "--each" => each = true,
            "--rows" => rows = Row::named(&args.next().unwrap()),
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
            table::print(row.name, &cases::run(&set, *row), each);
        }
        table::prepared(&set.cpu.into_inner().unwrap());
    }
}
