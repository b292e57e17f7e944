//! The picture that a camera put into its raw file: the greatest JPEG in it. Nothing is developed.
//!
//! In: the bytes of a raw file. Out: its picture as it lies there, the camera's block as a plain TIFF, whether it ends early.

pub(crate) mod boxed;

use crate::Format;
use crate::PhotoError;
use crate::directories::Tiff;
use crate::jpeg;

/// What to do with a raw file of which nothing can be shown.
pub(crate) const DEVELOP: &str = "export it from the raw converter as JPEG and take that one in";

const STRIP_OFFSETS: u32 = 273;
const STRIP_LENGTHS: u32 = 279;
const TILE_OFFSETS: u32 = 324;
const TILE_LENGTHS: u32 = 325;
const JPEG_OFFSET: u32 = 513;
const JPEG_LENGTH: u32 = 514;
/// Only a DNG has it.
pub(crate) const DNG_VERSION: u32 = 50706;
/// A whole JPEG as the value of a field, in RW2; the number of exiftool's table.
const JPEG_VALUE: u32 = 46;
const EXIF: u32 = 0x8769;
const MAKER_NOTE: u32 = 0x927c;

/// How the notes begin that hold the picture of an ORF, and where their directory starts, four bytes behind the byte order; their
/// field for settings, and in these the place and the length of the picture. All places count from the first byte of the notes. By
/// exiftool's tables.
const ORF_NOTES: [(&[u8], usize); 2] = [(b"OLYMPUS\0", 12), (b"OM SYSTEM\0", 16)];
const ORF_SETTINGS: u32 = 0x2020;
const ORF_OFFSET: u32 = 0x0101;
const ORF_LENGTH: u32 = 0x0102;

/// Most strips or tiles of one picture whose places are read.
const PIECES: usize = 100_000;

/// Whether it is a raw file in the one layout that is no TIFF and is read all the same.
pub(crate) fn is_raf(bytes: &[u8]) -> bool {
    bytes.get(8..15) == Some(b"CCD-RAW")
}

/// Whether it is one that is laid out in boxes, if it is a raw file.
fn is_boxed(bytes: &[u8]) -> bool {
    bytes.get(4..8) == Some(b"ftyp")
}

/// The picture that is shown of a file: of a raw file the one inside it, of any other the file.
///
/// # Errors
/// When a raw file holds none.
pub(crate) fn shown(bytes: &[u8], format: Format) -> Result<&[u8], PhotoError> {
    if format != Format::Raw {
        return Ok(bytes);
    }
    preview(bytes).ok_or(PhotoError::NotYet {
        kind: "a camera raw picture without a preview in it",
        advice: DEVELOP,
    })
}

/// The greatest JPEG in a raw file, of equal ones the first.
fn preview(bytes: &[u8]) -> Option<&[u8]> {
    let mut places = Vec::new();
    if is_raf(bytes) {
        // The header of an RAF tells place and length, its greatest byte first (the tables of exiftool).
        let number = |at: usize| {
            let four = bytes.get(at..)?.first_chunk()?;
            Some(u32::from_be_bytes(*four) as usize)
        };
        places.extend(number(84).zip(number(88)));
    } else if is_boxed(bytes) {
        places = boxed::places(bytes);
    } else {
        let tiff = Tiff::of_raw(bytes)?;
        for start in tiff.directories() {
            of_directory(&tiff, start, &mut places);
        }
        places.extend(of_notes(&tiff, bytes));
    }
    let mut greatest: Option<(u64, &[u8])> = None;
    for (start, length) in places {
        let end = start.saturating_add(length).min(bytes.len());
        let picture = bytes.get(start..end).unwrap_or(&[]);
        let pixels = pixels(picture);
        if pixels > greatest.map_or(0, |it| it.0) {
            greatest = Some((pixels, picture));
        }
    }
    Some(greatest?.1)
}

/// How many pixels a JPEG for the eye has; 0 of what is none. The data of the sensor may be a JPEG too, without loss.
fn pixels(bytes: &[u8]) -> u64 {
    let header = bytes
        .starts_with(b"\xff\xd8\xff")
        .then(|| jpeg::header(bytes).ok());
    let header = header.flatten().filter(|it| !it.lossless);
    header.map_or(0, |it| u64::from(it.width) * u64::from(it.height))
}

/// Where the picture of a directory may lie, if that is one piece: place and length.
fn of_directory(tiff: &Tiff, start: usize, places: &mut Vec<(usize, usize)>) {
    for (offset, length) in [(JPEG_OFFSET, JPEG_LENGTH), (STRIP_OFFSETS, STRIP_LENGTHS)] {
        let one = |tag: u32| tiff.field(start, tag).filter(|it| it.count == 1);
        if let (Some(offset), Some(length)) = (one(offset), one(length)) {
            let both = tiff
                .numbers(offset, 1)
                .into_iter()
                .zip(tiff.numbers(length, 1));
            places.extend(both.map(|(at, length)| (at as usize, length as usize)));
        }
    }
    if let Some(field) = tiff.field(start, JPEG_VALUE) {
        places.extend(tiff.bytes_at(field).map(|at| (at, field.count)));
    }
}

