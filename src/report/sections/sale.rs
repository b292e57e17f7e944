//! Sale and hand-over: what both sides do so that later nobody has to argue. No legal advice.

use serde::Serialize;

use crate::model::photo::Stage;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::Saying;
use crate::tongue::say;

/// Sale and hand-over.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct SaleView {
    /// What is said of the sale.
    lines: Vec<String>,
    /// The views to photograph on arrival.
    views: Vec<String>,
    /// What to do on arrival.
    arrival: Vec<String>,
}

/// Whole views that every buyer can take without moving much.
const VIEWS: [&str; 5] = [
    "front_whole",
    "left_whole",
    "right_whole",
    "back_whole",
    "top_flat",
];

impl SaleView {
    /// Of the piece. Common practice, no source.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        // What was sold before is sold by what was written then: the first page names it.
        let terms = sources.order.after_sale.is_none().then(say::sale_used);
        let lines = terms.into_iter().chain([say::sale_risk()]);
        let lines: Vec<Saying> = lines.chain(handover(sources)).collect();
        let arrival = [
            say::arrival_pictures(),
            say::arrival_sheet(),
            say::arrival_tell(),
        ];
        let arrival = arrival.into_iter().chain(known_again(sources));
        let arrival: Vec<Saying> = arrival.collect();
        let shown = |view: &&&str| {
            let mut photos = sources.assessment.photos.iter();
            photos.any(|it| it.sidecar.view.as_deref() == Some(**view))
        };
        let views = VIEWS.iter().filter(shown);
        Self {
            lines: sources.all_said(&lines),
            views: views.map(|it| sources.said(&sources.view(it))).collect(),
            arrival: sources.all_said(&arrival),
        }
    }
}

/// Only where the report shows what it is known by.
fn known_again(sources: &PageContext<'_>) -> Option<Saying> {
    let mut photos = sources.assessment.photos.iter();
    let shown = photos.any(|it| {
        matches!(
            it.sidecar.view.as_deref(),
            Some("identity_mark" | "label_mark")
        )
    });
    shown.then(say::arrival_mark)
}

/// Which pictures show it at hand-over.
fn handover(sources: &PageContext<'_>) -> Option<Saying> {
    let photos = sources.assessment.photos.iter().filter(|it| {
        let shoot = sources.shoot_of(it);
        shoot.is_some_and(|it| it.stage == Stage::Handover)
    });
    let numbers: Vec<u32> = photos.map(|it| it.no).collect();
    let shown = || say::sale_shown(numbers.len(), words::runs(&numbers));
    (!numbers.is_empty()).then(shown)
}
