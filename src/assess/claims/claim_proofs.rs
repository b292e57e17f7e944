//! What on record bears a claim: a sentence for the buyer, or what is lacking.

use std::collections::BTreeSet;

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_parts::NAMED_MOST;
use crate::assess::claims::claim_parts::counts;
use crate::assess::claims::claim_parts::in_scope;
use crate::assess::claims::claim_parts::is_unsettled;
use crate::assess::claims::claim_parts::kind;
use crate::assess::claims::claim_parts::labels;
use crate::assess::claims::claim_parts::moves;
use crate::assess::claims::claim_there;
use crate::assess::claims::claim_working;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding_counts::FindingCounts;
use crate::assess::findings::outcome::Outcome;
use crate::assess::material::clue::Observation;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::claims::claim::Claim;
use crate::trade::claims::claim::Found;
use crate::trade::claims::claim::RestsOn;
use crate::trade::claims::claim_years::years_meant;
use crate::trade::claims::claim_years::years_of_age;
use crate::trade::entry::repair::deed::Deed;

/// The age from which the word is used, years (trade and customs use; from memory).
const ANTIQUE_YEARS: i16 = 100;
/// The highest level that may be there when a piece is called ready to use.
const READY_WORST: u8 = 2;

/// The evidence line for a claim in these words, or what is lacking in a clause. An empty scope is the whole piece.
pub(crate) fn proof(
    ground: &ClaimContext<'_>,
    text: &str,
    found: &Found<'_>,
    scope: &[PartId],
) -> Result<Saying, String> {
    let (claim, word) = (found.claim, &text[found.start..found.end]);
    match claim.rests_on {
        RestsOn::Nothing => Err(claim.needs.clone()),
        RestsOn::Solid => solid(ground, scope),
        RestsOn::Untouched => untouched(ground, text, claim, scope),
        RestsOn::Age => {
            let last = today(ground).year() - ANTIQUE_YEARS - 1;
            within(ground, claim, [i16::MIN, last])
        }
        RestsOn::Years => within(ground, claim, claim.years.unwrap_or([i16::MAX, i16::MIN])),
        RestsOn::Working => claim_working::named(ground, text, found, scope),
        RestsOn::AllWorking => ready(ground),
        RestsOn::Levels => no_worse_than(ground, claim.worst.unwrap_or(0)),
        RestsOn::Dated => {
            match years_meant(word).or_else(|| years_of_age(word, today(ground).year())) {
                Some(years) => within(ground, claim, years),
                None => Err(format!("{}; it names no years", claim.needs)),
            }
        }
        RestsOn::Seen => seen(ground, claim, scope).map(say::bears_seen),
        RestsOn::Wood => claim_there::wood(ground, claim, word, scope),
        RestsOn::Sound => claim_there::sound(ground, claim, scope),
        RestsOn::There => claim_there::there(ground, claim),
        RestsOn::AllLookedAt => all_looked_at(ground).map(|()| say::bears_looked_at()),
        RestsOn::Settled => claim_there::settled(ground, &text[..found.start], scope),
    }
}

fn solid(ground: &ClaimContext<'_>, scope: &[PartId]) -> Result<Saying, String> {
    let wooden = |it: &&PartReport| !kind(ground, &it.part).is_some_and(|it| it.not_wood);
    let parts: Vec<_> = in_scope(ground, scope).into_iter().filter(wooden).collect();
    let open = |it: &&PartReport| it.material.settled.as_deref() != Some("solid");
    let open: Vec<_> = parts.iter().copied().filter(open).collect();
    if parts.is_empty() {
        return Err("no part of wood that it names is on the list".to_owned());
    }
    if !open.is_empty() {
        return Err(format!("not settled as solid wood: {}", labels(&open)));
    }
    if parts.len() > NAMED_MOST {
        return Ok(say::bears_all_solid());
    }
    let line =
        |it: &&PartReport| say::part_inner(Saying::part(&it.label), it.material.verdict.clone());
    Ok(Saying::Beside(parts.iter().map(line).collect()))
}

