//! Words of the user that claim something, and what on record bears them.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_opposite;
use crate::assess::claims::claim_proofs;
use crate::assess::claims::claim_scope;
use crate::assess::claims::claim_texts;
use crate::assess::claims::claimed::Claimed;

/// Every claim in the user's words that a buyer reads: piece, photos in order, repairs.
pub(crate) fn claims(ground: &ClaimContext<'_>) -> Vec<Claimed> {
    let mut claims = Vec::new();
    for said in claim_texts::texts(ground) {
        let found = ground.book.claims.in_text(&said.text).into_iter();
        for found in found.filter(|it| !(said.of_work && it.claim.of_the_piece)) {
            let scope = claim_scope::scope(ground, &said, &found);
            let word = &said.text[found.start..found.end];
            let proof = claim_proofs::proof(ground, &said.text, &found, &scope);
            let opposite = claim_opposite::opposite(ground, &said.text, &found, &scope);
            let mut write = found.claim.write.clone();
            let (rests_on, lacks) = match (proof, opposite) {
                (Ok(line), _) => (Some(line), String::new()),
                (Err(lacks), None) => (None, lacks),
                // What could be written in its place would be as false.
                (Err(_), Some(opposite)) => {
                    "take the word out: the record says otherwise".clone_into(&mut write);
                    (None, opposite)
                }
            };
            claims.push(Claimed {
                claim: found.claim.id.clone(),
                word: word.to_owned(),
                text: said.text.clone(),
                end: found.end,
                place: said.place.clone(),
                told_by: said.told_by.clone(),
                rests_on,
                lacks,
                write,
                why: found.claim.why.clone(),
            });
        }
    }
    claims
}
