//! Packets of the Extensible Metadata Platform (ISO 16684), also those of two bytes a letter and those cut into pieces.

use memchr::memmem;

use crate::photo::disclosed::Disclosed;
use crate::photo::disclosed::text;

/// Words of a place that occur nowhere but in such packets; looked for in all bytes.
const POSITIONS: [&str; 5] = [
    "GPSLatitude",
    "GPSLongitude",
    "GPSDestLatitude",
    "GPSDestLongitude",
    "GPSAreaInformation",
];

/// Words of a place inside a packet, whatever their prefix (IPTC Core and Extension, and an editor's own).
const PLACES: [&str; 15] = [
    "City",
    "State",
    "Country",
    "CountryName",
    "CountryCode",
    "ProvinceState",
    "Sublocation",
    "Location",
    "LocationCreated",
    "LocationShown",
    "LocationName",
    "WorldRegion",
    "CiAdrCity",
    "CiAdrExtadr",
    "CiAdrCtry",
];

const NAMES: [&str; 14] = [
    "creator",
    "rights",
    "Artist",
    "Copyright",
    "OwnerName",
    "CameraOwnerName",
    "Owner",
    "Photographer",
    "Credit",
    "CaptionWriter",
    "CiEmailWork",
    "CiTelWork",
    "PersonInImage",
    "PersonDisplayName",
];

/// What is written of the picture itself: Dublin Core, IPTC, regions, and what photo albums add.
const WORDS: [&str; 13] = [
    "Label",
    "Instructions",
    "subject",
    "title",
    "description",
    "Headline",
    "Name",
    "UserComment",
    "TagsList",
    "hierarchicalSubject",
    "LastKeywordXMP",
    "CatalogSets",
    "RegionDescription",
];

const SERIALS: [&str; 4] = [
    "SerialNumber",
    "BodySerialNumber",
    "LensSerialNumber",
    "CameraSerialNumber",
];

/// What the pieces of a long packet in a JPEG begin with: this, 32 letters of its digest, its length, the piece's place.
const PIECE: &[u8] = b"http://ns.adobe.com/xmp/extension/\0";

/// Searches all packets, those in pieces put together.
pub(super) fn search(bytes: &[u8], found: &mut Disclosed) {
    plain(bytes, found);
    let whole = joined(bytes);
    if !whole.is_empty() {
        plain(&whole, found);
    }
    for big_endian in [false, true] {
        for packet in between(
            bytes,
            &wide("<rdf:RDF", big_endian),
            &wide("</rdf:RDF>", big_endian),
        ) {
            let pairs = packet.chunks_exact(2);
            let letters: Vec<u16> = pairs
                .map(|it| match big_endian {
                    true => u16::from_be_bytes([it[0], it[1]]),
                    false => u16::from_le_bytes([it[0], it[1]]),
                })
                .collect();
            plain(String::from_utf16_lossy(&letters).as_bytes(), found);
        }
    }
}

/// What all packets say under a name, in their order.
pub(in crate::photo) fn values_of(bytes: &[u8], name: &str) -> Vec<String> {
    let packets = between(bytes, b"<rdf:RDF", b"</rdf:RDF>");
    packets
        .into_iter()
        .flat_map(|it| values(it, name))
        .collect()
}

/// The packets as texts, whole, those in pieces put together.
pub(in crate::photo) fn packets(bytes: &[u8]) -> Vec<String> {
    let joined = joined(bytes);
    let packets = between(bytes, b"<rdf:RDF", b"</rdf:RDF>").into_iter();
    let packets = packets.chain(between(&joined, b"<rdf:RDF", b"</rdf:RDF>"));
    packets
        .map(|it| format!("{}</rdf:RDF>", text(it)))
        .collect()
}

fn plain(bytes: &[u8], found: &mut Disclosed) {
    if POSITIONS
        .iter()
        .any(|it| values(bytes, it).next().is_some())
    {
        found.places.insert("its XMP packet");
    }
    for packet in between(bytes, b"<rdf:RDF", b"</rdf:RDF>") {
        if PLACES.iter().any(|it| values(packet, it).next().is_some()) {
            found.places.insert("its XMP packet");
        }
        for value in NAMES.iter().flat_map(|it| values(packet, it)) {
            found.name(&value);
        }
        for value in WORDS.iter().flat_map(|it| values(packet, it)) {
            found.word(&value);
        }
        for value in SERIALS.iter().flat_map(|it| values(packet, it)) {
            found.serial(&value);
        }
    }
}

