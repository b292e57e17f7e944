//! Which method answers a finding, given the path of its part.
//!
//! Common practice, no source: under paint a loss is filled and not patched; filler never stands under a clear coat;
//! what wants bare wood is done only where the old coat comes off.

use crate::assess::findings::finding::Finding;
use crate::trade::TradeBook;
use crate::trade::entry::method::GoesWith;
use crate::trade::entry::method::Method;
use crate::trade::entry::method::Who;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::path::Path;
use crate::trade::entry::tag::Affects;
use crate::trade::entry::tag::Ease;
use crate::trade::entry::tag::Tag;

/// What is done about a finding.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Answer<'a> {
    /// A step of the path does it: this method.
    ByStep(&'a Method),
    /// The path takes it away with the old coat.
    ByPath,
    /// This method, by hand of the owner or of a specialist.
    Method(&'a Method, Who),
    /// Nothing, and why.
    Left(&'static str),
}

/// What is done about an open finding on a part of this kind that takes this path; `removed` is what the path removes.
pub(crate) fn answer<'a>(
    it: &Finding,
    kind: &str,
    path: Option<&Path>,
    removed: bool,
    book: &'a TradeBook,
) -> Answer<'a> {
    let Some(tag) = book.tag(&it.tag) else {
        return Answer::Left("the trade book does not know this fault");
    };
    if tag.id == "lead_paint" && it.level == Some(1) {
        return Answer::Left("a test found none");
    }
    if matches!(tag.ease, Ease::Specialist | Ease::Stop) {
        return specialist(tag, book);
    }
    if removed {
        return removed_by(tag, path, book);
    }
    if it.level == Some(1) && is_looks_only(tag) {
        return Answer::Left("a trace, and only a matter of looks");
    }
    let own = tag.fix.iter().position(|it| it == kind);
    let fixes = own.into_iter().chain(0..tag.fix.len());
    let fixes: Vec<&Method> = fixes.filter_map(|at| book.method(&tag.fix[at])).collect();
    let leaves = path.map_or(Leaves::OldCoat, |it| it.leaves);
    let strips = path.is_some_and(|it| has_step(it, "strip"));
    let fitting: Vec<&Method> = fixes
        .into_iter()
        .filter(|it| fits(it, leaves, strips))
        .collect();
    if let Some(step) = step_among(&fitting, path) {
        return Answer::ByStep(step);
    }
    let filler = fitting.iter().find(|it| it.id == "twopart_fill");
    match filler.or(fitting.first()) {
        Some(method) => Answer::Method(method, method.by),
        None if tag.fix.is_empty() => Answer::Left("nothing mends it; it is told to the buyer"),
        None => Answer::Left("none of its repairs goes with this way of refinishing"),
    }
}

/// A fault that the path removes: by one of its steps where one is a usual repair, such as filling.
fn removed_by<'a>(tag: &Tag, path: Option<&Path>, book: &'a TradeBook) -> Answer<'a> {
    let fixes: Vec<&Method> = tag.fix.iter().filter_map(|it| book.method(it)).collect();
    let placed = fixes.into_iter().filter(|it| counts_places(&it.unit));
    let placed: Vec<&Method> = placed.collect();
    if let Some(step) = step_among(&placed, path) {
        return Answer::ByStep(step);
    }
    // Filler is a step of painting, whatever would be used on clear wood.
    let wants_fill = tag.fix.iter().any(|it| {
        let method = book.method(it);
        method.is_some_and(|it| {
            it.phase == crate::trade::entry::method::Phase::Fill || it.id == "veneer_patch"
        })
    });
    let filler = book.method("twopart_fill");
    let fills = path.is_some_and(|it| has_step(it, "twopart_fill"));
    match filler {
        Some(filler) if fills && wants_fill => Answer::ByStep(filler),
        _ => Answer::ByPath,
    }
}

/// Whether a unit counts places, so that more faults make more work of a step.
pub(crate) fn counts_places(unit: &str) -> bool {
    matches!(unit, "place" | "spot" | "area")
}

fn specialist<'a>(tag: &Tag, book: &'a TradeBook) -> Answer<'a> {
    let fixes: Vec<&Method> = tag.fix.iter().filter_map(|it| book.method(it)).collect();
    let trained = fixes.iter().find(|it| it.by == Who::Specialist);
    match trained.or(fixes.first()) {
        Some(method) => Answer::Method(method, Who::Specialist),
        None => Answer::Left("nothing mends it; it is told to the buyer"),
    }
}

fn is_looks_only(tag: &Tag) -> bool {
    let looks = |it: &Affects| matches!(it, Affects::Appearance | Affects::Value);
    tag.affects.iter().all(looks)
}

pub(crate) fn has_step(path: &Path, method: &str) -> bool {
    path.steps.iter().any(|it| it.method == method)
}

fn step_among<'a>(methods: &[&'a Method], path: Option<&Path>) -> Option<&'a Method> {
    let path = path?;
    let found = methods.iter().find(|it| has_step(path, &it.id));
    found.copied()
}

/// Whether a method goes with what a path leaves on the part.
fn fits(method: &Method, leaves: Leaves, strips: bool) -> bool {
    match (method.goes_with, leaves) {
        (GoesWith::Any, _) => true,
        (GoesWith::BareWood, _) => strips,
        (GoesWith::Paint, leaves) => leaves == Leaves::Paint,
        (GoesWith::OldCoat, leaves) => !matches!(leaves, Leaves::Paint | Leaves::ClearCoat),
        (GoesWith::ClearCoat, leaves) => leaves != Leaves::Paint,
    }
}
