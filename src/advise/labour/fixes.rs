//! Which method answers a finding: by its level, by what the part is and what is so of it, and by the way its face goes.
//!
//! Common practice, no source: under paint a loss is filled and not patched; filler never stands under a clear coat;
//! what wants bare wood is done only where the old coat comes off.

use crate::advise::part::facts::Facts;
use crate::advise::part::gather;
use crate::advise::part::look;
use crate::advise::part::truth::Truth;
use crate::advise::part::watch::watch;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::permit;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::advise::refinish::permit::Taken;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::repair::deed::Deed;
use crate::trade::entry::repair::fix::Fix;
use crate::trade::entry::repair::method::GoesWith;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;
use crate::trade::entry::repair::method::Who;
use crate::trade::entry::tag::Affects;
use crate::trade::entry::tag::Ease;
use crate::trade::entry::tag::Tag;

/// What is done about a finding.
#[derive(Clone, Debug)]
pub(crate) enum Answer<'a> {
    /// A step of the path does it: this method.
    ByStep(Permit<'a>),
    /// It is gone when this step of the path is done, such as with the old coat.
    ByPath(Permit<'a>),
    /// This method, by hand of the owner or of a specialist.
    Method(Permit<'a>, Who),
    /// Nothing, and why.
    Left(String),
}

/// Nothing of the book mends it.
const NOTHING_MENDS: &str = "nothing mends it; it is told to the buyer";

/// From this level on what gets worse by itself does not wait.
const GROWS: u8 = 2;

/// What a cover hides or carries is no work on wood.
const COVERED: &str =
    "cloth, leather or cane lies over it, which is no work on wood; it is told to the buyer";

/// An open finding, where it is, and what is known there.
pub(crate) struct Place<'a, 'f> {
    pub(crate) finding: &'f Finding,
    /// The kind of its part, or of what the mark names on it.
    pub(crate) kind: &'f str,
    pub(crate) ground: Ground<'a>,
    /// What is known of its part.
    pub(crate) facts: &'f Facts,
    pub(crate) book: &'a TradeBook,
}

/// What is done about an open finding.
pub(crate) fn answer<'a>(it: &Place<'a, '_>) -> Answer<'a> {
    let left = |why: &str| Answer::Left(why.to_owned());
    let Some(tag) = it.book.tag(&it.finding.tag) else {
        return left("the trade book does not know this fault");
    };
    if tag.id == "lead_paint" && it.finding.test_found() == Some(false) {
        return left("a test found none");
    }
    if let Some(watch) = watch(it.finding, it.book)
        && let Ok(permit) = it.ground.permit(watch)
    {
        return Answer::Method(permit, watch.by);
    }
    let taken = it.ground.taken();
    let removed = taken.filter(|taken| taken.advice().removes.contains(&it.finding.no));
    let specialist = matches!(tag.ease, Ease::Specialist | Ease::Stop);
    let removed = removed.filter(|_| !specialist);
    let has_own = removed.is_some_and(|taken| steps_do_nothing(tag, taken, it.book));
    let removed = removed.filter(|_| !has_own || it.fitting(tag).is_err());
    // A way without steps of its own does nothing: the repair of the fault is what does it.
    if let Some(answer) = removed.and_then(|taken| removed_by(tag, taken, it.book)) {
        return answer;
    }
    let of_no_weight = !specialist && it.finding.level_there() == Some(1);
    if of_no_weight && is_looks_only(tag) {
        return left("a trace, and only a matter of looks");
    }
    let fitting = match it.fitting(tag) {
        Ok(fitting) => fitting,
        Err(why) => {
            let others = it.ground.handed_over().filter(|_| it.cannot_stay(tag));
            return match others {
                Some(permit) => Answer::Method(permit, Who::Specialist),
                None => Answer::Left(it.ground.left_to_others().unwrap_or(why)),
            };
        }
    };
    if specialist {
        let trained = fitting.iter().find(|it| it.method().by == Who::Specialist);
        return Answer::Method(*trained.unwrap_or(&fitting[0]), Who::Specialist);
    }
    let mut steps = fitting.iter();
    if let Some(step) = steps.find_map(|it| taken?.step(it.method())) {
        return Answer::ByStep(step);
    }
    let filler = fitting.iter().find(|it| it.method().id == "twopart_fill");
    let best = *filler.unwrap_or(&fitting[0]);
    Answer::Method(best, best.method().by)
}

impl<'a> Place<'a, '_> {
    /// The methods that are right here and may be done, the usual one first; never none.
    ///
    /// # Errors
    /// With the reason why there is none; that of the usual one before that of a makeshift.
    fn fitting(&self, tag: &'a Tag) -> Result<Vec<Permit<'a>>, String> {
        let level = gather::level(self.finding);
        let mut fitting = Vec::new();
        let mut refused = None;
        let carries = self.book.kind(self.kind).is_some_and(|it| it.carries);
        let suits = |it: &&Fix| {
            it.suits(level, self.kind) && !(carries && it.bears_nothing) && !self.is_wrong_stuff(it)
        };
        for fix in tag.fix.iter().filter(suits) {
            match self.try_one(fix) {
                Ok(Some(permit)) => fitting.push(permit),
                Ok(None) => {}
                Err(why) => {
                    refused.get_or_insert(why);
                }
            }
        }
        match (fitting.is_empty(), refused) {
            (false, _) => Ok(fitting),
            (true, Some(_)) if self.facts.is_covered => Err(COVERED.to_owned()),
            (true, Some(why)) => Err(why),
            (true, None) if tag.fix.is_empty() => Err(NOTHING_MENDS.to_owned()),
            (true, None) if tag.fix.iter().all(|it| !(it.from..=it.to).contains(&level)) => {
                let why = tag.left.as_deref().unwrap_or("it is told to the buyer");
                Err(format!("at level {level} nothing is done about it; {why}"))
            }
            (true, None) => {
                Err("none of its repairs is right here; it is told to the buyer".to_owned())
            }
        }
    }

    /// Whether it would make of wood what is of metal, glass or stone.
    fn is_wrong_stuff(&self, fix: &Fix) -> bool {
        let not_wood = self.book.kind(self.kind).is_some_and(|it| it.not_wood);
        not_wood && { self.book.method(&fix.method) }.is_some_and(|it| it.of_wood)
    }

    /// Whether others are asked to mend it: what is heavy, and what gets worse by itself.
    fn cannot_stay(&self, tag: &Tag) -> bool {
        let level = gather::level(self.finding);
        let grows = tag.affects.contains(&Affects::Progressive) && level >= GROWS;
        !tag.fix.is_empty() && (grows || level >= HEAVY)
    }

    /// A method, if it is right here.
    fn try_one(&self, fix: &'a Fix) -> Result<Option<Permit<'a>>, String> {
        let Some(method) = self.book.method(&fix.method) else {
            return Ok(None);
        };
        let ruled_out = |it: &Condition| self.facts.answer(it) == Truth::Yes;
        if fix.unless.iter().any(ruled_out) {
            return Ok(None);
        }
        let asked: Vec<_> = fix.when.iter().map(|it| vec![it.clone()]).collect();
        match self.facts.holds(&asked) {
            Truth::No => return Ok(None),
            // No look makes that ours which is forbidden for good.
            Truth::Open => {
                self.ground.allows(method)?;
                let look = look::of_questions(&asked, self.facts);
                return Err(permit::not_yet(
                    Verdict::Waiting,
                    "",
                    look.first().map(String::as_str),
                ));
            }
            Truth::Yes => {}
        }
        let leaves = self
            .ground
            .taken()
            .map_or(Leaves::OldCoat, |it| it.path().leaves);
        let strips = self.ground.taken();
        let strips = strips.is_some_and(|it| permit::has_step(it.path(), "strip"));
        if !fits(method, leaves, strips) {
            let shut = self.ground.shut_for_good(method);
            return Err(shut.unwrap_or_else(|| permit::NO_REPAIR_FITS.to_owned()));
        }
        self.ground.permit(method).map(Some)
    }
}

/// A fault that the path removes: by one of its steps where one is a usual repair, such as filling; else with what its steps
/// do to the coat. `None` for a path without steps.
fn removed_by<'a>(tag: &Tag, taken: Taken<'a>, book: &'a TradeBook) -> Option<Answer<'a>> {
    let fixes: Vec<&Method> = tag.fixes().filter_map(|it| book.method(it)).collect();
    let mut placed = fixes.iter().filter(|it| counts_places(&it.unit));
    if let Some(step) = placed.find_map(|it| taken.step(it)) {
        return Some(Answer::ByStep(step));
    }
    // Filler is a step of painting, whatever would be used on clear wood.
    let filled = |it: &&Method| it.phase == Phase::Fill || it.id == "veneer_patch";
    let filler = book.method("twopart_fill").and_then(|it| taken.step(it));
    if let Some(filler) = filler.filter(|_| fixes.iter().any(filled)) {
        return Some(Answer::ByStep(filler));
    }
    let usual = fixes.iter().find_map(|it| taken.step(it));
    let step = usual.or_else(|| {
        let steps: Vec<Permit<'_>> = taken.steps(book).map(|it| it.0).collect();
        let doing = |deed: &Deed| steps.iter().find(|it| it.method().does.contains(deed));
        TAKES_AWAY.iter().find_map(doing).or(steps.first()).copied()
    });
    step.map(Answer::ByPath)
}

/// Whether no step of a path is a repair of the fault or takes it away with the coat: what it removes is then left to a repair of
/// the fault's own, such as gum that no damp cloth takes off.
fn steps_do_nothing(tag: &Tag, taken: Taken<'_>, book: &TradeBook) -> bool {
    let mut steps = taken.steps(book).map(|it| it.0.method());
    let takes_away = |it: &Deed| TAKES_AWAY.contains(it);
    let answers = |it: &Method| tag.fixes().any(|fix| *fix == it.id);
    !steps.any(|it| answers(it) || it.does.iter().any(takes_away))
}

/// What takes a fault of a face away, the firmest first.
const TAKES_AWAY: [Deed; 5] = [
    Deed::Reface,
    Deed::Strip,
    Deed::Cover,
    Deed::Soften,
    Deed::Colour,
];

/// Whether a unit counts places, so that more faults make more work of a step.
pub(crate) fn counts_places(unit: &str) -> bool {
    matches!(unit, "place" | "spot" | "area")
}

fn is_looks_only(tag: &Tag) -> bool {
    let looks = |it: &Affects| matches!(it, Affects::Appearance | Affects::Value);
    tag.affects.iter().all(looks)
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
