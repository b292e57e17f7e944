//! Cautions for the buyer.

use std::collections::BTreeSet;

use crate::assess::findings::finding::FAILING;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::is_failing;
use crate::assess::findings::outcome::Outcome;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::lacks::Tell;
use crate::assess::missing_support::MISSING;
use crate::assess::missing_support::missing_support;
use crate::assess::part_list::PartList;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::piece_record::PieceRecord;
use crate::assess::timeline::Timeline;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::hazard::Hazard;
use crate::trade::entry::hazard::HazardRule;
use crate::trade::entry::hazard::OtherLines;
use crate::trade::entry::hazard::Present;
use crate::trade::entry::hazard::UntilLine;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::tag::Affects;
use crate::trade::entry::tag::Tag;

/// What of a piece decides which cautions apply.
struct Traits<'a> {
    form: &'a str,
    tip_over: bool,
    hangs: bool,
    present: Present<'a>,
    hazards: BTreeSet<&'a str>,
    /// Heavy or failing faults, there or not seen since their repair, on which somebody may come to harm.
    failing: Vec<&'a Finding>,
    /// Those besides of which the part does not work any more.
    unusable: Vec<&'a Finding>,
    /// Parts that are not there, on which the piece stands, or that hold what falls.
    missing: Vec<&'a PartReport>,
    /// The dangers that a test found.
    found: BTreeSet<&'a str>,
    /// Those of them where work that makes dust was done.
    dusted: BTreeSet<&'a str>,
    /// The findings of these that nobody wrote to be gone.
    found_there: Vec<&'a Finding>,
    /// Living dangers of which nothing shows that they are gone.
    alive: Vec<&'a Finding>,
    book: &'a TradeBook,
    /// Whether a coat is on record.
    coated: bool,
}

/// The cautions that apply, in the order of the trade book.
pub(crate) fn cautions(
    case: &PieceRecord,
    book: &TradeBook,
    time: &Timeline<'_>,
    list: &PartList,
    parts: &[PartReport],
    findings: &[Finding],
) -> Vec<Caution> {
    // What is woven has no filling that burns.
    let present: BTreeSet<_> = parts
        .iter()
        .filter(|it| !matches!(it.state, PartState::Absent { .. }) && !it.material.woven)
        .map(|it| &it.part)
        .collect();
    let kinds = list.parts.iter().filter(|it| present.contains(&it.id));
    // A repaired or vanished fault leaves its danger in doubt, so it still counts; a withdrawn one, or one that was only looked for in
    // vain, does not.
    let found = findings.iter().filter(|it| it.was_there());
    let tags: BTreeSet<&str> = found.map(|it| it.tag.as_str()).collect();
    let cues = time.marks().filter(|it| it.mark.state.is_there());
    let cues = cues.filter_map(|it| it.mark.tag.as_deref());
    let hazards = tags
        .iter()
        .filter_map(|it| book.tag(it))
        .flat_map(|it| &it.hazards);
    let kind = |it: &PartId| Some(list.get(it)?.kind.as_str());
    let mut traits = Traits {
        form: &case.piece.form,
        tip_over: list.may_tip,
        hangs: list.hangs,
        present: Present {
            kinds: kinds.map(|it| it.kind.as_str()).collect(),
            marks: cues
                .filter(|it| book.cue(it).is_some())
                .chain(tags.iter().copied())
                .collect(),
            shut: false,
        },
        hazards: hazards.map(String::as_str).collect(),
        failing: failing(book, list, findings),
        unusable: unusable(book, list, findings),
        missing: missing_support(parts, kind, findings, book),
        found: tested(
            { findings.iter() }.filter(|it| it.state != FindingState::Withdrawn),
            book,
        ),
        dusted: tested(dusted(case, findings, book), book),
        found_there: open(findings)
            .filter(|it| it.test_found() == Some(true))
            .collect(),
        alive: open(findings).filter(|it| is_alive(it, book)).collect(),
        book,
        coated: { time.marks() }
            .filter(|it| it.mark.state.is_there())
            .filter_map(|it| book.cue(it.mark.tag.as_deref()?))
            .any(|it| it.coat.is_some()),
    };
    let mut until = book.hazards.iter().flat_map(|it| &it.until);
    traits.present.shut = until.any(|line| line.shut && traits.has_failing(line));
    let applies = book.hazards.iter().filter(|it| {
        it.speaks_to_buyer() && (traits.hazards.contains(it.id.as_str()) || traits.fit(&it.applies))
    });
    let told = applies.map(|it| traits.caution(it));
    told.filter(|it| !it.lines.is_empty()).collect()
}

