//! Whether a piece may be moved for a look: not where something falls, breaks or gives way; where loose paint may hold lead, with care.

use std::collections::BTreeMap;

use crate::advise::part::facts::Facts;
use crate::advise::part::off_first;
use crate::advise::refinish::advice::Lead;
use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::trade::TradeBook;

/// What speaks against moving the piece for a look.
pub(in crate::advise) struct Moving {
    /// Parts that fall or break.
    off: Option<String>,
    /// Parts that give way.
    gives: Option<String>,
    /// Whether its lid can fall or catch.
    lid: bool,
    /// What is known of lead in loose paint on it.
    loose_paint: Lead,
}

impl Moving {
    /// Of a piece of which this is known of every part.
    pub(in crate::advise) fn of(
        it: &Assessment,
        facts: &BTreeMap<PartId, Facts>,
        book: &TradeBook,
    ) -> Self {
        let loose = facts.values().filter(|it| it.fault("flaking") > 0);
        Self {
            off: off_first::named(it, book),
            gives: off_first::giving_way(it, book),
            lid: it
                .findings
                .iter()
                .any(|it| it.is_to_do() && LID.contains(&it.tag.as_str())),
            loose_paint: loose.map(Facts::lead).max().unwrap_or_default(),
        }
    }

    /// What to do instead of moving it; `None` where it may be moved.
    pub(in crate::advise) fn instead(&self) -> Option<String> {
        let paint = self.paint();
        let look = match (&self.off, &self.gives) {
            (Some(off), _) => format!(
                "Do not move it, as something can fall or break ({off}); look with a lamp from where you stand."
            ),
            (None, Some(gives)) => format!(
                "Do not tip or move it, as something can give way ({gives}); look with a lamp, lying down if need be."
            ),
            (None, None) => return None,
        };
        Some(format!("{look}{paint}"))
    }

    /// A look for which it is moved, with what is to be minded then.
    pub(in crate::advise) fn with_care(&self, look: &str) -> String {
        let tied = if self.lid {
            "Tie the lid shut first. "
        } else {
            ""
        };
        format!("{tied}{look}{}", self.paint())
    }

    /// The caution on loose paint, after a blank; empty without it.
    fn paint(&self) -> &'static str {
        match self.loose_paint {
            Lead::Found => {
                " The loose paint holds lead: hold it where none flakes, and wash your hands."
            }
            Lead::Untested | Lead::Presumed => {
                " The loose paint may hold lead: hold it where none flakes, and wash your hands."
            }
            Lead::NotSuspected => "",
        }
    }
}

/// The faults of a lid that swings open, or falls, when the piece is tipped.
const LID: [&str; 2] = ["lid_drop", "trunk_latch"];
