//! Hazards, and the lines printed about them.

use std::collections::BTreeSet;

use serde::Deserialize;
use serde::Serialize;

/// All dangers, and the years in which countries took lead out of paint, as the file holds them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hazards {
    /// The dangers.
    pub hazard: Vec<Hazard>,
    /// The years.
    pub lead_law: Vec<LeadLaw>,
}

/// A danger to people.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// Its id, such as `tip_over`.
    pub id: String,
    /// A heading.
    pub title: String,
    /// Lines for the buyer's report; empty for a danger of the work alone.
    pub buyer: Vec<String>,
    /// Lines for the buyer's report of a piece that has certain parts or marks.
    #[serde(default)]
    pub buyer_with: Vec<LineWith>,
    /// What is told in place of title and lines where a test found it: of a danger that only a test tells.
    #[serde(default)]
    pub found: Option<OtherLines>,
    /// What is told in their place where nothing on record speaks of this danger itself: of one of paint where a coat is on record, of
    /// any other where a fault brings it.
    #[serde(default)]
    pub unseen: Option<OtherLines>,
    /// What is not to be done before a fault on which somebody may come to harm is repaired, by the fault and by how the piece
    /// stands.
    #[serde(default)]
    pub until: Vec<UntilLine>,
    /// What is done before the piece is used, in few words; empty when there is nothing.
    #[serde(default)]
    pub first: String,
    /// Lines for who works on the piece.
    pub worker: Vec<String>,
    /// Lines for who works on a piece that has certain parts or marks.
    #[serde(default)]
    pub worker_with: Vec<LineWith>,
    /// A short line for who stands before the piece and photographs it.
    pub on_the_spot: Option<SpotLine>,
    /// What is said of dusting it in place of the usual line, where one of its marks is recorded; empty where that may stand.
    #[serde(default)]
    pub dust: String,
    /// When the buyer's lines apply.
    pub applies: HazardRule,
}

/// A title with its lines for the buyer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OtherLines {
    /// A heading.
    pub title: String,
    /// The line for who photographs it; `None` where it stays the same.
    #[serde(default)]
    pub on_the_spot: Option<String>,
    /// The line for who does work that would make dust of it.
    #[serde(default)]
    pub worker: Option<String>,
    /// The line for who works on paint of the same piece that nobody tested.
    #[serde(default)]
    pub elsewhere: Option<String>,
    /// What has to be expected after work that made dust of it.
    #[serde(default)]
    pub dusted: Option<String>,
    /// The lines.
    pub buyer: Vec<String>,
}

/// A line on a piece that has a part of one of these kinds, or one of these marks; on any piece where neither is named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineWith {
    /// The kinds of parts.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// The tags or cues.
    #[serde(default)]
    pub marks: Vec<String>,
    /// Whether it tells how something is opened or tried, which is not said while it has to stay shut.
    #[serde(default)]
    pub opens: bool,
    /// The line.
    pub say: String,
}

/// What is there, as far as it calls for lines.
#[derive(Clone, Debug, Default)]
pub struct Present<'a> {
    /// Kinds of parts.
    pub kinds: BTreeSet<&'a str>,
    /// Tags and cues.
    pub marks: BTreeSet<&'a str>,
    /// Whether what opens has to stay shut.
    pub shut: bool,
}

impl Present<'_> {
    /// Those of the lines that are said of it, in their order.
    pub fn called_for<'l>(&self, lines: &'l [LineWith]) -> impl Iterator<Item = &'l String> {
        lines
            .iter()
            .filter(|it| self.calls_for(it))
            .map(|it| &it.say)
    }

    fn calls_for(&self, line: &LineWith) -> bool {
        let part = |it: &String| self.kinds.contains(it.as_str());
        let mark = |it: &String| self.marks.contains(it.as_str());
        let any = line.kinds.is_empty() && line.marks.is_empty();
        let there = any || line.kinds.iter().any(part) || line.marks.iter().any(mark);
        there && !(line.opens && self.shut)
    }
}

/// What is not to be done with a piece until a fault of it is repaired.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UntilLine {
    /// The faults of which it is said; empty means any.
    #[serde(default)]
    pub marks: Vec<String>,
    /// Faults of which it is not said.
    #[serde(default)]
    pub except: Vec<String>,
    /// Whether it is said of what hangs on a wall, or of what does not; `None` for both.
    pub hangs: Option<bool>,
    /// Whether it is said of what does not work any more, on which nobody comes to harm.
    #[serde(default)]
    pub unusable: bool,
    /// Whether what has the fault stays shut until then, and is not tipped.
    #[serde(default)]
    pub shut: bool,
    /// Whether what has the fault drops where it is opened or the piece is moved, and takes nothing of the piece's strength.
    #[serde(default)]
    pub drops: bool,
    /// The line.
    pub say: String,
}

