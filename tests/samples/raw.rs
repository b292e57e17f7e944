//! Camera raw files made in code: the layouts of their makers (by exiftool's tables) round JPEGs that are given.

/// A layout of a raw file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// A small plain picture first, pictures below it as strips.
    Dng,
    /// Pictures as strips and as JPEGs of the chain, and the sensor's data as a JPEG without loss.
    Cr2,
    /// Pictures as JPEGs below the first directory; the greatest byte first.
    Nef,
    /// A picture as the JPEG of the first directory.
    Arw,
    /// The picture in the notes of the maker.
    Orf,
    /// The picture as the value of a field.
    Rw2,
    /// No TIFF: a header that tells where the picture lies.
    Raf,
    /// Boxes: the large picture and the sensor's data as tracks of a film, a smaller picture in a box of its own.
    Cr3,
}

/// Every layout, with the ending of its files.
pub const LAYOUTS: [(Layout, &str); 8] = [
    (Layout::Dng, "dng"),
    (Layout::Cr2, "cr2"),
    (Layout::Nef, "nef"),
    (Layout::Arw, "arw"),
    (Layout::Orf, "orf"),
    (Layout::Rw2, "rw2"),
    (Layout::Raf, "raf"),
    (Layout::Cr3, "cr3"),
];

/// What the camera says of itself in a raw file.
#[derive(Clone, Debug, Default)]
pub struct Said {
    /// Orientation, any number.
    pub orientation: u16,
    /// When the picture was taken, such as `2026:05:03 10:02:11`.
    pub time: &'static str,
    /// Whether it tells a place.
    pub place: bool,
}

/// A raw file of that layout. `large` is the picture for the eye, `small` a smaller one, which some layouts have no room for.
pub fn raw_of(layout: Layout, large: &[u8], small: &[u8], said: &Said) -> Vec<u8> {
    if layout == Layout::Raf {
        let mut file = b"FUJIFILMCCD-RAW 0201".to_vec();
        file.resize(160, 0);
        file[84..88].copy_from_slice(&160_u32.to_be_bytes());
        file[88..92].copy_from_slice(&(large.len() as u32).to_be_bytes());
        return [&file, large, &[0; 64]].concat();
    }
    if layout == Layout::Cr3 {
        return cr3(large, small, said);
    }
    let mut to = Writer::new(layout);
    let sensor = to.put(&sensor());
    let exif = to.exif(layout, large.len(), said);
    let (large_at, small_at) = (to.put(large), to.put(small));
    let both = |at: u32, of: &[u8]| (at, of.len() as u32);
    let (large, small) = (both(large_at, large), both(small_at, small));
    let mut first = vec![
        (271, Value::Text("Shed")),
        (272, Value::Text("Box R")),
        (274, Value::Short(said.orientation)),
        (0x8769, Value::Long(exif)),
    ];
    if said.place {
        let place = to.directory(place(), 0);
        first.push((0x8825, Value::Long(place)));
    }
    let data = [(254, Value::Long(0)), (259, Value::Short(7))];
    let data = [data.as_slice(), &strips((sensor, SENSOR))].concat();
    let mut next = 0;
    match layout {
        Layout::Dng => {
            let shown = [(254, Value::Long(1)), (259, Value::Short(7))];
            let one = to.directory([shown.as_slice(), &strips(small)].concat(), 0);
            let two = to.directory([shown.as_slice(), &strips(large)].concat(), 0);
            let data = to.directory(data, 0);
            first.push((254, Value::Long(1)));
            first.push((330, Value::Longs(vec![data, one, two])));
            first.push((50706, Value::Bytes(vec![1, 4, 0, 0])));
        }
        Layout::Cr2 => {
            let data = to.directory(data, 0);
            next = to.directory(jpeg(small), data);
            first.push((259, Value::Short(6)));
            first.extend(strips(large));
        }
        Layout::Nef => {
            let shown = [(254, Value::Long(1)), (259, Value::Short(6))];
            let shown = to.directory([shown.as_slice(), &jpeg(large)].concat(), 0);
            let data = to.directory(data, 0);
            first.push((254, Value::Long(1)));
            first.push((330, Value::Longs(vec![shown, data])));
            next = to.directory(jpeg(small), 0);
        }
        Layout::Arw => {
            first.push((254, Value::Long(1)));
            first.extend(jpeg(large));
            next = to.directory(jpeg(small), 0);
        }
        Layout::Rw2 => first.push((46, Value::Place(large))),
        Layout::Orf | Layout::Raf | Layout::Cr3 => first.extend(strips((sensor, SENSOR))),
    }
    let first = to.directory(first, next);
    to.finish(first)
}

