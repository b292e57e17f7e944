//! The raw file that is laid out in boxes (ISO/IEC 14496-12), CR3: where its pictures lie, and what the camera wrote. By exiftool's
//! tables; the boxes of a camera's own file are the same.

use heifer::heifer_isobmff::BoxIter;

use crate::directories::Tiff;

/// The box of the camera's facts, which lies in `moov`, and that of the middle picture.
const FACTS: [u8; 16] = *b"\x85\xc0\xb6\x87\x82\x0f\x11\xe0\x81\x11\xf4\xce\x46\x2b\x6a\x48";
const PICTURE: [u8; 16] = *b"\xea\xf4\x2b\x5e\x1c\x98\x4b\x88\xb9\xfb\xb7\xdc\x40\x6e\x4d\x16";
/// Bytes before the boxes in it, and before the picture in a box of one.
const BEFORE_BOXES: usize = 8;
const BEFORE_PICTURE: usize = 16;

/// The pointers to the directories of the camera and of the place (CIPA DC-008, 4.6.3), which here are blocks of their own.
const POINTERS: [(&[u8; 4], u16); 2] = [(b"CMT2", 0x8769), (b"CMT4", 0x8825)];

type Boxes<'a> = Vec<([u8; 4], Option<[u8; 16]>, &'a [u8])>;

/// The whole boxes that lie beside each other: name, longer name, content.
fn boxes(bytes: &[u8]) -> Boxes<'_> {
    let whole = BoxIter::new(bytes).map_while(Result::ok);
    let each = whole.map(|it| (it.header.box_type.0, it.header.user_type, it.content));
    each.collect()
}

/// The contents of all boxes on that way down.
fn all<'a>(bytes: &'a [u8], way: &[&[u8; 4]]) -> Vec<&'a [u8]> {
    let Some((name, rest)) = way.split_first() else {
        return vec![bytes];
    };
    let here = boxes(bytes).into_iter().filter(|it| it.0 == **name);
    here.flat_map(|it| all(it.2, rest)).collect()
}

/// The content of the box of that longer name.
fn own(bytes: &[u8], name: [u8; 16]) -> Option<&[u8]> {
    let found = boxes(bytes).into_iter().find(|it| it.1 == Some(name));
    Some(found?.2)
}

fn facts(bytes: &[u8]) -> Option<&[u8]> {
    all(bytes, &[b"moov"])
        .into_iter()
        .find_map(|it| own(it, FACTS))
}

/// Whether it is a film by the same makers.
pub(crate) fn is_film(bytes: &[u8]) -> bool {
    let version = facts(bytes).map(|it| all(it, &[b"CNCV"]));
    version.is_some_and(|it| it.iter().any(|it| it.starts_with(b"CanonCRM")))
}

/// Where pictures may lie: place and length. Of a track its first sample, which is a picture or the sensor's data.
pub(super) fn places(bytes: &[u8]) -> Vec<(usize, usize)> {
    let tables = all(bytes, &[b"moov", b"trak", b"mdia", b"minf", b"stbl"]);
    let mut places: Vec<_> = tables.into_iter().filter_map(first_sample).collect();
    let middle = own(bytes, PICTURE).and_then(|it| it.get(BEFORE_BOXES..));
    let small = facts(bytes);
    for (within, name) in [(middle, b"PRVW"), (small, b"THMB")] {
        let found = within.map_or_else(Vec::new, |it| all(it, &[name]));
        let pictures = found.into_iter().filter_map(|it| it.get(BEFORE_PICTURE..));
        places
            .extend(pictures.map(|it| (it.as_ptr() as usize - bytes.as_ptr() as usize, it.len())));
    }
    places
}