impl Hazard {
    /// Whether anything is said of it to a buyer.
    #[must_use]
    pub fn speaks_to_buyer(&self) -> bool {
        !self.buyer.is_empty() || !self.buyer_with.is_empty()
    }

    /// What who works on the piece must mind.
    #[must_use]
    pub fn for_worker(&self, present: &Present<'_>) -> Vec<String> {
        let with = present.called_for(&self.worker_with);
        self.worker.iter().chain(with).cloned().collect()
    }
}

impl UntilLine {
    /// Whether it is said of a piece with a fault of this tag.
    #[must_use]
    pub fn fits(&self, tag: &str, hangs: bool) -> bool {
        let named = |list: &[String]| list.iter().any(|it| it == tag);
        let of_fault = self.marks.is_empty() || named(&self.marks);
        of_fault && !named(&self.except) && self.hangs.is_none_or(|it| it == hangs)
    }
}

/// When a country took lead out of paint for furniture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeadLaw {
    /// The country, two letters by ISO 3166-1.
    pub country: String,
    /// Paint on what was made before this year may hold lead.
    pub before: i16,
    /// What says so.
    pub source: String,
}

/// A line for who photographs a piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpotLine {
    /// The line.
    pub say: String,
    /// Whether it is said of every piece; else where the form or the parts call for it.
    #[serde(default)]
    pub always: bool,
}

/// When a hazard applies to a piece: any one of these is enough.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct HazardRule {
    /// To every piece.
    pub always: bool,
    /// To pieces with a heavy or failing fault, still there or not seen since its repair, on which somebody may come to harm; the
    /// faults are named before the lines.
    pub failing: bool,
    /// To pieces that may fall forward.
    pub tip_over: bool,
    /// To pieces that hang on a wall.
    pub hangs: bool,
    /// To pieces on which old paint is not excluded.
    pub paint_possible: bool,
    /// To these forms.
    pub forms: Vec<String>,
    /// To pieces with a part of one of these kinds.
    pub kinds: Vec<String>,
    /// To pieces with one of these tags or cues recorded.
    pub marks: Vec<String>,
}

#[cfg(test)]
mod tests {
    use crate::trade::entry::hazard::Hazard;
    use crate::trade::entry::hazard::HazardRule;
    use crate::trade::trade_book::TradeBook;

    #[test]
    fn hazards_speak_to_buyer_or_worker() {
        let book = TradeBook::parse().unwrap();
        for id in [
            "failing",
            "tip_over",
            "hanging",
            "lead",
            "dust",
            "strippers",
            "solvent_fire",
            "glass",
            "mould_dust",
            "insects",
            "bed_bugs",
            "electrical",
            "entrapment",
            "flap",
            "upholstery_fire",
            "heavy_lift",
            "child_use",
            "old_chemicals",
        ] {
            let hazard = book.hazard(id).unwrap();
            let works = !hazard.worker.is_empty() || !hazard.worker_with.is_empty();
            assert!(works, "{id}");
            let never = hazard.applies == HazardRule::default();
            assert_eq!(never, !hazard.speaks_to_buyer(), "{id}");
        }
        // What a line says to be recorded is a mark of the danger's own, and what else brings it has lines of its own.
        let recorded = |it: &&Hazard| it.buyer.iter().any(|it| it.contains("recorded"));
        for hazard in book.hazards.iter().filter(recorded) {
            let rule = &hazard.applies;
            assert!(
                rule.forms.is_empty() && rule.kinds.is_empty() && !rule.always,
                "{}",
                hazard.id
            );
            let brings = book
                .tags
                .iter()
                .filter(|it| it.hazards.contains(&hazard.id));
            let foreign = { brings }.any(|it| !rule.marks.contains(&it.id));
            assert!(!foreign || hazard.unseen.is_some(), "{}", hazard.id);
        }
        // 88 FR 28403: the rule covers units made after 1 September 2023; vintage pieces were not made to it.
        let tip = book.hazard("tip_over").unwrap();
        assert!(tip.applies.tip_over && tip.buyer[1].contains("16 CFR 1261"));
        assert!(tip.buyer[0].contains("wall"));
        assert!(book.form("chest_of_drawers").unwrap().tip_over);
    }
}
