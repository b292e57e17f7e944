//! The comments of a JPEG (ITU-T T.81, B.2.4.5), of every picture that a file holds.

use memchr::memmem;

use crate::photo::disclosed::Disclosed;

/// Begin of a picture, and of the marker behind it.
const BEGIN: &[u8] = b"\xff\xd8\xff";
const COMMENT: u8 = 0xfe;
const SCAN: u8 = 0xda;
const END: u8 = 0xd9;

/// Reads the comments that stand before the first scan of each picture.
pub(super) fn search(bytes: &[u8], found: &mut Disclosed) {
    for start in memmem::find_iter(bytes, BEGIN) {
        segments(&bytes[start + 2..], found);
    }
}

fn segments(mut bytes: &[u8], found: &mut Disclosed) {
    while let [0xff, marker, rest @ ..] = bytes {
        match *marker {
            SCAN | END => return,
            // A marker may be filled up before.
            0xff => {
                bytes = &bytes[1..];
                continue;
            }
            _ => {}
        }
        let Some(size) = rest.first_chunk() else {
            return;
        };
        let size = usize::from(u16::from_be_bytes(*size));
        let Some(body) = rest.get(2..size) else {
            return;
        };
        if *marker == COMMENT {
            found.word(&String::from_utf8_lossy(body));
        }
        bytes = &rest[size..];
    }
}
