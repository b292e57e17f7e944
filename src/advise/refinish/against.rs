//! Why what a part is made of shuts a path, or may shut it.

use std::collections::BTreeMap;

use crate::advise::refinish::advice::Reason;
use crate::trade::entry::path::Rule;

/// What one material says against a path.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Against<'a> {
    /// A rule says so.
    Rule(&'a Rule),
    /// No rule opens it for this class, however thick its face.
    NoWay,
    /// The face bears no run of grits.
    TooThin {
        /// Its thickness, mm.
        face_mm: f64,
        /// What must stay, mm.
        reserve_mm: f64,
    },
}

/// The reasons, each once; `said` are classes with what each says, `all` every class the part may be made of. What it is made of
/// may be `settled`, or only likely.
pub(crate) fn reasons(said: &[(&str, Against<'_>)], all: &[&str], settled: bool) -> Vec<Reason> {
    let mut by_rule: BTreeMap<&str, (&str, Vec<&str>)> = BTreeMap::new();
    let mut thin: Vec<(f64, f64)> = Vec::new();
    for (class, against) in said {
        let (id, why) = match against {
            Against::Rule(rule) => (rule.id.as_str(), rule.why.as_str()),
            Against::NoWay => ("material", ""),
            Against::TooThin {
                face_mm,
                reserve_mm,
            } => {
                thin.push((*face_mm, *reserve_mm));
                continue;
            }
        };
        let (_, classes) = by_rule.entry(id).or_insert((why, Vec::new()));
        let class = words(class);
        if !classes.contains(&class) {
            classes.push(class);
        }
    }
    let told = by_rule.into_iter().map(|(id, (why, classes))| Reason {
        rule: id.to_owned(),
        why: match (why.is_empty(), all.len()) {
            (true, 1) if !settled => {
                format!(
                    "This is no way for {}, which it likely is.",
                    either(&classes)
                )
            }
            (true, n) if classes.len() < n => format!(
                "It may be {}, and this is no way for that.",
                either(&classes)
            ),
            (true, _) => format!("This is no way for {}.", either(&classes)),
            (false, 1) if settled => why.to_owned(),
            (false, _) => format!("If it is {}: {why}", either(&classes)),
        },
    });
    told.chain(too_thin(&thin)).collect()
}

/// With the number where it is known.
fn too_thin(thin: &[(f64, f64)]) -> Option<Reason> {
    let why = match thin {
        [] => return None,
        [(face_mm, reserve_mm)] => format!(
            "Of {face_mm} mm of face wood {reserve_mm} mm must stay: what is left bears no run of grits."
        ),
        _ => {
            "No number is told of its face, which may be too thin for any run of grits.".to_owned()
        }
    };
    let rule = "sanding".to_owned();
    Some(Reason { rule, why })
}

/// A class in the middle of a sentence.
fn words(class: &str) -> &str {
    match class {
        "solid" => "solid wood",
        "particleboard" => "particle board",
        "mdf" => "fibre board",
        "laminate" => "a plastic covering",
        "print" => "a printed grain",
        "composition" => "moulded composition",
        other => other,
    }
}

/// `a`, `a or b`, `a, b or c`.
fn either(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}
