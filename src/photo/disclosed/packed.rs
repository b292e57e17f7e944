//! Texts that are packed: chunks of a PNG, files of a zip (office documents too), streams of a PDF.

use std::io::Read;

use flate2::read::DeflateDecoder;
use flate2::read::ZlibDecoder;
use memchr::memmem;

use crate::photo::disclosed::Disclosed;
use crate::photo::disclosed::iim;

/// Unpacked, all that is looked into at once, bytes.
const MOST: u64 = 64 << 20;

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

/// Whether there is anything packed.
pub(super) fn any(bytes: &[u8]) -> bool {
    let mut some = false;
    each(bytes, &mut Disclosed::default(), |_, _| some = true);
    some
}

/// Unpacks everything, one after the other.
pub(super) fn each(
    bytes: &[u8],
    found: &mut Disclosed,
    mut job: impl FnMut(&[u8], &mut Disclosed),
) {
    for start in memmem::find_iter(bytes, PNG) {
        chunks(&bytes[start + PNG.len()..], found, &mut job);
    }
    if bytes.starts_with(b"PK") {
        for start in memmem::find_iter(bytes, b"PK\x03\x04") {
            if let Some(body) = zipped(&bytes[start..]) {
                unpack(DeflateDecoder::new(body), found, &mut job);
            }
        }
    }
    if memmem::find(&bytes[..bytes.len().min(1024)], b"%PDF").is_some() {
        for start in memmem::find_iter(bytes, b"stream") {
            let body = &bytes[start + 6..];
            let body = body.strip_prefix(b"\r").unwrap_or(body);
            let body = body.strip_prefix(b"\n").unwrap_or(body);
            if body.first().is_some_and(|it| it & 0x0f == 8) {
                unpack(ZlibDecoder::new(body), found, &mut job);
            }
        }
    }
}

type Job<'a> = &'a mut dyn FnMut(&[u8], &mut Disclosed);

/// What can be unpacked before an error counts too.
fn unpack(from: impl Read, found: &mut Disclosed, job: Job) {
    let mut bytes = Vec::new();
    let _ = from.take(MOST).read_to_end(&mut bytes);
    if bytes.len() as u64 == MOST {
        found.unread.insert("a packed part that is too long");
    }
    if !bytes.is_empty() {
        job(&bytes, found);
    }
}

/// The packed body of a file in a zip.
fn zipped(head: &[u8]) -> Option<&[u8]> {
    let short = |at: usize| {
        Some(usize::from(u16::from_le_bytes([
            *head.get(at)?,
            *head.get(at + 1)?,
        ])))
    };
    let is_deflated = short(8)? == 8;
    let start = 30 + short(26)? + short(28)?;
    is_deflated.then(|| head.get(start..)).flatten()
}

/// The texts of a PNG (PNG specification, 11.3.3).
fn chunks(mut bytes: &[u8], found: &mut Disclosed, job: Job) {
    while let Some(size) = bytes.first_chunk() {
        let size = usize::try_from(u32::from_be_bytes(*size)).unwrap_or(usize::MAX);
        let Some((kind, body)) = bytes.get(4..8).zip(bytes.get(8..size.saturating_add(8))) else {
            return;
        };
        let (word, rest) = split(body);
        match kind {
            b"tEXt" => said(word, rest, found, job),
            b"zTXt" => {
                let mut unpacked =
                    |text: &[u8], found: &mut Disclosed| said(word, text, found, job);
                unpack(
                    ZlibDecoder::new(rest.get(1..).unwrap_or(&[])),
                    found,
                    &mut unpacked,
                );
            }
            b"iTXt" => {
                let packed = rest.first() == Some(&1);
                let text = split(split(rest.get(2..).unwrap_or(&[])).1).1;
                let mut unpacked =
                    |text: &[u8], found: &mut Disclosed| said(word, text, found, job);
                match packed {
                    true => unpack(ZlibDecoder::new(text), found, &mut unpacked),
                    false => unpacked(text, found),
                }
            }
            b"IEND" => return,
            _ => {}
        }
        bytes = &bytes[(size + 12).min(bytes.len())..];
    }
}

/// Up to the next zero, and behind it.
fn split(bytes: &[u8]) -> (&[u8], &[u8]) {
    let end = bytes.iter().position(|it| *it == 0).unwrap_or(bytes.len());
    (&bytes[..end], bytes.get(end + 1..).unwrap_or(&[]))
}

/// A text under its keyword; some programs write whole blocks as digits.
fn said(word: &[u8], text: &[u8], found: &mut Disclosed, job: Job) {
    match word {
        b"Author" | b"Copyright" => found.name(&String::from_utf8_lossy(text)),
        _ if word.starts_with(b"Raw profile type") => {
            // A line with its name, one with its length, then the digits.
            let lines = text.split(|it| *it == b'\n').filter(|it| !it.is_empty());
            let digits: Vec<u8> = lines
                .skip(2)
                .flatten()
                .filter_map(|it| char::from(*it).to_digit(16))
                .map(|it| it as u8)
                .collect();
            let bytes: Vec<u8> = digits
                .chunks_exact(2)
                .map(|it| it[0] << 4 | it[1])
                .collect();
            iim::records(&bytes, found);
            job(&bytes, found);
        }
        // What programs write of themselves, and blocks that are read as such.
        b"Software" | b"Creation Time" | b"XML:com.adobe.xmp" => {}
        _ if word.contains(&b':') => {}
        _ => found.word(&String::from_utf8_lossy(text)),
    }
    job(text, found);
}
