//! What survey, JSON and report print of random records, against a naive reading of what was said.
//!
//! The reading and how it decides stand in `oracle_reading.rs`. A failure names the rule and the smallest record that breaks it.
//! `ASFOUND_CASES=5000 cargo test oracle` looks at more records than the usual ones, `ASFOUND_SEED` begins elsewhere.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::OnceLock;

use crate::oracle_page::Page;
use crate::oracle_program::Answer;
use crate::oracle_program::ask;
use crate::oracle_program::parts;
use crate::oracle_program::trade;
use crate::oracle_reading::Allowed;
use crate::oracle_reading::Reading;
use crate::oracle_record::Key;
use crate::oracle_record::Maker;
use crate::oracle_record::Record;
use crate::oracle_record::Trade;

/// Records of a usual run.
const CASES: u64 = 200;

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rule {
    Parts,
    Words,
    Private,
    Groups,
    Counts,
    Without,
    Repairs,
}

/// What does not agree: the rule, the kind of disagreement (one is shown of each), and the whole sentence.
struct Disagreement {
    rule: Rule,
    kind: String,
    text: String,
}

/// A kind of disagreement: how many records have it, and the smallest.
struct Found {
    count: usize,
    seed: u64,
    smallest: String,
}

/// A number from the environment.
pub(crate) fn number_of(name: &str, usual: u64) -> u64 {
    let given = std::env::var(name).ok();
    given.map_or(usual, |it| it.parse().expect("a number"))
}

/// All disagreements of one run; the tests below each look at one rule.
fn found() -> &'static BTreeMap<(Rule, String), Found> {
    static FOUND: OnceLock<BTreeMap<(Rule, String), Found>> = OnceLock::new();
    FOUND.get_or_init(|| {
        let trade = trade();
        let first = number_of("ASFOUND_SEED", 1);
        let mut found: BTreeMap<(Rule, String), Found> = BTreeMap::new();
        for seed in first..first + number_of("ASFOUND_CASES", CASES) {
            let record = Maker::new(&trade, &parts, seed).record();
            let mut kinds: Vec<_> = disagreements(&record, &trade)
                .into_iter()
                .map(|it| (it.rule, it.kind))
                .collect();
            kinds.sort();
            kinds.dedup();
            for of in kinds {
                if let Some(known) = found.get_mut(&of) {
                    known.count += 1;
                    continue;
                }
                let smallest = smallest(&record, &trade, &of);
                let it = Found {
                    count: 1,
                    seed,
                    smallest,
                };
                found.insert(of, it);
            }
        }
        found
    })
}

/// Takes away all that can go while the same kind of disagreement stays, and tells what is left.
fn smallest(record: &Record, trade: &Trade, of: &(Rule, String)) -> String {
    let breaks = |it: &Record| {
        let mut all = disagreements(it, trade).into_iter();
        all.find(|it| (it.rule, &it.kind) == (of.0, &of.1))
    };
    let mut record = record.clone();
    while let Some(less) = record.smaller().into_iter().find(|it| breaks(it).is_some()) {
        record = less;
    }
    let said = breaks(&record).map_or_else(String::new, |it| it.text);
    format!("{said}\n{record}")
}

#[track_caller]
fn holds(rules: &[Rule]) {
    let mut text = String::new();
    for ((rule, kind), it) in found().iter().filter(|it| rules.contains(&it.0.0)) {
        let Found {
            count,
            seed,
            smallest,
        } = it;
        write!(
            text,
            "\n{rule:?}, {kind}: in {count} records, first with seed {seed}\n{smallest}"
        )
        .unwrap();
    }
    assert!(text.is_empty(), "{text}");
}

#[test]
fn parts_are_told_as_they_were_said() {
    holds(&[Rule::Parts]);
}

#[test]
fn every_word_comes_out() {
    holds(&[Rule::Words]);
}

#[test]
fn private_words_stay_with_the_owner() {
    holds(&[Rule::Private]);
}

#[test]
fn one_finding_is_counted_in_one_way() {
    holds(&[Rule::Groups, Rule::Counts]);
}

#[test]
fn without_it_needs_a_picture_of_the_whole_part() {
    holds(&[Rule::Without]);
}

#[test]
fn a_repair_is_told_with_what_it_was_done_on() {
    holds(&[Rule::Repairs]);
}