/// 44 degrees 51 minutes north, 34 degrees 58 minutes west.
fn place() -> Vec<(u16, Value)> {
    let angle = |degrees, minutes| Value::Rationals(vec![degrees, 1, minutes, 1, 0, 1]);
    vec![
        (1, Value::Text("N")),
        (2, angle(44, 51)),
        (3, Value::Text("W")),
        (4, angle(34, 58)),
    ]
}

/// Boxes (ISO/IEC 14496-12) as a camera writes them: its facts as three blocks, then the tracks, the smaller picture, and the data.
fn cr3(large: &[u8], small: &[u8], said: &Said) -> Vec<u8> {
    let block = |fields| {
        let mut to = Writer::new(Layout::Cr3);
        let first = to.directory(fields, 0);
        to.finish(first)
    };
    let facts = vec![
        (271, Value::Text("Shed")),
        (272, Value::Text("Box R")),
        (274, Value::Short(said.orientation)),
    ];
    let own = b"\x85\xc0\xb6\x87\x82\x0f\x11\xe0\x81\x11\xf4\xce\x46\x2b\x6a\x48";
    let own = [
        own.to_vec(),
        boxed(b"CNCV", &[b"CanonCR3_001/00.09.00/00.00.00"]),
        boxed(b"CMT1", &[&block(facts)]),
        boxed(b"CMT2", &[&block(vec![(36867, Value::Text(said.time))])]),
        boxed(
            b"CMT4",
            &[&block(if said.place { place() } else { vec![] })],
        ),
    ];
    let own = boxed(b"uuid", &[&own.concat()]);
    let middle =
        b"\xea\xf4\x2b\x5e\x1c\x98\x4b\x88\xb9\xfb\xb7\xdc\x40\x6e\x4d\x16\0\0\0\0\0\0\0\x01";
    let length = (small.len() as u32).to_be_bytes();
    let picture = [b"\0\0\0\0\0\x01\0\xa0\0\x6b\0\x01", &length[..], small].concat();
    let middle = boxed(b"uuid", &[middle, &boxed(b"PRVW", &[&picture])]);
    let head = boxed(b"ftyp", &[b"crx \0\0\0\x01crx isom"]);
    let film = |at: usize| {
        let sensor_at = at + large.len();
        boxed(
            b"moov",
            &[
                &own,
                &track(at, large.len()),
                &track(sensor_at, SENSOR as usize),
            ],
        )
    };
    let at = head.len() + film(0).len() + middle.len() + 8;
    let data = boxed(b"mdat", &[large, &sensor()]);
    [head, film(at), middle, data].concat()
}

fn boxed(name: &[u8; 4], parts: &[&[u8]]) -> Vec<u8> {
    let body = parts.concat();
    let length = (8 + body.len() as u32).to_be_bytes();
    [&length, name.as_slice(), &body].concat()
}

/// A track of one sample.
fn track(at: usize, length: usize) -> Vec<u8> {
    let one = 1_u32.to_be_bytes();
    let entry = boxed(b"CRAW", &[&[0; 82], &boxed(b"JPEG", &[&[0; 4]])]);
    let table = [
        boxed(b"stsd", &[&[0; 4], &one, &entry]),
        boxed(b"stsc", &[&[0; 4], &one, &one, &one, &one]),
        boxed(b"stsz", &[&[0; 4], &(length as u32).to_be_bytes(), &one]),
        boxed(b"co64", &[&[0; 4], &one, &(at as u64).to_be_bytes()]),
    ];
    let information = boxed(b"minf", &[&boxed(b"stbl", &[&table.concat()])]);
    let handler = boxed(b"hdlr", &[&[0; 8], b"vide", &[0; 13]]);
    boxed(b"trak", &[&boxed(b"mdia", &[&handler, &information])])
}

fn strips((at, length): (u32, u32)) -> Vec<(u16, Value)> {
    vec![(273, Value::Long(at)), (279, Value::Long(length))]
}

fn jpeg((at, length): (u32, u32)) -> Vec<(u16, Value)> {
    vec![(513, Value::Long(at)), (514, Value::Long(length))]
}

const SENSOR: u32 = 4096;

/// What begins as a JPEG without loss of 6000 x 4000 does.
fn sensor() -> Vec<u8> {
    let mut data = b"\xff\xd8\xff\xc3\x00\x0b\x0e\x0f\xa0\x17\x70\x01\x00\x11\x00".to_vec();
    data.extend(b"\xff\xda\x00\x08\x01\x00\x00\x01\x00\x00");
    data.resize(SENSOR as usize, 0x5a);
    data
}

