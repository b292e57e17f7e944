//! Parts on which the piece stands, or that hold what falls, and that are not there.

use crate::assess::findings::finding::Finding;
use crate::assess::part_report::PartReport;
use crate::model::ids::PartId;
use crate::trade::TradeBook;

/// The fault that says of a part what its absence says.
pub(crate) const MISSING: &str = "part_missing";

/// The parts told absent without which the piece does not stand, or something falls; none that a fault tells of.
pub(crate) fn missing_support<'a, 'k>(
    parts: &'a [PartReport],
    kind: impl Fn(&PartId) -> Option<&'k str>,
    findings: &[Finding],
    book: &TradeBook,
) -> Vec<&'a PartReport> {
    let bears = |it: &PartReport| {
        let kind = kind(&it.part).and_then(|it| book.kind(it));
        kind.is_some_and(|it| it.bears || !it.holds.is_empty())
    };
    let told = |it: &PartReport| {
        let open = |it: &Finding| it.outcome.is_some_and(|it| !it.is_closed());
        { findings.iter() }.any(|of| of.part == it.part && open(of))
    };
    let absent = parts.iter().filter(|it| it.missed_itself().is_some());
    absent.filter(|it| bears(it) && !told(it)).collect()
}
