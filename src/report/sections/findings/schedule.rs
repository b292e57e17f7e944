//! The schedule of parts: every part under the statement that was made of it.

use serde::Serialize;

use crate::assess::part_report::PartReport;
use crate::assess::worked::Worked;
use crate::report::page::context::PageContext;
use crate::report::page::names::begun;
use crate::report::page::words;
use crate::report::sections::glance::ItemView;
use crate::tongue::Saying;

/// A statement, and the parts of which it was made.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct RowView {
    /// The statement.
    state: String,
    /// The parts, in the order of the list.
    parts: Vec<ScheduledView>,
}

/// A part in the schedule.
#[derive(Clone, Debug, Serialize)]
struct ScheduledView {
    /// Its label.
    label: String,
    /// Its findings.
    findings: Vec<ItemView>,
    /// Repairs that were done on it, where no finding there names them; empty without one.
    repairs: String,
}

impl RowView {
    /// Of all parts; those of which the same was said stand together.
    pub(in crate::report) fn all(sources: &PageContext<'_>) -> Vec<Self> {
        let mut rows: Vec<Self> = Vec::new();
        for part in &sources.assessment.parts {
            let late = sources.order.late.iter();
            let late = late.flat_map(|it| it.of_part(&sources.assessment.photos, &part.part));
            let late = late.map(|it| format!(" {}", sources.said(&it)));
            let state = std::iter::once(sources.said(&words::part_state(part))).chain(late);
            let state: String = state.collect();
            let scheduled = ScheduledView::new(sources, part);
            match rows.iter_mut().find(|it| it.state == state) {
                Some(row) => row.parts.push(scheduled),
                None => rows.push(Self {
                    state,
                    parts: vec![scheduled],
                }),
            }
        }
        rows
    }
}

impl ScheduledView {
    fn new(sources: &PageContext<'_>, part: &PartReport) -> Self {
        let findings = part.findings.iter().filter_map(|it| sources.finding(*it));
        Self {
            label: begun(sources.said(&Saying::part(&part.label)), sources.tongue()),
            findings: findings.map(|it| ItemView::new(sources, it)).collect(),
            repairs: repairs(sources, part),
        }
    }
}

/// `repairs 2, 3`: those that name the part or a part of it, and no finding there.
fn repairs(sources: &PageContext<'_>, part: &PartReport) -> String {
    let assessment = sources.assessment;
    let told = |it: &u32| {
        let mut findings = part.findings.iter().filter_map(|no| sources.finding(*no));
        findings.any(|of| of.repairs.contains(it))
    };
    let done = assessment.repairs.iter().filter(|it| {
        let worked = Worked::by(it, &assessment.findings);
        let mut on = worked.parts().iter();
        on.any(|it| *it == part.part || it.whole() == part.part)
    });
    let done: Vec<u32> = done.map(|it| it.no).filter(|it| !told(it)).collect();
    sources.said(&words::repairs(&done))
}
