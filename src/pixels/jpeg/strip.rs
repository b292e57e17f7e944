//! A JPEG without what the camera wrote beside its picture; its picture to the bit.

use zune_core::bytestream::ZCursor;
use zune_jpeg::JpegDecoder;

use crate::PhotoError;
use crate::colour::numbers_alone;
use crate::header::broken;

/// Copies the first picture of a JPEG (ITU-T T.81, annex B) without its APPn and COM segments and without what follows its
/// end. Kept are those on which its colours depend: the numbers of a profile (ICC.1, annex B.4) and the mark of the colour transform
/// (T.872); JFIF is written anew without its small picture, the orientation as the only field of a new Exif block.
pub(crate) fn stripped(bytes: &[u8], orientation: Option<u16>) -> Result<Vec<u8>, PhotoError> {
    let ended = || broken("it ends before its picture does");
    let mut out = bytes.get(..2).ok_or_else(ended)?.to_vec();
    let turned = orientation.filter(|it| (2..=8).contains(it));
    let mut block = turned.map(exif);
    let mut profile = profile(bytes)?;
    let mut at = 2;
    loop {
        let (marker, start) = next(bytes, at).ok_or_else(ended)?;
        match marker {
            0xd9 => {
                out.extend([0xff, 0xd9]);
                return Ok(out);
            }
            0x01 | 0xd0..=0xd7 => {
                out.extend([0xff, marker]);
                at = start;
                continue;
            }
            // A picture that begins inside of this one.
            0xd8 => return Err(ended()),
            _ => {}
        }
        let body = segment(bytes, start).ok_or_else(ended)?;
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
            0xe1..=0xef | 0xfe => {}
            _ => put(&mut out, marker, body),
        }
        at = start + 2 + body.len();
        if marker == 0xda {
            let end = scan_end(bytes, at);
            out.extend(&bytes[at..end]);
            at = end;
        }
    }
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

/// The next marker, and where its segment starts; bytes that belong to nothing are left out.
fn next(bytes: &[u8], at: usize) -> Option<(u8, usize)> {
    let mut at = at;
    loop {
        at += bytes.get(at..)?.iter().position(|it| *it == 0xff)?;
        match *bytes.get(at + 1)? {
            0xff => at += 1,
            0 => at += 2,
            marker => return Some((marker, at + 2)),
        }
    }
}

/// Where the coded data of a scan ends: at the next marker that is no restart.
fn scan_end(bytes: &[u8], at: usize) -> usize {
    let mut at = at;
    while let Some(step) = bytes
        .get(at..)
        .and_then(|it| it.iter().position(|it| *it == 0xff))
    {
        at += step;
        match bytes.get(at + 1) {
            Some(0 | 0xd0..=0xd7) => at += 2,
            Some(0xff) => at += 1,
            _ => return at,
        }
    }
    bytes.len()
}

fn segment(bytes: &[u8], at: usize) -> Option<&[u8]> {
    let length = u16::from_be_bytes(*bytes.get(at..)?.first_chunk()?);
    bytes.get(at + 2..at + usize::from(length).max(2))
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

    #[test]
    fn what_is_cut_off_is_refused() {
        let photo = full();
        for cut in [0, 1, 3, 30, photo.len() / 2, photo.len() - 1] {
            assert!(stripped(&photo[..cut], None).is_err(), "{cut}");
        }
    }
}
