//! What kind of file some bytes are, told from their beginning.

use crate::Format;
use crate::PhotoError;
use crate::directories::Tiff;
use crate::header::broken;
use crate::raw;
use crate::raw::DEVELOP;
use crate::raw::DNG_VERSION;
use crate::raw::boxed;

/// What to do with a picture that cannot be read yet.
pub(crate) const EXPORT: &str = "export it as JPEG and take that one in";
/// What to do with a picture whose decoder would bring more packages than the lock file may hold.
const EXPORT_OR_KEEP: &str =
    "export it as JPEG or HEIC and take that one in; `asfound keep` puts the file by";

const NEW_SUBFILE_TYPE: u32 = 254;
const COMPRESSION: u32 = 259;
/// Compressions of raw files alone, by the makers who use them; the numbers of exiftool's table.
const OF_MAKERS: [u32; 4] = [32767, 34713, 34892, 65535];

/// Beginnings of picture files that are known but not read.
const NOT_YET: [(&[u8], &str, &str); 9] = [
    (b"GIF8", "a GIF picture", EXPORT),
    (b"BM", "a BMP picture", EXPORT),
    (b"\xff\x0a", "a JPEG XL picture", EXPORT_OR_KEEP),
    (b"\0\0\0\x0cJXL ", "a JPEG XL picture", EXPORT_OR_KEEP),
    (b"\0\0\0\x0cjP  ", "a JPEG 2000 picture", EXPORT),
    (b"\xff\x4f\xff\x51", "a JPEG 2000 picture", EXPORT),
    (b"8BPS", "a layered picture of an editor", EXPORT),
    (b"II\xbc\x01", "a JPEG XR picture", EXPORT),
    (b"\0MRM", "a camera raw picture of this kind", DEVELOP),
];

/// Beginnings of files that are no pictures.
const OTHER: [(&[u8], &str); 14] = [
    (b"%PDF", "a PDF"),
    (
        b"PK\x03\x04",
        "a zip archive or an office document; unpack it first",
    ),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"\x1f\x8b", "a gzip archive; unpack it first"),
    (b"7z\xbc\xaf", "a 7z archive; unpack it first"),
    (b"Rar!", "a rar archive; unpack it first"),
    (b"\x1a\x45\xdf\xa3", "a video"),
    (b"\0\0\x01\xba", "a video"),
    (b"\0\0\x01\xb3", "a video"),
    (b"OggS", "a sound or a video"),
    (b"ID3", "a sound"),
    (b"fLaC", "a sound"),
    (b"SQLite format 3", "a database"),
    (b"\x7fELF", "a program"),
];

/// Tells the coding; see [`crate::sniff`].
pub(crate) fn format(bytes: &[u8]) -> Result<Format, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty);
    }
    if bytes.starts_with(b"\xff\xd8\xff") {
        return Ok(Format::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Ok(Format::Png);
    }
    if bytes.starts_with(b"RIFF") {
        return riff(bytes);
    }
    if bytes.get(4..8) == Some(b"ftyp") {
        return iso_media(bytes);
    }
    for (start, kind, advice) in NOT_YET {
        if bytes.starts_with(start) {
            return Err(PhotoError::NotYet { kind, advice });
        }
    }
    if let Some(tiff) = Tiff::new(bytes) {
        return of_tiff(bytes, &tiff);
    }
    if Tiff::of_raw(bytes).is_some() || raw::is_raf(bytes) {
        return Ok(Format::Raw);
    }
    for (start, kind) in OTHER {
        if bytes.starts_with(start) {
            return Err(PhotoError::NotAPicture(kind));
        }
    }
    Err(PhotoError::NotAPicture(unknown(bytes)))
}

fn riff(bytes: &[u8]) -> Result<Format, PhotoError> {
    match bytes.get(8..12) {
        Some(b"WEBP") => Ok(Format::Webp),
        Some(b"AVI ") => Err(PhotoError::NotAPicture("a video")),
        Some(b"WAVE") => Err(PhotoError::NotAPicture("a sound")),
        _ => Err(PhotoError::NotAPicture("a file of unknown kind")),
    }
}

/// ISO base media files (ISO/IEC 14496-12): the brands in `ftyp` tell pictures from videos.
fn iso_media(bytes: &[u8]) -> Result<Format, PhotoError> {
    let stated = bytes
        .first_chunk()
        .map_or(0, |size| u32::from_be_bytes(*size));
    let end = usize::try_from(stated)
        .unwrap_or(usize::MAX)
        .min(bytes.len());
    let brands = bytes.get(8..end.max(12).min(bytes.len())).unwrap_or(&[]);
    // The second word is the minor version, not a brand.
    let mut brands: Vec<&[u8]> = brands.chunks_exact(4).collect();
    if brands.len() > 1 {
        brands.remove(1);
    }
    let has = |names: &[&[u8; 4]]| {
        brands
            .iter()
            .any(|it| names.iter().any(|name| *it == name.as_slice()))
    };
    let heif_words = [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"];
    if has(&[b"crx "]) {
        match boxed::is_film(bytes) {
            true => Err(PhotoError::NotAPicture("a video")),
            false => Ok(Format::Raw),
        }
    } else if has(&heif_words) {
        Ok(Format::Heic)
    } else if has(&[b"avif", b"avis"]) {
        Err(PhotoError::NotYet {
            kind: "an AVIF picture",
            advice: EXPORT_OR_KEEP,
        })
    } else if has(&[b"mif1", b"mif2", b"msf1"]) {
        Ok(Format::Heic)
    } else if has(&[b"M4A ", b"M4B "]) {
        Err(PhotoError::NotAPicture("a sound"))
    } else {
        Err(PhotoError::NotAPicture("a video"))
    }
}

fn unknown(bytes: &[u8]) -> &'static str {
    let start = &bytes[..bytes.len().min(1024)];
    if bytes.len() >= 16 && bytes.iter().all(|byte| *byte == 0) {
        return "nothing but zeros: the copy from the card or the phone failed; copy it again";
    }
    let text = match std::str::from_utf8(start) {
        Ok(text) => text,
        // A letter may be cut at the end of the window.
        Err(why) if why.valid_up_to() + 4 > start.len() => {
            std::str::from_utf8(&start[..why.valid_up_to()]).unwrap_or("")
        }
        Err(_) => return "a file of unknown kind",
    };
    let plain = |c: char| !c.is_control() || c.is_whitespace();
    if text.is_empty() || !text.chars().all(plain) {
        return "a file of unknown kind";
    }
    let low = text.to_ascii_lowercase();
    if low.contains("<svg") {
        "a drawing (SVG)"
    } else if low.contains("<html") || low.contains("<!doctype html") {
        "a web page"
    } else {
        "a text"
    }
}

