//! What has to come off before the piece is moved, because it can fall or break while it is.

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::kit::text::small;
use crate::trade::TradeBook;

/// A danger of this level is one as soon as the piece is moved.
const HEAVY: u8 = 3;

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

/// The parts that come off first, by label in small letters; `None` where there is none.
pub(in crate::advise) fn named(it: &Assessment, book: &TradeBook) -> Option<String> {
    let mut labels: Vec<String> = Vec::new();
    for finding in off_first(it, book) {
        let label = small(&finding.part_label);
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    (!labels.is_empty()).then(|| labels.join(", "))
}
