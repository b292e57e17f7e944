//! Words that claim something, and where they stand in a text.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

use crate::trade::claims::claim_words::Word;
use crate::trade::claims::claim_words::copied;
use crate::trade::claims::claim_words::words;
use crate::trade::claims::claim_years;
use crate::trade::claims::talk::Talk;

/// What must be on record for a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RestsOn {
    /// No record can bear it.
    Nothing,
    /// The part, or every part, is settled as solid wood.
    Solid,
    /// The old surface is seen, and nothing that came later.
    Untouched,
    /// All of the time in which it may have been made lies over 100 years back.
    Age,
    /// All of the time in which it may have been made lies within the claim's years.
    Years,
    /// What moves was tried.
    Working,
    /// Everything that moves was tried, and nothing is above level 2.
    AllWorking,
    /// No finding is above the claim's worst level.
    Levels,
    /// The claim's observations are made, and none against it.
    Seen,
    /// All of the time in which it may have been made lies within what the words say.
    Dated,
    /// The look of that wood is on record.
    Wood,
    /// The parts it names are sound, and nothing is open on them.
    Sound,
    /// Parts of the claim's kinds are there; those that move were tried.
    There,
    /// The fault it names is on record, and repaired or gone in a picture since.
    Settled,
    /// Every part that the list asks for was looked at.
    AllLookedAt,
}

/// What on record can say the opposite of a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Opposite {
    /// A finding that may still be there.
    Findings,
    /// A repair.
    Repairs,
}

/// A claim and its words.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Claim {
    /// Its id, such as `solid`.
    pub id: String,
    /// Its words and phrases in all forms, lower case.
    pub words: Vec<String>,
    /// Words that may follow it, and it claims nothing.
    #[serde(default)]
    pub passes_before: Vec<String>,
    /// Words that may stand before it, and it claims nothing.
    #[serde(default)]
    pub passes_after: Vec<String>,
    /// Words of which one must stand shortly before it, or it claims nothing; empty when it claims by itself. `{fault}` is any fault.
    #[serde(default)]
    pub only_after: Vec<String>,
    /// Whether it claims even as another's word, or with a question mark.
    #[serde(default)]
    pub strict: bool,
    /// What must be on record.
    pub rests_on: RestsOn,
    /// Whether an opinion marked as one is let pass.
    #[serde(default)]
    pub hedge: bool,
    /// For `years`: the first and the last.
    pub years: Option<[i16; 2]>,
    /// For `levels`: the highest level that it bears.
    pub worst: Option<u8>,
    /// For `there`: the kinds of parts.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// Whether it claims nothing where it is said of work, or of new material.
    #[serde(default)]
    pub of_the_piece: bool,
    /// Observations that speak for it.
    #[serde(default)]
    pub cues: Vec<String>,
    /// Observations that speak against it.
    #[serde(default)]
    pub against_cues: Vec<String>,
    /// What on record can say the opposite.
    #[serde(default)]
    pub contradicted_by: Vec<Opposite>,
    /// What its evidence would be, in a clause.
    pub needs: String,
    /// What to write instead, in a clause.
    pub write: String,
    /// Why it matters, in a clause.
    pub why: String,
    /// Sentences in which it must be found.
    pub caught: Vec<String>,
    /// Sentences in which no claim must be found.
    pub passes: Vec<String>,
}

/// All claims, ready to be looked for in a text.
#[derive(Clone, Debug, Default)]
pub struct Claims {
    /// The claims, in the order of the file.
    pub all: Vec<Claim>,
    pub(in crate::trade::claims) talk: Talk,
    // By the first word: the words of the phrase, and whose it is; longest first.
    phrases: BTreeMap<String, Vec<(Vec<String>, usize)>>,
}

/// A claim in a text.
#[derive(Clone, Copy, Debug)]
pub struct Found<'a> {
    /// The claim.
    pub claim: &'a Claim,
    /// Where its words begin, bytes.
    pub start: usize,
    /// Where they end, bytes.
    pub end: usize,
}

/// `claims.toml` as it lies in the book.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ClaimFile {
    pub(crate) talk: Talk,
    pub(crate) claim: Vec<Claim>,
}

/// How many words before a claim a `not` may stand.
const NOT_REACH: usize = 2;
/// How many words before a claim the mark of an opinion may stand.
const OPINION_REACH: usize = 6;
/// How many words before a claim what it is about may stand.
const ABOUT_REACH: usize = 5;

/// What stands for a word of a kind in a phrase.
const WOOD: &str = "{wood}";
const YEAR: &str = "{year}";
const DECADE: &str = "{decade}";
const CENTURY: &str = "{century}";
const NUMBER: &str = "{number}";
const FAULT: &str = "{fault}";
const FORM: &str = "{form}";

