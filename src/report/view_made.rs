//! What each part is made of, with the pictures that show it.

use serde::Serialize;

use crate::assess::assessment::Evidence;
use crate::assess::assessment::MarkAt;
use crate::assess::assessment::Material;
use crate::report::sources::Sources;
use crate::report::view_figure::FigureView;
use crate::report::words;

/// Parts of which the same can be said.
#[derive(Clone, Debug, Serialize)]
pub(super) struct MadeView {
    /// Their labels.
    pub(super) parts: String,
    /// The verdict, or "not settled".
    pub(super) text: String,
    /// The observations it rests on, with their pictures' numbers.
    pub(super) evidence: Vec<String>,
    /// Pictures of the first of them.
    pub(super) figures: Vec<FigureView>,
}

/// Pictures shown for one verdict; further ones are named by number.
const FIGURES_MOST: usize = 2;

impl MadeView {
    /// Of all parts; those without evidence of which the same is said are drawn together.
    pub(super) fn all(sources: &Sources<'_>) -> Vec<Self> {
        let mut groups: Vec<(&Material, Vec<String>)> = Vec::new();
        for part in &sources.assessment.parts {
            let same = |it: &&mut (&Material, Vec<String>)| {
                *it.0 == part.material && part.material.evidence.is_empty()
            };
            match groups.iter_mut().find(same) {
                Some((_, labels)) => labels.push(part.label.clone()),
                None => groups.push((&part.material, vec![part.label.clone()])),
            }
        }
        let mut views: Vec<_> = groups
            .into_iter()
            .map(|(material, labels)| Self::new(sources, material, &labels))
            .collect();
        // What has evidence comes first.
        views.sort_by_key(|it| it.evidence.is_empty());
        views
    }

    fn new(sources: &Sources<'_>, material: &Material, labels: &[String]) -> Self {
        let evidence = material.evidence.iter();
        let figures = material.evidence.iter().filter(|it| points(sources, it));
        let figures = figures.take(FIGURES_MOST).filter_map(|it| {
            let photo = sources.photo(it.photo)?;
            Some(FigureView::of_mark(sources, photo, it.mark, "", &it.text))
        });
        Self {
            parts: words::listed(labels),
            text: words::sentence(&material.text),
            evidence: evidence
                .map(|it| format!("{} (picture {})", it.text, it.photo))
                .collect(),
            figures: figures.collect(),
        }
    }
}

/// Whether the observation points at something in its picture.
fn points(sources: &Sources<'_>, evidence: &Evidence) -> bool {
    let at = MarkAt {
        photo: evidence.photo,
        mark: evidence.mark,
    };
    sources.mark(at).is_some_and(|it| it.region.is_some())
}
