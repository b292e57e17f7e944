//! The usual work on a danger, before a way is chosen for the piece.

use crate::advise::part::gather;
use crate::advise::part::look;
use crate::advise::part::support::held_up::waits_for;
use crate::advise::part::surface::Kinds;
use crate::advise::part::truth::Truth;
use crate::advise::part::watch::watch;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::permit;
use crate::advise::refinish::permit::Ground;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::assess::part_list::is_face;
use crate::trade::TradeBook;
use crate::trade::entry::repair::fix::Fix;
use crate::trade::entry::repair::method::Method;

/// The usual work on a danger, where no rule is against it, and whether old paint is tested before it.
pub(in crate::advise) fn first_aid<'a>(
    it: &Assessment,
    finding: &Finding,
    kinds: &Kinds<'_>,
    parts: &[PartAdvice],
    book: &'a TradeBook,
) -> Result<(&'a Method, bool), String> {
    if let Some(missing) = waits_for(it, finding, book) {
        return Err(missing.why());
    }
    let kind = kinds.kind(&finding.part);
    let facts = gather::facts(it, &finding.part, kind, book);
    let advice = parts.iter().find(|it| is_face(&finding.part, &it.part));
    let ground = Ground::of(&finding.part, advice, None, facts.lead(), book);
    if let Some(watch) = watch(finding, book) {
        return Ok((watch, false));
    }
    let mut refused = None;
    let fixes = book.tag(&finding.tag).into_iter().flat_map(|it| &it.fix);
    let carries = book.kind(kind).is_some_and(|it| it.carries);
    let suits =
        |it: &&Fix| it.suits(gather::level(finding), kind) && !(carries && it.bears_nothing);
    for fix in fixes.filter(suits) {
        let asked: Vec<_> = fix.when.iter().map(|it| vec![it.clone()]).collect();
        let ruled_out = fix.unless.iter().any(|it| facts.answer(it) == Truth::Yes);
        let method = book.method(&fix.method).filter(|_| !ruled_out);
        let holds = facts.holds(&asked);
        if holds == Truth::Open && method.is_some() {
            let look = look::of_questions(&asked, &facts);
            let look = look.first().map(String::as_str);
            refused = refused.or(Some(permit::not_yet(Verdict::Waiting, "", look)));
        }
        let Some(method) = method.filter(|_| holds == Truth::Yes) else {
            continue;
        };
        // A face that is not finished takes no work of the coat, as in the plan.
        let bare = |()| match advice {
            None => ground.permit(method).map(|_| ()),
            Some(_) => Ok(()),
        };
        match ground.allows(method).and_then(bare) {
            Ok(()) => {
                let first = method.needs.first().and_then(|it| book.method(it));
                let first = first.unwrap_or(method);
                let others = taken_out(it, finding, first, kinds, parts, book);
                return Ok((others.unwrap_or(first), ground.wants_test(method)));
            }
            Err(why) => refused = refused.or(Some(why)),
        }
    }
    Err(refused.unwrap_or_else(|| "nothing mends it; it is told to the buyer".to_owned()))
}

/// The work that others have to do first on what holds the part, where they do this method on the way: glass does not come out of a
/// frame that flakes before its ground is laid fast.
fn taken_out<'a>(
    it: &Assessment,
    finding: &Finding,
    method: &Method,
    kinds: &Kinds<'_>,
    parts: &[PartAdvice],
    book: &'a TradeBook,
) -> Option<&'a Method> {
    let around = { parts.iter() }.filter(|of| kinds.is_set_in(&finding.part, &of.part));
    let heavy = |of: &&PartAdvice| {
        let mut findings = it.findings.iter();
        findings.any(|it| it.is_to_do() && it.part == of.part && gather::level(it) >= HEAVY)
    };
    let to = around.filter(heavy).find_map(|of| {
        let shut = of.forbidden.iter().filter(|it| it.verdict == Verdict::Shut);
        let shut = shut.filter_map(|it| it.hands_to.as_deref()).next();
        book.method(shut?)
    });
    to.filter(|it| it.takes_out.contains(&method.id))
}