impl Claims {
    /// Makes them ready; `woods` are names of woods, `faults` words for faults, `forms` words for forms.
    pub(crate) fn new(
        file: ClaimFile,
        woods: impl Iterator<Item = String>,
        faults: impl Iterator<Item = String>,
        forms: impl Iterator<Item = String>,
    ) -> Self {
        let ClaimFile { mut talk, claim } = file;
        talk.woods.extend(woods);
        talk.faults.extend(faults);
        talk.forms.extend(forms);
        let mut phrases: BTreeMap<String, Vec<(Vec<String>, usize)>> = BTreeMap::new();
        for (index, claim) in claim.iter().enumerate() {
            for phrase in &claim.words {
                let words: Vec<String> = phrase.split_whitespace().map(str::to_owned).collect();
                if let Some(first) = words.first().cloned() {
                    phrases.entry(first).or_default().push((words, index));
                }
            }
        }
        Self {
            all: claim,
            talk,
            phrases,
        }
    }

    /// The same, ready to be looked for again after the claims were changed; with more names and words, as in `new`.
    #[must_use]
    pub(crate) fn again(
        &self,
        woods: impl Iterator<Item = String>,
        faults: impl Iterator<Item = String>,
        forms: impl Iterator<Item = String>,
    ) -> Self {
        let file = ClaimFile {
            talk: self.talk.clone(),
            claim: self.all.clone(),
        };
        Self::new(file, woods, faults, forms)
    }

    /// The words of a text.
    #[must_use]
    pub fn words_of(&self, text: &str) -> Vec<Word> {
        words(text, &self.talk.short)
    }

