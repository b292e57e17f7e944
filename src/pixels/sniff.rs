//! What kind of file some bytes are, told from their beginning.

use crate::Format;
use crate::PhotoError;
use crate::header::broken;

/// What to do with a picture that cannot be read yet.
pub(crate) const EXPORT: &str = "export it as JPEG and take that one in";
const DEVELOP: &str = "export it from the raw converter as JPEG and take that one in";

/// Beginnings of picture files that are known but not read.
const NOT_YET: [(&[u8], &str, &str); 12] = [
    (b"GIF8", "a GIF picture", EXPORT),
    (b"BM", "a BMP picture", EXPORT),
    (b"\xff\x0a", "a JPEG XL picture", EXPORT),
    (b"\0\0\0\x0cJXL ", "a JPEG XL picture", EXPORT),
    (b"\0\0\0\x0cjP  ", "a JPEG 2000 picture", EXPORT),
    (b"\xff\x4f\xff\x51", "a JPEG 2000 picture", EXPORT),
    (b"8BPS", "a layered picture of an editor", EXPORT),
    (b"II\xbc\x01", "a JPEG XR picture", EXPORT),
    (b"IIRO", "a camera raw picture", DEVELOP),
    (b"IIRS", "a camera raw picture", DEVELOP),
    (b"MMOR", "a camera raw picture", DEVELOP),
    (b"IIU\0", "a camera raw picture", DEVELOP),
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
    if bytes.get(8..15) == Some(b"CCD-RAW") {
        return Err(raw());
    }
    if let Some(tiff) = Tiff::new(bytes) {
        return tiff.format();
    }
    for (start, kind) in OTHER {
        if bytes.starts_with(start) {
            return Err(PhotoError::NotAPicture(kind));
        }
    }
    Err(PhotoError::NotAPicture(unknown(bytes)))
}

fn raw() -> PhotoError {
    PhotoError::NotYet {
        kind: "a camera raw picture",
        advice: DEVELOP,
    }
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
        Err(raw())
    } else if has(&heif_words) {
        Ok(Format::Heic)
    } else if has(&[b"avif", b"avis"]) {
        Err(PhotoError::NotYet {
            kind: "an AVIF picture",
            advice: EXPORT,
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

/// Just enough of a TIFF (TIFF 6.0, section 2) to tell raw files from pictures.
struct Tiff<'a> {
    bytes: &'a [u8],
    big_endian: bool,
}

impl<'a> Tiff<'a> {
    fn new(bytes: &'a [u8]) -> Option<Self> {
        let big_endian = match bytes.get(..4)? {
            b"II*\0" | b"II+\0" => false,
            b"MM\0*" | b"MM\0+" => true,
            _ => return None,
        };
        Some(Self { bytes, big_endian })
    }

    fn format(&self) -> Result<Format, PhotoError> {
        let dng = self.first_directory_value(50706).is_some();
        // Bit 0 of NewSubfileType: only a small version; in a first directory raw files do that.
        let reduced = self
            .first_directory_value(254)
            .is_some_and(|it| it & 1 == 1);
        let marked = self.bytes.get(8..10) == Some(b"CR");
        if dng || reduced || marked {
            return Err(raw());
        }
        // The decoder would write a line of its own to the user about such a field.
        if self.has_endless_text() {
            return Err(broken("a text in it is said to be longer than the file"));
        }
        Ok(Format::Tiff)
    }

    fn number(&self, at: usize, length: usize) -> Option<u32> {
        let part = self.bytes.get(at..at.checked_add(length)?)?;
        let join = |sum: u32, byte: &u8| sum << 8 | u32::from(*byte);
        Some(if self.big_endian {
            part.iter().fold(0, join)
        } else {
            part.iter().rev().fold(0, join)
        })
    }

    /// Where the fields of the first directory lie.
    fn first_directory(&self) -> impl Iterator<Item = usize> {
        let start = self.number(4, 4).map_or(usize::MAX, |it| it as usize);
        let count = self.number(start, 2).unwrap_or(0) as usize;
        (0..count).filter_map(move |n| start.checked_add(2 + 12 * n))
    }

    /// The value field of a tag in the first directory, as a number.
    fn first_directory_value(&self, tag: u32) -> Option<u32> {
        let mut fields = self.first_directory();
        let at = fields.find(|at| self.number(*at, 2) == Some(tag))?;
        let short = self.number(at + 2, 2)? == 3;
        self.number(at + 8, if short { 2 } else { 4 })
    }

    /// Whether a text of the first directory is said to have more bytes than there are.
    fn has_endless_text(&self) -> bool {
        let count = |at: usize| self.number(at + 4, 4).unwrap_or(0) as usize;
        let text = |at: &usize| self.number(at + 2, 2) == Some(2);
        self.first_directory()
            .filter(text)
            .any(|at| count(at) > self.bytes.len())
    }
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
        assert_eq!(deny(&avif), format!("an AVIF picture {export}"));
        assert_eq!(deny(b"GIF89a"), format!("a GIF picture {export}"));
        assert_eq!(deny(b"BM\x36\0\0\0"), format!("a BMP picture {export}"));
        assert_eq!(deny(b"\xff\x0a"), format!("a JPEG XL picture {export}"));
        let raw = "a camera raw picture cannot be read yet; \
                   export it from the raw converter as JPEG and take that one in";
        assert_eq!(deny(&samples::raw(16, 9)), raw);
        assert_eq!(deny(&ftyp("crx \0\0\0\x01crx isom")), raw);
        assert_eq!(deny(b"MMOR\0\0\0\x08"), raw);
    }
}
