//! What is known of a part, as the rules of the trade book ask for it: yes, no, or not known.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::advise::part::face::THICKEST;
use crate::advise::part::span::Span;
use crate::advise::part::truth::Truth;
use crate::advise::refinish::advice::Lead;
use crate::model::ids::PartId;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::condition::Number;
use crate::trade::entry::condition::Op;
use crate::trade::entry::path::Rule;
use crate::trade::entry::repair::order::Reach;

/// The level of lead in paint that says that a test found it.
const FOUND: u8 = 4;

/// Classes that have a face of thin wood; of no other is a thickness asked.
pub(crate) const THIN_FACED: [&str; 2] = ["plywood", "veneer"];

/// The highest levels of open faults; what is not in it was looked for and not found.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Levels {
    /// By tag.
    pub(crate) tags: BTreeMap<String, u8>,
    /// By group of tags.
    pub(crate) groups: BTreeMap<String, u8>,
}

impl Levels {
    /// Adds a fault.
    pub(crate) fn add(&mut self, tag: &str, group: &str, level: u8) {
        for (of, name) in [(&mut self.tags, tag), (&mut self.groups, group)] {
            let known = of.entry(name.to_owned()).or_default();
            *known = level.max(*known);
        }
    }

    pub(crate) fn tag(&self, tag: &str) -> u8 {
        self.tags.get(tag).copied().unwrap_or(0)
    }

    fn group(&self, group: &str) -> u8 {
        self.groups.get(group).copied().unwrap_or(0)
    }
}

/// What is known of one part. What is not known is kept as everything that may still be: a question is answered with yes or
/// no when it is so, or not so, whatever of that is true.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts {
    /// The part.
    pub part: PartId,
    /// Whether anything was said of it: sound, or with faults. Until then nothing is known of its faults.
    pub looked_at: bool,
    /// What to look at to settle what it is made of, where that is not settled.
    pub material_look: Option<String>,
    /// For each fact with a word as value, every word that may be true.
    pub(crate) words: BTreeMap<Fact, BTreeSet<String>>,
    /// Lowest thickness of the face wood, mm, if it has one.
    pub(crate) face: Span,
    /// The year of making.
    pub(crate) made: Span,
    /// Faults of the part.
    pub(crate) here: Levels,
    /// Faults of the whole piece.
    pub(crate) anywhere: Levels,
    /// What was taken from other parts of the piece, in sentences marked as an opinion.
    pub(crate) opinions: Vec<String>,
    /// Observations on the part.
    pub(crate) cues: BTreeSet<String>,
    /// Whether cloth, leather, cane or a pad lies over it.
    pub(crate) is_covered: bool,
}

impl Facts {
    /// The answer to one question about the part.
    #[must_use]
    pub fn answer(&self, atom: &Condition) -> Truth {
        self.answer_within(atom, Reach::Part)
    }

    /// The answer to one question, with the faults of the part or of the whole piece.
    #[must_use]
    pub fn answer_within(&self, atom: &Condition, reach: Reach) -> Truth {
        let levels = match reach {
            Reach::Part => &self.here,
            Reach::Piece => &self.anywhere,
        };
        match atom {
            Condition::Is { fact, value, sign } => self.is(*fact, value).signed(*sign),
            Condition::Number { of, op, value } => self.number(*of, *op, *value, levels),
            Condition::Fault { tag, op, level } => self.level(levels.tag(tag), *op, *level, reach),
            Condition::Group { group, op, level } => {
                self.level(levels.group(group), *op, *level, reach)
            }
            Condition::Cue { cue, sign } => {
                Truth::told(self.looked_at.then(|| self.cues.contains(cue))).signed(*sign)
            }
        }
    }

    /// Whether all lines hold; a line holds when one of its questions does.
    #[must_use]
    pub fn holds(&self, when: &[Vec<Condition>]) -> Truth {
        self.holds_within(when, Reach::Part)
    }

