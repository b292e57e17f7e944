//! What a record lacks or should say: missing views, silences, cautions, gaps; plain data.

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;

/// A view that a complete record would have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MissingView {
    /// The view.
    pub view: String,
    /// Its label.
    pub label: String,
    /// The stage whose record lacks it.
    pub stage: Stage,
    /// The pictures that had it and were taken out of the record, by number; none where it was not taken.
    pub taken_out: Vec<u32>,
}

impl MissingView {
    /// `picture 5`, `pictures 5 and 7`: those that had it and were taken out of the record; nothing where it was not taken.
    #[must_use]
    pub fn pictures_out(&self) -> Saying {
        match self.taken_out.as_slice() {
            [] => Saying::nothing(),
            [one] => say::picture_small(*one),
            several => say::pictures_small(Saying::numbers(several)),
        }
    }
}

/// A caution for the buyer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// The hazard, such as `tip_over`.
    pub hazard: String,
    /// A heading.
    pub title: Saying,
    /// The lines to print.
    pub lines: Vec<Saying>,
    /// What is done before the piece is used, in few words; `None` when there is nothing.
    #[serde(skip)]
    pub first: Option<Saying>,
    /// Whether something has to stay shut meanwhile.
    #[serde(skip)]
    pub shut: bool,
    /// Whether a test found it, and nobody wrote since that it is gone.
    #[serde(skip)]
    pub found: bool,
    /// What whoever takes the piece has to know of it before all else; `None` of a danger that only may be there.
    #[serde(skip)]
    pub tell: Option<Tell>,
    /// What is said of dusting in place of the usual line; empty where that may stand.
    #[serde(skip)]
    pub dust: String,
}

impl Caution {
    /// Its lines, below the findings that they do not name.
    #[must_use]
    pub fn told(&self) -> Vec<String> {
        let tell = self.tell.iter().filter(|it| !it.is_named);
        let findings = tell.flat_map(|it| it.findings.iter().map(|it| format!("{it}.")));
        let lines = self.lines.iter().map(ToString::to_string);
        findings.chain(lines).collect()
    }
}

/// What whoever takes a piece has to know: a fault on which somebody may come to harm, a danger that a test found, or one that lives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tell {
    /// In few words, for a label.
    pub short: Saying,
    /// The findings, each with its part and what was done about it.
    pub findings: Vec<String>,
    /// Whether the lines of the caution name them.
    pub is_named: bool,
}

impl Tell {
    /// Of a danger with this title and these findings; `None` without any.
    pub(crate) fn of(
        title: &Saying,
        failing: &[&Finding],
        found: &[&Finding],
        alive: &[&Finding],
    ) -> Option<Self> {
        let named = |it: &&Finding| {
            let done = Saying::Parted(it.dealt_with(|day| day.to_string().into())).to_string();
            match done.is_empty() {
                true => it.named().to_string(),
                false => format!("{} ({done})", it.named()),
            }
        };
        let all: Vec<&Finding> = { failing.iter().chain(found).chain(alive) }
            .copied()
            .collect();
        // A danger that may live in wood is told by its name where it was seen alive.
        let mut terms: Vec<Saying> = alive.iter().map(|it| Saying::fault(&it.term)).collect();
        terms.dedup();
        let short = match failing.is_empty() && found.is_empty() {
            true => Saying::Commas(terms),
            false => title.clone(),
        };
        (!all.is_empty()).then(|| Self {
            short,
            findings: all.iter().map(named).collect(),
            is_named: !failing.is_empty(),
        })
    }
}

/// Something a final report needs and the record lacks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Gap {
    /// A stable code, such as `part_without_statement`.
    pub code: String,
    /// What is missing.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
}

impl Gap {
    pub(crate) fn new(code: &str, message: String, remedy: String) -> Self {
        Self {
            code: code.to_owned(),
            message,
            remedy,
        }
    }
}
