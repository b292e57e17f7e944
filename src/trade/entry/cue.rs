//! Observations that are no faults: what a part is made of, how and when.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

/// A group of observations, as it is headed where they are told.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CueGroup {
    /// Its id, such as `joinery`.
    pub id: String,
    /// Its heading, for a buyer.
    pub label: String,
}

/// An observation.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cue {
    /// Its id, such as `layer_line`.
    pub id: String,
    /// Its group, such as `material` or `joinery`.
    pub group: String,
    /// Its name: what is seen.
    pub term: String,
    /// What that tells, for a buyer.
    pub plain: String,
    /// For material cues, the class it speaks for: `solid`, `veneer`, `plywood`, `particleboard`, `mdf`, `laminate`,
    /// `print` or `composition`.
    pub supports: Option<String>,
    /// The class it speaks against.
    pub against: Option<String>,
    /// What it shows to lie below the face: `solid`, `plywood`, `particleboard` or `mdf`.
    pub core: Option<String>,
    /// The coat that it speaks for, such as `shellac`.
    pub coat: Option<String>,
    /// Whether the part has no wooden face of its own: cloth, leather or cane covers it.
    #[serde(default)]
    pub covers: bool,
    /// Whether that is a web of cane, rush or cord, under which nothing lies: it has neither cover nor filling.
    #[serde(default)]
    pub web: bool,
    /// Whether it lies loose in its frame and lifts out.
    #[serde(default)]
    pub lifts_out: bool,
    /// Whether it tells of work done before, such as holes of other handles.
    #[serde(default)]
    pub earlier_work: bool,
    /// Whether it records a test made, not a look.
    #[serde(default)]
    pub is_test: bool,
    /// Its name where a mark says that it was otherwise, by the word of the state, such as `gone`; where a state has none, the
    /// name stands with what the state says of every observation.
    #[serde(default)]
    pub otherwise: BTreeMap<String, String>,
    /// A line for who photographs a piece on which it was seen.
    pub on_the_spot: Option<String>,
    /// Whether the figure or the pores of the wood are seen, so that what lies over it is clear.
    #[serde(default)]
    pub shows_wood: bool,
    /// 3 strong (direct, hard to fake), 2 medium, 1 weak, 0 proves nothing.
    pub weight: u8,
    /// What misleads.
    pub trap: String,
    /// The view that shows it; `None` for what no photo shows.
    pub view: Option<String>,
    /// The part is not older than this year, if it is original; the earliest plausible year.
    pub not_before: Option<i16>,
    /// The part is probably not younger than this year, if it is original.
    pub not_after: Option<i16>,
    /// Whether it settles its class alone for the part on which it is seen.
    #[serde(default)]
    pub decides: bool,
}

#[cfg(test)]
mod tests {
    use crate::trade::trade_book::TradeBook;

    #[test]
    fn cues_are_in_bounds() {
        let book = TradeBook::parse().unwrap();
        let classes = [
            "solid",
            "veneer",
            "plywood",
            "particleboard",
            "mdf",
            "laminate",
            "print",
            "composition",
        ];
        for cue in &book.cues {
            assert!(
                book.cue_groups.iter().any(|it| it.id == cue.group),
                "{} has no heading",
                cue.id
            );
            assert!(cue.weight <= 3 && !cue.plain.is_empty(), "{}", cue.id);
            let named = cue.supports.iter().chain(&cue.against);
            assert!(
                named.clone().all(|it| classes.contains(&it.as_str())),
                "{}",
                cue.id
            );
            assert!(cue.group == "material" || named.count() == 0, "{}", cue.id);
            assert!(!cue.decides || cue.supports.is_some(), "{}", cue.id);
            if let (Some(from), Some(to)) = (cue.not_before, cue.not_after) {
                assert!(from < to, "{}", cue.id);
            }
        }
    }
}