/// The parts from one text to the next other one; the last to the end, where that one is missing.
fn between<'a>(bytes: &'a [u8], from: &[u8], to: &[u8]) -> Vec<&'a [u8]> {
    let mut parts = Vec::new();
    let mut at = 0;
    while let Some(start) = memmem::find(&bytes[at..], from) {
        let rest = &bytes[at + start..];
        let end = memmem::find(rest, to).unwrap_or(rest.len());
        parts.push(&rest[..end]);
        at += start + end.max(1);
    }
    parts
}

fn wide(text: &str, big_endian: bool) -> Vec<u8> {
    let letters = text.encode_utf16();
    let bytes = letters.map(|it| match big_endian {
        true => it.to_be_bytes(),
        false => it.to_le_bytes(),
    });
    bytes.flatten().collect()
}

/// The values of a property, as attribute or element, that say something.
fn values(bytes: &[u8], name: &str) -> impl Iterator<Item = String> {
    memmem::find_iter(bytes, name.as_bytes()).filter_map(move |at| {
        let prefix = at.checked_sub(1).and_then(|it| bytes.get(it));
        let (head, rest) = (&bytes[..at], &bytes[at + name.len()..]);
        if prefix != Some(&b':') {
            return None;
        }
        let rest = String::from_utf8_lossy(&rest[..rest.len().min(4096)]);
        let word = |it: &u8| it.is_ascii_alphanumeric() || b"_-.:".contains(it);
        let opens = head.iter().rev().find(|it| !word(it));
        let value = match opens {
            Some(b'<') => element(&rest, name),
            Some(it) if it.is_ascii_whitespace() => attribute(&rest),
            _ => None,
        }?;
        let value = value.trim();
        (!value.is_empty()).then(|| value.to_owned())
    })
}

fn attribute(rest: &str) -> Option<String> {
    let rest = rest.trim_start().strip_prefix('=')?.trim_start();
    let quote = rest.chars().next().filter(|it| ['"', '\''].contains(it))?;
    rest[1..].split(quote).next().map(str::to_owned)
}

/// The text of an element without the tags in it; of an element without text what its attributes say.
fn element(rest: &str, name: &str) -> Option<String> {
    // Another word that only begins so.
    let next = rest.chars().next()?;
    if !(next == '>' || next == '/' || next.is_whitespace()) {
        return None;
    }
    let (tag, inside) = rest.split_once('>')?;
    if tag.ends_with('/') {
        return tag.contains("rdf:resource").then(|| tag.to_owned());
    }
    let end = inside.find(&format!(":{name}>")).unwrap_or(inside.len());
    let inside = &inside[..end];
    let mut text = String::new();
    let mut in_tag = false;
    for letter in inside.chars() {
        match letter {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ if !in_tag => text.push(letter),
            _ => {}
        }
    }
    // A structure may hold its values as attributes of what stands in it.
    let inner = || inside.contains("=\"").then(|| attributes(inside));
    match text.trim().is_empty() {
        true => inner(),
        false => Some(text),
    }
}

fn attributes(inside: &str) -> String {
    let mut values = inside.split('"').skip(1).step_by(2);
    let said = values.find(|it| !it.is_empty() && !["Resource", "x-default"].contains(it));
    said.unwrap_or("").to_owned()
}

/// A long packet of a JPEG put together from its segments.
fn joined(bytes: &[u8]) -> Vec<u8> {
    let mut pieces: Vec<(u32, &[u8])> = Vec::new();
    for start in memmem::find_iter(bytes, PIECE) {
        // The two bytes before it are the segment's length, which counts itself.
        let Some(length) = start
            .checked_sub(2)
            .and_then(|it| bytes[it..].first_chunk())
            .map(|it| usize::from(u16::from_be_bytes(*it)))
        else {
            continue;
        };
        let head = PIECE.len() + 40;
        let end = (start + length.saturating_sub(2)).min(bytes.len());
        let place = bytes
            .get(start + head - 4..)
            .and_then(|it| it.first_chunk());
        if let (Some(place), Some(piece)) = (place, bytes.get(start + head..end)) {
            pieces.push((u32::from_be_bytes(*place), piece));
        }
    }
    pieces.sort_by_key(|it| it.0);
    pieces.into_iter().flat_map(|it| it.1).copied().collect()
}
