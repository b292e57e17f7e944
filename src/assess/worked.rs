//! Where work was done: on parts of the piece, or on all of it.

use crate::assess::findings::finding::Finding;
use crate::assess::part_list::belongs;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;

/// Where a repair was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Worked {
    /// On the piece as a whole.
    WholePiece,
    /// On these parts, each once: those of its findings, then those that it names.
    On(Vec<PartId>),
}

impl Worked {
    /// Of a repair, where `part_of` knows the part of a finding.
    pub(crate) fn of(repair: &Repair, part_of: impl Fn(FindingNo) -> Option<PartId>) -> Self {
        if repair.is_of_whole_piece() {
            return Self::WholePiece;
        }
        let mut parts: Vec<PartId> = Vec::new();
        let of_findings = repair.findings.iter().filter_map(|it| part_of(*it));
        for part in of_findings.chain(repair.parts.iter().cloned()) {
            if !parts.contains(&part) {
                parts.push(part);
            }
        }
        Self::On(parts)
    }

    /// Of a repair of a piece with these findings.
    pub(crate) fn by(repair: &Repair, findings: &[Finding]) -> Self {
        let part_of = |no| Some(findings.iter().find(|it| it.no == no)?.part.clone());
        Self::of(repair, part_of)
    }

    /// Where a repair put its new material: what was not there is made or bought, and what only waited for it got none.
    pub(crate) fn new_material(repair: &Repair, findings: &[Finding], book: &TradeBook) -> Self {
        let was_missing = |no: &FindingNo| {
            let of = findings.iter().find(|it| it.no == *no);
            of.and_then(|it| book.tag(&it.tag))
                .is_some_and(|it| it.absence)
        };
        let missing = repair.findings.iter().copied().filter(was_missing);
        let missing: Vec<FindingNo> = missing.collect();
        if missing.is_empty() {
            return Self::by(repair, findings);
        }
        let of_missing = Repair {
            findings: missing,
            ..repair.clone()
        };
        Self::by(&of_missing, findings)
    }

    /// Whether it was done on a part of which this holds. Work on the whole piece was done on every part.
    pub(crate) fn any(&self, on: impl Fn(&PartId) -> bool) -> bool {
        match self {
            Self::WholePiece => true,
            Self::On(parts) => parts.iter().any(on),
        }
    }

    /// Whether it was done on this part or on the whole that the part belongs to.
    pub(crate) fn reaches(&self, part: &PartId) -> bool {
        self.any(|it| belongs(part, it))
    }

    /// The parts by name; none for the piece as a whole.
    pub(crate) fn parts(&self) -> &[PartId] {
        match self {
            Self::WholePiece => &[],
            Self::On(parts) => parts,
        }
    }

    /// For people, before any language is chosen: what it was done on.
    pub(crate) fn said(&self, label: impl Fn(&PartId) -> String) -> Vec<Saying> {
        match self {
            Self::WholePiece => vec![say::whole_piece()],
            Self::On(parts) => parts.iter().map(|it| Saying::part(&label(it))).collect(),
        }
    }

    /// For people: what it was done on, by these labels.
    pub(crate) fn labels<T: From<Saying>>(&self, label: impl Fn(&PartId) -> T) -> Vec<T> {
        match self {
            Self::WholePiece => vec![say::whole_piece().into()],
            Self::On(parts) => parts.iter().map(label).collect(),
        }
    }
}
