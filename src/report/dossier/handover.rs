//! The sheet that the other side signs when the piece is handed over.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::outcome::Outcome;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::report::DrawingInput;
use crate::report::Packing;
use crate::report::ReportError;
use crate::report::SealCode;
use crate::report::dossier::cover::counted;
use crate::report::dossier::cover::order;
use crate::report::dossier::cover::unsafe_now;
use crate::report::drawing::view::DrawingView;
use crate::report::images::album::Album;
use crate::report::page::code::code;
use crate::report::page::context::PageContext;
use crate::report::page::policy;
use crate::report::page::shop::ShopView;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::words;
use crate::report::sections::glance::anchor;
use crate::report::sections::glance::measure;

/// Everything that the sheet prints.
#[derive(Clone, Debug, Serialize)]
struct HandoverView {
    title: String,
    policy: String,
    style: String,
    stock_no: String,
    piece: String,
    shop: ShopView,
    drawing: DrawingView,
    made: String,
    counted: Vec<String>,
    unsafe_now: Vec<String>,
    faults: Vec<FaultView>,
    seal: String,
    fingerprint: String,
    code: String,
}

/// Makes the sheet: what is wrong with the piece now, and the seal that is confirmed.
///
/// # Errors
/// When the template fails.
pub fn handover_page(
    assessment: &Assessment,
    scene: &DrawingInput,
    made_on: Day,
    seal: &SealCode,
) -> Result<String, ReportError> {
    let style = style_of(&["palette.css", "style.css", "cover.css", "handover.css"]);
    let piece = &assessment.piece;
    let there = |it: &&Finding| {
        it.outcome
            .is_some_and(|it| !it.is_closed() || it == Outcome::Traces)
    };
    // Drawn is what is listed.
    let mut now = assessment.clone();
    now.findings.retain(|it| there(&it));
    let (pictures, order) = (BTreeMap::new(), order(made_on));
    let album = Album::new(&pictures, Packing::OneFile);
    let drawing = DrawingView::new(&PageContext::new(&now, scene, &order, &album));
    let view = HandoverView {
        title: format!("Handover of {}", piece.stock_no),
        policy: policy::text("data:", &style, ""),
        style,
        stock_no: piece.stock_no.to_string(),
        piece: capital(&piece.title),
        shop: ShopView::of(scene),
        drawing,
        made: made_on.spoken(),
        counted: counted(assessment),
        unsafe_now: unsafe_now(assessment),
        faults: assessment
            .findings
            .iter()
            .filter(there)
            .map(FaultView::new)
            .collect(),
        seal: seal.line.clone(),
        fingerprint: seal.fingerprint.clone(),
        code: code(&seal.line),
    };
    Ok(templates::fill("handover.html", &view)?)
}

/// A fault in one line.
#[derive(Clone, Debug, Serialize)]
struct FaultView {
    /// Where it stands on the sheet.
    anchor: String,
    /// With what became of it.
    line: String,
}

impl FaultView {
    fn new(it: &Finding) -> Self {
        let measured = measure(it);
        let measured = match measured.is_empty() {
            true => measured,
            false => format!(", {measured}"),
        };
        Self {
            anchor: anchor(it),
            line: format!(
                "{} {}, {}{measured}: {}",
                it.no,
                it.term,
                words::place(it),
                words::state(it)
            ),
        }
    }
}