/// The heavy or failing faults, there or not seen since their repair, on which somebody may come to harm.
fn failing<'a>(book: &TradeBook, list: &PartList, findings: &'a [Finding]) -> Vec<&'a Finding> {
    open(findings).filter(|it| harms(it, list, book)).collect()
}

/// The failing ones besides, of a part that is there to be used.
fn unusable<'a>(book: &TradeBook, list: &PartList, findings: &'a [Finding]) -> Vec<&'a Finding> {
    let fails = |it: &&Finding| {
        let of_use =
            { book.tag(&it.tag) }.is_some_and(|it| it.affects.contains(&Affects::Function));
        of_use && it.level_of_harm() >= Some(FAILING) && !harms(it, list, book)
    };
    open(findings).filter(fails).collect()
}

fn harms(it: &Finding, list: &PartList, book: &TradeBook) -> bool {
    is_failing(
        it,
        list.get(&it.part).map_or("", |it| it.kind.as_str()),
        book,
    )
}

/// Those that are there or may be, and those said to be repaired of which as much as that remains.
fn open(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    { findings.iter() }
        .filter(|it| it.heavy_remains().is_some() || it.outcome.is_some_and(|it| !it.is_closed()))
}

/// Whether it is a danger that lives, or was watched for one with no result told.
fn is_alive(it: &Finding, book: &TradeBook) -> bool {
    it.is_watch_untold() || book.tag(&it.tag).is_some_and(Tag::lives)
}

/// The dangers that a test found, by these findings.
fn tested<'a>(
    findings: impl Iterator<Item = &'a Finding>,
    book: &'a TradeBook,
) -> BTreeSet<&'a str> {
    let found = findings.filter(|it| it.test_found() == Some(true));
    let tags = found.filter_map(|it| book.tag(&it.tag));
    tags.flat_map(|it| it.hazards.iter().map(String::as_str))
        .collect()
}

/// The findings where work that makes dust was done, whenever that was: what was in the coat is in the dust of it.
fn dusted<'a>(
    case: &PieceRecord,
    findings: &'a [Finding],
    book: &TradeBook,
) -> impl Iterator<Item = &'a Finding> {
    let dusty = |it: &&Repair| book.method(&it.method).is_some_and(Method::makes_dust);
    let dusty = case.repairs.iter().filter(dusty);
    let worked: Vec<Worked> = dusty.map(|it| Worked::by(it, findings)).collect();
    findings.iter().filter(move |it| {
        let there = it.state != FindingState::Withdrawn;
        there && worked.iter().any(|of| of.reaches(&it.part))
    })
}

/// A fault on which somebody may come to harm, in a line.
fn named(it: &Finding) -> Saying {
    let standing = match it.outcome {
        Some(Outcome::RepairUnseen) => say::repaired_not_tried(),
        _ => it.standing(),
    };
    match it.level_of_harm() {
        Some(level) => say::fault_level(it.named(), level, standing),
        None => say::fault_no_level(it.named(), standing),
    }
}

