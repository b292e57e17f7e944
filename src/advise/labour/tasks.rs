//! From open findings and a path for each part to the tasks of a plan.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::labour::area;
use crate::advise::labour::besides::base_work::base_work;
use crate::advise::labour::besides::upkeep::is_done;
use crate::advise::labour::besides::watches::still_due;
use crate::advise::labour::draft::Draft;
use crate::advise::labour::fixes::Answer;
use crate::advise::labour::fixes::Place;
use crate::advise::labour::fixes::answer;
use crate::advise::labour::left;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::task::LeftAlone;
use crate::advise::labour::task::Task;
use crate::advise::part::support::held_up::Missing;
use crate::advise::part::support::held_up::waits_for;
use crate::advise::part::support::missing_support;
use crate::advise::part::surface::Kinds;
use crate::advise::part::there::There;
use crate::advise::part::watch::watch;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::permit::Ground;
use crate::advise::refinish::permit::Permit;
use crate::advise::refinish::permit::Taken;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::HEAVY;
use crate::assess::findings::finding::is_covered_danger;
use crate::assess::findings::tests_told;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::form::Figure;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Who;
use crate::trade::entry::tag::Affects;

/// What is chosen for a piece.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// The path chosen for each part; a part that is missing gets none.
    pub paths: BTreeMap<PartId, String>,
    /// What is left as it was found.
    pub as_found: AsFound,
}

/// What is left as it was found: nothing is done there but about a danger, to people or to other pieces.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum AsFound {
    /// Nothing: what is broken is mended.
    #[default]
    Nothing,
    /// These parts.
    Parts(BTreeSet<PartId>),
    /// All of it.
    All,
}

impl AsFound {
    /// Whether this part is left so.
    #[must_use]
    pub fn holds(&self, part: &PartId) -> bool {
        match self {
            Self::Nothing => false,
            Self::Parts(parts) => parts.contains(part) || parts.contains(&part.whole()),
            Self::All => true,
        }
    }
}

impl FromIterator<(PartId, String)> for Choice {
    fn from_iter<I: IntoIterator<Item = (PartId, String)>>(paths: I) -> Self {
        Self {
            paths: paths.into_iter().collect(),
            as_found: AsFound::Nothing,
        }
    }
}

/// The tasks, and the findings for which none is planned.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Work {
    /// By phase, then in the order of the book.
    pub tasks: Vec<Task>,
    /// By number.
    pub left: Vec<LeftAlone>,
}

/// Tasks under construction, by their place in the book's list and by who does them.
type Drafts<'a> = BTreeMap<(usize, u8), Draft<'a>>;

impl PlanInput<'_> {
    /// The advice on a part, or on the whole to which it belongs.
    #[must_use]
    pub fn advice_on(&self, part: &PartId) -> Option<&PartAdvice> {
        let of = |part: &PartId| self.advice.iter().find(|it| it.part == *part);
        of(part).or_else(|| of(&part.whole()))
    }

    /// The path chosen for a part, where it can be taken; one that is shut counts as not chosen.
    fn chosen<'a>(&'a self, part: &PartId, choice: &Choice) -> Option<Taken<'a>> {
        let advice = self.advice_on(part)?;
        let path = choice.paths.get(&advice.part)?;
        Taken::of(advice, path, self.trust, self.book)
    }
}

/// What is still there and may be worked on.
fn wanted<'a>(need: &PlanInput<'a>) -> impl Iterator<Item = &'a Finding> {
    let (kinds, book) = (&need.it.kinds, need.book);
    let wanted = move |it: &&Finding| {
        let kind = kinds.get(&it.part).map_or("", String::as_str);
        it.is_to_do() || is_covered_danger(it, kind, book)
    };
    need.it.findings.iter().filter(wanted)
}

