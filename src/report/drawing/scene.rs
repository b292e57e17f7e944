//! What the drawing, and a few labels, need beyond the assessment.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::assessment::Assessment;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::findings::finding::Finding;
use crate::assess::part_report::PartState;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::say;
use crate::trade;

/// What the page needs that an assessment does not hold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawingInput {
    /// In what language the paper is, and in which its user types.
    pub tongue: Tongue,
    /// The shape of the piece.
    pub shape: PieceShape,
    /// Names of methods by their id.
    pub methods: BTreeMap<String, String>,
    /// Labels of views by their id.
    pub views: BTreeMap<String, String>,
    /// How its parts move with the air, a line each; empty when that is not worked out.
    pub movement: Vec<Saying>,
    /// Name printed as the seller's; empty when none is given.
    pub trading_name: String,
    /// How a buyer reaches the seller; empty when not given.
    pub contact: String,
    /// The seller's address, in one line or several; empty when not given.
    pub address: String,
    /// The seller's telephone number; empty when not given.
    pub phone: String,
    /// The seller's logo, JPEG; empty when there is none.
    pub logo: Vec<u8>,
    /// The seller's country, two letters by ISO 3166-1.
    pub country: Option<String>,
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
        let shape = PieceShape {
            seen: seen
                .chain(observed)
                .filter(|it| !missed.contains(it))
                .collect(),
            absent: of(|it| matches!(it, PartState::Absent { .. })).collect(),
            ..self.shape.clone()
        };
        Self {
            shape,
            ..self.clone()
        }
    }
}

/// Which whole parts are not there; `None` where all are. A side that shows only its end is drawn with it.
pub(super) fn absent_words(assessment: &Assessment) -> Option<Saying> {
    let absent = assessment.parts.iter().filter(|it| !it.part.is_inner());
    let absent = absent.filter(|it| matches!(it.state, PartState::Absent(_)));
    let absent: Vec<Saying> = absent.map(|it| Saying::part(&it.label)).collect();
    (!absent.is_empty()).then(|| say::plan_absent(Saying::Parted(absent)))
}
