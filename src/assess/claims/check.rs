//! Words of the user that claim something, and what on record bears them.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_opposite;
use crate::assess::claims::claim_proofs;
use crate::assess::claims::claim_scope;
use crate::assess::claims::claim_texts;
use crate::assess::claims::claim_texts::OfMark;
use crate::assess::claims::claim_texts::Text;
use crate::assess::claims::claim_there::LOOKS_LIKE;
use crate::assess::claims::claim_there::called;
use crate::assess::claims::claimed::Claimed;
use crate::assess::findings::finding::Finding;
use crate::trade::claims::claim::Claims;
use crate::trade::claims::claim::Found;
use crate::trade::claims::claim::RestsOn;
use crate::trade::claims::claim_words::Word;

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
/// of a worm, `no lead` beside one that says that a test found none, `no gap` beside a joint, whose fault is measured by its gap,
/// `ash` beside one that says of which wood it looks.
fn is_of_its_mark(ground: &ClaimContext<'_>, said: &Text, found: &Found<'_>) -> bool {
    let Some(mark) = &said.of_mark else {
        return false;
    };
    let claims = &ground.book.claims;
    if is_of_its_level(mark, &said.text, found) {
        return true;
    }
    let word = &said.text[found.start..found.end];
    if found.claim.rests_on == RestsOn::Wood {
        let cue = mark.cue.as_deref().and_then(|it| ground.book.cue(it));
        return cue.is_some_and(|it| it.id == LOOKS_LIKE || names(claims, &it.term, word));
    }
    let words = claims.words_of(word);
    let [denial, fault] = words.as_slice() else {
        return false;
    };
    let of = ground
        .findings
        .iter()
        .find(|it| Some(it.no) == mark.finding);
    let Some(of) = of.filter(|_| claims.is_denial(&denial.text)) else {
        return false;
    };
    match called(ground, of, &fault.text) {
        true => mark.not_there,
        false => is_measure(ground, of, &fault.text) && is_of_its_place(ground, said, found),
    }
}

/// Whether the word stands in the words by which the trade book tells the level of the mark: `works, no key` of a lock of level 1.
fn is_of_its_level(mark: &OfMark, text: &str, found: &Found<'_>) -> bool {
    let text = text.to_ascii_lowercase();
    let told = mark.criterion.as_ref().and_then(|it| {
        let criterion = it.to_ascii_lowercase();
        let at = text.find(&criterion)?;
        Some(at..at + criterion.len())
    });
    told.is_some_and(|it| it.start <= found.start && found.end <= it.end)
}

/// Whether a fault is recognised or measured by this word, such as a loose joint by its gap.
fn is_measure(ground: &ClaimContext<'_>, of: &Finding, word: &str) -> bool {
    let Some(tag) = ground.book.tag(&of.tag) else {
        return false;
    };
    let texts = [&tag.recognise, &tag.measure_what]
        .into_iter()
        .chain(tag.levels.iter().flatten());
    { texts }.any(|it| names(&ground.book.claims, it, word))
}

/// Whether a claim speaks of the part of its mark alone, and no finding there says the opposite.
fn is_of_its_place(ground: &ClaimContext<'_>, said: &Text, found: &Found<'_>) -> bool {
    let claims = &ground.book.claims;
    let words = claims.words_of(&said.text);
    let own = words.iter().find(|it| it.start == found.start);
    let clause = own.map(|it| it.clause);
    let after = words
        .iter()
        .filter(|it| it.start >= found.end && Some(it.clause) == clause);
    let scope = claim_scope::scope(ground, said, found);
    let opposite = claim_opposite::opposite(ground, &said.text, found, &scope);
    let wider = |it: &Word| {
        let parts = claim_scope::parts_called(ground, &it.text);
        let other = !parts.is_empty() && !parts.iter().any(|it| said.about.contains(it));
        other || claims.is_any_fault(&it.text)
    };
    scope == said.about && opposite.is_none() && !{ after }.any(wider)
}

fn names(claims: &Claims, text: &str, word: &str) -> bool {
    let asked = word.to_lowercase();
    claims.words_of(text).iter().any(|it| it.text == asked)
}
