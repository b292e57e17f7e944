//! Words of the user that claim something, and what on record bears them.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_opposite;
use crate::assess::claims::claim_proofs;
use crate::assess::claims::claim_scope;
use crate::assess::claims::claim_texts;
use crate::assess::claims::claim_texts::Text;
use crate::assess::claims::claim_there::called;
use crate::assess::claims::claimed::Claimed;
use crate::trade::claims::claim::Found;

/// Every claim in the user's words that a buyer reads: piece, photos in order, repairs.
pub(crate) fn claims(ground: &ClaimContext<'_>) -> Vec<Claimed> {
    let mut claims = Vec::new();
    for said in claim_texts::texts(ground) {
        let found = ground.book.claims.in_text(&said.text).into_iter();
        let of_work = |it: &Found<'_>| said.of_work && it.claim.of_the_piece;
        for found in found.filter(|it| !of_work(it) && !is_of_its_mark(ground, &said, it)) {
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

/// Whether the words say no more than the mark beside which they stand: `no dust` beside one that says that nothing was seen of the dust
/// of a worm, `no lead` beside one that says that a test found none.
fn is_of_its_mark(ground: &ClaimContext<'_>, said: &Text, found: &Found<'_>) -> bool {
    let Some(no) = said.told_by_mark else {
        return false;
    };
    let claims = &ground.book.claims;
    let words = claims.words_of(&said.text[found.start..found.end]);
    let [denial, fault] = words.as_slice() else {
        return false;
    };
    let of = ground.findings.iter().find(|it| it.no == no);
    claims.is_denial(&denial.text) && of.is_some_and(|it| called(ground, it, &fault.text))
}
