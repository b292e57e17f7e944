//! Boxes of films, which phones also put behind their pictures (QuickTime, ISO/IEC 14496-12, 3GPP TS 26.244).

use memchr::memmem;

use crate::photo::disclosed::Disclosed;

/// Searches for the boxes and keys that hold a place.
pub(super) fn search(bytes: &[u8], found: &mut Disclosed) {
    // Two bytes of length and two of language, then a latitude with its sign (ISO 6709); or, in a list, a box inside of it.
    let user_data = |at: usize| {
        let text = bytes.get(at + 4..at + 40).unwrap_or(&[]);
        let sign = text.get(4).is_some_and(|it| b"+-".contains(it));
        sign || text.get(4..8) == Some(b"data")
    };
    let box_of_place = |at: usize| {
        let head = at.checked_sub(4).and_then(|it| bytes.get(it..at));
        let size = head
            .and_then(|it| it.first_chunk())
            .map(|it| u32::from_be_bytes(*it));
        let version = bytes.get(at + 4..at + 8);
        size.is_some_and(|it| (26..4096).contains(&it)) && version == Some(&[0; 4])
    };
    let any = |name: &[u8], is: &dyn Fn(usize) -> bool| memmem::find_iter(bytes, name).any(is);
    if any(b"\xa9xyz", &user_data)
        || any(b"loci", &box_of_place)
        || any(b"location.ISO6709", &|_| true)
    {
        found.places.insert("a film's box");
    }
}
