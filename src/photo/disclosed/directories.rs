//! Directories of the Exif kind (TIFF 6.0, section 2; CIPA DC-008), whatever they stand in, also of 64 bits.

use memchr::memmem;

use crate::photo::disclosed::Disclosed;
use crate::photo::disclosed::iim;
use crate::photo::disclosed::text;

/// So many beginnings are looked into, and so many directories behind each: more is no camera's.
const HEADERS: usize = 2_000;
const DIRECTORIES: usize = 200;
const FIELDS: u64 = 2_000;

/// What raw files begin with whose makers put letters of their own for the number of a TIFF; elsewhere they mean nothing.
const OF_MAKERS: [&[u8; 4]; 4] = [b"IIU\0", b"IIRO", b"IIRS", b"MMOR"];

const ARTIST: u16 = 0x013b;
const SUB_DIRECTORIES: u16 = 0x014a;
const COPYRIGHT: u16 = 0x8298;
const IPTC: u16 = 0x83bb;
const EXIF: u16 = 0x8769;
const GPS: u16 = 0x8825;
const MAKER_NOTE: u16 = 0x927c;
const AUTHOR_OF_A_SYSTEM: u16 = 0x9c9d;
/// Of the same system: title, subject.
const WORDS_OF_A_SYSTEM: [u16; 2] = [0x9c9b, 0x9c9f];
const COMMENT_OF_A_SYSTEM: u16 = 0x9c9c;
/// Parted by semicolons.
const KEYWORDS_OF_A_SYSTEM: u16 = 0x9c9e;
/// The boxes of a CR3 whose blocks begin with another directory than that of the picture.
const OF_BOXES: [(&[u8; 4], Of); 2] = [(b"CMT3", Of::Note), (b"CMT4", Of::Place)];
const DESCRIPTION: u16 = 0x010e;
/// Eight letters name its alphabet.
const COMMENT: u16 = 0x9286;
const INTEROPERABILITY: u16 = 0xa005;
const OWNER: u16 = 0xa430;
const BODY: u16 = 0xa431;
const LENS: u16 = 0xa435;
/// Exif 3.0 (number from memory).
const PHOTOGRAPHER: u16 = 0xa437;
/// DNG.
const CAMERA: u16 = 0xc62f;

/// Of the directory of places: the latitudes, longitudes and the name of the area.
const OF_A_PLACE: [u16; 5] = [2, 4, 0x14, 0x16, 0x1c];
/// The owner in the notes of the makers who write them as a plain directory; the value of exiftool's tables.
const OWNER_IN_NOTE: u16 = 9;

/// Reads every directory that begins anywhere.
pub(super) fn search(bytes: &[u8], found: &mut Disclosed) {
    let mut headers = 0;
    let of_maker = OF_MAKERS.into_iter().filter(|it| bytes.starts_with(*it));
    for start in [b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"]
        .into_iter()
        .chain(of_maker)
    {
        let most = if OF_MAKERS.contains(&start) {
            1
        } else {
            usize::MAX
        };
        for at in memmem::find_iter(bytes, start).take(most) {
            headers += 1;
            if headers > HEADERS {
                found
                    .unread
                    .insert("more camera blocks than a camera writes");
                return;
            }
            let block = Block {
                bytes: &bytes[at..],
                big_endian: start[0] == b'M',
                wide: start.contains(&b'+'),
            };
            let name = at.checked_sub(4).and_then(|it| bytes.get(it..at));
            let its = OF_BOXES.iter().find(|it| name == Some(it.0.as_slice()));
            block.read(its.map_or(Of::Picture, |it| it.1), found);
        }
    }
}

/// What a directory is of.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Of {
    Picture,
    Place,
    Note,
}

struct Block<'a> {
    bytes: &'a [u8],
    big_endian: bool,
    /// 64 bits instead of 32.
    wide: bool,
}

struct Field<'a> {
    tag: u16,
    kind: u16,
    /// The value, or as much of it as is there.
    value: &'a [u8],
    /// Where the value stands.
    at: usize,
}

impl<'a> Block<'a> {
    /// Reads its directories; `of` is what the first is of.
    fn read(&self, of: Of, found: &mut Disclosed) {
        let first = match self.wide {
            true => self.number(8, 8),
            false => self.number(4, 4),
        };
        let mut todo: Vec<(usize, Of)> = vec![];
        let mut seen: Vec<(usize, Of)> = vec![];
        todo.extend(first.and_then(at).map(|it| (it, of)));
        while let Some(next) = todo.pop() {
            if next.0 == 0 || seen.contains(&next) || seen.len() >= DIRECTORIES {
                continue;
            }
            seen.push(next);
            self.directory(next, &mut todo, found);
        }
    }