#[derive(Clone)]
enum Value {
    Text(&'static str),
    Bytes(Vec<u8>),
    Short(u16),
    Long(u32),
    Longs(Vec<u32>),
    Rationals(Vec<u32>),
    /// Bytes that stand elsewhere: where, and how many.
    Place((u32, u32)),
}

struct Writer {
    big_endian: bool,
    file: Vec<u8>,
}

impl Writer {
    fn new(layout: Layout) -> Self {
        let start: &[u8] = match layout {
            Layout::Orf => b"IIRO\0\0\0\0",
            Layout::Rw2 => b"IIU\0\0\0\0\0",
            Layout::Nef => b"MM\0*\0\0\0\0",
            Layout::Cr2 => b"II*\0\0\0\0\0CR\x02\0\0\0\0\0",
            _ => b"II*\0\0\0\0\0",
        };
        Self {
            big_endian: layout == Layout::Nef,
            file: start.to_vec(),
        }
    }

    fn short(&self, it: u16) -> [u8; 2] {
        match self.big_endian {
            true => it.to_be_bytes(),
            false => it.to_le_bytes(),
        }
    }

    fn long(&self, it: u32) -> [u8; 4] {
        match self.big_endian {
            true => it.to_be_bytes(),
            false => it.to_le_bytes(),
        }
    }

    fn put(&mut self, bytes: &[u8]) -> u32 {
        self.file.resize(self.file.len().next_multiple_of(2), 0);
        let at = self.file.len() as u32;
        self.file.extend(bytes);
        at
    }

    fn directory(&mut self, mut fields: Vec<(u16, Value)>, next: u32) -> u32 {
        fields.sort_by_key(|it| it.0);
        let mut table = self.short(fields.len() as u16).to_vec();
        for (tag, value) in fields {
            let all = |of: &[u32]| of.iter().flat_map(|it| self.long(*it)).collect::<Vec<u8>>();
            let (kind, count, mut bytes) = match value {
                Value::Text(it) => (2, it.len() as u32 + 1, [it.as_bytes(), b"\0"].concat()),
                Value::Bytes(it) => (1, it.len() as u32, it),
                Value::Short(it) => (3, 1, self.short(it).to_vec()),
                Value::Long(it) => (4, 1, self.long(it).to_vec()),
                Value::Longs(it) => (4, it.len() as u32, all(&it)),
                Value::Rationals(it) => (5, it.len() as u32 / 2, all(&it)),
                Value::Place((at, length)) => (7, length, self.long(at).to_vec()),
            };
            if bytes.len() > 4 {
                let at = self.put(&bytes);
                bytes = self.long(at).to_vec();
            }
            bytes.resize(4, 0);
            table.extend(self.short(tag));
            table.extend(self.short(kind));
            table.extend(self.long(count));
            table.extend(bytes);
        }
        table.extend(self.long(next));
        self.put(&table)
    }

    /// The camera's facts, behind which the picture is put; of an ORF with the notes that tell where that is, counted from their first
    /// byte.
    fn exif(&mut self, layout: Layout, large: usize, said: &Said) -> u32 {
        let mut fields = vec![(36867, Value::Text(said.time))];
        if layout == Layout::Orf {
            let at = self.put(b"OLYMPUS\0II\x03\0");
            // Directory, settings, then the directory of the camera's facts: 18, 30 and 30 bytes; its time has 20.
            let settings = 12 + 18;
            let picture = settings + 30 + 2 + 2 * 12 + 4 + 20;
            let mut notes = self.short(1).to_vec();
            notes.extend(self.entry(0x2020, 13, settings));
            notes.extend([0; 4]);
            notes.extend(self.short(2));
            notes.extend(self.entry(0x0101, 4, picture));
            notes.extend(self.entry(0x0102, 4, large as u32));
            notes.extend([0; 4]);
            let length = 12 + notes.len() as u32;
            self.file.extend(notes);
            fields.push((0x927c, Value::Place((at, length))));
        }
        self.directory(fields, 0)
    }

    fn entry(&self, tag: u16, kind: u16, value: u32) -> Vec<u8> {
        let head = [self.short(tag), self.short(kind)].concat();
        [head, self.long(1).to_vec(), self.long(value).to_vec()].concat()
    }

    fn finish(mut self, first: u32) -> Vec<u8> {
        let first = self.long(first);
        self.file[4..8].copy_from_slice(&first);
        self.file
    }
}
