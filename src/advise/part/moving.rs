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
    /// Whether loose paint on it may hold lead.
    loose_paint: bool,
}

impl Moving {
    /// Of a piece of which this is known of every part.
    pub(in crate::advise) fn of(
        it: &Assessment,
        facts: &BTreeMap<PartId, Facts>,
        book: &TradeBook,
    ) -> Self {
        let loose = |it: &Facts| it.fault("flaking") > 0 && it.lead() != Lead::NotSuspected;
        Self {
            off: off_first::named(it, book),
            gives: off_first::giving_way(it, book),
            loose_paint: facts.values().any(loose),
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

    /// The caution on loose paint, after a blank; empty without it.
    pub(in crate::advise) fn paint(&self) -> &'static str {
        match self.loose_paint {
            true => {
                " The loose paint may hold lead: hold it where none flakes, and wash your hands."
            }
            false => "",
        }
    }
}
