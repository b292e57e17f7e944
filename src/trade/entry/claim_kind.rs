//! What is asked when a piece is disputed, and which pictures answer it. General information, no legal advice.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::model::photo::Stage;

/// One question that is asked.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClaimKind {
    /// Its id, such as `transit_break`.
    pub id: String,
    /// Its name.
    pub label: String,
    /// What must be answered.
    pub question: String,
    /// Views that answer it, by id.
    pub views: Vec<String>,
    /// Which findings it is about.
    pub findings: Concerned,
    /// Whether parts that were there, and are absent since, answer it.
    #[serde(default)]
    pub lost: bool,
    /// Whether the words about the piece and its new material answer it.
    #[serde(default)]
    pub described: bool,
    /// What was seen that is no fault and answers it, by the groups of observations.
    #[serde(default)]
    pub seen: Vec<String>,
    /// Who asks, by id, the likeliest first.
    pub askers: Vec<String>,
    /// What to do, by id.
    pub procedure: String,
    /// Shoots that must be there.
    #[serde(default)]
    pub stages: Vec<Stage>,
    /// Whether a number decides.
    #[serde(default)]
    pub measured: bool,
    /// Whether a buyer's edition must be older than the sale or the hand-over.
    #[serde(default)]
    pub report: bool,
    /// What to look for in the pictures.
    pub shows: Vec<String>,
    /// What the book cannot hold.
    #[serde(default)]
    pub papers: Vec<String>,
    /// What answers it well.
    pub strong: String,
    /// What does not.
    pub weak: String,
}

/// Which findings a claim is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Concerned {
    /// Those that were first seen at the hand-over, or seen after the piece had left.
    AfterSale,
    /// Those of the structure: joints, legs, frames.
    Joints,
    /// Those that a repair was made for.
    Repaired,
    /// All.
    All,
    /// Those that say that something is missing.
    Missing,
    /// None: it is about the piece, not about a fault.
    None,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ClaimKinds {
    kind: Vec<ClaimKind>,
}

static KINDS: LazyLock<Vec<ClaimKind>> = LazyLock::new(|| {
    let read: Result<ClaimKinds, _> = toml::from_str(include_str!("../data/claim_kinds.toml"));
    read.expect("the file is embedded, and a test parses the same bytes")
        .kind
});

/// All of them.
#[must_use]
pub fn claim_kinds() -> &'static [ClaimKind] {
    &KINDS
}

/// The one of this id.
#[must_use]
pub fn claim_kind(id: &str) -> Option<&'static ClaimKind> {
    claim_kinds().iter().find(|it| it.id == id)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::Concerned;
    use super::claim_kind;
    use super::claim_kinds;
    use crate::trade;

    #[test]
    fn they_name_views_that_there_are_and_promise_nothing() {
        let book = trade::book();
        assert_eq!(claim_kinds().len(), 14);
        let ids: BTreeSet<&str> = claim_kinds().iter().map(|it| it.id.as_str()).collect();
        assert_eq!(ids.len(), 14);
        for kind in claim_kinds() {
            assert!(!kind.views.is_empty(), "{}", kind.id);
            for view in &kind.views {
                assert!(book.view(view).is_some(), "{view} in {}", kind.id);
            }
            for group in &kind.seen {
                let mut groups = book.cue_groups.iter();
                assert!(groups.any(|it| it.id == *group), "{group} in {}", kind.id);
            }
            assert!(kind.question.ends_with('?'), "{}", kind.id);
            let lines = [&kind.strong, &kind.weak].into_iter();
            for line in lines.chain(&kind.shows).chain(&kind.papers) {
                assert!(line.ends_with('.'), "{}: {line}", kind.id);
                for word in ["certif", "guarant", "proof", "prove"] {
                    assert!(!line.to_lowercase().contains(word), "{line}");
                }
            }
        }
        assert!(book.tags.iter().any(|it| it.group == "structure"));
        let transit = claim_kind("transit_break").unwrap();
        assert_eq!(transit.findings, Concerned::AfterSale);
        assert!(claim_kind("front_whole").is_none());
    }
}
