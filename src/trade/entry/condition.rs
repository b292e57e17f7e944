//! Questions that rules ask of a part, in a small readable language.
//!
//! One question is one text: `material = veneer`, `finish != paint`, `face_mm < 0.5`, `made < 1850`, `worst_finish <= 2`,
//! `fault.crazing >= 2` (the level of a fault, 0 when it was looked for and not found), `group.structure >= 4` (the
//! highest level in a group of faults), `cue.marks_veneer_saw` (an observation was made), `not cue.refin_drips_hidden`.

use std::fmt;
use std::str::FromStr;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::words::words;
use crate::trade::entry::material::CLASSES;
use crate::trade::entry::material::CORES;
use crate::trade::entry::material::MATERIALS;

/// One question about a part; the answer is yes, no, or not known.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Condition {
    /// Whether a fact has this value.
    Is {
        /// The fact.
        fact: Fact,
        /// The value, such as `veneer`.
        value: String,
        /// Whether it must have it or must not.
        sign: Sign,
    },
    /// Whether a number compares so.
    Number {
        /// The number.
        of: Number,
        /// How it is compared.
        op: Op,
        /// With what.
        value: f64,
    },
    /// Whether a fault's level compares so; 0 when it was looked for and not found.
    Fault {
        /// The fault's tag.
        tag: String,
        /// How it is compared.
        op: Op,
        /// With what, 0 to 4.
        level: u8,
    },
    /// Whether the highest level in a group of faults compares so.
    Group {
        /// The group, such as `structure`.
        group: String,
        /// How it is compared.
        op: Op,
        /// With what, 0 to 4.
        level: u8,
    },
    /// Whether an observation was made.
    Cue {
        /// The cue.
        cue: String,
        /// Whether it must have been made or must not.
        sign: Sign,
    },
}

words! {
    /// Facts of a part or of the piece that have a word as value.
    Fact {
        /// `solid veneer plywood particleboard mdf laminate print composition`.
        Material = "material",
        /// What lies below the face: `solid plywood particleboard mdf`.
        Core = "core",
        /// Whether paint on it may be old enough to hold lead, by the law of the country: `possible ruled_out`.
        OldPaint = "old_paint",
        /// What is known of lead in its paint: `none untested presumed found`; presumed where a test found it in other paint of the piece.
        Lead = "lead",
        /// The coat now: `shellac lacquer varnish oilwax paint bare gilding bronze`, or `unknown` while nothing tells it.
        Finish = "finish",
        /// Whether the coat is the first one: `yes no`.
        FirstFinish = "first_finish",
        /// Whether the work on record gave it the coat it has: `yes no`.
        OwnFinish = "own_finish",
        /// What the owner says it is worth: `fine good ordinary`.
        Worth = "worth",
        /// Where the part is: `show inside`.
        Place = "place",
        /// Whether the wood bleeds colour through paint: `bleeds calm`.
        Wood = "wood",
        /// What the owner wishes: `lighter`.
        Wish = "wish",
        /// Whether the fittings are the first ones: `original later`.
        Fittings = "fittings",
        /// For whom the piece is meant: `child`.
        MeantFor = "meant_for",
        /// Whether the piece hangs on a wall: `yes no`.
        Hangs = "hangs",
        /// Whether cloth, leather, cane or a pad lies over the part: `yes no`.
        Covered = "covered",
    }
}

impl Fact {
    /// The values it may have.
    #[must_use]
    pub fn values(self) -> &'static [&'static str] {
        match self {
            Self::Material => &MATERIALS[..CLASSES],
            Self::Core => &CORES,
            Self::OldPaint => &["possible", "ruled_out"],
            Self::Lead => &["none", "untested", "presumed", "found"],
            Self::Finish => &[
                "shellac", "lacquer", "varnish", "oilwax", "paint", "bare", "gilding", "bronze",
                "unknown",
            ],
            Self::FirstFinish | Self::OwnFinish | Self::Hangs | Self::Covered => &["yes", "no"],
            Self::Worth => &["fine", "good", "ordinary"],
            Self::Place => &["show", "inside"],
            Self::Wood => &["bleeds", "calm"],
            Self::Wish => &["lighter"],
            Self::Fittings => &["original", "later"],
            Self::MeantFor => &["child"],
        }
    }
}

words! {
    /// Numbers of a part.
    Number {
        /// The lowest measured thickness of its face wood, mm.
        FaceMm = "face_mm",
        /// The year in which it was made; a range, as far as clues bound it.
        Made = "made",
        /// The highest level among its faults of the finish.
        WorstFinish = "worst_finish",
    }
}

/// Whether something must be so or must not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// It must.
    Must,
    /// It must not.
    MustNot,
}

/// How two numbers are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Op {
    Less,
    AtMost,
    Equal,
    AtLeast,
    More,
}

