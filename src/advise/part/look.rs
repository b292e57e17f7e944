//! What to look at while a rule cannot be answered.

use crate::advise::part::facts::Facts;
use crate::advise::part::truth::Truth;
use crate::trade::entry::condition::Condition;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::condition::Number;
use crate::trade::entry::path::Rule;
use crate::trade::entry::repair::order::Reach;

/// How the thickness of face wood is told.
const MEASURE: &str = "Measure the face wood at three open edges, and write down the lowest.";

/// How its number is told where it is told to be thin.
const NUMBER: &str = "Tell how thick the face wood is, the lowest of three open edges: `size = \"0.6 mm\"` in the mark that says it is thin.";

/// What to do for the thickness of this face wood: of what is told to be thin, only the number is asked.
pub(crate) fn face(facts: &Facts) -> &'static str {
    match facts.face_at_most_mm() {
        Some(_) => NUMBER,
        None => MEASURE,
    }
}

/// What would answer the rule, each once: the rule's own line, and what its open questions ask for besides.
pub(crate) fn looks(rule: &Rule, facts: &Facts) -> Vec<String> {
    let own = rule.look.iter().cloned().collect();
    answers(own, &rule.when, rule.reach, facts)
}

/// What would answer these questions, each once.
pub(crate) fn of_questions(when: &[Vec<Condition>], facts: &Facts) -> Vec<String> {
    answers(Vec::new(), when, Reach::Part, facts)
}

fn answers(
    mut looks: Vec<String>,
    when: &[Vec<Condition>],
    reach: Reach,
    facts: &Facts,
) -> Vec<String> {
    for line in looks.iter_mut().filter(|it| *it == MEASURE) {
        face(facts).clone_into(line);
    }
    let asked = when.iter().flatten();
    let open = asked.filter(|it| facts.answer_within(it, reach) == Truth::Open);
    for atom in open {
        let line = match atom {
            // The owner's word is in no picture, so the rule's line cannot ask for it.
            Condition::Is {
                fact: Fact::Worth, ..
            } => {
                Some("Say what you take the piece for: --worth fine, good or ordinary.".to_owned())
            }
            Condition::Is {
                fact: Fact::Finish,
                value,
                ..
            } if value == "paint" => Some(PAINT.to_owned()),
            Condition::Is {
                fact: Fact::Material,
                ..
            } => facts.material_look.clone(),
            _ if !looks.is_empty() => None,
            Condition::Number { of, .. } => number(*of, facts).map(str::to_owned),
            Condition::Is { fact, .. } => word(*fact).map(str::to_owned),
            _ => None,
        };
        looks.extend(line.filter(|it| !looks.contains(it)));
    }
    if looks.is_empty() {
        looks.push("Look at the part again for this.".to_owned());
    }
    looks
}

/// Paint is seen without a test.
const PAINT: &str = "See whether an opaque coat hides the grain; if one does, mark it as paint.";

fn number(of: Number, facts: &Facts) -> Option<&'static str> {
    match of {
        Number::FaceMm => Some(face(facts)),
        Number::Made => Some("Look for marks of the time: joints, screws, labels."),
        Number::WorstFinish => None,
    }
}

fn word(fact: Fact) -> Option<&'static str> {
    match fact {
        Fact::Finish => Some(
            "Test the coat on two hidden spots, with alcohol first, then with lacquer thinner.",
        ),
        Fact::FirstFinish => Some("Look for signs of an earlier refinish."),
        Fact::Place => Some("Say whether it shows."),
        Fact::Wood => Some("Say what the wood looks like."),
        Fact::Fittings => Some("Look at the back of the fittings for other holes."),
        Fact::Core => {
            Some("Look at a raw edge, or into a screw hole, for what lies below the face.")
        }
        Fact::Lead => Some("Have a sample through all layers tested."),
        Fact::OldPaint => Some("Look for marks of the time: joints, screws, labels."),
        Fact::Material
        | Fact::OwnFinish
        | Fact::Worth
        | Fact::Wish
        | Fact::MeantFor
        | Fact::Hangs
        | Fact::Covered => None,
    }
}
