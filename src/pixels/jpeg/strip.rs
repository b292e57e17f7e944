//! A JPEG without what the camera wrote beside its picture; its picture to the bit.

use zune_core::bytestream::ZCursor;
use zune_jpeg::JpegDecoder;

use crate::PhotoError;
use crate::colour::numbers_alone;
use crate::header::broken;
use crate::jpeg::entropy::is_exact;
use crate::jpeg::next_marker;
use crate::jpeg::segment;

/// Copies of the first picture of a JPEG (ITU-T T.81, annex B) what a decoder needs: the frame, the scans, and of the tables those that
/// a scan uses. Kept are besides those on which its colours depend: the numbers of a profile (ICC.1, annex B.4) and the mark of the
/// colour transform (T.872); JFIF is written anew without its small picture, the orientation as the only field of a new Exif block.
/// Refused is a picture among whose coded data anything else lies.
pub(crate) fn stripped(bytes: &[u8], orientation: Option<u16>) -> Result<Vec<u8>, PhotoError> {
    let ended = || broken("it ends before its picture does");
    let mut out = bytes.get(..2).ok_or_else(ended)?.to_vec();
    let turned = orientation.filter(|it| (2..=8).contains(it));
    let mut block = turned.map(exif);
    let mut profile = profile(bytes)?;
    let all = segments(bytes).ok_or_else(ended)?;
    for (n, it) in all.iter().enumerate() {
        let (marker, body, later) = (it.marker, it.body, &all[n + 1..]);
        // JFIF wants to stand first.
        if !body.starts_with(b"JFIF\0")
            && let Some(block) = block.take()
        {
            put(&mut out, 0xe1, &block);
        }
        match marker {
            0xe0 => {
                if let Some(head) = body.get(..12).filter(|it| it.starts_with(b"JFIF\0")) {
                    put(&mut out, marker, &[head, &[0, 0]].concat());
                }
            }
            0xe2 if body.starts_with(ICC) => {
                if let Some(whole) = profile.take() {
                    put(&mut out, marker, &[ICC, &[1, 1], &whole].concat());
                }
            }
            0xee if body.starts_with(b"Adobe") => {
                put(&mut out, marker, &body[..body.len().min(12)])
            }
            0xc0..=0xc3 => put(&mut out, marker, told(body, 5, 3, 0).ok_or_else(ended)?),
            0xdd => put(&mut out, marker, body.get(..2).ok_or_else(ended)?),
            0xda => {
                put(&mut out, marker, told(body, 0, 2, 3).ok_or_else(ended)?);
                out.extend(it.scan);
            }
            0xc4 | 0xdb => {
                let tables = tables(marker, body).ok_or_else(ended)?;
                let used = tables
                    .into_iter()
                    .filter(|it| is_used(marker, it[0], &all, later));
                let used = used.collect::<Vec<_>>().concat();
                if !used.is_empty() {
                    put(&mut out, marker, &used);
                }
            }
            _ => {}
        }
    }
    out.extend([0xff, 0xd9]);
    match is_exact(&out) {
        true => Ok(out),
        false => Err(broken("something else lies among its coded data")),
    }
}

/// A segment; of a scan with the coded data behind it.
struct Segment<'a> {
    marker: u8,
    body: &'a [u8],
    scan: &'a [u8],
}

/// The segments up to the end of the picture; `None` where it ends before that, or another begins inside of it.
fn segments(bytes: &[u8]) -> Option<Vec<Segment<'_>>> {
    let (mut at, mut all) = (2, Vec::new());
    loop {
        let (marker, start) = next_marker(bytes, at)?;
        match marker {
            0xd9 => return Some(all),
            0x01 | 0xd0..=0xd7 => {
                at = start;
                continue;
            }
            0xd8 => return None,
            _ => {}
        }
        let body = segment(bytes, start)?;
        at = start + 2 + body.len();
        let end = match marker {
            0xda => scan_end(bytes, at),
            _ => at,
        };
        let scan = &bytes[at..end];
        at = end;
        all.push(Segment { marker, body, scan });
    }
}

/// Of a header the bytes that its count, which stands at `at`, tells of: so many for each, and `more`.
fn told(body: &[u8], at: usize, each: usize, more: usize) -> Option<&[u8]> {
    let count = usize::from(*body.get(at)?);
    body.get(..at + 1 + count * each + more)
}

