//! What a file tells of places and people, wherever in it that stands. In: bytes. Out: places, names, serial numbers.
//!
//! The bytes are searched for what such facts begin with (Exif directories, XMP packets, IPTC records, boxes of films, comments), so
//! that it does not matter whether a block lies in its usual place, behind the end of the picture, in a second picture, or in
//! a file that is no picture. What is packed is unpacked and searched too. Maker notes are read for the owner's name alone.

use std::collections::BTreeSet;

use serde::Serialize;

mod boxes;
mod comment;
mod directories;
mod iim;
mod packed;
mod xmp;

pub(in crate::photo) use xmp::packets;
pub(in crate::photo) use xmp::values_of;

/// So deep is what is packed inside of packed texts unpacked.
const DEPTH: u8 = 3;

/// What a file tells of places and people.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Disclosed {
    /// Where it tells, or may tell, a place: the kinds of blocks, in words.
    pub places: BTreeSet<&'static str>,
    /// Names of the owner, the photographer, whoever holds the rights, or is in the picture, as written.
    pub names: BTreeSet<String>,
    /// Serial numbers of body and lens, as written.
    pub serials: BTreeSet<String>,
    /// Keywords, titles, captions, comments and names of regions, as written.
    pub words: BTreeSet<String>,
    /// Parts that could not be looked through, in words.
    pub unread: BTreeSet<&'static str>,
    /// Of those words, the keywords that stand in records and camera facts, as written.
    #[serde(skip)]
    pub(in crate::photo) keywords: Vec<String>,
    /// Of those words, the captions that stand there, as written.
    #[serde(skip)]
    pub(in crate::photo) captions: Vec<String>,
}

impl Disclosed {
    /// Whether it tells a place, or holds something of which nobody knows.
    #[must_use]
    pub fn may_hold_a_place(&self) -> bool {
        !self.places.is_empty() || !self.unread.is_empty()
    }

    /// Whether it tells anything of these, or holds something of which nobody knows.
    #[must_use]
    pub fn tells(&self) -> bool {
        *self != Self::default()
    }

    fn name(&mut self, text: &str) {
        keep(&mut self.names, text);
    }

    fn word(&mut self, text: &str) {
        keep(&mut self.words, text);
    }

    fn keyword(&mut self, text: &str) {
        self.word(text);
        self.keywords.push(text.to_owned());
    }

    fn caption(&mut self, text: &str) {
        self.word(text);
        self.captions.push(text.to_owned());
    }

    fn serial(&mut self, text: &str) {
        keep(&mut self.serials, text);
    }
}

fn keep(all: &mut BTreeSet<String>, text: &str) {
    let blank = |c: char| c == '\0' || c.is_whitespace();
    let text = text.trim_matches(blank).replace(char::is_control, " ");
    if !text.is_empty() {
        all.insert(text);
    }
}

/// The keywords and captions that stand in records of news agencies and in camera facts, as written.
pub(in crate::photo) fn said_of_the_picture(bytes: &[u8]) -> (Vec<String>, Vec<String>) {
    let mut found = Disclosed::default();
    iim::search(bytes, &mut found);
    directories::search(bytes, &mut found);
    (found.keywords, found.captions)
}

/// Text as writers leave it: UTF-8, or else one byte a letter (ISO 8859-1).
fn text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|it| char::from(*it)).collect(),
    }
}

/// Looks through a file of any kind. Never panics on what is broken.
#[must_use]
pub fn disclosed(bytes: &[u8]) -> Disclosed {
    let mut found = Disclosed::default();
    search(bytes, DEPTH, &mut found);
    found
}

fn search(bytes: &[u8], depth: u8, found: &mut Disclosed) {
    directories::search(bytes, found);
    xmp::search(bytes, found);
    iim::search(bytes, found);
    boxes::search(bytes, found);
    comment::search(bytes, found);
    match depth.checked_sub(1) {
        Some(depth) => packed::each(bytes, found, |inner, found| search(inner, depth, found)),
        None if packed::any(bytes) => {
            found.unread.insert("texts packed inside of packed texts");
        }
        None => {}
    }
}

#[cfg(test)]
mod tests;
