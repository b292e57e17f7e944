//! What on record bears a claim about what is there, what is whole, what is gone, or of which wood it is.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_parts::counts;
use crate::assess::claims::claim_parts::found_sound;
use crate::assess::claims::claim_parts::in_scope;
use crate::assess::claims::claim_parts::is_unsettled;
use crate::assess::claims::claim_parts::kind;
use crate::assess::claims::claim_parts::labels;
use crate::assess::claims::claim_parts::moves;
use crate::assess::claims::claim_parts::tried;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::assess::part_list;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::claims::claim::Claim;
use crate::trade::claims::claim::RestsOn;

/// The observation of the look of a wood; its `which` names the wood.
pub(in crate::assess::claims) const LOOKS_LIKE: &str = "looks_like_wood";

/// The look of the wood, on a part of the scope; by eye.
pub(in crate::assess::claims) fn wood(
    ground: &ClaimContext<'_>,
    claim: &Claim,
    word: &str,
    scope: &[PartId],
) -> Result<Saying, String> {
    let asked = word.to_lowercase();
    let named = |text: &str| {
        let words = ground.book.claims.words_of(text);
        words.iter().any(|it| it.text == asked)
    };
    let looks = ground.observations.iter().filter(|it| it.cue == LOOKS_LIKE);
    let mut looks = looks.filter_map(|it| {
        let wood = match (named(&it.which), it.which.is_empty()) {
            (true, _) => it.which.as_str(),
            // Without `which` the note says it.
            (false, true) => said_wood(ground, it.note.as_deref()?, &asked)?,
            (false, false) => return None,
        };
        counts(&it.part, scope).then_some((it, wood))
    });
    let (seen, wood) = looks
        .next()
        .ok_or_else(|| format!("{}; nothing of the kind is recorded", claim.needs))?;
    let part = Saying::part(&ground.list.label(&seen.part));
    let wood = Saying::Own(wood.to_owned());
    Ok(say::bears_wood(part, wood, seen.at.photo))
}

/// The word for this wood in a text that says it, and neither denies nor doubts it.
fn said_wood<'t>(ground: &ClaimContext<'_>, text: &'t str, asked: &str) -> Option<&'t str> {
    let found = ground.book.claims.in_text(text).into_iter();
    let mut woods = found.filter(|it| it.claim.rests_on == RestsOn::Wood);
    let said = woods.find(|it| text[it.start..it.end].to_lowercase() == asked)?;
    text.get(said.start..said.end)
}

/// Each part of the scope was looked at and found sound, and no finding on it may still be there.
pub(in crate::assess::claims) fn sound(
    ground: &ClaimContext<'_>,
    claim: &Claim,
    scope: &[PartId],
) -> Result<Saying, String> {
    if scope.is_empty() {
        return Err(format!("{}; it names no part on the list", claim.needs));
    }
    if let Some(absent) = ground
        .parts
        .iter()
        .find(|it| scope.contains(&it.part) && matches!(it.state, PartState::Absent { .. }))
    {
        return Err(format!("{} is absent", absent.label));
    }
    let parts = in_scope(ground, scope);
    let open = |part: &PartReport| {
        let mut open = ground.findings.iter().filter(|it| is_unsettled(it));
        open.find(|it| part_list::belongs(&it.part, &part.part))
    };
    if let Some(fault) = parts.iter().find_map(|it| open(it)) {
        return Err(there_still(fault));
    }
    let silent = |it: &&PartReport| !matches!(it.state, PartState::Sound(_) | PartState::Faults);
    let silent: Vec<&PartReport> = parts.iter().copied().filter(silent).collect();
    if !silent.is_empty() || parts.is_empty() {
        return Err(format!("nobody looked at: {}", labels(&silent)));
    }
    let lines = parts.iter().map(|it| {
        let part = Saying::part(&it.label);
        match &it.state {
            PartState::Sound(said) => say::bears_sound(part, said.day(), said.photo()),
            _ => say::part_inner(part, it.counts.text()),
        }
    });
    Ok(say::stated(Saying::Parted(lines.collect())))
}