    /// Whether a rule applies to the part.
    #[must_use]
    pub fn applies(&self, rule: &Rule) -> Truth {
        self.holds_within(&rule.when, rule.reach)
    }

    /// Every word that may be true of a fact; one when it is known.
    #[must_use]
    pub fn possible(&self, fact: Fact) -> Vec<&str> {
        let words = self.words.get(&fact);
        words.map_or_else(Vec::new, |it| it.iter().map(String::as_str).collect())
    }

    /// The highest level of an open fault of the part; 0 when it was looked for and not found.
    #[must_use]
    pub fn fault(&self, tag: &str) -> u8 {
        self.here.tag(tag)
    }

    /// What is known of lead in paint on it. Paint of which the age is not known may be old.
    #[must_use]
    pub fn lead(&self) -> Lead {
        match self.fault("lead_paint") {
            0 => {}
            1 => return Lead::NotSuspected,
            2 | 3 => return self.untested(),
            FOUND.. => return Lead::Found,
        }
        let paint = self.is(Fact::Finish, "paint");
        let may_be = paint == Truth::Yes || (paint == Truth::Open && self.fault("flaking") > 0);
        let painted = may_be || self.fault("overpaint") > 0;
        let old = self.is(Fact::OldPaint, "possible") != Truth::No;
        match painted && old {
            true => self.untested(),
            false => Lead::NotSuspected,
        }
    }

    /// What is known of lead in old paint on it that nobody tested.
    fn untested(&self) -> Lead {
        match self.anywhere.tag("lead_paint") {
            FOUND.. => Lead::Presumed,
            _ => Lead::Untested,
        }
    }

    /// The lowest thickness of its face wood that can be relied on, mm; `None` when it was not measured.
    #[must_use]
    pub fn lowest_face_mm(&self) -> Option<f64> {
        (self.face.from > 0.0).then_some(self.face.from)
    }

    /// What its face wood is known not to exceed, mm, where no number was told; `None` when nothing is known of it, or a number.
    #[must_use]
    pub fn face_at_most_mm(&self) -> Option<f64> {
        (self.face.from <= 0.0 && self.face.to < THICKEST).then_some(self.face.to)
    }

    fn holds_within(&self, when: &[Vec<Condition>], reach: Reach) -> Truth {
        let line = |line: &Vec<Condition>| {
            let answers = line.iter().map(|it| self.answer_within(it, reach));
            answers.fold(Truth::No, Truth::or)
        };
        when.iter().map(line).fold(Truth::Yes, Truth::and)
    }

    fn is(&self, fact: Fact, value: &str) -> Truth {
        let words = self.words.get(&fact);
        let many = words.is_none_or(|it| it.len() != 1);
        if value == "unknown" {
            return Truth::told(many);
        }
        match words {
            Some(words) if !words.contains(value) => Truth::No,
            Some(_) if !many => Truth::Yes,
            _ => Truth::Open,
        }
    }

    fn number(&self, of: Number, op: Op, value: f64, levels: &Levels) -> Truth {
        match of {
            Number::Made => self.made.compares(op, value),
            Number::FaceMm => {
                let thin_faced = THIN_FACED.map(|it| self.is(Fact::Material, it));
                let all = self.possible(Fact::Material);
                let all = !all.is_empty() && all.iter().all(|it| THIN_FACED.contains(it));
                let thin_faced = match all {
                    true => Truth::Yes,
                    false => thin_faced.into_iter().fold(Truth::No, Truth::or),
                };
                thin_faced.and(self.face.compares(op, value))
            }
            Number::WorstFinish => {
                let worst = f64::from(levels.group("finish"));
                Truth::told(self.looked_at.then(|| op.holds(worst, value)))
            }
        }
    }

    /// What is not recorded on a part at which nobody looked is not known; elsewhere on the piece it counts as not found.
    fn level(&self, known: u8, op: Op, level: u8, reach: Reach) -> Truth {
        let counts = self.looked_at || reach == Reach::Piece;
        Truth::told(counts.then(|| op.holds(known, level)))
    }
}
