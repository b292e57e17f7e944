//! The segments of a JPEG (ITU-T T.81, annex B): size, Exif blocks, and whether the picture reaches its end.
//!
//! In: the bytes of a JPEG. Out: what its segments say, its coefficients and what is damaged in them, a copy without words.

mod bits;
mod coefficients;
mod component;
pub(crate) mod entropy;
mod huffman;
mod points;
pub(crate) mod shrunk;
pub(crate) mod strip;
pub(crate) mod ycc;

use crate::PhotoError;

/// What stands before the first scan.
#[derive(Debug)]
pub(crate) struct Header<'a> {
    /// Stored width, pixels.
    pub(crate) width: u32,
    /// Stored height, pixels.
    pub(crate) height: u32,
    /// The first Exif block, from its TIFF header on.
    pub(crate) exif: Option<&'a [u8]>,
    /// How many Exif blocks there are.
    pub(crate) exif_blocks: usize,
    /// Whether it is coded without loss, as sensors' data are and pictures for the eye never.
    pub(crate) lossless: bool,
    /// Bytes of coefficients that a decoder has to hold: all of them where the picture comes in several passes.
    pub(crate) held: u64,
    /// Where the first scan starts.
    scan: usize,
}

/// Reads up to the first scan.
pub(crate) fn header(bytes: &[u8]) -> Result<Header<'_>, PhotoError> {
    let broken = |why: &str| PhotoError::Broken(why.to_owned());
    let ended = || broken("the file ends before the picture begins");
    let (mut at, mut size, mut lossless, mut held) = (2, None, false, 0);
    let (mut exif, mut exif_blocks) = (None, 0);
    loop {
        let (marker, start) = next_marker(bytes, at).ok_or_else(ended)?;
        at = start;
        match marker {
            0x01 | 0xd0..=0xd8 => continue,
            0xd9 => return Err(ended()),
            _ => {}
        }
        let body = segment(bytes, at).ok_or_else(ended)?;
        match marker {
            // All frame kinds; not DHT, JPG, DAC.
            0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                let part = body
                    .get(1..5)
                    .ok_or_else(|| broken("its size is missing"))?;
                let side = |n: usize| u32::from(u16::from_be_bytes([part[n], part[n + 1]]));
                size = Some((side(2), side(0)));
                lossless = matches!(marker, 0xc3 | 0xc7 | 0xcb | 0xcf);
                if matches!(marker, 0xc2 | 0xc6 | 0xca | 0xce) {
                    held = 2 * samples(body);
                }
            }
            0xe1 => {
                let block = body.strip_prefix(b"Exif\0\0");
                if let Some(block) = block.filter(|it| starts_like_tiff(it) || exif_blocks == 0) {
                    exif_blocks += 1;
                    exif = exif.or(Some(block));
                }
            }
            0xda => break,
            _ => {}
        }
        at += 2 + body.len();
    }
    let (width, height) = size
        .filter(|(width, height)| *width > 0 && *height > 0)
        .ok_or_else(|| broken("its size is missing"))?;
    Ok(Header {
        width,
        height,
        exif,
        exif_blocks,
        lossless,
        held,
        scan: at,
    })
}

/// How many samples the frame has in all its colours, by their sampling factors (ITU-T T.81, B.2.2).
fn samples(frame: &[u8]) -> u64 {
    let factors = frame.get(6..).unwrap_or(&[]).chunks_exact(3);
    let areas: Vec<(u64, u64)> = factors
        .map(|it| (u64::from(it[1] >> 4), u64::from(it[1] & 15)))
        .collect();
    let widest = areas.iter().map(|it| it.0).max().unwrap_or(1).max(1);
    let highest = areas.iter().map(|it| it.1).max().unwrap_or(1).max(1);
    let sum: u64 = areas.iter().map(|it| it.0 * it.1).sum();
    let side = |n: usize| u64::from(frame[n]) << 8 | u64::from(frame[n + 1]);
    side(1) * side(3) * sum / (widest * highest)
}

