//! The claim and the pictures that a dossier was asked for, found by what was typed.

use std::fs::File;

use crate::assess::assessment::Assessment;
use crate::kit::checksums::Checksums;
use crate::model::photo::Photo;
use crate::trade::entry::claim_kind::ClaimKind;
use crate::trade::entry::claim_kind::claim_kind;
use crate::trade::entry::claim_kind::claim_kinds;
use crate::work::WorkError;

/// The kind of claim of an id.
///
/// # Errors
/// When there is none.
pub(in crate::work) fn known_claim(id: &str) -> Result<&'static ClaimKind, WorkError> {
    let all = || {
        let ids: Vec<&str> = claim_kinds().iter().map(|it| it.id.as_str()).collect();
        format!("the kinds are: {}", ids.join(", "))
    };
    claim_kind(id)
        .ok_or_else(|| WorkError::asked_with(format!("`{id}` is no kind of claim"), all()))
}

/// The photos that were named by number, by name, or by a file with the same bytes.
///
/// # Errors
/// When a name is that of no photo, or of several.
pub(in crate::work) fn named_photos(
    it: &Assessment,
    named: &[String],
) -> Result<Vec<u32>, WorkError> {
    let find = |name: &String| {
        let digest = File::open(name)
            .ok()
            .and_then(|it| Some(Checksums::of(it).ok()?.sha256));
        let is = |photo: &&Photo| match digest {
            Some(digest) => photo.digest == digest,
            None => name.parse() == Ok(photo.no) || photo.name == *name,
        };
        let found: Vec<u32> = it.photos.iter().filter(is).map(|it| it.no).collect();
        match found.as_slice() {
            [one] => Ok(*one),
            [] => Err(WorkError::asked_with(
                format!("`{name}` is no picture of {}", it.piece.stock_no),
                "take it in first: `asfound import FILE --piece NO --stage delivery`",
            )),
            _ => Err(WorkError::asked_with(
                format!("there are several pictures `{name}`"),
                "name it by its number",
            )),
        }
    };
    named.iter().map(find).collect()
}
