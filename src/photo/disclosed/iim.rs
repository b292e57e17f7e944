//! The records of news agencies (IPTC Information Interchange Model 4), as editors still write them.

use memchr::memmem;

use crate::photo::disclosed::Disclosed;
use crate::photo::disclosed::text;

/// A resource of an editor's block that holds records.
const RESOURCE: &[u8] = b"8BIM\x04\x04";

/// Data sets of record 2: location code, location name, city, sublocation, state, country code, country.
const PLACES: [u8; 7] = [26, 27, 90, 92, 95, 100, 101];
/// By-line, credit, copyright notice, contact, writer.
const NAMES: [u8; 5] = [80, 110, 116, 118, 122];
/// Title, headline.
const WORDS: [u8; 2] = [5, 105];
const KEYWORD: u8 = 25;
const CAPTION: u8 = 120;

/// Reads every resource that stands anywhere.
pub(super) fn search(bytes: &[u8], found: &mut Disclosed) {
    for start in memmem::find_iter(bytes, RESOURCE) {
        let at = start + RESOURCE.len();
        // A name of a counted length, filled up to an even number, then the size.
        let Some(name) = bytes.get(at).map(|it| usize::from(*it) + 1) else {
            return;
        };
        let at = at + name.next_multiple_of(2);
        let Some(size) = bytes.get(at..).and_then(|it| it.first_chunk()) else {
            continue;
        };
        let size = usize::try_from(u32::from_be_bytes(*size)).unwrap_or(usize::MAX);
        let rest = &bytes[at + 4..];
        records(&rest[..size.min(rest.len())], found);
    }
}

/// Reads records: a mark, record, data set, length, value.
pub(super) fn records(mut bytes: &[u8], found: &mut Disclosed) {
    while let [0x1c, record, set, high, low, rest @ ..] = bytes {
        let length = usize::from(u16::from_be_bytes([*high, *low]));
        // The highest bit says that the length is that of the length, which only pictures need.
        if length >= 0x8000 {
            return;
        }
        let value = &rest[..length.min(rest.len())];
        let text = text(value);
        let told = value.iter().any(|it| ![0, b' '].contains(it));
        if *record == 2 && told {
            if PLACES.contains(set) {
                found.places.insert("its IPTC record");
            } else if NAMES.contains(set) {
                found.name(&text);
            } else if WORDS.contains(set) {
                found.word(&text);
            } else if *set == KEYWORD {
                found.keyword(&text);
            } else if *set == CAPTION {
                found.caption(&text);
            }
        }
        bytes = &rest[value.len()..];
    }
}
