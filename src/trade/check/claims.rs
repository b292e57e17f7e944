//! Checks of the words that claim something, and of the laws on lead.

use crate::trade::check::faults::Check;
use crate::trade::check::faults::at;
use crate::trade::check::faults::cues;
use crate::trade::check::faults::kinds;
use crate::trade::claims::claim::Claim;
use crate::trade::claims::claim::RestsOn;

/// Checks the claims and the laws on lead.
pub(in crate::trade) fn check(it: &mut Check<'_>) {
    let book = it.book;
    for claim in &book.claims.all {
        let id = claim.id.as_str();
        it.named(&at("claim", id, "kinds"), &claim.kinds, &kinds(book));
        it.named(&at("claim", id, "cues"), &claim.cues, &cues(book));
        let against = at("claim", id, "against_cues");
        it.named(&against, &claim.against_cues, &cues(book));
        words(it, claim);
        evidence(it, claim);
        sentences(it, claim);
    }
    for law in &book.lead_laws {
        let place = at("lead_law", &law.country, "country");
        let two = law.country.len() == 2 && law.country.bytes().all(|it| it.is_ascii_uppercase());
        if !two {
            it.say(&place, "a country is two capital letters by ISO 3166-1");
        }
        if law.source.trim().is_empty() {
            let place = at("lead_law", &law.country, "source");
            it.say(&place, "a law names its `source`");
        }
    }
}

/// They are compared with the words of a text in lower case.
fn words(it: &mut Check<'_>, claim: &Claim) {
    let place = at("claim", &claim.id, "words");
    if claim.words.is_empty() {
        it.say(&place, "a claim has no words");
    }
    for word in &claim.words {
        if word.trim().is_empty() || *word != word.to_lowercase() {
            let says = format!("`{word}` must be written in lower case");
            it.say(&place, says);
        }
    }
}

/// What its evidence asks for must be told.
fn evidence(it: &mut Check<'_>, claim: &Claim) {
    let (key, told) = match claim.rests_on {
        RestsOn::Years => ("years", claim.years.is_some()),
        RestsOn::Levels => ("worst", claim.worst.is_some()),
        RestsOn::There => ("kinds", !claim.kinds.is_empty()),
        RestsOn::Seen => ("cues", !claim.cues.is_empty()),
        _ => return,
    };
    if !told {
        let says = format!("what it rests on needs `{key}`");
        it.say(&at("claim", &claim.id, "rests_on"), says);
    }
}

/// In what it must catch it is found, and in what must pass it is not.
fn sentences(it: &mut Check<'_>, claim: &Claim) {
    let found = |text: &str| {
        let mut found = it.book.claims.in_text(text).into_iter();
        found.any(|it| it.claim.id == claim.id)
    };
    let missed = claim.caught.iter().filter(|it| !found(it));
    let missed = missed.map(|text| ("caught", format!("`{text}` is not caught by its words")));
    let wrong = claim.passes.iter().filter(|it| found(it));
    let wrong = wrong.map(|text| ("passes", format!("`{text}` is caught, and must pass")));
    let said: Vec<(&'static str, String)> = missed.chain(wrong).collect();
    for (key, says) in said {
        it.say(&at("claim", &claim.id, key), says);
    }
}