/// The tables of a segment, each with its kind and number in its first byte (B.2.4.1 and B.2.4.2).
fn tables(marker: u8, mut body: &[u8]) -> Option<Vec<&[u8]>> {
    let mut all = Vec::new();
    while let Some(kind) = body.first() {
        let long = match (marker, kind >> 4) {
            (0xc4, _) => {
                16 + body
                    .get(1..17)?
                    .iter()
                    .map(|it| usize::from(*it))
                    .sum::<usize>()
            }
            (_, 0) => 64,
            _ => 128,
        };
        let (table, rest) = body.split_at_checked(1 + long)?;
        all.push(table);
        body = rest;
    }
    Some(all)
}

/// Whether a scan of the segments behind a table uses it, before another takes its place.
fn is_used(marker: u8, kind: u8, all: &[Segment<'_>], later: &[Segment<'_>]) -> bool {
    let number = |it: u8| it & 15;
    let same = |it: u8| match marker {
        0xc4 => it == kind,
        _ => number(it) == number(kind),
    };
    let frame = all.iter().find(|it| matches!(it.marker, 0xc0..=0xc3));
    let Some(frame) = frame else { return false };
    let parts = frame.body.get(6..).unwrap_or(&[]).chunks_exact(3);
    for it in later {
        if it.marker == marker {
            let again = tables(marker, it.body).unwrap_or_default();
            if again.iter().any(|it| same(it[0])) {
                return false;
            }
        }
        if it.marker != 0xda {
            continue;
        }
        let count = it.body.first().map_or(0, |it| usize::from(*it));
        let named = it.body.get(1..1 + 2 * count).unwrap_or(&[]).chunks_exact(2);
        let band = it.body.get(1 + 2 * count..).unwrap_or(&[]);
        let [from, to, steps] = [0, 1, 2].map(|n| band.get(n).copied().unwrap_or(0));
        let uses = named.into_iter().any(|of| match (marker, kind >> 4) {
            (0xc4, 0) => from == 0 && steps >> 4 == 0 && of[1] >> 4 == number(kind),
            (0xc4, _) => to > 0 && number(of[1]) == number(kind),
            _ => {
                let mut own = parts.clone().filter(|it| it[0] == of[0]);
                own.any(|it| number(it[2]) == number(kind))
            }
        });
        if uses {
            return true;
        }
    }
    false
}

/// How a segment of a profile begins; its number and the number of all follow.
const ICC: &[u8] = b"ICC_PROFILE\0";

/// The profile without its words, to fit into one segment; `None` where the picture has none.
fn profile(bytes: &[u8]) -> Result<Option<Vec<u8>>, PhotoError> {
    let mut decoder = JpegDecoder::new(ZCursor::new(bytes));
    decoder.decode_headers().map_err(broken)?;
    let Some(found) = decoder.icc_profile() else {
        return Ok(None);
    };
    let bare = numbers_alone(&found).filter(|it| it.len() < 65_000);
    let why = || broken("its profile cannot be written without its words");
    bare.map(Some).ok_or_else(why)
}

/// Puts an XMP packet into a JPEG, behind JFIF and Exif (ISO 16684-1, and XMP part 3, 1.1.3); `None` when it is no whole JPEG, or
/// the packet is too long for one segment.
pub(crate) fn with_xmp(bytes: &[u8], packet: &str) -> Option<Vec<u8>> {
    let body = [XMP, packet.as_bytes()].concat();
    if body.len() + 2 > usize::from(u16::MAX) {
        return None;
    }
    let mut at = 2;
    while let [0xff, 0xe0 | 0xe1] = bytes.get(at..at + 2)? {
        at += 4 + segment(bytes, at + 2)?.len();
    }
    let mut out = bytes[..at].to_vec();
    put(&mut out, 0xe1, &body);
    out.extend(&bytes[at..]);
    Some(out)
}

/// How the segment of an XMP packet begins.
const XMP: &[u8] = b"http://ns.adobe.com/xap/1.0/\0";

/// Where the coded data of a scan ends: at the next marker that is no restart.
fn scan_end(bytes: &[u8], mut at: usize) -> usize {
    while let Some((marker, start)) = next_marker(bytes, at) {
        if !matches!(marker, 0xd0..=0xd7) {
            return start - 2;
        }
        at = start;
    }
    bytes.len()
}

fn put(out: &mut Vec<u8>, marker: u8, body: &[u8]) {
    out.extend([0xff, marker]);
    // A body that was read or made here fits into a segment.
    out.extend(((body.len() + 2) as u16).to_be_bytes());
    out.extend(body);
}

/// An Exif block of one field, the orientation (CIPA DC-008, 4.6.2 and 4.6.4).
fn exif(orientation: u16) -> Vec<u8> {
    let head = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01";
    [head, &orientation.to_be_bytes()[..], &[0; 6]].concat()
}

