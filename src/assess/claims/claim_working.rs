//! What on record bears that something works: that somebody tried it, and said so of the part itself.

use crate::assess::claims::claim_context::ClaimContext;
use crate::assess::claims::claim_parts::in_scope;
use crate::assess::claims::claim_parts::is_unsettled;
use crate::assess::claims::claim_parts::kind;
use crate::assess::claims::claim_parts::labels;
use crate::assess::claims::claim_parts::moves;
use crate::assess::claims::claim_parts::tried;
use crate::assess::claims::claim_scope::parts_called;
use crate::assess::findings::finding::Finding;
use crate::assess::part_list;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::claims::claim::Found;
use crate::trade::claims::claim_words::Word;
use crate::trade::entry::tag::Affects;

/// Every moving part that the clause of the claim names is on record, there, and was tried; where it names none, those of the scope.
pub(in crate::assess::claims) fn named(
    ground: &ClaimContext<'_>,
    text: &str,
    found: &Found<'_>,
    scope: &[PartId],
) -> Result<Saying, String> {
    let words = ground.book.claims.words_of(text);
    let own = |it: &&Word| found.start <= it.start && it.end <= found.end;
    let clause = words.iter().find(own).map(|it| it.clause);
    let here = words.iter().filter(|it| Some(it.clause) == clause);
    let here: Vec<&Word> = here.filter(|it| !own(it)).collect();
    let mut parts: Vec<PartId> = Vec::new();
    for word in here.iter().filter(|it| is_what_moves(ground, &it.text)) {
        let called = parts_called(ground, &word.text);
        if called.is_empty() {
            return Err(format!("`{}`: none is on record", word.text));
        }
        parts.extend(called);
    }
    // What the clause names more narrowly, such as the lock of drawer 1, stays as it is.
    if scope.iter().any(|it| moves(ground, it)) || parts.is_empty() {
        parts = scope.to_vec();
    }
    parts.sort();
    parts.dedup();
    let both = here.iter().any(|it| it.text == "both");
    if both && parts.len() != 2 {
        return Err(format!("`both`: {} on record", parts.len()));
    }
    tried_all(ground, &parts)
}

/// Whether a word names a kind of part that moves.
fn is_what_moves(ground: &ClaimContext<'_>, word: &str) -> bool {
    let single = word.strip_suffix('s').unwrap_or(word);
    let mut moving = ground.book.kinds.iter().filter(|it| it.moves);
    moving.any(|it| it.name == single || it.name == word)
}

/// Every moving part of the scope is there and was tried, and no fault of its use may still be there. An empty scope is the whole piece.
pub(in crate::assess::claims) fn tried_all(
    ground: &ClaimContext<'_>,
    scope: &[PartId],
) -> Result<Saying, String> {
    let is_absent = |it: &&PartReport| matches!(it.state, PartState::Absent { .. });
    let mut named = ground.parts.iter().filter(|it| scope.contains(&it.part));
    if let Some(absent) = named.find(is_absent) {
        return Err(format!("{} is absent", absent.label));
    }
    let moves = |it: &&PartReport| moves(ground, &it.part);
    let parts: Vec<_> = in_scope(ground, scope).into_iter().filter(moves).collect();
    if parts.is_empty() {
        return Err("no moving part that it names is on the list".to_owned());
    }
    let mut lines = Vec::new();
    let mut untried = Vec::new();
    for part in parts {
        if let Some(fault) = hindered(ground, &part.part) {
            return Err(format!(
                "{} {} is there ({})",
                fault.no,
                small(&fault.term),
                fault.part_label
            ));
        }
        let kind = kind(ground, &part.part).map(|it| it.id.as_str());
        match (kind, tried(ground, &part.part)) {
            (Some("wiring"), _) => {
                return Err(
                    "electrical parts are tested by somebody qualified, with a dated note"
                        .to_owned(),
                );
            }
            (_, Some((photo, day))) => {
                lines.push(say::bears_tried(Saying::part(&part.label), day, photo));
            }
            (_, None) => untried.push(part),
        }
    }
    match untried.is_empty() {
        true => Ok(say::stated(Saying::Parted(lines))),
        false => Err(format!(
            "no statement on the part itself that it was tried: {}",
            labels(&untried)
        )),
    }
}

/// Open faults of the use of a part, or of parts of it.
fn hindered<'a>(ground: &ClaimContext<'a>, part: &PartId) -> Option<&'a Finding> {
    let of_use = |it: &Finding| {
        let tag = ground.book.tag(&it.tag);
        let affects = tag.map_or(&[][..], |it| it.affects.as_slice());
        let mut affects = affects.iter();
        affects.any(|it| matches!(it, Affects::Function | Affects::Safety))
    };
    let mut open = ground.findings.iter().filter(|it| is_unsettled(it));
    open.find(|it| part_list::belongs(&it.part, part) && of_use(it))
}
