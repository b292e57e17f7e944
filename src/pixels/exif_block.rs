//! Where a picture carries its Exif block.

use heifer::heifer_isobmff::HeifFile;

use crate::Format;
use crate::jpeg;
use crate::raw;

/// The Exif blocks of a picture whose coding has a place for them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExifBlocks {
    /// The one that counts, from its TIFF header on; also none where a general reader must look for it.
    pub first: Option<Vec<u8>>,
    /// How many there are.
    pub count: usize,
}

/// Finds them; see [`crate::exif_blocks`]. PNG and TIFF are left to the reader of the blocks.
pub(crate) fn blocks(bytes: &[u8], format: Format) -> ExifBlocks {
    match format {
        Format::Jpeg => of_jpeg(bytes),
        Format::Heic | Format::Avif => of_heif(bytes),
        Format::Webp => of_webp(bytes),
        Format::Raw => of_raw(bytes),
        Format::Png | Format::Tiff => ExifBlocks::default(),
    }
}

fn of_jpeg(bytes: &[u8]) -> ExifBlocks {
    let Ok(header) = jpeg::header(bytes) else {
        return ExifBlocks::default();
    };
    ExifBlocks {
        first: header.exif.map(<[u8]>::to_vec),
        count: header.exif_blocks,
    }
}

fn of_raw(bytes: &[u8]) -> ExifBlocks {
    let first = raw::exif_block(bytes);
    ExifBlocks {
        count: usize::from(first.is_some()),
        first,
    }
}

/// The chunk `EXIF` of a WebP; many writers put the mark of a JPEG segment before the block.
fn of_webp(bytes: &[u8]) -> ExifBlocks {
    let mut at = 12;
    while let Some(head) = bytes.get(at..).and_then(|rest| rest.first_chunk::<8>()) {
        let [a, b, c, d, size @ ..] = *head;
        let size = usize::try_from(u32::from_le_bytes(size)).unwrap_or(usize::MAX);
        let (start, end) = (at + 8, (at + 8).saturating_add(size));
        if [a, b, c, d] == *b"EXIF" {
            let block = bytes.get(start..end.min(bytes.len())).unwrap_or(&[]);
            let block = block.strip_prefix(b"Exif\0\0").unwrap_or(block);
            return ExifBlocks {
                first: Some(block.to_vec()),
                count: 1,
            };
        }
        at = end.saturating_add(size % 2);
    }
    ExifBlocks::default()
}

fn of_heif(bytes: &[u8]) -> ExifBlocks {
    let Ok(file) = HeifFile::parse(bytes) else {
        return ExifBlocks::default();
    };
    let count = file
        .items
        .iter()
        .filter(|it| it.item_type.0 == *b"Exif")
        .count();
    ExifBlocks {
        first: file.exif(file.primary_id).ok().flatten(),
        count,
    }
}
