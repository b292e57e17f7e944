//! The words of the format itself: what may stand left of an equals sign.

/// Keys at the top of a sidecar.
pub(crate) const TOP: [&str; 10] = [
    "view",
    "parts",
    "note",
    "private_note",
    "sound",
    "absent",
    "not_examined",
    "scale",
    "face",
    "mark",
];

/// Keys under `[scale]`.
pub(crate) const SCALE: [&str; 3] = ["object", "length_mm", "corners"];

/// Keys under `[[face]]`, in the order in which they are written.
pub(crate) const FACE: [&str; 6] = ["face", "corners", "points", "how", "size", "at"];

/// Keys of a point of a face.
pub(crate) const POINT: [&str; 2] = ["mm", "at"];

/// Keys under `[[mark]]`, in the order in which they are written.
pub(crate) const MARK: [&str; 12] = [
    "tag", "part", "which", "finding", "state", "level", "size", "note", "box", "line", "outline",
    "spot",
];

/// The keys that say where in the picture; a mark has at most one.
pub(crate) const REGION: [&str; 4] = ["box", "line", "outline", "spot"];

/// What can be said of a whole part in one word: tags, and lists at the top. Marks of the lists come in this order.
pub(crate) const STATEMENTS: [&str; 3] = ["sound", "absent", "not_examined"];

/// Things of known size with width and height, mm.
///
/// ISO/IEC 7810 for the ID-1 card, ISO 216 for A4, ANSI/ASME Y14.1 (8.5 x 11 inches) for US letter.
pub(crate) const OBJECTS: [(&str, [f64; 2]); 3] = [
    ("id-1", [85.60, 53.98]),
    ("a4", [210.0, 297.0]),
    ("us-letter", [215.9, 279.4]),
];

/// Keys of `book.toml`.
pub(crate) const SETTINGS: [&str; 13] = [
    "trading_name",
    "contact",
    "address",
    "phone",
    "examined_by",
    "language",
    "currency",
    "country",
    "hourly_rate",
    "hours",
    "prices",
    "terms",
    "season",
];

/// Keys under `[terms]`.
pub(crate) const TERMS: [&str; 12] = [
    "channel",
    "fee",
    "margin",
    "least_margin",
    "risk",
    "discount",
    "lowest_hourly",
    "pickup",
    "delivery",
    "storage_week",
    "weeks",
    "hours_a_day",
];

/// Keys under `[season]`.
pub(crate) const SEASON: [&str; 4] = ["winter", "summer", "now", "temperature"];

/// The largest sidecar that is read, bytes.
pub(crate) const MOST_BYTES: usize = 1_000_000;
