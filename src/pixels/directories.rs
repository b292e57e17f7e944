//! The directories of a TIFF (TIFF 6.0, section 2), and of camera raw files, most of which are laid out as one.

/// So many directories are looked into: more is no camera's.
const DIRECTORIES: usize = 64;
const SUB_DIRECTORIES: u32 = 330;

/// What makers of raw files write in place of the number 42.
const OF_MAKERS: [&[u8; 4]; 4] = [b"IIU\0", b"IIRO", b"IIRS", b"MMOR"];

/// Bytes that begin as a TIFF does.
#[derive(Clone, Copy)]
pub(crate) struct Tiff<'a> {
    bytes: &'a [u8],
    big_endian: bool,
}

/// An entry of a directory.
#[derive(Clone, Copy)]
pub(crate) struct Field {
    /// What it is.
    pub(crate) tag: u32,
    /// The type of its values.
    pub(crate) kind: u32,
    /// How many values it has.
    pub(crate) count: usize,
    /// Where the four bytes of its value, or of the place of that, stand.
    at: usize,
}

impl<'a> Tiff<'a> {
    /// Of bytes that begin as a TIFF of 32 or 64 bits; `None` of others.
    pub(crate) fn new(bytes: &'a [u8]) -> Option<Self> {
        let big_endian = match bytes.get(..4)? {
            b"II*\0" | b"II+\0" => false,
            b"MM\0*" | b"MM\0+" => true,
            _ => return None,
        };
        Some(Self { bytes, big_endian })
    }

    /// The same, and of such in which a maker of cameras put letters of its own for the number.
    pub(crate) fn of_raw(bytes: &'a [u8]) -> Option<Self> {
        Self::new(bytes).or_else(|| {
            let begins = |it: &&&[u8; 4]| bytes.starts_with(it.as_slice());
            let start = OF_MAKERS.iter().find(begins)?;
            let big_endian = start[0] == b'M';
            Some(Self { bytes, big_endian })
        })
    }

    /// A directory within another file, whose places count from the first of these bytes.
    pub(crate) fn within(bytes: &'a [u8], big_endian: bool) -> Self {
        Self { bytes, big_endian }
    }

    /// Whether its numbers begin with their greatest byte.
    pub(crate) fn big_endian(&self) -> bool {
        self.big_endian
    }

    /// Where the first directory starts.
    pub(crate) fn first(&self) -> usize {
        self.number(4, 4).map_or(usize::MAX, |it| it as usize)
    }

    /// Where every directory starts: those in the chain, and those below them.
    pub(crate) fn directories(&self) -> Vec<usize> {
        let (mut todo, mut seen) = (vec![self.first()], Vec::new());
        while let Some(start) = todo.pop() {
            if start == 0 || seen.contains(&start) || seen.len() >= DIRECTORIES {
                continue;
            }
            seen.push(start);
            let Some(count) = self.number(start, 2) else {
                continue;
            };
            todo.extend(
                self.number(start + 2 + 12 * count as usize, 4)
                    .map(|it| it as usize),
            );
            let below = self.field(start, SUB_DIRECTORIES);
            let below = below.map_or_else(Vec::new, |it| self.numbers(it, DIRECTORIES));
            todo.extend(below.into_iter().map(|it| it as usize));
        }
        seen
    }

    /// The fields of the directory that starts there.
    pub(crate) fn fields(&self, start: usize) -> impl Iterator<Item = Field> {
        let count = self.number(start, 2).unwrap_or(0) as usize;
        (0..count).map_while(move |n| {
            let at = start.checked_add(2 + 12 * n)?;
            Some(Field {
                tag: self.number(at, 2)?,
                kind: self.number(at + 2, 2)?,
                count: self.number(at + 4, 4)? as usize,
                at: at + 8,
            })
        })
    }

    /// The field of that tag in the directory that starts there.
    pub(crate) fn field(&self, start: usize, tag: u32) -> Option<Field> {
        self.fields(start).find(|it| it.tag == tag)
    }

    /// The first number of a field of that directory.
    pub(crate) fn value(&self, start: usize, tag: u32) -> Option<u32> {
        self.numbers(self.field(start, tag)?, 1).first().copied()
    }

    /// The first whole numbers of a field, at most so many.
    pub(crate) fn numbers(&self, field: Field, most: usize) -> Vec<u32> {
        let wide = match field.kind {
            1 | 7 => 1,
            3 => 2,
            _ => 4,
        };
        let Some(start) = self.place(field, wide) else {
            return Vec::new();
        };
        let each = (0..field.count.min(most)).map_while(|n| self.number(start + n * wide, wide));
        each.collect()
    }

    /// Where the bytes of a field of bytes start; its `count` says how many they are.
    pub(crate) fn bytes_at(&self, field: Field) -> Option<usize> {
        self.place(field, 1)
    }

    /// All of the entry of a field.
    pub(crate) fn entry(&self, field: Field) -> Option<[u8; 12]> {
        let entry = self.bytes.get(field.at.checked_sub(8)?..)?;
        entry.first_chunk().copied()
    }

    /// Where the number stands that says where the values of a field are, and that number; `None` when they stand in the field.
    pub(crate) fn elsewhere(&self, field: Field) -> Option<(usize, usize)> {
        let wide = match field.kind {
            3 | 8 => 2,
            4 | 9 | 11 | 13 => 4,
            5 | 10 | 12 => 8,
            _ => 1,
        };
        let place = self.place(field, wide)?;
        (place != field.at).then_some((field.at, place))
    }

    /// Where the values of a field stand: in it when they have room there.
    fn place(&self, field: Field, wide: usize) -> Option<usize> {
        match field.count.checked_mul(wide)? <= 4 {
            true => Some(field.at),
            false => Some(self.number(field.at, 4)? as usize),
        }
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
}