/// Observations that speak for the claim, when none speaks against it.
fn seen(ground: &ClaimContext<'_>, claim: &Claim, scope: &[PartId]) -> Result<Saying, String> {
    let on = |it: &&Observation| counts(&it.part, scope);
    let said = |it: &Observation| {
        let term = ground
            .book
            .cue(&it.cue)
            .map_or(it.cue.as_str(), |cue| cue.term.as_str());
        let part = Saying::part(&ground.list.label(&it.part));
        say::bears_cue(Saying::cue(term), part, it.at.photo)
    };
    let all = || ground.observations.iter().filter(on);
    if let Some(against) = all().find(|it| claim.against_cues.contains(&it.cue)) {
        return Err(format!("it speaks against it: {}", said(against)));
    }
    let mut lines: Vec<Saying> = Vec::new();
    for it in all().filter(|it| claim.cues.contains(&it.cue)) {
        let line = said(it);
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    // What speaks for one part says nothing of another, nor of the whole piece.
    let main = in_scope(ground, &[]).into_iter();
    let main = main
        .filter(|it| !it.part.is_inner() && !kind(ground, &it.part).is_some_and(|it| it.not_wood));
    let asked: Vec<PartId> = match scope.is_empty() {
        true => main.map(|it| it.part.clone()).collect(),
        false => scope.to_vec(),
    };
    let bare = asked.iter().find(|part| {
        let mut own = all().filter(|it| claim.cues.contains(&it.cue));
        !own.any(|it| counts(&it.part, std::slice::from_ref(part)))
    });
    match (lines.is_empty(), bare) {
        (true, _) => Err(format!("{}; nothing of the kind is recorded", claim.needs)),
        (false, Some(part)) => Err(format!(
            "nothing recorded on {} speaks for it; name the part of which it is said",
            ground.list.label(part)
        )),
        (false, None) => {
            lines.truncate(NAMED_MOST);
            Ok(Saying::Parted(lines))
        }
    }
}

/// Words for what lies on the wood.
const COATS: [&str; 8] = [
    "finish", "coat", "surface", "patina", "lacquer", "varnish", "polish", "paint",
];

/// Which of the repairs of what a text speaks of contradicts it most: of its coat the one that took that off.
fn changed_by<'a>(ground: &ClaimContext<'a>, text: &str, scope: &[PartId]) -> Option<&'a Repair> {
    let words = ground.book.claims.words_of(text);
    let of_coat = words.iter().any(|it| COATS.contains(&it.text.as_str()));
    let on = |it: &Repair| Worked::by(it, ground.findings);
    let spares_coat = |it: &Repair| {
        let method = ground.book.method(&it.method);
        !method.is_some_and(|it| it.recoats || it.does.contains(&Deed::Strip))
    };
    let reached = ground.case.repairs.iter();
    let reached = reached.filter(|it| scope.is_empty() || on(it).any(|part| counts(part, scope)));
    // Work on what it names before work on all of the piece.
    reached.min_by_key(|it| match of_coat {
        true => (spares_coat(it), it.no),
        false => (!scope.is_empty() && it.is_of_whole_piece(), it.no),
    })
}

fn untouched(
    ground: &ClaimContext<'_>,
    text: &str,
    claim: &Claim,
    scope: &[PartId],
) -> Result<Saying, String> {
    if let Some(repair) = changed_by(ground, text, scope) {
        let on = Worked::by(repair, ground.findings);
        let changed = on.labels(|it| ground.list.label(it)).join("; ");
        let method = ground.book.method(&repair.method);
        let method = method.map_or(repair.method.as_str(), |it| it.name.as_str());
        return Err(format!(
            "repair {} changed: {changed} ({})",
            repair.no,
            small(method)
        ));
    }
    seen(ground, claim, scope).map(say::bears_untouched)
}

/// The newest day on record, in place of a clock.
fn today(ground: &ClaimContext<'_>) -> Day {
    let shoots = ground.case.shoots.iter().map(|it| it.day);
    let repairs = ground.case.repairs.iter().map(|it| it.day);
    let taken_in = ground.case.piece.taken_in.day();
    shoots.chain(repairs).fold(taken_in, Day::max)
}

fn within(
    ground: &ClaimContext<'_>,
    claim: &Claim,
    [first, last]: [i16; 2],
) -> Result<Saying, String> {
    let made = ground.made;
    let lacks = || format!("{}; {}", claim.needs, opinion(ground));
    let early = first == i16::MIN || made.from.is_some_and(|it| it >= first);
    let late = made.to.is_some_and(|it| it <= last);
    match early && late {
        true => Ok(made.text.clone()),
        false => Err(lacks()),
    }
}

fn opinion(ground: &ClaimContext<'_>) -> String {
    match (ground.made.from, ground.made.to) {
        (None, None) => "no clue to its time is recorded".to_owned(),
        (Some(from), None) => format!("the clues say not before about {from}, and no latest year"),
        (None, Some(to)) => {
            format!("the clues say probably not after about {to}, and no earliest year")
        }
        (Some(from), Some(to)) => format!("the clues say about {from} to {to}"),
    }
}

/// Every part that the list asks for was looked at, and not only where its faults are.
fn all_looked_at(ground: &ClaimContext<'_>) -> Result<(), String> {
    let silent = |it: &&PartReport| {
        let unseen = matches!(it.state, PartState::Silent | PartState::NotExamined { .. });
        it.required && (unseen || it.otherwise.is_some())
    };
    let unseen: Vec<_> = ground.parts.iter().filter(silent).collect();
    match unseen.is_empty() {
        true => Ok(()),
        false => Err(format!("nobody looked at: {}", labels(&unseen))),
    }
}

/// Every part on the list was spoken of, and no finding that is there is above a level.
fn no_worse_than(ground: &ClaimContext<'_>, worst: u8) -> Result<Saying, String> {
    all_looked_at(ground)?;
    let there: Vec<_> = ground
        .findings
        .iter()
        .filter(|it| is_unsettled(it))
        .collect();
    let level = |it: &Finding| match it.outcome {
        Some(Outcome::Hidden) => it.before.level,
        _ => it.level,
    };
    let above: BTreeSet<String> = there
        .iter()
        .filter(|it| level(it).is_none_or(|level| level > worst))
        .map(|it| it.no.to_string())
        .collect();
    if !above.is_empty() {
        let above: Vec<String> = above.into_iter().collect();
        return Err(format!(
            "above level {worst}, or without a level: {}",
            above.join(", ")
        ));
    }
    let counted = FindingCounts::of(there).text();
    Ok(say::bears_counted(counted, worst))
}

fn ready(ground: &ClaimContext<'_>) -> Result<Saying, String> {
    let state = no_worse_than(ground, READY_WORST)?;
    let moves = ground.parts.iter().any(|it| moves(ground, &it.part));
    match moves {
        true => claim_working::tried_all(ground, &[]).map(|it| Saying::Beside(vec![state, it])),
        false => Ok(state),
    }
}