fn starts_like_tiff(block: &[u8]) -> bool {
    block.starts_with(b"II*\0") || block.starts_with(b"MM\0*")
}

/// The body of a segment whose length field stands at `at`.
fn segment(bytes: &[u8], at: usize) -> Option<&[u8]> {
    let length = u16::from_be_bytes([*bytes.get(at)?, *bytes.get(at + 1)?]);
    bytes.get(at + 2..at + usize::from(length).max(2))
}

impl Header<'_> {
    /// Whether the end marker of the first picture is there.
    ///
    /// Only marker bytes count: an end marker inside a thumbnail or behind a cut does not. Bytes after
    /// the end marker, such as further pictures, are nobody's business.
    pub(crate) fn reaches_its_end(&self, bytes: &[u8]) -> bool {
        let mut at = self.scan;
        while let Some((marker, start)) = next_marker(bytes, at) {
            at = start;
            match marker {
                0xd9 => return true,
                // The start of another picture inside this one.
                0xd8 => return false,
                0x01 | 0xd0..=0xd7 => {}
                _ => match segment(bytes, at) {
                    Some(body) => at += 2 + body.len(),
                    None => return false,
                },
            }
        }
        false
    }
}

/// The next marker, and where its segment starts, if it has one; bytes that belong to nothing are passed over.
fn next_marker(bytes: &[u8], mut at: usize) -> Option<(u8, usize)> {
    loop {
        at += next_marker_byte(bytes.get(at..)?)?;
        match *bytes.get(at + 1)? {
            0xff => at += 1,
            0 => at += 2,
            marker => return Some((marker, at + 2)),
        }
    }
}

/// The position of the next byte `ff`; looks at 32 bytes at once.
fn next_marker_byte(bytes: &[u8]) -> Option<usize> {
    let mut at = 0;
    for block in bytes.chunks(32) {
        let found = block
            .iter()
            .fold(false, |found, byte| found | (*byte == 0xff));
        if found {
            let inside = block.iter().position(|byte| *byte == 0xff)?;
            return Some(at + inside);
        }
        at += block.len();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::header;
    use samples::Exif;

    fn whole(bytes: &[u8]) -> bool {
        header(bytes).unwrap().reaches_its_end(bytes)
    }

    #[test]
    fn the_end_marker_is_looked_for_behind_the_scan() {
        let photo = samples::jpeg(64, 48, &Exif::taken("2026:05:03 10:02:11"));
        assert!(whole(&photo));
        assert!(!whole(&photo[..photo.len() - 1]));
        assert!(!whole(&photo[..photo.len() * 2 / 3]));
        // Bytes behind the end, or another picture, are fine.
        let trailing = [photo.as_slice(), b"\0\0vendor trailer"].concat();
        assert!(whole(&trailing));
        assert!(whole(&[photo.as_slice(), photo.as_slice()].concat()));
        // A picture cut off before another one is not whole, nor is one filled up with zeros.
        let half = &photo[..photo.len() * 2 / 3];
        assert!(!whole(&[half, photo.as_slice()].concat()));
        assert!(!whole(&[half, vec![0; 500].as_slice()].concat()));
    }

    #[test]
    fn an_end_marker_inside_a_thumbnail_does_not_count() {
        let thumb = samples::jpeg_bare(16, 12);
        let block = [b"II*\0\x08\0\0\0\0\0\0\0\0\0".as_slice(), &thumb].concat();
        let photo = samples::jpeg_of(64, 48, &samples::pixels(64, 48, 0), Some(&block));
        assert!(whole(&photo));
        assert!(!whole(&photo[..photo.len() - 2]));
        let shape = header(&photo).unwrap();
        assert_eq!((shape.width, shape.height, shape.exif_blocks), (64, 48, 1));
    }

    #[test]
    fn cut_inside_the_header_is_broken() {
        let photo = samples::jpeg(64, 48, &Exif::default());
        for cut in [3, 20, 100, 400] {
            let said = header(&photo[..cut]).unwrap_err().to_string();
            assert_eq!(
                said,
                "the picture is broken: the file ends before the picture begins"
            );
        }
    }
}
