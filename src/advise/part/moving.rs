//! Whether a piece may be moved for a look: not where something falls, breaks or gives way; where loose paint may hold lead, with care.

use std::collections::BTreeMap;

use crate::advise::part::facts::Facts;
use crate::advise::part::off_first;
use crate::advise::refinish::advice::Lead;
use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::trade::TradeBook;

/// What speaks against moving the piece for a look.
pub(in crate::advise) struct Moving {
    /// Parts that fall or break, by label.
    pub(in crate::advise) off: Vec<String>,
    /// Parts that give way, by label.
    pub(in crate::advise) gives: Vec<String>,
    /// Whether its lid can fall or catch.
    lid: bool,
    /// What is known of lead in loose paint on it.
    pub(in crate::advise) loose_paint: Lead,
}

impl Moving {
    /// Of a piece of which this is known of every part.
    pub(in crate::advise) fn of(
        it: &Assessment,
        facts: &BTreeMap<PartId, Facts>,
        book: &TradeBook,
    ) -> Self {
        let told = |all: Vec<Saying>| all.iter().map(Saying::to_string).collect();
        let loose = facts.values().filter(|it| it.fault("flaking") > 0);
        Self {
            off: told(off_first::named(it, book)),
            gives: told(off_first::giving_way(it, book)),
            lid: it
                .findings
                .iter()
                .any(|it| it.is_to_do() && LID.contains(&it.tag.as_str())),
            loose_paint: loose.map(Facts::lead).max().unwrap_or_default(),
        }
    }

    /// What to do instead of moving it, with all that falls, breaks or gives way; `None` where it may be moved.
    pub(in crate::advise) fn instead(&self) -> Option<String> {
        let text = match (self.off.is_empty(), self.gives.is_empty()) {
            (true, true) => return None,
            (true, false) => GIVES,
            (false, _) => OFF,
        };
        let mut parts = self.off.clone();
        parts.extend(
            { self.gives.iter() }
                .filter(|it| !self.off.contains(it))
                .cloned(),
        );
        let look = text.replace(PARTS, &parts.join(", "));
        Some(format!("{look}{}", paint(self.loose_paint)))
    }

    /// A look for which it is moved, with what is to be minded then.
    pub(in crate::advise) fn with_care(&self, look: &str) -> String {
        let tied = if self.lid {
            "Tie the lid shut first. "
        } else {
            ""
        };
        format!("{tied}{look}{}", paint(self.loose_paint))
    }
}

/// What is said where something can fall or break, and where it can give way; the parts stand in the place of `PARTS`.
pub(in crate::advise) const OFF: &str = "Do not move it, as something can fall or break ({parts}); look with a lamp from where you stand.";
pub(in crate::advise) const GIVES: &str = "Do not tip or move it, as something can give way ({parts}); look with a lamp, lying down if need be.";
pub(in crate::advise) const PARTS: &str = "{parts}";

/// The caution on loose paint, after a blank; empty without it.
pub(in crate::advise) fn paint(loose: Lead) -> &'static str {
    match loose {
        Lead::Found => {
            " The loose paint holds lead: hold it where none flakes, and wash your hands."
        }
        Lead::Untested | Lead::Presumed => {
            " The loose paint may hold lead: hold it where none flakes, and wash your hands."
        }
        Lead::NotSuspected => "",
    }
}

/// The faults of a lid that swings open, or falls, when the piece is tipped.
const LID: [&str; 2] = ["lid_drop", "trunk_latch"];
