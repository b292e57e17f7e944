//! Who asks when a piece is disputed, and what to do when. General information, no legal advice.

use std::sync::LazyLock;

use serde::Deserialize;

/// What stands beside every time limit.
pub const ORIENTATION: &str = "Orientation; your contract and country decide.";

/// Somebody who asks.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asker {
    /// Its id, such as `road_carrier`.
    pub id: String,
    /// Who it is.
    pub label: String,
    /// What it asks for, a sentence each.
    pub asks: Vec<String>,
    /// What of a dossier answers it, a sentence each.
    pub send: Vec<String>,
    /// Time limits, a sentence each; never without [`ORIENTATION`].
    pub limits: Vec<String>,
    /// The limits that can be counted from the day of delivery; never without [`ORIENTATION`].
    #[serde(default)]
    pub deadline: Vec<ClaimDeadline>,
}

/// A time limit that can be counted.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClaimDeadline {
    /// Days after the delivery; 0 is the day itself.
    pub days: u16,
    /// What is to be done by then, a sentence.
    pub text: String,
}

/// What to do on an occasion, in order.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Procedure {
    /// Its id, such as `when_claimed`.
    pub id: String,
    /// The occasion.
    pub label: String,
    /// The steps, a sentence each.
    pub steps: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Askers {
    asker: Vec<Asker>,
    procedure: Vec<Procedure>,
}

static ALL: LazyLock<Askers> = LazyLock::new(|| {
    let read: Result<Askers, _> = toml::from_str(include_str!("../data/askers.toml"));
    read.expect("the file is embedded, and a test parses the same bytes")
});

/// All who ask.
#[must_use]
pub fn askers() -> &'static [Asker] {
    &ALL.asker
}

/// The one of this id.
#[must_use]
pub fn asker(id: &str) -> Option<&'static Asker> {
    askers().iter().find(|it| it.id == id)
}

/// All procedures, in the order of a piece's life.
#[must_use]
pub fn procedures() -> &'static [Procedure] {
    &ALL.procedure
}

/// The one of this id.
#[must_use]
pub fn procedure(id: &str) -> Option<&'static Procedure> {
    procedures().iter().find(|it| it.id == id)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::asker;
    use super::askers;
    use super::procedure;
    use super::procedures;
    use crate::trade::entry::claim_kind::claim_kinds;

    #[test]
    fn they_are_whole_and_promise_nothing() {
        assert_eq!((askers().len(), procedures().len()), (8, 3));
        let ids = askers().iter().map(|it| it.id.as_str());
        let ids: BTreeSet<&str> = ids
            .chain(procedures().iter().map(|it| it.id.as_str()))
            .collect();
        assert_eq!(ids.len(), 11);
        for it in askers() {
            assert!(
                !it.asks.is_empty() && !it.send.is_empty() && !it.limits.is_empty(),
                "{}",
                it.id
            );
            // A day that is counted is one that the limits speak of.
            for line in &it.deadline {
                let limits = it.limits.concat();
                let spoken = line.days == 0 || limits.contains(&line.days.to_string());
                assert!(spoken, "{}: {}", it.id, line.days);
            }
            let dated = it.deadline.iter().map(|it| &it.text);
            let lines = it
                .asks
                .iter()
                .chain(&it.send)
                .chain(&it.limits)
                .chain(dated);
            for line in lines {
                assert!(line.ends_with(['.', '?']), "{}: {line}", it.id);
                for word in ["certif", "guarant", "proof", "prove"] {
                    assert!(!line.to_lowercase().contains(word), "{line}");
                }
            }
        }
        for it in procedures() {
            assert!(
                it.steps.len() >= 3 && it.steps.iter().all(|it| it.ends_with('.')),
                "{}",
                it.id
            );
        }
    }

    #[test]
    fn every_claim_names_who_asks_and_what_to_do() {
        let mut named = BTreeSet::new();
        for kind in claim_kinds() {
            assert!(!kind.askers.is_empty(), "{}", kind.id);
            for id in &kind.askers {
                assert!(asker(id).is_some(), "{id} in {}", kind.id);
                assert!(
                    named.insert((kind.id.as_str(), id.as_str())),
                    "{id} twice in {}",
                    kind.id
                );
            }
            assert!(procedure(&kind.procedure).is_some(), "{}", kind.id);
        }
        let ever: BTreeSet<&str> = named.iter().map(|it| it.1).collect();
        assert_eq!(
            ever.len(),
            askers().len(),
            "each of them asks at least once"
        );
    }
}
