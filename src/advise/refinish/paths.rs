//! Which refinish paths a part can still take, and why.

use std::collections::BTreeSet;

use crate::advise::part::facts::Facts;
use crate::advise::part::facts::THIN_FACED;
use crate::advise::part::gather;
use crate::advise::part::look;
use crate::advise::part::material_hypotheses::Worlds;
use crate::advise::part::surface;
use crate::advise::part::surface::Kinds;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::advice::Forbidden;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Reason;
use crate::advise::refinish::advice::Sanding;
use crate::advise::refinish::advice::Verdict;
use crate::advise::refinish::outcome::Outcome;
use crate::advise::refinish::permit;
use crate::advise::refinish::sanding;
use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::trade::TradeBook;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::kind::Shown;
use crate::trade::entry::path::Path;
use crate::trade::entry::path::Role;
use crate::trade::entry::path::Rule;
use crate::trade::entry::repair::deed::Deed;
use crate::trade::entry::tag::Tag;

/// The advice on every part with a surface that can be refinished, in the form's order.
#[must_use]
pub fn paths(it: &Assessment, book: &TradeBook) -> Vec<PartAdvice> {
    let kinds = Kinds::of(it, book);
    let parts = it.parts.iter().filter(|part| {
        let kind = kinds.kind(&part.part);
        let seen = surface::shown(kind, book) != Shown::No;
        seen && surface::has_wood(it, &part.part, kind, book)
    });
    let rules: Vec<&Rule> = book.rules.iter().collect();
    let advice = parts.map(|part| {
        let facts = gather::facts(it, &part.part, kinds.kind(&part.part), book);
        PartAdvice {
            part: part.part.clone(),
            label: part.label.clone(),
            ..judge(&facts, &it.findings, book, &rules)
        }
    });
    advice.collect()
}

/// The advice on a part with these facts, by these rules in any order.
pub(crate) fn judge(
    facts: &Facts,
    findings: &[Finding],
    book: &TradeBook,
    rules: &[&Rule],
) -> PartAdvice {
    let mut rules = rules.to_vec();
    rules.sort_by_key(|it| &it.id);
    let worlds = Worlds::of(facts, book, &rules);
    let ruled: Vec<Ruled<'_>> = rules.iter().map(|it| (*it, facts.applies(it))).collect();
    let mut judged: Vec<Judged<'_>> = book
        .paths
        .iter()
        .map(|path| Judged::of(path, facts, &worlds, &ruled, book))
        .collect();
    // A stable sort: within the same rank the book's order stays, the gentlest first.
    judged.sort_by_key(|it| (it.verdict, it.preferred.is_none(), it.preferred));
    let thin = |it: &&str| THIN_FACED.contains(it);
    let lowest = facts.lowest_face_mm();
    let sanding = facts.possible(Fact::Material).iter().any(thin);
    let forbidden = forbidden(facts, &ruled, book);
    let sanding = sanding.then(|| Sanding {
        at_most_mm: facts.face_at_most_mm(),
        ..sanding::sanding(lowest, book)
    });
    let sanding = sanding.map(|it| {
        match forbidden
            .iter()
            .find(|it| it.deed == Deed::Sand && it.verdict == Verdict::Shut)
        {
            Some(rule) => it.forbidden(rule),
            None => it,
        }
    });
    let told = judged.into_iter().map(|it| it.told(facts, findings, book));
    PartAdvice {
        part: facts.part.clone(),
        label: facts.part.to_string(),
        forbidden,
        lead: facts.lead(),
        opinions: facts.opinions.clone(),
        paths: told.collect(),
        never: never(
            &ruled,
            sanding.is_some().then(|| sanding::never(lowest, book)),
        ),
        sanding,
    }
}

/// A rule with whether it applies to the part.
type Ruled<'a> = (&'a Rule, Truth);

/// A path while the rules are asked about it.
struct Judged<'a> {
    path: &'a Path,
    verdict: Verdict,
    reasons: Vec<(Verdict, Reason)>,
    look: Vec<String>,
    opened_by: Vec<String>,
    opening_work: Vec<String>,
    preferred: Option<usize>,
}

