//! Whether an original is what it was, and what it tells of places and people.

use std::fs;
use std::path::Path;

use crate::kit::digest::Digest;
use crate::model::facts::Oddity;
use crate::model::photo::Photo;
use crate::photo::Disclosed;
use crate::photo::disclosed;
use crate::work::proof::book_source::digest_of;

/// The longest file that is looked through, bytes: it is read whole.
const LONGEST: u64 = 512 << 20;

/// Looks through a file; `None` when it is gone or has other bytes than it came in with.
pub(in crate::work) fn look(path: &Path, digest: Digest) -> Option<Disclosed> {
    if fs::metadata(path).ok()?.len() > LONGEST {
        let mut told = Disclosed::default();
        told.unread.insert("a file too long to look through");
        return (digest_of(path)? == digest).then_some(told);
    }
    let bytes = fs::read(path).ok()?;
    (Digest::of(&bytes) == digest).then(|| disclosed(&bytes))
}

/// The same of a photo, with what was found in it when it came in.
pub(in crate::work) fn look_at_photo(path: &Path, photo: &Photo) -> Option<Disclosed> {
    let mut told = look(path, photo.digest)?;
    let unread = |it: &Oddity| matches!(it, Oddity::ExifUnreadable(_));
    if photo.facts.oddities.iter().any(unread) {
        told.unread.insert("camera facts that cannot be read");
    }
    if photo.facts.place.is_some() {
        told.places.insert("its camera facts");
    }
    Some(told)
}