/// Tells a raw file from a picture.
fn of_tiff(bytes: &[u8], tiff: &Tiff) -> Result<Format, PhotoError> {
    let first = tiff.first();
    let dng = tiff.field(first, DNG_VERSION).is_some();
    // Bit 0: only a small version; in a first directory raw files do that.
    let reduced = tiff.value(first, NEW_SUBFILE_TYPE);
    let reduced = reduced.is_some_and(|it| it & 1 == 1);
    let own = tiff.value(first, COMPRESSION);
    let own = own.is_some_and(|it| OF_MAKERS.contains(&it));
    if dng || reduced || own || bytes.get(8..10) == Some(b"CR") {
        return Ok(Format::Raw);
    }
    let mut texts = tiff.fields(first).filter(|it| it.kind == 2);
    // The decoder would write a line of its own to the user about such a field.
    if texts.any(|it| it.count > bytes.len()) {
        return Err(broken("a text in it is said to be longer than the file"));
    }
    Ok(Format::Tiff)
}

#[cfg(test)]
mod tests {
    use super::format;
    use crate::Format;
    use samples::Exif;

    #[test]
    fn the_coding_is_told_from_the_bytes() {
        let exif = Exif::default();
        for (bytes, want) in [
            (samples::jpeg(16, 9, &exif), Format::Jpeg),
            (samples::png(16, 9, &exif), Format::Png),
            (samples::webp(16, 9, &exif), Format::Webp),
            (samples::tiff(16, 9, &exif), Format::Tiff),
        ] {
            assert_eq!(format(&bytes), Ok(want));
        }
        for brands in [
            "heic\0\0\0\0mif1heic",
            "mif1\0\0\0\0mif1heic",
            "heix\0\0\0\0",
        ] {
            assert_eq!(format(&ftyp(brands)), Ok(Format::Heic), "{brands}");
        }
        let raw = ftyp("crx \0\0\0\x01crx isom");
        assert_eq!(format(&raw), Ok(Format::Raw));
    }

    /// `ftyp`: a size, the major brand, the minor version, compatible brands (ISO/IEC 14496-12).
    fn ftyp(brands: &str) -> Vec<u8> {
        let size = 8 + u32::try_from(brands.len()).unwrap();
        [&size.to_be_bytes(), b"ftyp".as_slice(), brands.as_bytes()].concat()
    }

    #[test]
    fn what_is_no_picture_is_named() {
        let deny = |bytes: &[u8]| format(bytes).unwrap_err().to_string();
        let not = |what: &str| format!("this is not a picture; it looks like {what}");
        assert_eq!(deny(b""), "the file is empty");
        assert_eq!(deny(b"%PDF-1.7\n"), not("a PDF"));
        assert_eq!(deny("ein Schrank, gr\u{fc}n\n".as_bytes()), not("a text"));
        assert_eq!(deny(b"<!DOCTYPE html><html>"), not("a web page"));
        assert_eq!(deny(b"<svg xmlns='x'/>"), not("a drawing (SVG)"));
        assert_eq!(deny(&[1, 2, 3, 0xfe]), not("a file of unknown kind"));
        assert_eq!(deny(&ftyp("isom\0\0\0\0mp41")), not("a video"));
        assert_eq!(deny(&ftyp("qt  \0\0\0\0")), not("a video"));
        assert_eq!(deny(b"RIFF\0\0\0\0AVI LIST"), not("a video"));
        assert!(deny(&[0; 4096]).contains("copy it again"));
        // A text cut inside a letter is still a text.
        let long = "\u{e4}".repeat(600);
        assert_eq!(deny(&long.as_bytes()[..1023]), not("a text"));
    }

    #[test]
    fn kinds_not_read_yet_say_what_to_do() {
        let deny = |bytes: &[u8]| format(bytes).unwrap_err().to_string();
        let export = "cannot be read yet; export it as JPEG and take that one in";
        let avif = ftyp("avif\0\0\0\0mif1avif");
        let keep = "cannot be read yet; export it as JPEG or HEIC and take that one in; \
                    `asfound keep` puts the file by";
        assert_eq!(deny(&avif), format!("an AVIF picture {keep}"));
        assert_eq!(deny(b"GIF89a"), format!("a GIF picture {export}"));
        assert_eq!(deny(b"BM\x36\0\0\0"), format!("a BMP picture {export}"));
        assert_eq!(deny(b"\xff\x0a"), format!("a JPEG XL picture {keep}"));
        let raw = "a camera raw picture of this kind cannot be read yet; \
                   export it from the raw converter as JPEG and take that one in";
        assert_eq!(deny(b"\0MRM\0\0\x0a\x0c"), raw);
    }
}