impl<'a> Judged<'a> {
    fn of(
        path: &'a Path,
        facts: &Facts,
        worlds: &Worlds<'_>,
        ruled: &[Ruled<'_>],
        book: &TradeBook,
    ) -> Self {
        let deeds = permit::deeds(path, book);
        let base = worlds.base(path, &deeds);
        let mut judged = Self {
            path,
            verdict: base.verdict,
            reasons: base
                .reasons
                .into_iter()
                .map(|it| (base.verdict, it))
                .collect(),
            look: base.look,
            opened_by: Vec::new(),
            opening_work: Vec::new(),
            preferred: None,
        };
        if !facts.looked_at {
            judged.wait_for_a_look();
        }
        for &(rule, truth) in ruled.iter().filter(|it| it.0.role != Role::Material) {
            // What nobody looked for waits for the look; what was seen counts.
            let seen = truth == Truth::Yes && rule.role == Role::Steer;
            if !facts.looked_at && !seen {
                continue;
            }
            let shuts =
                rule.shuts.contains(&path.id) || rule.forbids.iter().any(|it| deeds.contains(it));
            if shuts && truth != Truth::No {
                judged.shut(rule, truth, facts, book);
            }
            let at = rule.prefers.iter().position(|it| *it == path.id);
            if let Some(at) = at.filter(|_| truth == Truth::Yes) {
                judged.preferred = Some(judged.preferred.map_or(at, |known| known.min(at)));
                judged.reasons.push((Verdict::Open, reason(rule)));
            } else if truth == Truth::Yes && concerns(rule, &path.id) {
                judged.reasons.push((Verdict::Open, reason(rule)));
            }
        }
        judged
    }

    /// Nothing is known of a part at which nobody looked; what it is made of may shut a path all the same.
    fn wait_for_a_look(&mut self) {
        if self.verdict == Verdict::Shut {
            return;
        }
        self.verdict = Verdict::Waiting;
        let reason = Reason {
            rule: "not_looked_at".to_owned(),
            why: "Nothing was said of the part, so its faults are not known.".to_owned(),
        };
        self.reasons.insert(0, (Verdict::Waiting, reason));
        self.look.insert(0, "Look at the part first.".to_owned());
    }

    fn shut(&mut self, rule: &Rule, truth: Truth, facts: &Facts, book: &TradeBook) {
        let verdict = weight(rule, truth, facts, book);
        self.verdict = self.verdict.max(verdict);
        self.reasons.push((verdict, reason(rule)));
        if verdict == Verdict::Waiting {
            let looks = look::looks(rule, facts);
            add(&mut self.look, looks);
        }
        if truth == Truth::Yes && rule.role == Role::Gate {
            add(&mut self.opened_by, rule.opened_by.iter().cloned());
            add(&mut self.opening_work, rule.opening_work.iter().cloned());
        }
    }

    fn told(self, facts: &Facts, findings: &[Finding], book: &TradeBook) -> PathAdvice {
        let outcome = Outcome::of(self.path, &facts.part, findings, book);
        let verdict = self.verdict;
        let reasons = self.reasons.into_iter().filter(|it| it.0 == verdict);
        let mut told = Vec::new();
        add(&mut told, reasons.map(|it| it.1));
        let mut advice = PathAdvice {
            path: self.path.id.clone(),
            label: self.path.label.clone(),
            verdict,
            reasons: told,
            look: self.look,
            opened_by: self.opened_by,
            opening_work: self.opening_work,
            left_out: left_out(self.path, facts),
            removes: outcome.removes,
            hides: outcome.hides,
            leaves: outcome.leaves,
            tell: outcome.tell,
        };
        if verdict == Verdict::Shut {
            advice.look.clear();
            advice.opened_by.clear();
            advice.opening_work.clear();
        }
        advice
    }
}

/// Steps of a path that surely have nothing to do on a part.
fn left_out(path: &Path, facts: &Facts) -> Vec<String> {
    let steps = path.steps.iter();
    let needless = steps.filter(|it| facts.holds(&it.when) == Truth::No);
    needless.map(|it| it.method.clone()).collect()
}

fn reason(rule: &Rule) -> Reason {
    Reason {
        rule: rule.id.clone(),
        why: rule.why.clone(),
    }
}

fn add<T: PartialEq>(list: &mut Vec<T>, more: impl IntoIterator<Item = T>) {
    for it in more {
        if !list.contains(&it) {
            list.push(it);
        }
    }
}

/// What a rule that may apply does to what it is against.
fn weight(rule: &Rule, truth: Truth, facts: &Facts, book: &TradeBook) -> Verdict {
    match (rule.role, truth) {
        (_, Truth::Open) => Verdict::Waiting,
        (Role::Gate, _) if can_be_planned(rule, facts, book) => Verdict::AfterWork,
        (Role::Gate, _) => Verdict::Waiting,
        _ => Verdict::Shut,
    }
}

/// What may not be done to the face, the firmest reason first.
fn forbidden(facts: &Facts, ruled: &[Ruled<'_>], book: &TradeBook) -> Vec<Forbidden> {
    let mut all = Vec::new();
    for &(rule, truth) in ruled.iter().filter(|it| it.0.role != Role::Material) {
        let verdict = weight(rule, truth, facts, book);
        if truth == Truth::No || verdict == Verdict::AfterWork {
            continue;
        }
        let looks = look::looks(rule, facts);
        all.extend(rule.forbids.iter().map(|deed| Forbidden {
            deed: *deed,
            verdict,
            why: rule.why.clone(),
            look: looks.first().cloned(),
            hands_to: rule.hands_to.clone(),
        }));
    }
    all.sort_by_key(|it| std::cmp::Reverse(it.verdict));
    all
}

/// Whether the work that opens a gate can be planned: it is named, or it is the repair of the faults of structure for which
/// the gate is shut.
fn can_be_planned(rule: &Rule, facts: &Facts, book: &TradeBook) -> bool {
    if !rule.opening_work.is_empty() {
        return true;
    }
    let asked = rule.when.iter().flatten();
    let mut holding = asked.filter(|it| facts.answer_within(it, rule.reach) == Truth::Yes);
    holding.all(|it| match it {
        Condition::Fault { tag, .. } => {
            let tag = book.tag(tag);
            let glued = |it: &Tag| ["structure", "veneer"].contains(&it.group.as_str());
            tag.is_some_and(|it| glued(it) && !it.fix.is_empty())
        }
        _ => false,
    })
}

/// Rules that shut and prefer nothing, and the paths on which their word is worth hearing.
const WORTH_HEARING: [(&str, &[&str]); 8] = [
    (
        "chip_under_paint",
        &["fill_paint", "patch_veneer", "touch_up"],
    ),
    ("colour_bleeds", &["fill_paint", "scuff_paint"]),
    ("faded", &["revive", "strip_clear", "strip_stain"]),
    (
        "lead_not_found",
        &[
            "fill_paint",
            "oil_wax",
            "scuff_paint",
            "strip_clear",
            "strip_stain",
        ],
    ),
    (
        "refinished_thin_face",
        &["oil_wax", "strip_clear", "strip_stain"],
    ),
    (
        "refinished_before",
        &["oil_wax", "strip_clear", "strip_stain"],
    ),
    (
        "small_veneer_loss",
        &["fill_paint", "patch_veneer", "strip_stain"],
    ),
    ("wants_lighter", &["strip_clear"]),
];

fn concerns(rule: &Rule, path: &str) -> bool {
    let known = WORTH_HEARING.iter().find(|it| it.0 == rule.id);
    known.is_some_and(|it| it.1.contains(&path))
}

/// Steps of work that must not be used, sorted; what may be forbidden is.
fn never(ruled: &[Ruled<'_>], of_face: Option<&[String]>) -> Vec<String> {
    let asked = ruled.iter().filter(|it| it.1 != Truth::No);
    let named = asked.flat_map(|it| &it.0.never);
    let all: BTreeSet<&String> = named.chain(of_face.unwrap_or_default()).collect();
    all.into_iter().cloned().collect()
}
