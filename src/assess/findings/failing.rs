//! Whether a fault is one on which somebody may come to harm.

use crate::assess::findings::finding::Finding;
use crate::trade::TradeBook;
use crate::trade::entry::tag::Affects;

/// From which level such a fault is warned of: heavy.
const HEAVY: u8 = 3;

/// The danger of paint, which has a caution of its own.
const LEAD: &str = "lead";

/// Whether somebody may come to harm on a heavy or failing fault of a part of this kind. An unknown level of a fault of safety is
/// never better. Whether it is still there is not asked here.
#[must_use]
pub fn is_failing(it: &Finding, kind: &str, book: &TradeBook) -> bool {
    let Some(tag) = book.tag(&it.tag) else {
        return false;
    };
    let affects = |what: Affects| tag.affects.contains(&what);
    let carries = book.kind(kind).is_some_and(|it| it.carries);
    let of_use = affects(Affects::Structure) || affects(Affects::Function);
    let safety = affects(Affects::Safety) && !tag.hazards.iter().any(|it| it == LEAD);
    match it.level.max(it.before.level) {
        Some(level) => level >= HEAVY && (safety || (carries && of_use)),
        None => safety,
    }
}