fn disagreements(record: &Record, trade: &Trade) -> Vec<Disagreement> {
    let answer = ask(record);
    let reading = Reading { record, trade };
    let owner = Page::new(&answer.owner);
    let mut all = Compare {
        reading: &reading,
        answer: &answer,
        found: Vec::new(),
    };
    all.parts(&owner);
    all.words();
    all.groups(&owner);
    all.counts(&owner);
    all.without(&owner);
    all.repairs(&Page::new(&answer.buyer));
    all.found
}

struct Compare<'a> {
    reading: &'a Reading<'a>,
    answer: &'a Answer,
    found: Vec<Disagreement>,
}

impl Compare<'_> {
    fn differ(&mut self, rule: Rule, kind: impl Into<String>, text: String) {
        self.found.push(Disagreement {
            rule,
            kind: kind.into(),
            text,
        });
    }

    fn parts(&mut self, page: &Page) {
        let answer = self.answer;
        for it in &answer.parts {
            let (allowed, sound_in) = self.reading.state(&it.id);
            let (id, state) = (&it.id, it.state.as_str());
            let width = if id.contains('/') { "inner" } else { "outer" };
            if !allowed.contains(state) {
                let kind = format!("{width} part {state}, not {allowed:?}");
                let text = format!("{id} is assessed as {state}; true is {allowed:?}");
                self.differ(Rule::Parts, kind, text);
            } else if it.sound_in.is_some_and(|it| !sound_in.contains(&it)) {
                let text = format!("{id} is sound in {:?}; said in {sound_in:?}", it.sound_in);
                self.differ(Rule::Parts, format!("{width} part, which picture"), text);
            }
            if !allowed.contains(state) {
                continue;
            }
            match page.schedule(&it.label) {
                Some(row) if allowed.iter().any(|it| Page::says_state(&row, it)) => {}
                Some(row) => {
                    let kind = format!("{width} part in the schedule, not {allowed:?}");
                    let text = format!("{id}: the page says `{row}`; true is {allowed:?}");
                    self.differ(Rule::Parts, kind, text);
                }
                None => self.differ(Rule::Parts, "no row", format!("{id} has no row")),
            }
            for (silence, _) in answer.silences.iter().filter(|of| of.1 == it.label) {
                let means = match silence.as_str() {
                    "not_examined" => "not_examined",
                    "nothing" => "silent",
                    _ => continue,
                };
                let same_day = means == "not_examined" && self.reading.unseen_that_day(&it.id);
                if !allowed.contains(means) && !same_day {
                    let kind = format!("{width} part told as {silence}, not {allowed:?}");
                    let text = format!("{id} stands under {silence}; true is {allowed:?}");
                    self.differ(Rule::Parts, kind, text);
                }
            }
        }
        for (_, no, _, say) in self.reading.record.says() {
            if !answer.parts.iter().any(|it| it.id == say.part) {
                let text = format!("{} of {} in picture {no}", say.tag(), say.part);
                self.differ(Rule::Parts, "a part that was spoken of is not told", text);
            }
        }
    }

    fn words(&mut self) {
        let lower = |it: &str| it.to_lowercase();
        let (buyer, owner) = (lower(&self.answer.buyer), lower(&self.answer.owner));
        for (at, word, private) in self.reading.record.words() {
            let what = at.split(" of ").next().unwrap_or_default().to_owned();
            let of = match at.split(" of ").nth(1).unwrap_or_default() {
                it if it.starts_with("picture") => "a picture",
                it if it.starts_with("repair") => "a repair",
                it if it.starts_with("sound") => "`sound`",
                it if it.starts_with("absent") => "`absent`",
                it if it.starts_with("not_examined") => "`not_examined`",
                it if self.is_cue(it) => "an observation",
                _ => "a fault",
            };
            let kind = format!("{what} of {of}");
            let text = format!("`{word}`, the {at}");
            if private {
                if buyer.contains(&word) {
                    self.differ(
                        Rule::Private,
                        kind.clone(),
                        format!("{text}, is the buyer's"),
                    );
                }
                if !owner.contains(&word) {
                    self.differ(
                        Rule::Words,
                        kind,
                        format!("{text}, is not in the owner's report"),
                    );
                }
            } else if !buyer.contains(&word) {
                let more = if owner.contains(&word) {
                    ", only in the owner's"
                } else {
                    ""
                };
                let kind = format!("{kind}{more}");
                self.differ(
                    Rule::Words,
                    kind,
                    format!("{text}, is not in the buyer's report{more}"),
                );
            }
        }
    }

    fn is_cue(&self, words: &str) -> bool {
        let tag = words.split(' ').next().unwrap_or_default();
        self.reading.trade.cues.iter().any(|it| it == tag)
    }

    fn groups(&mut self, page: &Page) {
        for it in &self.answer.findings {
            let allowed = self.reading.group(&it.key);
            let (no, state) = (&it.no, &it.state);
            if !allowed
                .iter()
                .any(|of| states_of(of).contains(&state.as_str()))
            {
                let kind = format!("{state}, not {allowed:?}");
                let text = format!(
                    "{no} {:?} is assessed as {state}; true is {allowed:?}",
                    it.key
                );
                self.differ(Rule::Groups, kind, text);
                continue;
            }
            let Some(said) = page.state_of(no) else {
                self.differ(Rule::Groups, "not told", format!("{no} is not on the page"));
                continue;
            };
            if !allowed.iter().any(|of| Page::says_group(&said, of)) {
                let kind = format!("the page says `{said}`, not {allowed:?}");
                self.differ(Rule::Groups, kind, format!("{no} {:?}", it.key));
            }
            self.dated(no, &it.key, &allowed, &said);
            let seen = allowed.len() == 1 && allowed.contains("repaired");
            if seen && self.reading.leaves_traces(&it.key) && !said.contains("can still be seen") {
                let kind = "a repair with something left is told as one without";
                let text = format!(
                    "{no} {:?}: what remains was said; the page says `{said}`",
                    it.key
                );
                self.differ(Rule::Groups, kind, text);
            }
            // Who names the picture that shows it may not say elsewhere that there is none.
            if said.contains("(picture") {
                let denied = ["no close picture", "no picture of it", "no clear picture"];
                let denied = denied.iter().flat_map(|it| page.sentences_with(no, it));
                for sentence in denied.collect::<Vec<_>>() {
                    let kind = "seen so afterwards, and not seen";
                    self.differ(Rule::Groups, kind, format!("{no}: `{sentence}`"));
                }
            }
        }
        if self.answer.findings.len() != self.reading.record.keys().len() {
            let text = format!("{} findings", self.answer.findings.len());
            self.differ(Rule::Groups, "number of findings", text);
        }
    }

    /// Who says that a fault is there names the day on which it was seen, and each later day on which it was not.
    fn dated(&mut self, no: &str, key: &Key, allowed: &Allowed, said: &str) {
        let there = [["open"], ["since"], ["cleared"]].map(Allowed::from);
        let Some((seen, since)) = self
            .reading
            .last_there(key)
            .filter(|_| there.contains(allowed))
        else {
            return;
        };
        let lacks = |day: &&String| !said.contains(&day.to_lowercase());
        let since = if allowed.contains("cleared") {
            Vec::new()
        } else {
            since
        };
        if let Some(day) = [&seen].into_iter().chain(&since).find(lacks) {
            let text = format!("{no} {key:?}: the page says `{said}`, and not {day}");
            self.differ(Rule::Groups, "there, without its day", text);
        }
        let silent = |it: &&(String, String)| it.0 == "not_seen_since" && it.1.starts_with(no);
        let told = self.answer.silences.iter().any(|it| silent(&it));
        if told != allowed.contains("since") {
            let text = format!("{no} {key:?}: `{said}`; among what was not examined: {told}");
            self.differ(Rule::Counts, "not seen since", text);
        }
    }

    /// How many findings among these keys are of the groups that a phrase names; `None` when the record leaves it open or the
    /// phrase is about something else.
    fn count(&self, keys: &[crate::oracle_record::Key], phrase: &str) -> Option<usize> {
        let wanted = Page::groups_of(phrase)?;
        let mut count = 0;
        for key in keys {
            let allowed = self.reading.group(key);
            let [group] = Vec::from_iter(&allowed)[..] else {
                return None;
            };
            let traces = *group == "repaired" && self.reading.leaves_traces(key);
            let group = if traces { "traces" } else { *group };
            count += usize::from(wanted.contains(&group));
        }
        Some(count)
    }

    fn counts(&mut self, page: &Page) {
        let keys = self.reading.record.keys();
        let lead = page
            .lead()
            .into_iter()
            .map(|it| ("headline", keys.clone(), it));
        let lists = page
            .lists()
            .into_iter()
            .map(|it| ("glance", keys.clone(), it));
        let rows = self.answer.parts.iter().flat_map(|it| {
            let keys = self.reading.faults_on(&it.id);
            let row = page.schedule(&it.label).unwrap_or_default();
            let counts = Page::counts_in_row(&row).into_iter();
            counts.map(move |it| ("schedule", keys.clone(), it))
        });
        let all: Vec<_> = lead.chain(lists).chain(rows).collect();
        for (place, keys, (number, phrase)) in all {
            if self.count(&keys, &phrase).is_some_and(|it| it != number) {
                let true_count = self.count(&keys, &phrase).unwrap_or_default();
                let kind = format!("{place}, `{phrase}`");
                let text = format!("the {place} says {number} {phrase}; there are {true_count}");
                self.differ(Rule::Counts, kind, text);
            }
        }
        self.headline_and_glance(page);
        // What is listed under a heading is as many as the heading says.
        for (title, said, listed) in page.listed() {
            if said != listed {
                let text = format!("`{title}: {said}` stands over {listed}");
                self.differ(Rule::Counts, "heading and list", text);
            }
        }
        let heads = page.not_examined_counts();
        if heads.windows(2).any(|it| it[0] != it[1]) {
            let text = format!("the numbers of what was not examined are {heads:?}");
            self.differ(Rule::Counts, "not examined", text);
        }
        // Views that are lacking are told by their number, not as one of the things that were not examined.
        let views = self.answer.views;
        let told = page.view_counts();
        if views[0] > 0 && !told.iter().any(|it| views.contains(it)) {
            let text = format!("{views:?} views are lacking; headline and glance say {told:?}");
            self.differ(Rule::Counts, "views", text);
        }
    }

    /// Headline and glance count the same groups, each alike, and together all findings.
    fn headline_and_glance(&mut self, page: &Page) {
        let groups = |of: Vec<(usize, String)>| -> BTreeMap<_, _> {
            let known = of.into_iter();
            let known = known.filter_map(|it| Some((Page::groups_of(&it.1)?, it.0)));
            known.collect()
        };
        let (mut lead, lists) = (groups(page.lead()), groups(page.lists()));
        let all = page.all_findings();
        lead.retain(|it, _| it.len() < 6);
        // What a test or a look did not find is listed, and is none of the findings.
        let faults = { lists.iter() }.filter(|it| **it.0 != ["cleared"] && **it.0 != ["not_found"]);
        if lead != lists || faults.map(|it| it.1).sum::<usize>() != all {
            let text = format!("of {all} the headline says {lead:?}, the glance {lists:?}");
            self.differ(Rule::Counts, "headline and glance", text);
        }
    }

    /// A repair says on which parts it was done, or that it was the whole piece; with neither told, only its faults say it.
    fn repairs(&mut self, page: &Page) {
        for (no, it) in (1..).zip(&self.reading.record.repairs) {
            let said = page.done_on(no);
            let whole = it.keys.is_empty() && it.parts.is_empty();
            let labels = self
                .answer
                .parts
                .iter()
                .filter(|of| it.parts.contains(&of.id));
            let mut wanted: Vec<_> = labels.map(|it| it.label.clone()).collect();
            wanted.extend(whole.then(|| "The piece as a whole.".to_owned()));
            let wanted = match wanted.is_empty() {
                true => None,
                false => Some(wanted.join(" ")),
            };
            if said != wanted {
                let text = format!("repair {no} was done on {said:?}; true is {wanted:?}");
                self.differ(Rule::Repairs, "done on", text);
            }
        }
    }

    fn without(&mut self, page: &Page) {
        for it in &self.answer.findings {
            let why = &it.origin_why;
            for no in Page::pictures_without(why) {
                if !self.reading.shows_whole(no, &it.key.0) {
                    let text = format!(
                        "{} {:?}: `{why}`; picture {no} does not show it",
                        it.no, it.key
                    );
                    self.differ(Rule::Without, "origin", text);
                }
            }
        }
        let told_so = page.text.contains("which may not show the place");
        for it in &self.answer.pairs {
            let of = self.answer.findings.iter().find(|of| of.no == it.no);
            let part = &of.expect("a finding").key.0;
            for (no, marked) in it.sides {
                // A buyer is served by an unmarked picture of the part only where he is told that it may not show the place.
                let perhaps = told_so && self.reading.may_show(no, part);
                if !marked && !self.reading.shows_whole(no, part) && !perhaps {
                    let text = format!("{} on {part}: picture {no} stands for the place", it.no);
                    self.differ(Rule::Without, "pair", text);
                }
            }
        }
    }
}

fn states_of(group: &str) -> &'static [&'static str] {
    match group {
        "open" | "since" | "cleared" => &["open", "worse", "better", "reopened"],
        "repaired" => &["repaired", "repaired_visible", "repaired_traces"],
        "gone" => &["gone"],
        "not_found" => &["not_found"],
        "unseen" => &["repair_unseen"],
        _ => &["not_visible"],
    }
}