/// The tasks of a choice of paths.
#[must_use]
pub fn tasks(need: &PlanInput<'_>, choice: &Choice) -> Work {
    let mut drafts = Drafts::new();
    for advice in need.advice {
        let there = area::is_there(need.it, &advice.part);
        if let Some(taken) = need.chosen(&advice.part, choice).filter(|_| there) {
            path_steps(need, &advice.part, taken, &mut drafts);
        }
    }
    let kinds = &need.it.kinds;
    let mut left = Vec::new();
    let mut waiting: Vec<(&Finding, Missing)> = Vec::new();
    for finding in wanted(need) {
        if choice.as_found.holds(&finding.part) && !is_danger(finding, need.book) {
            left.push(left::alone(finding, left::AS_FOUND.to_owned()));
            continue;
        }
        if let Some(missing) = waits_for(need.it, finding, need.book) {
            waiting.push((finding, missing));
            continue;
        }
        let kind = kinds.get(&finding.part).map_or("", String::as_str);
        let facts = need.facts_on(&finding.part, kind);
        let advice = need.advice_on(&finding.part);
        let taken = need.chosen(&finding.part, choice);
        let called = need.book.kind_called(&finding.which);
        let place = Place {
            finding,
            kind: called.map_or(kind, |it| it.id.as_str()),
            ground: Ground::of(&finding.part, advice, taken, facts.lead(), need.book),
            facts: &facts,
            book: need.book,
        };
        match answer(&place) {
            Answer::ByPath(leave) => {
                draft(&mut drafts, need.book, leave, leave.method().by).add_gone(finding, need.book)
            }
            Answer::ByStep(leave) if is_done(leave.method(), &finding.part, need) => {
                left.push(left::alone(finding, left::DONE.to_owned()));
            }
            Answer::ByStep(leave) => draft(&mut drafts, need.book, leave, leave.method().by)
                .add_place(finding, need.book),
            Answer::Method(leave, by) => {
                let found = choice.as_found.holds(&finding.part);
                left.extend(left::stays(finding, leave.method(), need.book).filter(|_| found));
                draft(&mut drafts, need.book, leave, by).add_finding(
                    finding,
                    need.surfaces,
                    need.book,
                );
            }
            Answer::Left(why) => left.push(left::alone(finding, why)),
        }
    }
    add_support(need, &mut drafts);
    add_waiting(need, waiting, &mut drafts, &mut left);
    undo(need, &mut drafts, &mut left);
    take_in(need, &mut drafts);
    add_what_follows(need, choice, &mut drafts);
    add_needed(need, &mut drafts);
    let drafts = drafts.into_values();
    let there = There::on(need.it);
    let made = drafts.flat_map(|it| it.tasks(&there, need.settings, need.book));
    let made = made.map(|it| still_due(it, need));
    let made: Vec<Task> = made.collect();
    let mut tasks: Vec<Task> = base_work(need, &made).into_iter().chain(made).collect();
    // Stable: within a phase the base work comes first, then the order of the book.
    tasks.sort_by_key(|it| (it.method == "handover", it.phase));
    Work { tasks, left }
}

/// What is left and made safe all the same, and what of it is undone because a joint is opened.
fn undo<'a>(need: &'a PlanInput<'a>, drafts: &mut Drafts<'a>, left: &mut Vec<LeftAlone>) {
    left::made_safe(need, drafts.values(), left);
    let opening = drafts.values().filter(|it| it.method().opens_joints);
    let joints: BTreeSet<PartId> = opening.flat_map(|it| it.parts().clone()).collect();
    for (finding, leave) in left::undone(need, &joints, left) {
        let into = draft(drafts, need.book, leave, leave.method().by);
        into.add_finding(finding, need.surfaces, need.book);
    }
}

/// What has to be there for the piece to stand, and is not.
fn add_support<'a>(need: &PlanInput<'a>, drafts: &mut Drafts<'a>) {
    for (of, leave) in missing_support::leaves(need) {
        let into = draft(drafts, need.book, leave, leave.method().by);
        into.add_part(&of.part, 1, need.surfaces);
    }
}

