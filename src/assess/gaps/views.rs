//! Views that a complete record of the stages so far would still need.

use std::collections::BTreeSet;

use crate::assess::gaps::lacks::MissingView;
use crate::assess::piece_record::PieceRecord;
use crate::assess::timeline::Timeline;
use crate::model::photo::Stage;
use crate::trade::TradeBook;

/// The views missing at each stage that has a shoot, by stage, then in walking order.
pub(crate) fn missing(
    case: &PieceRecord,
    book: &TradeBook,
    time: &Timeline<'_>,
) -> Vec<MissingView> {
    let Some(form) = book.form(&case.piece.form) else {
        return Vec::new();
    };
    let choice = case.piece.choice();
    let stages: BTreeSet<Stage> = time.shoots.iter().map(|it| it.stage).collect();
    let of_stage = |stage: Stage| {
        let photos = time.photos.iter();
        let photos = photos.filter(move |it| time.shoot_of(it).stage == stage);
        let taken: BTreeSet<&str> = photos.filter_map(|it| it.sidecar.view.as_deref()).collect();
        let wanted = book.views_for_choice(form, &choice, stage).into_iter();
        let lacking = wanted.filter(move |it| !taken.contains(it.id.as_str()));
        lacking.map(move |it| MissingView {
            view: it.id.clone(),
            label: it.label.clone(),
            stage,
            taken_out: taken_out(case, stage, &it.id),
        })
    };
    stages.into_iter().flat_map(of_stage).collect()
}

/// The pictures of a view at a stage that were taken out of the record, by number.
fn taken_out(case: &PieceRecord, stage: Stage, view: &str) -> Vec<u32> {
    let of_stage = |no: u32| {
        let mut shoots = case.shoots.iter();
        shoots.any(|it| it.no == no && it.stage == stage)
    };
    let out = case.removed.iter().map(|it| &it.photo);
    let out = out.filter(|it| it.sidecar.view.as_deref() == Some(view) && of_stage(it.shoot));
    let mut numbers: Vec<u32> = out.map(|it| it.no).collect();
    numbers.sort_unstable();
    numbers
}
