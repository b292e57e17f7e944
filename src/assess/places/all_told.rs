//! Where on the piece the findings lie, and what the pictures show of it; plain data.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::findings::finding::Finding;
use crate::assess::gaps::lacks::Gap;
use crate::assess::piece_record::PieceRecord;
use crate::assess::places::conflicts;
use crate::assess::places::conflicts::PlaceConflict;
use crate::assess::places::coverage;
use crate::assess::places::coverage::Coverage;
use crate::assess::places::laid_faces::LaidLine;
use crate::assess::places::laid_faces::Unused;
use crate::assess::places::sizes;
use crate::assess::places::told;
use crate::assess::places::told::PlaceTold;
use crate::assess::statements::looking::Looking;
use crate::model::ids::FindingNo;

/// Where on the piece the findings lie, and what the pictures show of it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Places {
    /// The faces of the piece as they are laid in the photos.
    pub faces: Vec<LaidLine>,
    /// Laid faces that are not used, and why.
    pub unused: Vec<Unused>,
    /// The places of the findings through time, of those that have one; of the others, which of their pictures were taken out.
    pub findings: BTreeMap<FindingNo, PlaceTold>,
    /// Marks of one finding that cannot be the same place.
    pub conflicts: Vec<PlaceConflict>,
    /// Written sizes that are not those of what is drawn.
    #[serde(skip)]
    pub(crate) sizes: Vec<Gap>,
    /// What the pictures show of each face that is laid in some.
    pub coverage: Vec<Coverage>,
}

impl Places {
    /// Tells the places of findings.
    pub(crate) fn of(case: &PieceRecord, looking: &Looking<'_>, findings: &[Finding]) -> Self {
        let laid = looking.carrier.laid;
        let told = findings.iter();
        let told = told.map(|it| (it.no, told::told(case, looking, it, findings)));
        let has = |no: FindingNo| {
            let mut placed = findings.iter().filter(|it| it.place.is_some());
            placed.any(|it| it.no == no)
        };
        let told = told.filter(|it| has(it.0) || !it.1.taken_out.is_empty());
        let conflicts = findings.iter().flat_map(|it| {
            let places = looking
                .carrier
                .of_marks(looking.time, &it.part, &it.history);
            conflicts::of_finding(it.no, &places)
        });
        Self {
            faces: laid.lines(&looking.time.photos),
            unused: laid.unused.clone(),
            findings: told.collect(),
            conflicts: conflicts.collect(),
            sizes: sizes::gaps(looking, findings),
            coverage: coverage::coverage(looking.time, laid),
        }
    }
}