/// What waits for what holds it up is mended with that; else it is left.
fn add_waiting(
    need: &PlanInput<'_>,
    waiting: Vec<(&Finding, Missing)>,
    drafts: &mut Drafts<'_>,
    left: &mut Vec<LeftAlone>,
) {
    for (finding, missing) in waiting {
        match drafts.values_mut().find(|it| it.makes(&missing)) {
            Some(into) => into.add_gone(finding, need.book),
            None => left.push(left::alone(finding, missing.why())),
        }
    }
    left.sort_by_key(|it| it.finding);
}

/// Where a whole chair or table is taken apart and glued, no joint of it is opened besides.
fn take_in(need: &PlanInput<'_>, drafts: &mut Drafts<'_>) {
    let form = need.book.form(&need.it.piece.form);
    if !form.is_some_and(|it| matches!(it.figure, Figure::Seat | Figure::Table)) {
        return;
    }
    let includes = |it: &Draft<'_>| it.method().includes.clone();
    let whole: Vec<_> = drafts.iter().map(|it| (*it.0, includes(it.1))).collect();
    for (key, includes) in whole.into_iter().filter(|it| !it.1.is_empty()) {
        let taken: Vec<Draft<'_>> = drafts
            .extract_if(.., |it, draft| {
                *it != key && includes.contains(&draft.method().id)
            })
            .map(|it| it.1)
            .collect();
        if let Some(into) = drafts.get_mut(&key) {
            taken.into_iter().for_each(|it| into.take_in(it));
        }
    }
}

/// What has to be done first for a piece of work, such as taking a cracked glass off before anything else.
fn add_needed<'a>(need: &'a PlanInput<'a>, drafts: &mut Drafts<'a>) {
    let planned: Vec<Draft<'a>> = drafts.values().cloned().collect();
    let within = |method: &Method| {
        let mut planned = planned.iter();
        planned.any(|it| it.method().includes.contains(&method.id))
    };
    for of in &planned {
        let needed = of.leave().needed(need.book);
        for leave in needed.filter(|it| !within(it.method())) {
            let others = |it: &PartId| is_taken_out(need, leave.method(), it, &planned);
            let parts = of.parts().iter();
            let parts = parts.filter(|it| !waits(need, &leave, it) && !others(it));
            let parts: Vec<&PartId> = parts.collect();
            if parts.is_empty() {
                continue;
            }
            let into = draft(drafts, need.book, leave, leave.method().by);
            for part in parts {
                into.add_part(part, 1, need.surfaces);
            }
        }
    }
}

/// Whether other work that is planned does this on the way, as the part is set in one on which that is done.
fn is_taken_out(
    need: &PlanInput<'_>,
    method: &Method,
    part: &PartId,
    planned: &[Draft<'_>],
) -> bool {
    let kinds = Kinds::of(need.it, need.book);
    let mut others = { planned.iter() }.filter(|it| it.method().takes_out.contains(&method.id));
    others.any(|it| it.parts().iter().any(|of| kinds.is_set_in(part, of)))
}

/// Whether a test of this part is on record whose result nobody told yet: it is not made again.
fn waits(need: &PlanInput<'_>, leave: &Permit<'_>, part: &PartId) -> bool {
    let findings = &need.it.findings;
    let mut untold = tests_told::untold(&need.it.repairs, findings, need.book);
    untold.any(|it| {
        it.method == leave.method().id && tests_told::answers_for(it, part, findings, need.book)
    })
}

/// What has to be done after a piece of work where the old coat stays, such as colouring what a scraper laid bare. A way that
/// does it anyway does it once.
fn add_what_follows<'a>(need: &'a PlanInput<'a>, choice: &Choice, drafts: &mut Drafts<'a>) {
    let planned: Vec<Draft<'a>> = drafts.values().cloned().collect();
    let kinds = &need.it.kinds;
    for of in planned.iter().filter(|it| it.who() == Who::Owner) {
        for part in of.parts() {
            let kind = kinds.get(part).map_or("", String::as_str);
            let lead = need.facts_on(part, kind).lead();
            let taken = need.chosen(part, choice);
            let ground = Ground::of(part, need.advice_on(part), taken, lead, need.book);
            for leave in ground.following(of.method()) {
                let into = draft(drafts, need.book, leave, leave.method().by);
                into.add_part(part, 1, need.surfaces);
            }
        }
    }
}

