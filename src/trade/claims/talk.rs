//! Words that turn, weaken or place a claim.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

/// Words that take the edge off a claim, or name what it is about.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Talk {
    /// Words that turn a claim round.
    pub not: Vec<String>,
    /// Words that take a `not` back.
    pub only: Vec<String>,
    /// Words that mark an opinion, or a doubt.
    pub opinion: Vec<String>,
    /// Phrases that mark another's word.
    pub hearsay: Vec<String>,
    /// Words in front of a quotation that say that it was copied from the piece.
    pub copied: Vec<String>,
    /// Names of woods, one word each.
    pub woods: Vec<String>,
    /// Words for faults, one word each; those of the list of faults come to them.
    #[serde(default)]
    pub faults: Vec<String>,
    /// Words that mean any fault.
    #[serde(default)]
    pub general: Vec<String>,
    /// Words of faults that say in a free text as often that there is none, such as `tight`.
    #[serde(default)]
    pub either: Vec<String>,
    /// Words after a `not` that deny the fault before them, such as `seen`.
    #[serde(default)]
    pub found: Vec<String>,
    /// Beginnings of words that mean work on the piece.
    #[serde(default)]
    pub work: Vec<String>,
    /// Words that may stand between what is denied and what is done to it.
    #[serde(default)]
    pub between: Vec<String>,
    /// What is looked for on something beside the piece, with the words for that: said with it and a day, it tells what was seen.
    #[serde(default)]
    pub seen_on: BTreeMap<String, Vec<String>>,
    /// Words for forms, one word each; those of the list of forms come to them.
    #[serde(default)]
    pub forms: Vec<String>,
    /// Abbreviations whose full stop ends nothing.
    pub short: Vec<String>,
}