impl Traits<'_> {
    /// What is told of a hazard that applies.
    fn caution(&self, it: &Hazard) -> Caution {
        let told = self.told(it);
        let beside = it.beside.as_ref();
        let beside = beside.filter(|of| self.failing.iter().any(|it| of.marks.contains(&it.tag)));
        let (usual, first) = match beside {
            Some(of) => (&of.buyer, &of.first),
            None => (&it.buyer, &it.first),
        };
        let failing = self.failing.iter().chain(&self.unusable);
        let failing = failing.copied().filter(|_| it.applies.failing);
        let failing: Vec<&Finding> = failing.collect();
        let missing = { self.missing.iter() }.filter(|_| it.applies.failing);
        let missing: Vec<Saying> = missing
            .map(|it| say::part_not_there(Saying::part(&it.label)))
            .collect();
        let repaired = |it: &&Finding| it.outcome == Some(Outcome::RepairUnseen);
        let not_tried = missing.is_empty() && !failing.is_empty() && failing.iter().all(repaired);
        let found = self.found_there.iter().filter(|of| self.is_of(of, it));
        let found: Vec<&Finding> = found.copied().filter(|_| it.found.is_some()).collect();
        let alive = self.alive.iter().copied().filter(|of| self.is_of(of, it));
        let alive: Vec<&Finding> = alive.collect();
        let title = match told {
            // All were repaired, and nobody has tried yet whether that holds.
            _ if not_tried => say::not_until_tried(),
            Some(told) => Saying::caution(&told.title),
            None => Saying::caution(&it.title),
        };
        let until = it.until.iter().filter(|line| self.has_failing(line));
        let dusted = { it.found.iter() }.filter(|_| self.dusted.contains(it.id.as_str()));
        let with = self.present.called_for(&it.buyer_with);
        let lines = { until.map(|it| &it.say) }
            .chain(dusted.filter_map(|it| it.dusted.as_ref()))
            .chain(told.map_or(usual, |it| &it.buyer))
            .chain(with);
        Caution {
            hazard: it.id.clone(),
            title: title.clone(),
            lines: { failing.iter() }
                .map(|it| named(it))
                .chain(missing)
                .chain(lines.map(|it| Saying::caution(it)))
                .collect(),
            first: (!first.is_empty()).then(|| Saying::caution(first)),
            shut: { it.until.iter() }.any(|line| line.shut && self.has_failing(line)),
            found: !found.is_empty(),
            tell: Tell::of(&title, &failing, &found, &alive),
            dust: match self.has_mark(it) {
                true => it.dust.clone(),
                false => String::new(),
            },
        }
    }

    /// Whether a finding is of this danger.
    fn is_of(&self, finding: &Finding, hazard: &Hazard) -> bool {
        let tag = self.book.tag(&finding.tag);
        tag.is_some_and(|it| it.hazards.contains(&hazard.id))
    }

    /// Whether a failing fault calls for this line.
    fn has_failing(&self, line: &UntilLine) -> bool {
        match line.unusable {
            true => !self.unusable.is_empty(),
            false => {
                let missing = { self.missing.iter() }.map(|_| MISSING);
                let failing = self.failing.iter().map(|it| it.tag.as_str());
                { failing.chain(missing) }.any(|it| line.fits(it, self.hangs))
            }
        }
    }

    /// What is told in place of the lines of a hazard; `None` where those are told.
    fn told<'h>(&self, of: &'h Hazard) -> Option<&'h OtherLines> {
        match self.found.contains(of.id.as_str()) {
            true => of.found.as_ref(),
            false => { of.unseen.as_ref() }
                .filter(|_| (self.coated || !of.applies.paint_possible) && !self.has_mark(of)),
        }
    }

    /// Whether a mark that speaks of the hazard is recorded.
    fn has_mark(&self, of: &Hazard) -> bool {
        let mut marks = of.applies.marks.iter();
        marks.any(|it| self.present.marks.contains(it.as_str()))
    }

    /// Whether any line of the rule fits. Nothing that a photo shows excludes old paint, so that it is always possible.
    fn fit(&self, rule: &HazardRule) -> bool {
        rule.always
            || rule.paint_possible
            || (rule.failing && !(self.failing.is_empty() && self.missing.is_empty()))
            || (rule.tip_over && self.tip_over)
            || (rule.hangs && self.hangs)
            || rule.forms.iter().any(|it| it == self.form)
            || rule
                .kinds
                .iter()
                .any(|it| self.present.kinds.contains(it.as_str()))
            || rule
                .marks
                .iter()
                .any(|it| self.present.marks.contains(it.as_str()))
    }
}