    fn directory(
        &self,
        (start, of): (usize, Of),
        todo: &mut Vec<(usize, Of)>,
        found: &mut Disclosed,
    ) {
        let (head, step) = if self.wide { (8, 20) } else { (2, 12) };
        let Some(count) = self.number(start, head).filter(|it| *it <= FIELDS) else {
            return;
        };
        let count = count as usize;
        for n in 0..count {
            let Some(field) = self.field(start + head + step * n) else {
                return;
            };
            match of {
                Of::Picture => self.of_picture(&field, todo, found),
                Of::Place if OF_A_PLACE.contains(&field.tag) && says_something(&field) => {
                    found.places.insert("its camera facts");
                }
                Of::Note if field.tag == OWNER_IN_NOTE && field.kind == 2 => {
                    found.name(&text(field.value));
                }
                Of::Place | Of::Note => {}
            }
        }
        if of == Of::Picture {
            let next = self.number(start + head + step * count, if self.wide { 8 } else { 4 });
            todo.extend(next.and_then(at).map(|it| (it, of)));
        }
    }

    fn of_picture(&self, field: &Field, todo: &mut Vec<(usize, Of)>, found: &mut Disclosed) {
        match field.tag {
            EXIF | INTEROPERABILITY | SUB_DIRECTORIES => {
                todo.extend(self.pointers(field).into_iter().map(|it| (it, Of::Picture)));
            }
            GPS => todo.extend(self.pointers(field).into_iter().map(|it| (it, Of::Place))),
            MAKER_NOTE => todo.push((field.at, Of::Note)),
            ARTIST | COPYRIGHT | OWNER | PHOTOGRAPHER => {
                for part in text(field.value).split('\0') {
                    found.name(part);
                }
            }
            AUTHOR_OF_A_SYSTEM => found.name(&wide_text(field.value)),
            tag if WORDS_OF_A_SYSTEM.contains(&tag) => found.word(&wide_text(field.value)),
            COMMENT_OF_A_SYSTEM => found.caption(&wide_text(field.value)),
            KEYWORDS_OF_A_SYSTEM => {
                let all = wide_text(field.value);
                all.split(';').for_each(|it| found.keyword(it));
            }
            DESCRIPTION => found.caption(&text(field.value)),
            COMMENT => found.word(&text(field.value.get(8..).unwrap_or_default())),
            BODY | LENS | CAMERA => found.serial(&text(field.value)),
            IPTC => iim::records(field.value, found),
            _ => {}
        }
    }

    /// Where a pointer of any type may lead: the type says how wide it is, and writers err.
    fn pointers(&self, field: &Field) -> Vec<usize> {
        let base = field.value.as_ptr() as usize - self.bytes.as_ptr() as usize;
        let whole = |wide: usize| -> Vec<usize> {
            let all = (0..field.value.len() / wide).take(DIRECTORIES);
            all.filter_map(|n| self.number(base + wide * n, wide).and_then(at))
                .collect()
        };
        match field.kind {
            3 | 8 => [whole(2), whole(4)].concat(),
            4 | 9 | 13 => whole(4),
            16..=18 => whole(8),
            1 if field.value.len() == 1 => whole(1),
            _ => whole(4),
        }
    }

    fn field(&self, start: usize) -> Option<Field<'a>> {
        let tag = u16::try_from(self.number(start, 2)?).ok()?;
        let kind = u16::try_from(self.number(start + 2, 2)?).ok()?;
        let wide = if self.wide { 8 } else { 4 };
        let count = at(self.number(start + 4, wide)?)?;
        let size = match kind {
            3 | 8 => 2,
            4 | 9 | 11 | 13 => 4,
            5 | 10 | 12 | 16..=18 => 8,
            _ => 1,
        };
        let length = count.checked_mul(size)?;
        let place = start + 4 + wide;
        let at = match length <= wide {
            true => place,
            false => at(self.number(place, wide)?)?,
        };
        let rest = self.bytes.get(at..).unwrap_or(&self.bytes[..0]);
        Some(Field {
            tag,
            kind,
            value: &rest[..length.min(rest.len())],
            at,
        })
    }

    fn number(&self, start: usize, length: usize) -> Option<u64> {
        let part = self.bytes.get(start..start.checked_add(length)?)?;
        let join = |sum: u64, byte: &u8| sum << 8 | u64::from(*byte);
        Some(match self.big_endian {
            true => part.iter().fold(0, join),
            false => part.iter().rev().fold(0, join),
        })
    }
}

fn at(number: u64) -> Option<usize> {
    usize::try_from(number)
        .ok()
        .filter(|it| *it < usize::MAX / 4)
}

/// Fields that are all zeros or blanks are written by cameras that do not know.
fn says_something(field: &Field) -> bool {
    field.value.iter().any(|it| ![0, b' '].contains(it))
}

/// A text of two bytes a letter.
fn wide_text(value: &[u8]) -> String {
    let pairs = value.chunks_exact(2);
    let letters: Vec<u16> = pairs.map(|it| u16::from_le_bytes([it[0], it[1]])).collect();
    String::from_utf16_lossy(&letters)
}
