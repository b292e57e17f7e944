//! What has to come off before the piece is moved, because it can fall or break while it is.

use crate::advise::part::surface::Kinds;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::finding::is_covered_danger;
use crate::assess::findings::finding::is_failing;
use crate::model::ids::FindingNo;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::hazard::UntilLine;
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

/// What can give way when the piece is tipped, moved or opened: what is weak, and what drops.
pub(in crate::advise) fn giving_way(it: &Assessment, book: &TradeBook) -> Vec<Saying> {
    held_back(it, book, |_| true)
}

/// Open faults that are heavy or failing and take of its strength, such as a loose leg. What comes off first is none.
pub(in crate::advise) fn weak(it: &Assessment, book: &TradeBook) -> Vec<Saying> {
    held_back(it, book, |of| !drops(of, book))
}

/// Open faults by which something drops that is as strong as before, such as a fall that does not stay.
pub(in crate::advise) fn dropping(it: &Assessment, book: &TradeBook) -> Vec<Saying> {
    held_back(it, book, |of| drops(of, book))
}

fn held_back(it: &Assessment, book: &TradeBook, of: impl Fn(&Finding) -> bool) -> Vec<Saying> {
    let kinds = Kinds::of(it, book);
    let off = off_first(it, book).into_iter().map(|it| it.no);
    let off: Vec<FindingNo> = off.collect();
    let open = it.findings.iter();
    let there = |it: &Finding| it.is_to_do() || is_covered_danger(it, kinds.kind(&it.part), book);
    let open = open.filter(|it| of(it) && there(it) && !off.contains(&it.no));
    let gives = open.filter(|it| gives_way(it, kinds.kind(&it.part), book));
    let gives: Vec<&Finding> = gives.collect();
    let held = gives
        .iter()
        .flat_map(|gives| held_by(gives, it, &kinds, book));
    labels(gives.iter().map(|it| it.placed()).chain(held))
}

/// The parts that fall with the one that has this fault, by label.
fn held_by(gives: &Finding, it: &Assessment, kinds: &Kinds<'_>, book: &TradeBook) -> Vec<Saying> {
    let kind = book.kind(kinds.kind(&gives.part));
    let holds = { kind.into_iter() }.chain(book.kind_called(&gives.which));
    let holds: Vec<&str> = holds.flat_map(|it| &it.holds).map(String::as_str).collect();
    let there = it.parts.iter().filter(|of| !it.is_absent(&of.part));
    let held = there.filter(|of| holds.contains(&kinds.kind(&of.part)));
    held.map(|of| Saying::part(&of.label)).collect()
}

/// Whether it is of strength; of use, and kept shut with what else is; or such that a line of its own keeps it shut. What harms in
/// another way, such as old wiring, gives no way.
fn gives_way(it: &Finding, kind: &str, book: &TradeBook) -> bool {
    let affects = |what: Affects| {
        book.tag(&it.tag)
            .is_some_and(|it| it.affects.contains(&what))
    };
    let of_use = affects(Affects::Function);
    let shut = |line: &UntilLine| line.shut && (of_use || !line.marks.is_empty());
    let shut = lines(it, book).any(shut);
    (shut || affects(Affects::Structure)) && is_failing(it, kind, book)
}

fn drops(it: &Finding, book: &TradeBook) -> bool {
    lines(it, book).any(|line| line.drops)
}

/// What is said of a piece that stands, until this fault is repaired.
fn lines<'a>(it: &Finding, book: &'a TradeBook) -> impl Iterator<Item = &'a UntilLine> {
    let until = book.hazards.iter().flat_map(|it| &it.until);
    until.filter(|line| line.fits(&it.tag, false))
}

/// The parts that come off first, by label in small letters.
pub(in crate::advise) fn named(it: &Assessment, book: &TradeBook) -> Vec<Saying> {
    let off = off_first(it, book).into_iter();
    labels(off.map(|it| Saying::part(&it.part_label)))
}

fn labels(placed: impl Iterator<Item = Saying>) -> Vec<Saying> {
    let mut labels: Vec<Saying> = Vec::new();
    for label in placed.map(say::within) {
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    labels
}
