//! What each part is made of, with the pictures that show it.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::assessment::Evidence;
use crate::assess::assessment::MarkAt;
use crate::assess::assessment::Material;
use crate::assess::assessment::PartReport;
use crate::report::names;
use crate::report::sources::Sources;
use crate::report::view_figure::FigureView;
use crate::report::words;

/// What everything is made of.
#[derive(Clone, Debug, Serialize)]
pub(super) struct MadeView {
    /// Parts with evidence; those of which the same can be said stand together.
    groups: Vec<GroupView>,
    /// Main parts of wood without evidence, one paragraph for each text.
    bare: Vec<BareView>,
}

/// Parts of which the same can be said.
#[derive(Clone, Debug, Serialize)]
struct GroupView {
    /// Their labels.
    parts: String,
    /// The verdict, or "not settled".
    text: String,
    /// The observations that the text does not name, with their pictures' numbers.
    evidence: Vec<String>,
    /// Their pictures, each on the page once.
    figures: Vec<FigureView>,
}

/// Parts without evidence.
#[derive(Clone, Debug, Serialize)]
struct BareView {
    /// Their labels.
    parts: String,
    /// What can be said all the same.
    text: String,
}

/// Words in the ids of parts for which the build of the wood is no question (common practice, no source).
const FITTINGS: [&str; 15] = [
    "pull",
    "knob",
    "handle",
    "lock",
    "key",
    "escutcheon",
    "hinge",
    "castor",
    "glass",
    "mirror",
    "marble",
    "stone",
    "runner",
    "catch",
    "fitting",
];

impl MadeView {
    /// Of all parts.
    pub(super) fn new(sources: &Sources<'_>) -> Self {
        let parts = &sources.assessment.parts;
        let mut groups: Vec<(&Material, Vec<&str>)> = Vec::new();
        let mut bare: Vec<(&str, Vec<&str>)> = Vec::new();
        for part in parts {
            let (material, label) = (&part.material, part.label.as_str());
            if material.evidence.is_empty() {
                if part.part.is_inner() || fitting(part) {
                    continue;
                }
                let same = bare.iter_mut().find(|it| it.0 == material.text);
                match same {
                    Some((_, labels)) => labels.push(label),
                    None => bare.push((&material.text, vec![label])),
                }
            } else if !told_by_whole(parts, part) {
                match groups.iter_mut().find(|it| same(it.0, material)) {
                    Some((_, labels)) => labels.push(label),
                    None => groups.push((material, vec![label])),
                }
            }
        }
        let mut shown = BTreeSet::new();
        let groups = groups.into_iter();
        let bare = bare.into_iter().map(|(text, labels)| BareView {
            parts: names::folded(parts, &labels).join("; "),
            text: words::sentence(text),
        });
        Self {
            groups: groups
                .map(|(material, labels)| GroupView::new(sources, material, &labels, &mut shown))
                .collect(),
            bare: bare.collect(),
        }
    }
}

impl GroupView {
    fn new(
        sources: &Sources<'_>,
        material: &Material,
        labels: &[&str],
        shown: &mut BTreeSet<u32>,
    ) -> Self {
        let text = words::sentence(&material.text);
        let lower = text.to_lowercase();
        let told = |it: &&Evidence| lower.contains(&it.text.to_lowercase());
        let evidence = material.evidence.iter().filter(|it| !told(it));
        let figures = material.evidence.iter().filter(|it| points(sources, it));
        let figures = figures
            .filter(|it| shown.insert(it.photo))
            .filter_map(|it| {
                let photo = sources.photo(it.photo)?;
                Some(FigureView::of_mark(sources, photo, it.mark, "", &it.text))
            });
        Self {
            parts: names::folded(&sources.assessment.parts, labels).join("; "),
            evidence: evidence
                .map(|it| format!("{} (picture {})", it.text, it.photo))
                .collect(),
            figures: figures.collect(),
            text,
        }
    }
}

fn fitting(part: &PartReport) -> bool {
    let mut words = part.part.as_str().split(['/', '-', '_']);
    words.any(|it| FITTINGS.contains(&it))
}

/// Whether the same is said of two parts, from the same pictures.
fn same(a: &Material, b: &Material) -> bool {
    let seen = |it: &Material| -> Vec<_> {
        let evidence = it.evidence.iter();
        evidence.map(|it| (it.photo, it.text.clone())).collect()
    };
    a.text == b.text && seen(a) == seen(b)
}

/// Whether an inner part's evidence stands with its whole part already.
fn told_by_whole(parts: &[PartReport], part: &PartReport) -> bool {
    let whole = part.part.whole();
    let whole = parts.iter().find(|it| it.part == whole);
    part.part.is_inner() && whole.is_some_and(|it| same(&it.material, &part.material))
}

/// Whether the observation points at something in its picture.
fn points(sources: &Sources<'_>, evidence: &Evidence) -> bool {
    let at = MarkAt {
        photo: evidence.photo,
        mark: evidence.mark,
    };
    sources.mark(at).is_some_and(|it| it.region.is_some())
}
