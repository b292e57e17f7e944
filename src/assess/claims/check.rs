//! Words of the user that claim something, and what on record bears them.

use serde::Serialize;

use crate::assess::assessment::Finding;
use crate::assess::assessment::PartReport;
use crate::assess::assessment::PieceRecord;
use crate::assess::claims::claim_proofs;
use crate::assess::claims::claim_scope;
use crate::assess::claims::claim_texts;
use crate::assess::material::clue::Made;
use crate::assess::material::clue::Observation;
use crate::assess::parts::PartList;
use crate::assess::statements::reading::Statements;
use crate::assess::timeline::Timeline;
use crate::trade::TradeBook;

/// A word of the user that claims something about the piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Claimed {
    /// The claim of the trade book, such as `solid`.
    pub claim: String,
    /// The word as written.
    pub word: String,
    /// The text in which it stands.
    pub text: String,
    /// Where in that text it ends, bytes.
    pub end: usize,
    /// Where that text is printed, such as `the note beside picture 3`.
    pub place: String,
    /// Where the user wrote it: a file or a command.
    pub told_by: String,
    /// What on record bears it, in one sentence for the buyer; `None` when nothing does.
    pub rests_on: Option<String>,
    /// What is lacking, in a clause; empty when nothing is.
    pub lacks: String,
    /// What to write instead, in a clause.
    pub write: String,
    /// Why it matters, in a clause.
    pub why: String,
}

/// All that may bear a claim.
pub(crate) struct ClaimContext<'a> {
    pub(crate) case: &'a PieceRecord,
    pub(crate) book: &'a TradeBook,
    pub(crate) time: &'a Timeline<'a>,
    pub(crate) list: &'a PartList,
    pub(crate) statements: &'a Statements<'a>,
    pub(crate) parts: &'a [PartReport],
    pub(crate) findings: &'a [Finding],
    pub(crate) observations: &'a [Observation],
    pub(crate) made: &'a Made,
}

/// Every claim in the user's words that a buyer reads: piece, photos in order, repairs.
pub(crate) fn claims(ground: &ClaimContext<'_>) -> Vec<Claimed> {
    let mut claims = Vec::new();
    for said in claim_texts::texts(ground) {
        for found in ground.book.claims.in_text(&said.text) {
            let scope = claim_scope::scope(ground, &said, &found);
            let word = &said.text[found.start..found.end];
            let proof = claim_proofs::proof(ground, found.claim, word, &scope);
            let (rests_on, lacks) = match proof {
                Ok(line) => (Some(line), String::new()),
                Err(lacks) => (None, lacks),
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
                write: found.claim.write.clone(),
                why: found.claim.why.clone(),
            });
        }
    }
    claims
}
