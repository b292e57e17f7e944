//! What nobody examined, and which of the silences it is; plain data.

use serde::Serialize;

use crate::model::ids::FindingNo;
use crate::model::photo::Stage;
use crate::tongue::Saying;
use crate::tongue::say;

/// Something nobody examined.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unexamined {
    /// Which of the silences it is.
    pub silence: Silence,
    /// What, such as `Inside of drawer 3` or `Lead in paint`.
    pub what: String,
    /// Why, or what could be done, in one sentence.
    pub why: String,
    /// Of a test that was made in part: what of it was, and what not.
    #[serde(skip)]
    pub tested: Option<Saying>,
    /// Whether it is a part of which only what lies beyond its findings was not examined.
    #[serde(skip)]
    pub beyond: bool,
    /// Of views: at which stage.
    #[serde(skip)]
    pub stage: Option<Stage>,
    /// The finding it is of; `None` for what is no finding.
    #[serde(skip)]
    pub finding: Option<FindingNo>,
}

impl Unexamined {
    /// What, of all but views not taken, of which those of several stages are told in one.
    #[must_use]
    pub fn said(&self) -> Saying {
        match (self.silence, self.stage) {
            (Silence::NotTested | Silence::TestedInPart, _) => Saying::test(&self.what),
            (Silence::TakenOut, Some(stage)) => say::views_taken_out(stage.saying()),
            _ => said(&self.what),
        }
    }
}

/// What was not examined of a part with findings.
#[must_use]
pub fn beyond(label: &str) -> String {
    say::beyond_findings(Saying::Plain(label.to_owned())).to_string()
}

/// Whether that is what [`beyond`] or the list of parts calls a part of this label.
#[must_use]
pub fn is_of(what: &str, label: &str) -> bool {
    what == label || what == beyond(label)
}

/// What nobody examined, by what [`beyond`] or the list of parts calls it.
#[must_use]
pub fn said(what: &str) -> Saying {
    match what.strip_suffix(beyond("").as_str()) {
        Some(label) => say::beyond_findings(Saying::part(label)),
        None => Saying::part(what),
    }
}

/// Why there is nothing to say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Silence {
    /// Somebody wrote that nobody looked.
    NotExamined,
    /// Nobody wrote anything.
    Nothing,
    /// Something was seen of it, and nobody said anything of faults.
    NotJudged,
    /// What became of a fault no mark says: nobody ever saw it, or nobody marked it since its repair.
    NotSettled,
    /// A fault was seen, and at the newest look nobody examined it, or it could not be told.
    NotSeenSince,
    /// A test that was not made.
    NotTested,
    /// A test that was made, and does not speak for the whole piece.
    TestedInPart,
    /// A picture that was not taken.
    NotPictured,
    /// A view of which every picture was taken out of the record.
    TakenOut,
}