/// Place and length of the first sample of a track (ISO/IEC 14496-12, 8.7.3 and 8.7.5): one length for all or the first of a list; the
/// first chunk.
fn first_sample(table: &[u8]) -> Option<(usize, usize)> {
    let of = |name: &[u8; 4]| all(table, &[name]).first().copied();
    let number = |from: &[u8], at: usize| Some(u32::from_be_bytes(*from.get(at..)?.first_chunk()?));
    let lengths = of(b"stsz")?;
    let length = match number(lengths, 4)? {
        0 => number(lengths, 12)?,
        alike => alike,
    };
    let place = match of(b"co64") {
        Some(wide) => u64::from_be_bytes(*wide.get(8..)?.first_chunk()?),
        None => u64::from(number(of(b"stco")?, 8)?),
    };
    Some((usize::try_from(place).ok()?, length as usize))
}

/// The camera's block as a plain TIFF: the first directory, behind it the others, to which it points.
pub(super) fn exif_block(bytes: &[u8]) -> Option<Vec<u8>> {
    let facts = facts(bytes)?;
    let of = |name: &[u8; 4]| all(facts, &[name]).first().copied();
    let mut joined = Joined::of(of(b"CMT1")?)?;
    for (name, tag) in POINTERS {
        if let Some(block) = of(name) {
            joined.add(tag, block);
        }
    }
    Some(joined.done())
}

struct Joined {
    big_endian: bool,
    bytes: Vec<u8>,
    /// The fields of the first directory: their tags, and all 12 bytes.
    fields: Vec<(u16, [u8; 12])>,
}

impl Joined {
    fn of(block: &[u8]) -> Option<Self> {
        let tiff = Tiff::new(block)?;
        let fields = tiff.fields(tiff.first());
        let fields = fields.filter_map(|it| Some((it.tag as u16, tiff.entry(it)?)));
        Some(Self {
            big_endian: tiff.big_endian(),
            fields: fields.collect(),
            bytes: block.get(..8).map(|_| block.to_vec())?,
        })
    }

    /// Puts a block behind the others, with its places counted from the first byte of all.
    fn add(&mut self, tag: u16, block: &[u8]) {
        let tiff = Tiff::new(block).filter(|it| it.big_endian() == self.big_endian);
        let Some(tiff) = tiff.filter(|it| it.first() < block.len()) else {
            return;
        };
        let base = self.bytes.len().next_multiple_of(2);
        self.bytes.resize(base, 0);
        self.bytes.extend(block);
        for (at, place) in tiff
            .fields(tiff.first())
            .filter_map(|it| tiff.elsewhere(it))
        {
            let moved = self.long(base.saturating_add(place));
            self.bytes[base + at..base + at + 4].copy_from_slice(&moved);
        }
        let mut pointer = [0; 12];
        pointer[..2].copy_from_slice(&self.short(tag));
        // One number of 32 bits.
        pointer[2..4].copy_from_slice(&self.short(4));
        pointer[4..8].copy_from_slice(&self.long(1));
        pointer[8..].copy_from_slice(&self.long(base + tiff.first()));
        self.fields.retain(|it| it.0 != tag);
        self.fields.push((tag, pointer));
    }

    fn done(mut self) -> Vec<u8> {
        let start = self.bytes.len().next_multiple_of(2);
        self.bytes.resize(start, 0);
        self.fields.sort_by_key(|it| it.0);
        let count = self.short(self.fields.len() as u16);
        self.bytes.extend(count);
        for (_, field) in &self.fields {
            self.bytes.extend(field);
        }
        self.bytes.extend([0; 4]);
        let start = self.long(start);
        self.bytes[4..8].copy_from_slice(&start);
        self.bytes
    }

    fn short(&self, it: u16) -> [u8; 2] {
        match self.big_endian {
            true => it.to_be_bytes(),
            false => it.to_le_bytes(),
        }
    }

    fn long(&self, it: usize) -> [u8; 4] {
        let it = u32::try_from(it).unwrap_or(u32::MAX);
        match self.big_endian {
            true => it.to_be_bytes(),
            false => it.to_le_bytes(),
        }
    }
}
