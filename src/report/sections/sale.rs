//! Sale and hand-over: what both sides do so that later nobody has to argue. No legal advice.

use serde::Serialize;

use crate::model::photo::Stage;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::Saying;

/// Sale and hand-over.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct SaleView {
    /// What is said of the sale.
    lines: Vec<String>,
    /// The views to photograph on arrival.
    views: Vec<String>,
    /// What to do on arrival.
    arrival: Vec<&'static str>,
}

/// Whole views that every buyer can take without moving much.
const VIEWS: [&str; 5] = [
    "front_whole",
    "left_whole",
    "right_whole",
    "back_whole",
    "top_flat",
];

/// Common practice, no source.
const ARRIVAL: [&str; 3] = [
    "Photograph it before, while and after it is unwrapped, and before it is moved to its place.",
    "Write what is new on the carrier's sheet before you sign; keep the wrapping.",
    "Tell us at once, best within 24 hours, with the original pictures. Your rights by the rules where you live are not touched by this.",
];

impl SaleView {
    /// Of the piece.
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let terms = "Sold as used furniture in the state that this report describes, on the days of its pictures.";
        let mut lines =
            vec![
            match sources.order.after_sale {
                Some(it) => it.said().iter().map(Saying::to_string).collect::<Vec<_>>().join(" "),
                None => terms.to_owned(),
            },
            "Who carries it, and who bears the risk until where, is what both agreed in writing."
                .to_owned(),
        ];
        lines.extend(handover(sources));
        let shown = |view: &&&str| {
            let mut photos = sources.assessment.photos.iter();
            photos.any(|it| it.sidecar.view.as_deref() == Some(**view))
        };
        let views = VIEWS.iter().filter(shown);
        Self {
            lines,
            views: views.map(|it| sources.view_label(it)).collect(),
            arrival: ARRIVAL.into_iter().chain(known_again(sources)).collect(),
        }
    }
}

/// Only where the report shows what it is known by.
fn known_again(sources: &PageContext<'_>) -> Option<&'static str> {
    let mut photos = sources.assessment.photos.iter();
    let shown = photos.any(|it| {
        matches!(
            it.sidecar.view.as_deref(),
            Some("identity_mark" | "label_mark")
        )
    });
    shown.then_some("Look for the mark under How to know this piece again.")
}

/// Which pictures show it at hand-over.
fn handover(sources: &PageContext<'_>) -> Option<String> {
    let photos = sources.assessment.photos.iter().filter(|it| {
        let shoot = sources.shoot_of(it);
        shoot.is_some_and(|it| it.stage == Stage::Handover)
    });
    let numbers: Vec<u32> = photos.map(|it| it.no).collect();
    let shows = if numbers.len() == 1 { "shows" } else { "show" };
    (!numbers.is_empty()).then(|| {
        let pictures = words::pictures(&numbers);
        format!("{pictures} {shows} it at the hand-over.")
    })
}