/// The steps of a path on one part, and the work that opens it.
fn path_steps<'a>(
    need: &'a PlanInput<'a>,
    part: &PartId,
    taken: Taken<'a>,
    drafts: &mut Drafts<'a>,
) {
    for (leave, times) in taken.steps(need.book) {
        if is_done(leave.method(), part, need) {
            continue;
        }
        let by = leave.method().by;
        let into = draft(drafts, need.book, leave, by);
        into.add_part(part, coats(times), need.surfaces);
    }
    let opening = taken.opening_work(need.book);
    for leave in opening.filter(|it| !is_behind(need, it.method())) {
        let into = draft(drafts, need.book, leave, leave.method().by);
        // Where the fault lies, if it is on record; else on the part itself.
        let mut places = faults_for(need, leave.method());
        if places.is_empty() {
            places.push(part.clone());
        }
        for place in &places {
            into.add_part(place, 1, need.surfaces);
        }
    }
}

/// Whether every fault that a method answers was treated, so that only another look is due; of a first watch also whether every one
/// was seen there after it had been watched or treated, so that nothing is left to ask.
fn is_behind(need: &PlanInput<'_>, method: &Method) -> bool {
    let mut faults = faults_answered(need, method).peekable();
    let other = |it: &Finding| watch(it, need.book).is_some_and(|it| it.id != method.id);
    let proven = |it: &Finding| method.cures == Cures::Watches && it.was_there_after_a_watch();
    faults.peek().is_some() && faults.all(|it| other(it) || proven(it))
}

/// Parts with an open fault that a method answers.
fn faults_for(need: &PlanInput<'_>, method: &Method) -> Vec<PartId> {
    let found = faults_answered(need, method);
    found.map(|it| it.part.clone()).collect()
}

/// The open faults that a method answers.
fn faults_answered<'a>(need: &PlanInput<'a>, method: &Method) -> impl Iterator<Item = &'a Finding> {
    let answers = |it: &&Finding| {
        let tag = need.book.tag(&it.tag);
        it.is_to_do() && tag.is_some_and(|tag| tag.fixes().any(|it| *it == method.id))
    };
    need.it.findings.iter().filter(answers)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast of what is not a handful of coats is bounded"
)]
fn coats(times: f64) -> u32 {
    (times.round() as u32).clamp(1, 9)
}

fn draft<'a, 'd>(
    drafts: &'d mut Drafts<'a>,
    book: &'a TradeBook,
    leave: Permit<'a>,
    by: Who,
) -> &'d mut Draft<'a> {
    let id = &leave.method().id;
    let place = book.methods.iter().position(|it| it.id == *id);
    let key = (place.unwrap_or(usize::MAX), u8::from(by == Who::Specialist));
    let into = drafts.entry(key).or_insert_with(|| Draft::new(leave, by));
    into.under(leave)
}

/// Whether a finding is a danger that cannot be sold as found.
fn is_danger(finding: &Finding, book: &TradeBook) -> bool {
    let level = finding.level_there();
    // What spreads, or gets into whoever is near, is a danger from its first signs on.
    book.tag(&finding.tag).is_some_and(|it| {
        let spreads = it.affects.contains(&Affects::Hygiene);
        it.is_danger(level) && (spreads || level.is_none_or(|it| it >= HEAVY))
    })
}
