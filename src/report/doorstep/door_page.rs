//! The page for the door: taps with what they mean, and the estimate that they make.

use serde::Serialize;

use crate::advise::doorstep::door::Door;
use crate::advise::doorstep::door::DoorPrice;
use crate::advise::doorstep::door::DoorRow;
use crate::advise::doorstep::rows::Row;
use crate::report::ReportError;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::templates::text_of;
use crate::trade::TradeBook;
use crate::trade::entry::tap::Reach;

/// What is told of the piece before anybody stands at its door.
#[derive(Clone, Debug, Serialize)]
pub struct DoorHead {
    /// The form's name.
    #[serde(skip)]
    pub form_label: String,
    /// Its size as it can be typed again; empty when not told.
    pub size: String,
    /// Drawers in each row.
    pub drawer_rows: Vec<u8>,
    /// Optional parts.
    pub with: Vec<String>,
    /// What it is taken for, and for whom it is meant; empty when not told.
    pub worth: String,
    /// For whom.
    pub meant_for: String,
    /// What to mind.
    #[serde(skip)]
    pub mind: Vec<String>,
}

/// Everything the page prints.
#[derive(Serialize)]
struct DoorView<'a> {
    title: String,
    policy: String,
    style: String,
    script: &'static str,
    heading: &'static str,
    piece: String,
    mind: &'a [String],
    taps: Vec<TapView>,
    currency: &'a str,
    prices: &'a [DoorPrice],
    data: String,
}

#[derive(Serialize)]
struct TapView {
    id: String,
    label: String,
    how: String,
    pictures: Vec<String>,
    /// Words of the button that gives all rows their first answer.
    all: String,
    rows: Vec<RowView>,
}

#[derive(Serialize)]
struct RowView {
    at: usize,
    label: String,
    /// What the row is called for who does not see it.
    name: String,
    choices: Vec<String>,
}

/// What the script reads.
#[derive(Serialize)]
struct Data<'a> {
    key: &'a str,
    #[serde(flatten)]
    head: &'a DoorHead,
    #[serde(flatten)]
    door: &'a Door,
}

/// Makes the page.
///
/// # Errors
/// When the template fails.
pub fn door_page(
    head: &DoorHead,
    rows: &[Row<'_>],
    door: &Door,
    book: &TradeBook,
) -> Result<String, ReportError> {
    let (style, script) = (
        style_of(&["palette.css", "doorstep.css"]),
        text_of("doorstep.js").trim(),
    );
    let piece = match head.size.as_str() {
        "" => head.form_label.clone(),
        size => format!("{}, {size}", head.form_label),
    };
    let data = Data {
        key: &piece,
        head,
        door,
    };
    // A closing tag in a word would end the block.
    let data = serde_json::to_string(&data).unwrap_or_default();
    let data = data.replace('<', "\\u003c");
    let view = DoorView {
        title: format!("At the door: {piece}"),
        policy: policy::text("'none'", &style, script),
        style,
        script,
        heading: "At the door",
        piece,
        mind: &head.mind,
        taps: taps(rows, door, book),
        currency: &door.rates.currency,
        prices: &door.prices,
        data,
    };
    Ok(templates::fill("doorstep.html", &view)?)
}

/// The rows below their taps.
fn taps(rows: &[Row<'_>], door: &Door, book: &TradeBook) -> Vec<TapView> {
    let mut taps: Vec<TapView> = Vec::new();
    for (at, (row, told)) in rows.iter().zip(&door.rows).enumerate() {
        let view = row_view(at, told);
        match taps.last_mut().filter(|it| it.id == row.tap.id) {
            Some(tap) => tap.rows.push(view),
            None => taps.push(TapView {
                id: row.tap.id.clone(),
                label: row.tap.label.clone(),
                how: row.how.clone(),
                // How a view is taken of any form would name parts that this one lacks.
                pictures: { row.tap.views.iter().filter_map(|it| book.view(it)) }
                    .map(|it| it.label.clone())
                    .collect(),
                all: String::new(),
                rows: vec![view],
            }),
        }
    }
    for tap in taps.iter_mut().filter(|it| it.rows.len() > 1) {
        let of = rows.iter().find(|it| it.tap.id == tap.id);
        let first = of.filter(|it| it.tap.reach == Reach::Each);
        let first = first.and_then(|it| it.tap.choices.first());
        tap.all = first.map_or_else(String::new, |it| format!("All the rest: {}", it.label));
    }
    taps
}

fn row_view(at: usize, row: &DoorRow) -> RowView {
    RowView {
        at,
        label: row.label.clone(),
        name: match row.label.as_str() {
            "" => row.tap.clone(),
            label => format!("{}, {label}", row.tap),
        },
        choices: row.choices.iter().map(|it| it.label.clone()).collect(),
    }
}
