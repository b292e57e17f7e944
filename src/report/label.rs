//! Labels to cut and tie to pieces.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::kit::measure::Length;
use crate::model::piece::Size;
use crate::report::ReportError;
use crate::report::name_of;
use crate::report::page::code::code;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::tongue::Language;
use crate::tongue::Tongue;
use crate::tongue::say;

/// Labels on one sheet of A4 or Letter.
const ON_A_SHEET: usize = 10;

#[derive(Serialize)]
struct LabelsView {
    language: &'static str,
    title: String,
    /// What stands before the fingerprint.
    key: String,
    policy: String,
    style: String,
    sheets: Vec<SheetView>,
}

#[derive(Serialize)]
struct SheetView {
    /// `Labels, sheet 1`.
    name: String,
    labels: Vec<LabelView>,
}

#[derive(Serialize)]
struct LabelView {
    stock_no: String,
    /// What whoever takes it has to know, each in few words.
    warn: Vec<String>,
    piece: String,
    size: String,
    seller: String,
    fingerprint: String,
    code: String,
}

/// Makes a page of labels, ten to a sheet: number, what its buyer has to know, title, size, the shop's name, the key's fingerprint, and number and
/// fingerprint to scan. `fingerprint` is empty where the book has no seal yet.
///
/// # Errors
/// When the template fails.
pub fn labels_page(
    pieces: &[Assessment],
    seller: &str,
    fingerprint: &str,
    tongue: Tongue,
) -> Result<String, ReportError> {
    let label = |it: &Assessment| LabelView {
        stock_no: it.piece.stock_no.to_string(),
        warn: { it.told_first() }
            .map(|it| it.1.short.clone().sentence().said(tongue))
            .collect(),
        piece: name_of(it).capital().said(tongue),
        size: { it.piece.size }
            .map(|it| size(it, tongue))
            .unwrap_or_default(),
        seller: seller.to_owned(),
        fingerprint: fingerprint.to_owned(),
        code: code(&scanned(it.piece.stock_no.as_str(), fingerprint), tongue),
    };
    let sheet = |(at, it): (usize, &[Assessment])| SheetView {
        name: say::labels_sheet(at + 1).said(tongue),
        labels: it.iter().map(label).collect(),
    };
    let sheets = pieces.chunks(ON_A_SHEET).enumerate().map(sheet);
    let style = style_of(&["palette.css", "label.css"]);
    let view = LabelsView {
        language: tongue.language.code(),
        title: say::labels_title().said(tongue),
        key: say::label_key().said(tongue),
        policy: policy::text("data:", &style, ""),
        style,
        sheets: sheets.collect(),
    };
    Ok(templates::fill("label.html", &view)?)
}

/// Height, width and depth: in millimetres, and for a reader of English in inches beside them.
fn size(it: Size, tongue: Tongue) -> String {
    let sides = [it.height_mm, it.width_mm, it.depth_mm];
    let mm = sides.map(|it| tongue.length_mm(it)).join(" \u{d7} ");
    if tongue.language != Language::English {
        return format!("{mm} mm");
    }
    let inches = sides.map(|it| Length::mm(it).inches().replace(" in", ""));
    format!("{mm} mm ({} in)", inches.join(" \u{d7} "))
}

/// What a scanner reads.
fn scanned(stock_no: &str, fingerprint: &str) -> String {
    match fingerprint.is_empty() {
        true => stock_no.to_owned(),
        false => format!("{stock_no} {fingerprint}"),
    }
}