    /// Every claim in a text, in order. What is quoted from a label, negated, doubted, marked as an opinion or as another's
    /// word is none.
    #[must_use]
    pub fn in_text(&self, text: &str) -> Vec<Found<'_>> {
        let words = words(text, &self.talk.short);
        let copied = copied(text, &self.talk);
        let mut found = Vec::new();
        let mut at = 0;
        while at < words.len() {
            let Some((length, claim)) = self.at(&words, at) else {
                at += 1;
                continue;
            };
            let (start, end) = (words[at].start, words[at + length - 1].end);
            let quoted = copied.iter().any(|it| it.contains(&start));
            // What is denied is passed over whole, so that no part of it claims by itself.
            if !quoted && self.claims(claim, &words, at, length) {
                found.push(Found { claim, start, end });
            }
            at += length;
        }
        found
    }

    /// The longest phrase that begins at this word.
    fn at(&self, words: &[Word], at: usize) -> Option<(usize, &Claim)> {
        let kinds = [WOOD, YEAR, DECADE, CENTURY, NUMBER];
        let kinds = kinds.into_iter().filter(|it| self.is(it, &words[at].text));
        let keys = std::iter::once(words[at].text.as_str()).chain(kinds);
        let phrases = keys.filter_map(|it| self.phrases.get(it)).flatten();
        let fits = |(phrase, _): &&(Vec<String>, usize)| {
            let here = words.get(at..at + phrase.len());
            here.is_some_and(|here| {
                let same = here.iter().zip(phrase).all(|(a, b)| self.is(b, &a.text));
                same && here.iter().all(|it| it.clause == words[at].clause)
            })
        };
        let mut fitting: Vec<&(Vec<String>, usize)> = phrases.filter(fits).collect();
        // Of two as long, the one that is spelled out.
        let kinds = |phrase: &[String]| phrase.iter().any(|it| it.starts_with('{'));
        fitting.sort_by_key(|it| (std::cmp::Reverse(it.0.len()), kinds(&it.0)));
        // A phrase that only claims after certain words leaves the place to another.
        let (phrase, index) = fitting
            .into_iter()
            .find(|it| self.is_about(&self.all[it.1], words, at))?;
        Some((phrase.len(), &self.all[*index]))
    }

    /// Whether a word is the one of a phrase, or of the kind that it asks for.
    fn is(&self, asked: &str, word: &str) -> bool {
        match asked {
            WOOD => self.talk.woods.iter().any(|it| it == word),
            YEAR => claim_years::year(word).is_some(),
            DECADE => claim_years::decade(word).is_some(),
            CENTURY => claim_years::century(word).is_some(),
            NUMBER => !word.is_empty() && word.bytes().all(|it| it.is_ascii_digit()),
            FAULT => self.is_fault(word),
            FORM => self.talk.forms.iter().any(|it| it == word),
            asked => asked == word,
        }
    }

    /// Whether the list of faults knows the word, in the singular or the plural.
    #[must_use]
    pub fn is_fault(&self, word: &str) -> bool {
        let known = |word: &str| self.talk.faults.iter().any(|it| it == word);
        known(word) || word.strip_suffix('s').is_some_and(known)
    }

    /// Whether the word denies what comes after it, such as `no`.
    #[must_use]
    pub fn is_denial(&self, word: &str) -> bool {
        self.talk.not.iter().any(|it| it == word)
    }

    /// Whether the word means any fault, such as `damage`.
    #[must_use]
    pub fn is_any_fault(&self, word: &str) -> bool {
        self.talk.general.iter().any(|it| it == word)
    }

    /// Whether the word means work on the piece, such as `repaired`.
    #[must_use]
    pub fn is_work(&self, word: &str) -> bool {
        self.talk.work.iter().any(|it| word.starts_with(it))
    }

    /// Whether the word is the name of a wood.
    #[must_use]
    pub fn is_wood(&self, word: &str) -> bool {
        self.is(WOOD, word)
    }

    /// Whether what a claim must be about stands before it.
    fn is_about(&self, claim: &Claim, words: &[Word], at: usize) -> bool {
        let before = before(words, at);
        let mut near = before.iter().take(ABOUT_REACH);
        claim.only_after.is_empty()
            || near.any(|it| claim.only_after.iter().any(|word| self.is(word, it)))
    }

    /// Whether the words at this place claim, by what stands round them.
    fn claims(&self, claim: &Claim, words: &[Word], at: usize, length: usize) -> bool {
        let before = before(words, at);
        let next = words.get(at + length);
        let next = next.filter(|it| it.clause == words[at].clause);
        let holds = |list: &[String], word: Option<&str>| {
            word.is_some_and(|it| list.iter().any(|known| self.is(known, it)))
        };
        // `no blister, no dent seen`: what is said of the last of several faults is said of all.
        let listed = |it: &&Word| {
            let small = matches!(it.text.as_str(), "no" | "and" | "or" | "nor");
            small || self.talk.between.contains(&it.text) || self.is_fault(&it.text)
        };
        let sentence = words[at].sentence;
        let rest = words[at + length..].iter();
        let mut rest = rest.take_while(|it| it.sentence == sentence);
        let after_all = rest
            .find(|it| !listed(it))
            .filter(|_| self.is_fault(&words[at + length - 1].text));
        // `no split was found`: what was done to it stands after the small words.
        let here = words[at + length..].iter();
        let here = here.take_while(|it| it.clause == words[at].clause);
        let done = { here }.find(|it| !self.talk.between.contains(&it.text));
        if holds(&claim.passes_before, next.map(|it| it.text.as_str()))
            || holds(&claim.passes_before, done.map(|it| it.text.as_str()))
            || holds(&claim.passes_before, after_all.map(|it| it.text.as_str()))
            || holds(&claim.passes_after, before.first().copied())
            || self.is_told_with_its_place(words, at, length)
        {
            return false;
        }
        let talk = &self.talk;
        let near = &before[..before.len().min(NOT_REACH)];
        let denied = |it: &&str| holds(&talk.not, Some(it)) || it.ends_with("n't");
        if near.iter().any(denied) && !near.iter().any(|it| holds(&talk.only, Some(it))) {
            return false;
        }
        let mut far = before.iter().take(OPINION_REACH);
        let opinion = far.any(|it| holds(&talk.opinion, Some(it)));
        let another = words[at].doubted || self.is_hearsay(&before);
        !((claim.hedge && opinion) || (!claim.strict && another))
    }

    /// Whether what is denied is told with a day and with that on which it was looked for, in its sentence or, as a colon parts them, the next.
    fn is_told_with_its_place(&self, words: &[Word], at: usize, length: usize) -> bool {
        let Some(places) = self.talk.seen_on.get(&words[at + length - 1].text) else {
            return false;
        };
        let near = || { words.iter() }.filter(|it| it.sentence.abs_diff(words[at].sentence) <= 1);
        let dated = near().any(|it| it.text.starts_with(|it: char| it.is_ascii_digit()));
        dated && near().any(|it| places.contains(&it.text))
    }

    /// Whether what stands before a claim, the nearest first, marks it as another's word.
    fn is_hearsay(&self, before: &[&str]) -> bool {
        let near = before.iter().take(OPINION_REACH).rev();
        let near: Vec<&str> = near.copied().collect();
        let near = format!(" {} ", near.join(" "));
        let mut marks = self.talk.hearsay.iter();
        marks.any(|it| near.contains(&format!(" {it} ")))
    }
}

