//! Paths that were chosen and cannot be taken, each with its reason.

use serde::Serialize;

use crate::advise::labour::area;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::price::path_label::label;
use crate::advise::price::wish::LEAVE;
use crate::advise::price::wish::MEND;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::Reason;
use crate::advise::refinish::advice::Verdict;
use crate::assess::part_list::is_face;
use crate::model::ids::PartId;
use crate::trade::TradeBook;

/// A path that was chosen and cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
    /// The path.
    pub path: String,
    /// Its name.
    pub path_label: String,
    /// Why it is shut, or what might shut it.
    pub reasons: Vec<Reason>,
    /// What to look at first, where that may open it.
    pub look: Vec<String>,
}

/// Parts for which a path was chosen by name, and that have no face on which it could be taken.
pub(in crate::advise) fn faceless<'a>(
    need: &'a PlanInput<'_>,
    advice: &'a [&PartAdvice],
) -> impl Iterator<Item = Refused> + 'a {
    let lines = need.it.piece.market.chosen.iter();
    lines.filter_map(|line| {
        let part = line.part.as_ref()?;
        let does_nothing = line.path == LEAVE || line.path == MEND;
        if does_nothing || advice.iter().any(|it| is_face(part, &it.part)) {
            return None;
        }
        let report = need.it.parts.iter().find(|it| it.part == *part);
        let why = match report {
            _ if !area::is_there(need.it, part) => "It is not there.",
            Some(it) if it.material.covered => {
                "Cloth, leather or cane lies over it. Mark what is wrong with the cover: that is an upholsterer's or a conservator's work."
            }
            _ => "It has no finished face of its own.",
        };
        Some(Refused {
            part: part.clone(),
            label: need.it.label(part),
            path: line.path.clone(),
            path_label: label(need.book, &line.path),
            reasons: vec![Reason {
                rule: "not_for_this_part".to_owned(),
                why: why.to_owned(),
            }],
            look: Vec::new(),
        })
    })
}

/// A path that is shut or waits on a part.
pub(in crate::advise) fn refuse(it: &PartAdvice, path: &str, book: &TradeBook) -> Refused {
    let found = it.paths.iter().find(|it| it.path == path);
    let waits = found.is_some_and(|it| it.verdict == Verdict::Waiting);
    let none = || match waits {
        true => Reason {
            rule: "waits".to_owned(),
            why: "It waits for a look.".to_owned(),
        },
        false => Reason {
            rule: "not_for_this_part".to_owned(),
            why: "Nothing opens this way for it.".to_owned(),
        },
    };
    Refused {
        part: it.part.clone(),
        label: it.label.clone(),
        path: path.to_owned(),
        path_label: label(book, path),
        reasons: found
            .map(|it| it.reasons.clone())
            .filter(|it| !it.is_empty())
            .unwrap_or_else(|| vec![none()]),
        look: found.map(|it| it.look.clone()).unwrap_or_default(),
    }
}
