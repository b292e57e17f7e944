//! What the report needs beyond the assessment: the shape of the piece and words of the trade book.

use std::collections::BTreeSet;

use crate::model::piece::Piece;
use crate::model::settings::Settings;
use crate::report::DrawingInput;
use crate::report::PartShape;
use crate::trade::TradeBook;
use crate::work::sidecars::vocabulary;

/// The scene of a piece.
pub(in crate::work) fn scene(book: &TradeBook, piece: &Piece, settings: &Settings) -> DrawingInput {
    let form = book.form(&piece.form);
    let parts = vocabulary::parts(book, piece);
    let on = |kind: &str| parts.iter().any(|it| it.kind == kind);
    let stands_on = ["leg", "foot"]
        .into_iter()
        .find(|it| on(it))
        .unwrap_or("base");
    let usual = || form.map(|it| it.drawers.clone()).unwrap_or_default();
    let rows = &piece.drawer_rows;
    DrawingInput {
        figure: form.map(|it| it.figure).unwrap_or_default(),
        drawer_rows: if rows.is_empty() {
            usual()
        } else {
            rows.clone()
        },
        stands_on: stands_on.to_owned(),
        size: piece.size,
        parts: parts
            .iter()
            .map(|it| PartShape {
                part: it.id.clone(),
                label: it.label.clone(),
                face: it.face,
            })
            .collect(),
        seen: BTreeSet::new(),
        absent: BTreeSet::new(),
        methods: book
            .methods
            .iter()
            .map(|it| (it.id.clone(), it.name.clone()))
            .collect(),
        views: book
            .views
            .iter()
            .map(|it| (it.id.clone(), it.label.clone()))
            .collect(),
        movement: Vec::new(),
        trading_name: settings.trading_name.clone(),
        contact: settings.contact.clone(),
        examined_by: settings.examined_by.clone(),
    }
}
