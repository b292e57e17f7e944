//! What the drawing, and a few labels, need beyond the assessment.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::part_report::PartState;
use crate::model::ids::PartId;
use crate::model::piece::Size;
use crate::trade;
use crate::trade::entry::form::Figure;
use crate::trade::entry::kind::Face;

/// What the page needs that an assessment does not hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawingInput {
    /// The parts to be found on the drawing.
    pub parts: Vec<PartShape>,
    /// Parts that somebody saw: only of these are pulls, keyholes and locks drawn.
    pub seen: BTreeSet<PartId>,
    /// Parts that are not there: none of these is drawn.
    pub absent: BTreeSet<PartId>,
    /// Outer size; `None` draws in plain proportions and says so.
    pub size: Option<Size>,
    /// How it is drawn.
    pub figure: Figure,
    /// Drawers in each row from the top.
    pub drawer_rows: Vec<u8>,
    /// `leg`, `foot` or `base`.
    pub stands_on: String,
    /// Names of methods by their id.
    pub methods: BTreeMap<String, String>,
    /// Labels of views by their id.
    pub views: BTreeMap<String, String>,
    /// How its parts move with the air, a line each; empty when that is not worked out.
    pub movement: Vec<String>,
    /// Name printed as the seller's; empty when none is given.
    pub trading_name: String,
    /// How a buyer reaches the seller; empty when not given.
    pub contact: String,
    /// Who examines, unless the piece says otherwise; empty when not given.
    pub examined_by: String,
}

impl DrawingInput {
    /// With what the record says of its parts. A part whose open fault is that it is missing was not seen.
    pub(in crate::report) fn told(&self, assessment: &Assessment) -> Self {
        let missing = |finding: &Finding| {
            let tag = trade::book().tag(&finding.tag);
            finding.state.is_open() && tag.is_some_and(|it| it.absence)
        };
        let missed = assessment.findings.iter().filter(|it| missing(it));
        let missed: BTreeSet<&PartId> = missed.map(|it| &it.part).collect();
        let of = |wanted: fn(&PartState) -> bool| {
            let parts = assessment.parts.iter().filter(move |it| wanted(&it.state));
            parts.map(|it| it.part.clone())
        };
        let seen = of(|it| matches!(it, PartState::Sound { .. } | PartState::Faults));
        // What was tried, or something was seen on it, was seen.
        let observed = assessment.observations.iter().map(|it| it.part.clone());
        let observed = observed.filter(|it| !assessment.is_absent(it));
        Self {
            seen: seen
                .chain(observed)
                .filter(|it| !missed.contains(it))
                .collect(),
            absent: of(|it| matches!(it, PartState::Absent { .. })).collect(),
            ..self.clone()
        }
    }

    /// Whether a part of this id was seen.
    pub(super) fn has_seen(&self, part: &str) -> bool {
        self.seen.iter().any(|it| it.as_str() == part)
    }

    /// Whether a part of this id is said not to be there.
    pub(super) fn lacks(&self, part: &str) -> bool {
        self.absent.iter().any(|it| it.as_str() == part)
    }
}

/// A part and the face it is seen on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartShape {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
    /// The face that shows it.
    pub face: Face,
}
