//! One spot of a piece through time, as a page of its own.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::model::ids::FindingNo;
use crate::model::picture::SmallPicture;
use crate::report::Crop;
use crate::report::DrawingInput;
use crate::report::Packing;
use crate::report::ReportError;
use crate::report::dossier::cover;
use crate::report::dossier::strip::StripView;
use crate::report::dossier::strip::taken_out;
use crate::report::images::album::Album;
use crate::report::page::claimed;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::policy;
use crate::report::page::templates;
use crate::report::page::templates::style_of;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;

/// Everything that the page prints.
#[derive(Clone, Debug, Serialize)]
struct PlaceView {
    title: String,
    policy: String,
    style: String,
    stock_no: String,
    piece: String,
    made: String,
    heading: String,
    lines: Vec<FactView>,
    strip_words: String,
    strip: Vec<FigureView>,
}

/// Tells which pictures the page needs: sorted, each once; none where fewer than two show the place well enough.
#[must_use]
pub fn place_shots(assessment: &Assessment, no: FindingNo, made_on: Day) -> Vec<Crop> {
    let (scene, pictures) = (DrawingInput::default(), BTreeMap::new());
    let album = Album::new(&pictures, Packing::OneFile);
    let order = cover::order(made_on);
    let sources = PageContext::new(assessment, &scene, &order, &album);
    // Laid out for what it asks of the album.
    let finding = sources.finding(no);
    let _ = finding.and_then(|it| StripView::of(&sources, it, &named(it)));
    album.asked()
}

/// Makes the page of the place of a finding.
///
/// # Errors
/// When the template fails.
pub fn place_page(
    assessment: &Assessment,
    finding: &Finding,
    made_on: Day,
    pictures: &BTreeMap<Crop, SmallPicture>,
) -> Result<String, ReportError> {
    let album = Album::new(pictures, Packing::OneFile);
    let (scene, order) = (DrawingInput::default(), cover::order(made_on));
    let sources = PageContext::new(assessment, &scene, &order, &album);
    let strip = StripView::of(&sources, finding, &named(finding)).unwrap_or_default();
    let style = style_of(&["palette.css", "style.css", "cover.css"]);
    let piece = &assessment.piece;
    let heading = format!("{}: {}", finding.no, named(finding));
    let view = PlaceView {
        title: format!("{} {heading}", piece.stock_no),
        policy: policy::text("data:", &style, ""),
        style,
        stock_no: piece.stock_no.to_string(),
        piece: capital(&claimed::title(assessment)),
        made: made_on.spoken(),
        heading,
        lines: facts(assessment, finding),
        strip_words: strip.words,
        strip: strip.figures,
    };
    Ok(templates::fill("place.html", &view)?)
}

fn named(finding: &Finding) -> String {
    format!("{}, {}", finding.term, finding.placed())
}

/// Where it is, the turn from without to with, and what the strip cannot show.
fn facts(assessment: &Assessment, finding: &Finding) -> Vec<FactView> {
    let place = finding.place.as_ref();
    let mut facts: Vec<FactView> = place
        .map(|it| FactView::new("Place", words::lies(it)))
        .into_iter()
        .collect();
    let Some(told) = assessment.places.findings.get(&finding.no) else {
        return facts;
    };
    let turns = told.turns().into_iter();
    facts.extend(turns.map(|it| FactView::new(it.0, words::sentence(&capital(&it.1)))));
    facts.extend(taken_out(told));
    if told.not_laid > 0 {
        let line = format!(
            "{}: this face is not laid there, so whether they show the place is not known.",
            words::count(told.not_laid, "more picture", "more pictures")
        );
        facts.push(FactView::new("Not known", line));
    }
    facts
}
