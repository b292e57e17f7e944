//! Whether an original is what it was, and whether it says where it was taken.

use std::fs::File;
use std::io;
use std::io::Read;
use std::path::Path;

use crate::kit::sums::Summing;
use crate::model::facts::Oddity;
use crate::model::photo::Photo;

/// What an original says of its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::work) enum Place {
    /// It was looked for where cameras write it, and is not there.
    NotFound,
    /// It is there, or what the camera wrote could not be read.
    MayBe,
}

/// The name of the field in a picture's XMP packet (ISO 16684).
const XMP: &[u8] = b"GPSLatitude";

/// The box in which a short film at the end of a picture holds its place.
const FILM: &[u8] = b"\xa9xyz";

/// How far the sign of the latitude lies behind the box's name: two bytes of length, two of language.
const SIGN: usize = 8;

/// Looks; `None` when it is gone or has other bytes than it came in with.
pub(in crate::work) fn look(path: &Path, photo: &Photo) -> Option<Place> {
    let mut from = Summing::new(File::open(path).ok()?);
    let found = says_place(&mut from).ok()?;
    if from.sums().sha256 != photo.digest {
        return None;
    }
    let unread = photo
        .facts
        .oddities
        .iter()
        .any(|it| matches!(it, Oddity::ExifUnreadable(_) | Oddity::SeveralExif));
    Some(match found || unread || photo.facts.place.is_some() {
        true => Place::MayBe,
        false => Place::NotFound,
    })
}

/// Whether a place is written into it outside of its Exif block; reads to the end.
fn says_place(mut from: impl Read) -> io::Result<bool> {
    let mut found = false;
    let mut buf = vec![0; 1 << 16];
    let mut window: Vec<u8> = Vec::new();
    loop {
        let n = match from.read(&mut buf) {
            Ok(0) => return Ok(found),
            Ok(n) => n,
            Err(why) if why.kind() == io::ErrorKind::Interrupted => continue,
            Err(why) => return Err(why),
        };
        if found {
            continue;
        }
        window.extend_from_slice(&buf[..n]);
        found = holds(&window);
        let rest = window.len().saturating_sub(XMP.len());
        window.drain(..rest);
    }
}

fn holds(bytes: &[u8]) -> bool {
    bytes.windows(XMP.len()).any(|it| {
        let sign = it.get(SIGN).is_some_and(|it| [b'+', b'-'].contains(it));
        it == XMP || (it.starts_with(FILM) && sign)
    })
}

#[cfg(test)]
mod tests {
    use super::says_place;

    #[test]
    fn places_are_found_wherever_they_lie() {
        for lead in [0, 1, 65_530, 65_536, 131_067] {
            for (text, want) in [
                (&b"<exif:GPSLatitude>48,12N</exif:GPSLatitude>"[..], true),
                (b"\xa9xyz\x00\x12\x15\xc7+48.2082+016.3738/", true),
                (b"\xa9xyz\x00\x12\x15\xc7 no place here", false),
                (b"GPSLongitud, and nothing more", false),
            ] {
                let bytes = [vec![b'a'; lead], text.to_vec(), vec![b'z'; 40]].concat();
                assert_eq!(says_place(bytes.as_slice()).unwrap(), want, "{lead}");
            }
        }
    }
}
