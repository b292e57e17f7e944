//! What has to come off before the piece is moved, because it can fall or break while it is.

use crate::advise::part::surface::Kinds;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::finding::is_failing;
use crate::kit::text::small;
use crate::trade::TradeBook;
use crate::trade::entry::tag::Affects;

/// The method that takes glass, mirror or stone off.
const TAKE_OFF: &str = "take_off";

/// Open faults that are a heavy danger and of which every repair begins with taking the part off, such as a mirror that can fall.
pub(in crate::advise) fn off_first<'a>(it: &'a Assessment, book: &TradeBook) -> Vec<&'a Finding> {
    let needs = |finding: &Finding| {
        let Some(tag) = book.tag(&finding.tag) else {
            return false;
        };
        let level = finding.level.unwrap_or(HEAVY);
        let mut fixes = tag
            .fix
            .iter()
            .filter(|it| (it.from..=it.to).contains(&level));
        let danger = tag.is_danger(Some(level)) && level >= HEAVY;
        let off = |method: &String| {
            book.method(method)
                .is_some_and(|it| it.needs.iter().any(|it| it == TAKE_OFF))
        };
        danger && fixes.any(|it| off(&it.method))
    };
    let open = it.findings.iter().filter(|it| it.is_to_do());
    open.filter(|it| needs(it)).collect()
}

/// What can give way when the piece is tipped or moved: open faults of safety or strength that are heavy or failing, on parts that
/// carry, such as a loose leg.
pub(in crate::advise) fn giving_way(it: &Assessment, book: &TradeBook) -> Vec<String> {
    let kinds = Kinds::of(it, book);
    let open = it.findings.iter().filter(|it| it.is_to_do());
    labels(open.filter(|it| {
        let structure = book
            .tag(&it.tag)
            .is_some_and(|it| it.affects.contains(&Affects::Structure));
        structure && is_failing(it, kinds.kind(&it.part), book)
    }))
}

/// The parts that come off first, by label in small letters.
pub(in crate::advise) fn named(it: &Assessment, book: &TradeBook) -> Vec<String> {
    labels(off_first(it, book).into_iter())
}

fn labels<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<String> {
    let mut labels: Vec<String> = Vec::new();
    for finding in findings {
        let label = small(&finding.part_label);
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    labels
}