impl Op {
    // The longer signs first: `<` also begins `<=`.
    const ALL: [(Self, &'static str); 5] = [
        (Self::AtMost, "<="),
        (Self::AtLeast, ">="),
        (Self::Less, "<"),
        (Self::More, ">"),
        (Self::Equal, "="),
    ];

    /// Whether `a` and `b` compare so.
    #[must_use]
    pub fn holds<T: PartialOrd>(self, a: T, b: T) -> bool {
        match self {
            Self::Less => a < b,
            Self::AtMost => a <= b,
            Self::Equal => a == b,
            Self::AtLeast => a >= b,
            Self::More => a > b,
        }
    }

    fn sign(self) -> &'static str {
        let found = Self::ALL.iter().find(|it| it.0 == self);
        found.map_or("", |it| it.1)
    }
}

/// A text that is no question.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is no question; write it like `material = veneer`, `face_mm < 0.5`, `fault.crazing >= 2` or `cue.layer_line`"
)]
pub struct AtomError(String);

impl FromStr for Condition {
    type Err = AtomError;

    fn from_str(text: &str) -> Result<Self, AtomError> {
        let plain = text.trim();
        let (sign, cue) = match plain.strip_prefix("not ") {
            Some(rest) => (Sign::MustNot, rest.trim()),
            None => (Sign::Must, plain),
        };
        if let Some(cue) = cue.strip_prefix("cue.") {
            let cue = cue.to_owned();
            return Ok(Self::Cue { cue, sign });
        }
        compared(plain).ok_or_else(|| AtomError(text.to_owned()))
    }
}

/// A question with a sign of comparison in it.
fn compared(text: &str) -> Option<Condition> {
    if let Some((fact, value)) = text.split_once("!=") {
        return is(fact, value, Sign::MustNot);
    }
    let (op, sign) = Op::ALL.iter().find(|it| text.contains(it.1))?;
    let (left, right) = text.split_once(sign)?;
    let (left, right, op) = (left.trim(), right.trim(), *op);
    if let Some(tag) = left.strip_prefix("fault.") {
        let tag = tag.to_owned();
        let level = right.parse().ok().filter(|it| *it <= 4)?;
        return Some(Condition::Fault { tag, op, level });
    }
    if let Some(group) = left.strip_prefix("group.") {
        let group = group.to_owned();
        let level = right.parse().ok().filter(|it| *it <= 4)?;
        return Some(Condition::Group { group, op, level });
    }
    if let Ok(of) = left.parse::<Number>() {
        let value = right.parse::<f64>().ok().filter(|it| it.is_finite())?;
        return Some(Condition::Number { of, op, value });
    }
    (op == Op::Equal)
        .then(|| is(left, right, Sign::Must))
        .flatten()
}

fn is(fact: &str, value: &str, sign: Sign) -> Option<Condition> {
    let fact: Fact = fact.parse().ok()?;
    let value = value.trim().to_owned();
    (!value.is_empty()).then_some(Condition::Is { fact, value, sign })
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Is { fact, value, sign } => {
                let sign = if *sign == Sign::Must { "=" } else { "!=" };
                write!(f, "{} {sign} {value}", fact.word())
            }
            Self::Number { of, op, value } => write!(f, "{} {} {value}", of.word(), op.sign()),
            Self::Fault { tag, op, level } => write!(f, "fault.{tag} {} {level}", op.sign()),
            Self::Group { group, op, level } => write!(f, "group.{group} {} {level}", op.sign()),
            Self::Cue { cue, sign } => {
                let not = if *sign == Sign::Must { "" } else { "not " };
                write!(f, "{not}cue.{cue}")
            }
        }
    }
}

impl TryFrom<String> for Condition {
    type Error = AtomError;

    fn try_from(text: String) -> Result<Self, AtomError> {
        text.parse()
    }
}

impl From<Condition> for String {
    fn from(atom: Condition) -> Self {
        atom.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::Condition;
    use super::Op;

    #[test]
    fn questions_are_read_and_written_alike() {
        for text in [
            "material = veneer",
            "finish != paint",
            "first_finish = yes",
            "face_mm < 0.5",
            "made >= 1980",
            "worst_finish <= 2",
            "fault.crazing >= 2",
            "group.structure >= 4",
            "cue.layer_line",
            "not cue.refin_drips_hidden",
        ] {
            let atom: Condition = text.parse().unwrap();
            assert_eq!(atom.to_string(), text);
        }
        for wrong in [
            "",
            "material",
            "colour = red",
            "face_mm < thin",
            "fault.crazing >= 9",
            "made < inf",
            "material < veneer",
            "not material = veneer",
        ] {
            assert!(wrong.parse::<Condition>().is_err(), "{wrong}");
        }
        assert!(Op::AtMost.holds(2, 2) && !Op::Less.holds(2, 2) && Op::More.holds(3, 2));
    }
}