/// The words of the same clause before this one, the nearest first.
fn before(words: &[Word], at: usize) -> Vec<&str> {
    let clause = words[at].clause;
    let before = words[..at].iter().rev();
    let before = before.take_while(|it| it.clause == clause);
    before.map(|it| it.text.as_str()).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use crate::trade::book;

    fn ids(text: &str) -> Vec<&'static str> {
        let found = book().claims.in_text(text);
        found.iter().map(|it| it.claim.id.as_str()).collect()
    }

    /// The sentences stand beside each claim in the book.
    #[test]
    fn what_a_claim_must_catch_is_caught_and_what_must_pass_passes() {
        let mut wrong = Vec::new();
        for claim in &book().claims.all {
            assert!(!claim.caught.is_empty(), "{} has no sentence", claim.id);
            assert!(!claim.passes.is_empty(), "{} has no sentence", claim.id);
            for text in &claim.caught {
                if !ids(text).contains(&claim.id.as_str()) {
                    wrong.push(format!("{}: not caught: {text}", claim.id));
                }
            }
            for text in claim.passes.iter().filter(|it| !ids(it).is_empty()) {
                wrong.push(format!("{}: caught {:?}: {text}", claim.id, ids(text)));
            }
        }
        assert_eq!(wrong, [""; 0]);
    }

    #[test]
    fn claims_are_found_whole_in_every_form_and_the_longest_first() {
        for (text, wanted) in [
            ("Solid oak, fully RESTORED", vec!["solid", "restored"]),
            ("solidly built, a solidity", vec![]),
            ("solid brass pulls", vec!["solid_metal"]),
            ("as-new, hand-made", vec!["as_new", "handmade"]),
            ("100% oak; 100 % oak", vec!["genuine", "genuine"]),
            ("rarely seen", vec![]),
            ("so\u{ad}lid and per\u{200b}fect", vec!["solid", "as_new"]),
            ("no faults", vec!["no_faults"]),
            ("no cracks seen on 3 May", vec![]),
            ("in very good condition", vec!["very_good"]),
            ("the lock works", vec!["working"]),
            ("two working days; warm glue worked in", vec![]),
            ("never painted", vec!["never"]),
            ("Never put hot things on it", vec![]),
            ("a period of two weeks", vec![]),
            ("period chest", vec!["antique"]),
            ("antique style", vec![]),
            ("the original pictures are kept", vec![]),
            ("its original finish", vec!["original"]),
        ] {
            assert_eq!(ids(text), wanted, "{text}");
        }
    }

    #[test]
    fn what_is_denied_or_an_opinion_or_copied_from_a_label_is_no_claim() {
        for text in [
            "not solid",
            "the knob isn’t original",
            "the knob isn't original",
            "nothing original",
            "It appears to be solid oak",
            "in our opinion original",
            "the label reads \"Genuine antique oak, guaranteed\"",
            "stamped “solid walnut”",
        ] {
            assert_eq!(ids(text), [""; 0], "{text}");
        }
        for (text, wanted) in [
            ("not only solid", "solid"),
            ("not veneered, solid oak", "solid"),
            ("not veneered but solid", "solid"),
            ("the dealer said \"solid oak\"", "solid"),
            ("the label reads \"oak\", solid", "solid"),
            ("the label is gone. \"solid oak\"", "solid"),
            ("label: \"solid", "solid"),
            ("in our opinion perfect", "as_new"),
        ] {
            assert_eq!(ids(text), [wanted], "{text}");
        }
    }

    #[test]
    fn every_claim_says_what_it_needs_and_what_to_write() {
        let mut seen = BTreeSet::new();
        for claim in &book().claims.all {
            for text in [&claim.needs, &claim.write, &claim.why] {
                assert!(!text.is_empty() && !text.ends_with('.'), "{}", claim.id);
            }
            for word in &claim.words {
                assert!(seen.insert(word), "{word} stands twice");
                let about = claim.only_after.first();
                let about = about.map_or_else(String::new, |it| format!("{it} "));
                let text = [
                    ("{wood}", "oak"),
                    ("{year}", "1880"),
                    ("{decade}", "1880s"),
                    ("{century}", "19th"),
                    ("{number}", "120"),
                    ("{fault}", "crack"),
                    ("{form}", "bookcase"),
                ]
                .into_iter()
                .fold(format!("{about}{word}"), |text, (kind, one)| {
                    text.replace(kind, one)
                });
                assert_eq!(ids(&text), [claim.id.as_str()], "{text}");
            }
            for cue in claim.cues.iter().chain(&claim.against_cues) {
                assert!(book().cue(cue).is_some(), "{cue}");
            }
        }
    }
}
