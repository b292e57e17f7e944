//! Words that claim something, and where they stand in a text.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::Serialize;

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
    /// Marks of hand work are seen, and none of a factory.
    Hand,
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
    /// What must be on record.
    pub rests_on: RestsOn,
    /// Whether an opinion marked as one is let pass.
    #[serde(default)]
    pub hedge: bool,
    /// For `years`: the first and the last.
    pub years: Option<[i16; 2]>,
    /// For `levels`: the highest level that it bears.
    pub worst: Option<u8>,
    /// Observations that speak for it.
    #[serde(default)]
    pub cues: Vec<String>,
    /// Observations that speak against it.
    #[serde(default)]
    pub against_cues: Vec<String>,
    /// What its evidence would be, in a clause.
    pub needs: String,
    /// What to write instead, in a clause.
    pub write: String,
    /// Why it matters, in a clause.
    pub why: String,
}

/// All claims, ready to be looked for in a text.
#[derive(Clone, Debug, Default)]
pub struct Claims {
    /// The claims, in the order of the file.
    pub all: Vec<Claim>,
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
    pub(crate) claim: Vec<Claim>,
}

/// A word of a text, in lower case, and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// The word.
    pub text: String,
    /// Where it begins, bytes.
    pub start: usize,
    /// Where it ends, bytes.
    pub end: usize,
    /// In which clause of the text it stands, from 0.
    pub clause: usize,
}

/// Words that turn a claim round.
const NOT: [&str; 9] = [
    "not", "no", "non", "nothing", "none", "neither", "nor", "without", "hardly",
];
/// Words that take a `not` back.
const ONLY: [&str; 4] = ["only", "just", "merely", "but"];
/// Words that mark an opinion, or a doubt.
const OPINION: [&str; 8] = [
    "appears", "appear", "seems", "seem", "opinion", "whether", "perhaps", "possibly",
];
/// How many words before a claim a `not` may stand.
const NOT_REACH: usize = 2;
/// How many words before a claim the mark of an opinion may stand.
const OPINION_REACH: usize = 6;
/// Words in front of a quotation that say that it was copied from the piece.
const COPIED: [&str; 16] = [
    "reads",
    "label",
    "labels",
    "labelled",
    "stamp",
    "stamped",
    "stamps",
    "stencil",
    "stencilled",
    "inscribed",
    "inscription",
    "engraved",
    "transcribed",
    "plate",
    "handwritten",
    "pencilled",
];

impl Claims {
    /// Makes them ready.
    pub(crate) fn new(all: Vec<Claim>) -> Self {
        let mut phrases: BTreeMap<String, Vec<(Vec<String>, usize)>> = BTreeMap::new();
        for (index, claim) in all.iter().enumerate() {
            for phrase in &claim.words {
                let words: Vec<String> = words(phrase).into_iter().map(|it| it.text).collect();
                if let Some(first) = words.first().cloned() {
                    phrases.entry(first).or_default().push((words, index));
                }
            }
        }
        for list in phrases.values_mut() {
            list.sort_by_key(|(words, _)| std::cmp::Reverse(words.len()));
        }
        Self { all, phrases }
    }

    /// Every claim in a text, in order. What is quoted from a label, negated, or marked as an opinion is none.
    #[must_use]
    pub fn in_text(&self, text: &str) -> Vec<Found<'_>> {
        let (words, copied) = (words(text), copied(text));
        let mut found = Vec::new();
        let mut at = 0;
        while at < words.len() {
            let Some((length, claim)) = self.at(&words, at) else {
                at += 1;
                continue;
            };
            let (start, end) = (words[at].start, words[at + length - 1].end);
            let quoted = copied.iter().any(|it| it.contains(&start));
            if !quoted && claims(claim, &words, at, length) {
                found.push(Found { claim, start, end });
            }
            at += length;
        }
        found
    }

    /// The longest phrase that begins at this word.
    fn at(&self, words: &[Word], at: usize) -> Option<(usize, &Claim)> {
        let phrases = self.phrases.get(&words[at].text)?;
        let fits = |(phrase, _): &&(Vec<String>, usize)| {
            let here = words.get(at..at + phrase.len());
            here.is_some_and(|here| {
                let same = here.iter().zip(phrase).all(|(a, b)| a.text == *b);
                same && here.iter().all(|it| it.clause == words[at].clause)
            })
        };
        let (phrase, index) = phrases.iter().find(fits)?;
        Some((phrase.len(), &self.all[*index]))
    }
}