/// Every part of the claim's kinds is there and was looked at, and what moves was tried.
pub(in crate::assess::claims) fn there(
    ground: &ClaimContext<'_>,
    claim: &Claim,
) -> Result<Saying, String> {
    let mut lines = Vec::new();
    for wanted in &claim.kinds {
        let of_kind = |it: &&PartReport| is_of_kind(ground, &it.part, wanted);
        let parts: Vec<&PartReport> = ground.parts.iter().filter(of_kind).collect();
        if parts.is_empty() {
            return Err(format!("no {wanted} is on the list of parts"));
        }
        for part in parts {
            lines.push(part_there(ground, part)?);
        }
    }
    Ok(say::stated(Saying::Parted(lines)))
}

/// Whether a part is of a kind; a part that no list has goes by its name.
fn is_of_kind(ground: &ClaimContext<'_>, part: &PartId, wanted: &str) -> bool {
    let name = part.as_str().rsplit('/').next();
    let first = name.and_then(|it| it.split('-').next());
    first == Some(wanted) || kind(ground, part).is_some_and(|it| it.id == wanted)
}

fn part_there(ground: &ClaimContext<'_>, part: &PartReport) -> Result<Saying, String> {
    let label = &part.label;
    let open = ground.findings.iter().filter(|it| is_unsettled(it));
    if let Some(fault) = { open }.find(|it| it.part == part.part) {
        return Err(there_still(fault));
    }
    let seen = tried(ground, &part.part).or_else(|| found_sound(ground, &part.part));
    match (&part.state, seen) {
        (PartState::Absent { .. }, _) => Err(format!("{label} is absent")),
        (_, Some((photo, day))) => Ok(say::bears_found_sound(Saying::part(label), day, photo)),
        (PartState::Sound(said), None) if !moves(ground, &part.part) => Ok(say::bears_shown(
            Saying::part(label),
            said.day(),
            said.photo(),
        )),
        _ => Err(format!("no statement on the part itself: {label}")),
    }
}

/// The fault that the words before the claim name is on record, and every finding of it is repaired or gone in a picture since.
pub(in crate::assess::claims) fn settled(
    ground: &ClaimContext<'_>,
    before: &str,
    scope: &[PartId],
) -> Result<Saying, String> {
    let words = ground.book.claims.words_of(before);
    let fault = words.iter().rev().map(|it| it.text.as_str());
    let fault = { fault }.find(|it| ground.book.claims.is_fault(it));
    let about = |it: &&Finding| {
        it.outcome.is_some()
            && counts(&it.part, scope)
            && fault.is_none_or(|word| called(ground, it, word))
    };
    let found: Vec<&Finding> = ground.findings.iter().filter(about).collect();
    if found.is_empty() {
        let fault = fault.unwrap_or("fault");
        return Err(format!("no finding is on record that is called `{fault}`"));
    }
    if let Some(open) = found.iter().find(|it| is_unsettled(it)) {
        return Err(there_still(open));
    }
    let lines = found.iter().map(|it| {
        let state = it.outcome.map_or_else(Saying::nothing, Outcome::words);
        let state = match it.closed_by {
            Some(at) => say::with_picture(state, at.photo),
            None => state,
        };
        let (term, part) = (Saying::fault(&it.term), Saying::part(&it.part_label));
        say::bears_closed(it.no.to_string(), term, part, state)
    });
    Ok(say::stated(Saying::Parted(lines.collect())))
}

/// Whether people call the fault so.
pub(in crate::assess::claims) fn called(
    ground: &ClaimContext<'_>,
    finding: &Finding,
    word: &str,
) -> bool {
    let tag = ground.book.tag(&finding.tag);
    tag.is_some_and(|it| it.is_called(word))
}

/// `F2 split may still be there (Top)`.
pub(in crate::assess::claims) fn there_still(fault: &Finding) -> String {
    format!("{}: {}", fault.named(), fault.standing())
}