#[cfg(test)]
mod tests {
    use super::stripped;
    use crate::colour::srgb;
    use crate::raster;
    use crate::{Format, Limits};
    use samples::Exif;

    fn pixels(bytes: &[u8]) -> Vec<u8> {
        let mut buffer = Vec::new();
        raster::decode(bytes, Format::Jpeg, Limits::default(), &mut buffer).unwrap();
        buffer
    }

    fn full() -> Vec<u8> {
        let exif = Exif {
            place: Some((48.2, 16.37, 171.0)),
            serial: Some("A-77".to_owned()),
            ..Exif::held(6)
        };
        let photo = samples::jpeg(64, 48, &exif);
        let photo = samples::with_segment(&photo, 0xfe, b"a comment by Ann Ohm");
        let photo = samples::with_segment(&photo, 0xed, b"Photoshop 3.0\0Linz");
        let profile = [b"ICC_PROFILE\0\x01\x01".as_slice(), srgb(), b"Ann Ohm"].concat();
        samples::with_segment(&photo, 0xe2, &profile)
    }

    #[test]
    fn the_picture_stays_and_the_rest_goes() {
        let photo = full();
        let second = samples::jpeg(16, 9, &Exif::taken("2026:05:03 10:02:11"));
        let copy = stripped(&[photo.clone(), second].concat(), Some(6)).unwrap();
        assert_eq!(pixels(&copy), pixels(&photo));
        let holds = |what: &[u8]| copy.windows(what.len()).any(|it| it == what);
        assert!(!holds(b"A-77") && !holds(b"Ann Ohm") && !holds(b"Linz") && !holds(b"2026"));
        assert!(holds(b"ICC_PROFILE\0\x01\x01"));
        assert_eq!(crate::exif_blocks(&copy, Format::Jpeg).count, 1);
        // The end marker is the last of it.
        assert!(copy.ends_with(&[0xff, 0xd9]));
        assert_eq!(stripped(&copy, Some(6)).unwrap(), copy);
        assert!(
            !stripped(&photo, Some(1))
                .unwrap()
                .windows(4)
                .any(|it| it == b"Exif")
        );
    }

    /// Where words can be put that no decoder reads: each is out of the copy, or there is none.
    #[test]
    fn no_word_stays_where_no_decoder_reads() {
        let photo = samples::jpeg(64, 48, &Exif::held(6));
        let words = b"Ann Ohm, 1 Home Road";
        let holds = |it: &[u8]| it.windows(7).any(|it| it == b"Ann Ohm");
        for marker in [0xf0, 0xfd, 0xde, 0xdf, 0xc8] {
            let copy = stripped(&samples::with_segment(&photo, marker, words), None).unwrap();
            assert!(!holds(&copy), "{marker:x}");
            assert_eq!(pixels(&copy), pixels(&photo));
        }
        // Tables that no scan uses, or that another takes the place of.
        let table = |kind: u8, head: &[u8], long: usize| {
            let mut body = [&[kind], head, words].concat();
            body.resize(1 + head.len() + long, 0);
            body
        };
        let codes = [&[0_u8; 7][..], &[20, 0, 0, 0, 0, 0, 0, 0, 0]].concat();
        for (marker, body) in [
            (0xdb, table(3, &[], 64)),
            (0xdb, table(0, &[], 64)),
            (0xc4, table(0x13, &codes, 20)),
            (0xc4, table(0x10, &codes, 20)),
        ] {
            let copy = stripped(&samples::with_segment(&photo, marker, &body), None).unwrap();
            assert!(!holds(&copy), "{marker:x}");
            assert_eq!(pixels(&copy), pixels(&photo));
        }
        // A header that is longer than its colours need is none that a decoder reads.
        let frame = photo.windows(2).position(|it| it == [0xff, 0xc0]).unwrap();
        let mut long = photo.clone();
        let end = frame + 2 + usize::from(long[frame + 3]);
        long[frame + 3] += words.len() as u8;
        long.splice(end..end, *words);
        assert!(stripped(&long, None).is_err());
        // In the coded data, at their end and behind a restart that has nothing to restart.
        let end = photo.len() - 2;
        for put in [&words[..], b"\xff\xd0Ann Ohm", b"\0"] {
            let more = [&photo[..end], put, &photo[end..]].concat();
            assert!(stripped(&more, None).is_err(), "{put:?}");
        }
    }

    #[test]
    fn what_is_cut_off_is_refused() {
        let photo = full();
        for cut in [0, 1, 3, 30, photo.len() / 2, photo.len() - 1] {
            assert!(stripped(&photo[..cut], None).is_err(), "{cut}");
        }
    }
}