/// Whether the words at this place claim, by what stands round them.
fn claims(claim: &Claim, words: &[Word], at: usize, length: usize) -> bool {
    let clause = words[at].clause;
    let before: Vec<&str> = words[..at]
        .iter()
        .rev()
        .take_while(|it| it.clause == clause)
        .map(|it| it.text.as_str())
        .collect();
    let next = words.get(at + length).filter(|it| it.clause == clause);
    let holds = |list: &[String], word: Option<&str>| {
        word.is_some_and(|it| list.iter().any(|known| known == it))
    };
    if holds(&claim.passes_before, next.map(|it| it.text.as_str()))
        || holds(&claim.passes_after, before.first().copied())
    {
        return false;
    }
    let near = &before[..before.len().min(NOT_REACH)];
    let denied = near
        .iter()
        .any(|it| NOT.contains(it) || it.ends_with("n't"));
    if denied && !near.iter().any(|it| ONLY.contains(it)) {
        return false;
    }
    let opinion = before
        .iter()
        .take(OPINION_REACH)
        .any(|it| OPINION.contains(it));
    !(claim.hedge && opinion)
}

/// Letters that are not seen, and so part no word.
fn unseen(letter: char) -> bool {
    matches!(
        letter,
        '\u{ad}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}'
    )
}

/// The words of a text; a dash parts words, and punctuation parts clauses. `100%` is two words.
#[must_use]
pub fn words(text: &str) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let (mut clause, mut open) = (0, false);
    let mut letters = text.char_indices().peekable();
    let mut last = ' ';
    while let Some((at, letter)) = letters.next() {
        let end = at + letter.len_utf8();
        let next = letters.peek().map_or(' ', |it| it.1);
        let between = |it: fn(char) -> bool| it(last) && it(next);
        let inside = matches!(letter, '\'' | '\u{2019}') && between(char::is_alphanumeric);
        if letter.is_alphanumeric() || letter == '%' || inside {
            let fresh = !open || letter == '%';
            if fresh {
                words.push(Word {
                    text: String::new(),
                    start: at,
                    end,
                    clause,
                });
            }
            if let Some(word) = words.last_mut() {
                let plain = if inside { '\'' } else { letter };
                word.text.extend(plain.to_lowercase());
                word.end = end;
            }
            open = letter != '%';
        } else if !unseen(letter) {
            open = false;
            let number = matches!(letter, '.' | ',') && between(|it| it.is_ascii_digit());
            let parts = matches!(
                letter,
                '.' | ','
                    | ';'
                    | ':'
                    | '!'
                    | '?'
                    | '('
                    | ')'
                    | '\n'
                    | '\u{2013}'
                    | '\u{2014}'
                    | '/'
            );
            clause += usize::from(parts && !number);
        }
        last = letter;
    }
    words
}

/// Stretches between quotation marks that the words in front of them say were copied from the piece.
fn copied(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut stretches = Vec::new();
    let mut from = 0;
    while let Some((at, opening)) = text[from..]
        .char_indices()
        .map(|(n, it)| (n + from, it))
        .find(|(_, it)| closing(*it).is_some())
    {
        let inside = at + opening.len_utf8();
        let Some(shuts) = closing(opening) else { break };
        let Some(length) = text[inside..].find(shuts) else {
            break;
        };
        let sentence = text[from..at].rsplit(['.', '!', '?', '\n']).next();
        let said = words(sentence.unwrap_or(""));
        if said.iter().any(|it| COPIED.contains(&it.text.as_str())) {
            stretches.push(inside..inside + length);
        }
        from = inside + length + shuts.len_utf8();
    }
    stretches
}

fn closing(opening: char) -> Option<char> {
    match opening {
        '"' => Some('"'),
        '\u{201c}' | '\u{201e}' => Some('\u{201d}'),
        '\u{ab}' => Some('\u{bb}'),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use crate::trade::book;

    fn ids(text: &str) -> Vec<&'static str> {
        let found = book().claims.in_text(text);
        found.iter().map(|it| it.claim.id.as_str()).collect()
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
                assert_eq!(ids(word), [claim.id.as_str()], "{word}");
            }
            for cue in claim.cues.iter().chain(&claim.against_cues) {
                assert!(book().cue(cue).is_some(), "{cue}");
            }
        }
    }
}
