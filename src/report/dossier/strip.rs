//! The same spot of a piece in every picture that shows all of it, in the order of time.

use crate::assess::faces::flat_faces;
use crate::assess::findings::finding::Finding;
use crate::assess::places::told::PlaceTold;
use crate::kit::text::capital;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;

/// The pictures of a place, set straight and at one scale.
#[derive(Default)]
pub(in crate::report) struct StripView {
    /// The pictures.
    pub(in crate::report) figures: Vec<FigureView>,
    /// How they were made.
    pub(in crate::report) words: String,
    /// Their numbers.
    pub(in crate::report) photos: Vec<u32>,
}

impl StripView {
    /// Of a finding, named `what`; `None` where fewer than two pictures show its place well enough.
    pub(in crate::report) fn of(
        sources: &PageContext<'_>,
        finding: &Finding,
        what: &str,
    ) -> Option<Self> {
        let told = sources.assessment.places.findings.get(&finding.no)?;
        let strip = told.strip.as_ref()?;
        let tag = finding.no.to_string();
        let [_, _, w, h] = strip.frame.rect_mm;
        let mut view = Self {
            words: format!(
                "The same {w:.0} x {h:.0} mm of the {} in every picture of the record that has all of the place well enough, set straight and at one scale, in the order of time.",
                flat_faces::label(&strip.frame.face)
            ),
            ..Self::default()
        };
        for (no, side) in &strip.sides {
            let sight = told.pictures.iter().find(|it| it.sight.photo == *no);
            let Some((photo, sight)) = sources.photo(*no).zip(sight) else {
                continue;
            };
            let mut marks = finding.history.iter().flat_map(|it| &it.marks);
            let mark = marks.find(|it| it.photo == *no).map(|it| it.mark);
            let mut figure =
                FigureView::straight(sources, photo, &strip.frame, side, (mark, &tag), what);
            figure.caption = format!(
                "{}: {}",
                capital(&sources.picture_words(photo).to_string()),
                sight.words()
            );
            view.figures.push(figure);
            view.photos.push(*no);
        }
        Some(view)
    }
}

/// The pictures of a place that were taken out of the record, a line each; `None` without one.
pub(in crate::report) fn taken_out(told: &PlaceTold) -> Option<FactView> {
    let lines = told.taken_out.iter().map(|it| capital(&it.text()));
    let lines: Vec<String> = lines.map(|it| words::sentence(&it)).collect();
    (!lines.is_empty()).then(|| FactView {
        name: "Taken out".to_owned(),
        lines,
    })
}
