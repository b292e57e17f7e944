//! Tests and watches on record, and whether a mark tells what they found.

use std::collections::BTreeSet;

use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::Untold;
use crate::assess::findings::outcome::Tested;
use crate::assess::part_list::belongs;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::tag::Tag;

impl Finding {
    /// Whether a test found it; `None` while no test of all of it is told.
    #[must_use]
    pub fn test_found(&self) -> Option<bool> {
        match self.tested? {
            Tested::Found => Some(true),
            Tested::Clean | Tested::CleanThrough => Some(false),
            Tested::CleanInPart => None,
        }
    }
}

/// Says of every test and watch whether a mark tells its result; and where a test found a fault somewhere on the piece, a clean test
/// elsewhere answers for its part only if somebody wrote that it went through all of it.
pub(in crate::assess) fn settle(findings: &mut [Finding], repairs: &[Repair], book: &TradeBook) {
    let found = { findings.iter() }.filter(|it| it.tested == Some(Tested::Found));
    let found: BTreeSet<String> = found.map(|it| it.tag.clone()).collect();
    for it in findings.iter_mut().filter(|it| found.contains(&it.tag)) {
        if it.tested == Some(Tested::Clean) {
            it.tested = Some(Tested::CleanInPart);
        }
    }
    let untold: Vec<(u32, Untold)> = untold(repairs, findings, book)
        .map(|it| (it.no, Untold::of(it)))
        .collect();
    for done in findings.iter_mut().flat_map(|it| &mut it.treated) {
        let found = untold.iter().find(|it| it.0 == done.repair);
        done.untold = found.map(|it| it.1);
    }
}

/// The tests and watches of which no mark since tells the result, by number.
pub fn untold<'a>(
    repairs: &'a [Repair],
    findings: &'a [Finding],
    book: &'a TradeBook,
) -> impl Iterator<Item = &'a Repair> {
    repairs.iter().filter(|it| {
        let method = book.method(&it.method);
        let test = method.filter(|it| matches!(it.cures, Cures::Tests | Cures::Watches));
        test.is_some_and(|test| !is_told(test, it, findings, book))
    })
}

/// The fault of which a test or a watch tells whether it is there.
#[must_use]
pub fn tested<'a>(test: &Method, book: &'a TradeBook) -> Option<&'a Tag> {
    let mut tags = book.tags.iter().filter(|it| match test.cures {
        Cures::Watches => it.lives(),
        _ => !it.tested_at.is_empty(),
    });
    tags.find(|tag| tag.hazards.iter().any(|it| test.hazards.contains(it)))
}

/// How the result of a test of this fault is told: `a mark with tag = "lead_paint" and level = 1 (...)`; of a watch for it, by its state.
#[must_use]
pub fn how_to_tell(tag: &Tag) -> String {
    if tag.lives() {
        let id = &tag.id;
        return format!(
            "beside a picture of the dark paper, a mark of the part with `tag = \"{id}\"` and `state = \"gone\"` where nothing was found, \
             `state = \"present\"` where it was"
        );
    }
    let levels = tag.tested_at.iter();
    let levels = levels.filter_map(|it| Some(format!("`level = {it}` ({})", tag.criterion(*it)?)));
    let levels: Vec<String> = levels.collect();
    format!(
        "a mark with `tag = \"{}\"` and {}",
        tag.id,
        levels.join(" or ")
    )
}

/// Whether a test whose result nobody told yet answers for this part: it was made on the part, and where it was told for some of the
/// findings that it settles, no other such finding of the part is open.
pub fn answers_for(test: &Repair, part: &PartId, findings: &[Finding], book: &TradeBook) -> bool {
    let tag = book.method(&test.method).and_then(|it| tested(it, book));
    let of_it = |it: &&Finding| tag.is_some_and(|tag| tag.id == it.tag);
    let its = |it: &Finding| test.findings.contains(&it.no);
    let singled = findings.iter().filter(of_it).any(its);
    let mut others = findings.iter().filter(of_it).filter(|it| {
        let here = belongs(&it.part, part) || belongs(part, &it.part);
        here && !its(it) && it.is_to_do() && it.test_found().is_none()
    });
    Worked::by(test, findings).reaches(part) && !(singled && others.next().is_some())
}

/// Whether a mark since this test tells its result, on a part of which the sample came.
fn is_told(method: &Method, test: &Repair, findings: &[Finding], book: &TradeBook) -> bool {
    let Some(tag) = tested(method, book) else {
        return true;
    };
    let on = Worked::by(test, findings);
    let of_it = findings.iter().filter(|it| {
        it.tag == tag.id && on.any(|part| belongs(&it.part, part) || belongs(part, &it.part))
    });
    let mut since = { of_it }
        .flat_map(|it| &it.history)
        .filter(|it| it.day >= test.day);
    since.any(|it| match method.cures {
        Cures::Watches => it.state.tells(),
        _ => it.state == MarkState::Gone || tag.is_test(it.level),
    })
}