fn of_notes(tiff: &Tiff, bytes: &[u8]) -> Option<(usize, usize)> {
    let exif = tiff.value(tiff.first(), EXIF)? as usize;
    let start = tiff.bytes_at(tiff.field(exif, MAKER_NOTE)?)?;
    let note = bytes.get(start..)?;
    let (_, directory) = *ORF_NOTES.iter().find(|it| note.starts_with(it.0))?;
    let note = Tiff::within(note, note.get(directory - 4) == Some(&b'M'));
    let settings = note.value(directory, ORF_SETTINGS)? as usize;
    let offset = note.value(settings, ORF_OFFSET)? as usize;
    let length = note.value(settings, ORF_LENGTH)? as usize;
    Some((start.checked_add(offset)?, length))
}

/// Whether a DNG is shorter than its directories say, or a file of boxes than they do. Other makers' raw files may name places that are
/// none.
pub(crate) fn ends_early(bytes: &[u8]) -> bool {
    if is_boxed(bytes) {
        let beyond = |it: &(usize, usize)| it.0.saturating_add(it.1) > bytes.len();
        return boxed::places(bytes).iter().any(beyond);
    }
    let Some(tiff) = Tiff::new(bytes) else {
        return false;
    };
    if tiff.field(tiff.first(), DNG_VERSION).is_none() {
        return false;
    }
    let pairs = [
        (STRIP_OFFSETS, STRIP_LENGTHS),
        (TILE_OFFSETS, TILE_LENGTHS),
        (JPEG_OFFSET, JPEG_LENGTH),
    ];
    let beyond = |start: usize, (offsets, lengths): (u32, u32)| {
        let all = |tag: u32| match tiff.field(start, tag) {
            Some(field) => tiff.numbers(field, PIECES),
            None => Vec::new(),
        };
        let ends = all(offsets).into_iter().zip(all(lengths));
        let mut ends = ends.map(|(at, length)| u64::from(at) + u64::from(length));
        ends.any(|it| it > bytes.len() as u64)
    };
    let starts = tiff.directories();
    starts
        .iter()
        .any(|start| pairs.iter().any(|it| beyond(*start, *it)))
}

/// The camera's block of a raw file as a plain TIFF, and what stands for it in an RAF: that of its picture.
pub(crate) fn exif_block(bytes: &[u8]) -> Option<Vec<u8>> {
    if is_raf(bytes) {
        return Some(jpeg::header(preview(bytes)?).ok()?.exif?.to_vec());
    }
    if is_boxed(bytes) {
        return boxed::exif_block(bytes);
    }
    let tiff = Tiff::of_raw(bytes)?;
    let mut block = bytes.to_vec();
    let number: [u8; 2] = if tiff.big_endian() { [0, 42] } else { [42, 0] };
    block.get_mut(2..4)?.copy_from_slice(&number);
    Some(block)
}

#[cfg(test)]
mod tests {
    use samples::LAYOUTS;
    use samples::RawLayout;
    use samples::RawSaid;

    use super::ends_early;
    use super::shown;
    use crate::Format;
    use crate::PhotoError;
    use crate::sniff;

    fn said() -> RawSaid {
        RawSaid {
            orientation: 1,
            time: "2026:05:03 10:02:11",
            place: false,
        }
    }

    #[test]
    fn the_greatest_picture_in_a_raw_file_is_shown_as_it_lies_there() {
        let large = samples::jpeg_bare(320, 200);
        let small = samples::jpeg_bare(160, 100);
        for (layout, name) in LAYOUTS {
            let raw = samples::raw_of(layout, &large, &small, &said());
            assert_eq!(sniff(&raw), Ok(Format::Raw), "{name}");
            assert!(shown(&raw, Format::Raw) == Ok(&large), "{name}");
            assert!(!ends_early(&raw), "{name}");
            let other = samples::raw_of(layout, &small, &large, &said());
            let has_both = !matches!(layout, RawLayout::Orf | RawLayout::Rw2 | RawLayout::Raf);
            let want = if has_both { &large } else { &small };
            assert!(shown(&other, Format::Raw) == Ok(want), "{name}");
        }
    }

    #[test]
    fn without_one_it_says_what_to_do() {
        let raw = samples::raw(16, 9);
        assert_eq!(sniff(&raw), Ok(Format::Raw));
        let said = shown(&raw, Format::Raw).unwrap_err();
        assert!(matches!(said, PhotoError::NotYet { .. }), "{said}");
        assert!(said.to_string().contains("without a preview"), "{said}");
    }

    #[test]
    fn a_film_of_raw_pictures_is_a_film() {
        let small = samples::jpeg_bare(16, 9);
        let mut raw = samples::raw_of(RawLayout::Cr3, &small, &small, &said());
        let at = raw.windows(8).position(|it| it == b"CanonCR3").unwrap();
        raw[at + 7] = b'M';
        assert_eq!(sniff(&raw), Err(PhotoError::NotAPicture("a video")));
    }

    #[test]
    fn a_raw_file_that_ends_early_is_known() {
        let small = samples::jpeg_bare(160, 100);
        let boxed = samples::raw_of(RawLayout::Cr3, &small, &small, &said());
        assert!(ends_early(&boxed[..boxed.len() - 1]));
        assert!(shown(&boxed[..boxed.len() - 1], Format::Raw) == Ok(&small));
        let mut raw = samples::raw_of(RawLayout::Dng, &small, &small, &said());
        let at = raw
            .windows(4)
            .position(|it| it == [0x17, 0x01, 4, 0])
            .unwrap();
        // The first strip is a byte longer than the file.
        let end = raw.len() as u32;
        raw[at + 8..at + 12].copy_from_slice(&end.to_le_bytes());
        assert!(ends_early(&raw));
    }
}
