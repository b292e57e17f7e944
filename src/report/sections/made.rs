//! What each part is made of, with the pictures that show it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::material::clue::Clue;
use crate::assess::part_report::Evidence;
use crate::assess::part_report::Material;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::kit::text::small;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;

/// What everything is made of.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct MadeView {
    /// Parts with evidence; those of which the same can be said stand together.
    groups: Vec<GroupView>,
    /// Main parts of wood without evidence, one paragraph for each text.
    bare: Vec<BareView>,
    /// Woods named by eye.
    woods: Vec<String>,
    /// When it was made, when a clue tells.
    age: Option<AgeView>,
}

/// When the piece was made; an opinion.
#[derive(Clone, Debug, Serialize)]
struct AgeView {
    /// The range in words.
    text: String,
    /// The clues it rests on.
    clues: Vec<String>,
    /// Clues that do not count, and why.
    aside: Vec<String>,
    /// Pictures of the clues.
    figures: Vec<FigureView>,
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
    /// What it may still be, when that is not settled and not everything is left.
    possible: String,
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

/// The observation that names a wood by eye.
const WOOD: &str = "looks_like_wood";

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
    pub(in crate::report) fn new(sources: &PageContext<'_>) -> Self {
        let parts = &sources.assessment.parts;
        let mut groups: Vec<(&Material, Vec<&str>)> = Vec::new();
        let mut bare: Vec<(&str, Vec<&str>)> = Vec::new();
        for part in parts {
            if matches!(part.state, PartState::Absent(_)) {
                continue;
            }
            let (material, label) = (&part.material, part.label.as_str());
            if material.evidence.is_empty() {
                if part.part.is_inner() || fitting(part) {
                    continue;
                }
                let text = without_look(material);
                match bare.iter_mut().find(|it| it.0 == text) {
                    Some((_, labels)) => labels.push(label),
                    None => bare.push((text, vec![label])),
                }
            } else if !told_by_whole(parts, part) {
                match groups.iter_mut().find(|it| same(it.0, material)) {
                    Some((_, labels)) => labels.push(label),
                    None => groups.push((material, vec![label])),
                }
            }
        }
        let mut shown = BTreeSet::new();
        let groups: Vec<_> = groups
            .into_iter()
            .map(|(material, labels)| GroupView::new(sources, material, &labels, &mut shown))
            .collect();
        let bare = bare.into_iter().map(|(text, labels)| BareView {
            parts: names::folded(parts, &labels).join("; "),
            text: words::sentence(text),
        });
        Self {
            groups,
            bare: bare.collect(),
            woods: woods(sources),
            age: AgeView::new(sources, &mut shown),
        }
    }
}

/// The text without what to look at next, which the owner reads in the survey.
fn without_look(material: &Material) -> &str {
    let look = material.look.as_deref().map(small).unwrap_or_default();
    let text = material
        .text
        .strip_suffix(&format!(" To settle it, {look}"));
    text.unwrap_or(&material.text)
}

impl GroupView {
    fn new(
        sources: &PageContext<'_>,
        material: &Material,
        labels: &[&str],
        shown: &mut BTreeSet<u32>,
    ) -> Self {
        let text = words::sentence(without_look(material));
        let lower = text.to_lowercase();
        let told = |it: &&Evidence| lower.contains(&it.text.to_lowercase());
        let evidence = material.evidence.iter().filter(|it| !told(it));
        let figures = material.evidence.iter().filter(|it| points(sources, it));
        // A fault's picture stands with the fault.
        let figures = figures.filter(|it| !is_fault(sources, it));
        let figures = figures
            .filter(|it| shown.insert(it.photo))
            .filter_map(|it| {
                let photo = sources.photo(it.photo)?;
                let mut figure = FigureView::of_mark(sources, photo, it.mark, "", &it.text);
                figure.caption = format!("Picture {}", photo.no);
                // What was written with it stands under What else was seen.
                figure.notes = sources.weaknesses(photo.no);
                Some(figure)
            });
        Self {
            parts: names::folded(&sources.assessment.parts, labels).join("; "),
            evidence: evidence
                .map(|it| format!("{} (picture {})", it.text, it.photo))
                .collect(),
            possible: possible(material),
            figures: figures.collect(),
            text,
        }
    }
}

/// Of the eight classes so many may be left for a list of them to say more than "not settled".
const FEW: usize = 4;

/// What a part may still be made of, in the trade book's words.
fn possible(material: &Material) -> String {
    let left = &material.possible;
    if left.is_empty() || left.len() > FEW {
        return String::new();
    }
    let named: Vec<String> = left.iter().map(|it| class(it).to_owned()).collect();
    format!("It may be: {}.", named.join("; "))
}

/// A class in the middle of a sentence.
fn class(class: &str) -> &str {
    match class {
        "solid" => "wood all through",
        "veneer" => "veneered",
        "particleboard" => "particle board",
        "mdf" => "fibre board",
        "laminate" => "plastic laminate or foil",
        "print" => "a printed or painted grain",
        "composition" => "a moulded composition",
        other => other,
    }
}

/// Woods that were named by eye, each with its parts and pictures.
fn woods(sources: &PageContext<'_>) -> Vec<String> {
    let mut named: BTreeMap<&str, (Vec<String>, Vec<u32>)> = BTreeMap::new();
    let seen = sources.assessment.observations.iter();
    for it in seen.filter(|it| it.cue == WOOD && !it.which.is_empty()) {
        let (parts, pictures) = named.entry(&it.which).or_default();
        let label = sources.part_label(&it.part);
        if !parts.contains(&label) {
            parts.push(label);
        }
        pictures.push(it.at.photo);
    }
    let lines = named.into_iter().map(|(wood, (parts, pictures))| {
        let labels: Vec<&str> = parts.iter().map(String::as_str).collect();
        let parts = names::folded(&sources.assessment.parts, &labels).join("; ");
        let word = if pictures.len() == 1 {
            "picture"
        } else {
            "pictures"
        };
        format!(
            "{parts}: appears to be {wood}, by eye, not tested ({word} {}).",
            words::runs(&pictures)
        )
    });
    lines.collect()
}

impl AgeView {
    /// `None` without a clue.
    fn new(sources: &PageContext<'_>, shown: &mut BTreeSet<u32>) -> Option<Self> {
        let made = &sources.assessment.made;
        if made.text.is_empty() {
            return None;
        }
        let (aside, counts): (Vec<&Clue>, Vec<&Clue>) =
            made.clues.iter().partition(|it| it.aside.is_some());
        let figures = counts.iter().filter(|it| {
            let points = sources.mark(it.at).is_some_and(|it| it.region.is_some());
            points && shown.insert(it.at.photo)
        });
        let figures = figures.filter_map(|it| {
            let photo = sources.photo(it.at.photo)?;
            Some(FigureView::of_mark(
                sources, photo, it.at.mark, "", &it.term,
            ))
        });
        Some(Self {
            text: words::sentence(&made.text),
            figures: figures.collect(),
            clues: counts.into_iter().map(clue).collect(),
            aside: aside.into_iter().map(clue).collect(),
        })
    }
}

/// `Pointed screws, drawer 2 (picture 5): not before about 1850`.
fn clue(clue: &Clue) -> String {
    let years = match (clue.from, clue.to) {
        (Some(from), Some(to)) => format!(": about {from} to {to}"),
        (Some(from), None) => format!(": not before about {from}"),
        (None, Some(to)) => format!(": probably not after about {to}"),
        (None, None) => String::new(),
    };
    let aside = clue
        .aside
        .as_ref()
        .map_or_else(String::new, |it| format!("; {it}"));
    let (term, part, photo) = (&clue.term, &clue.part_label, clue.at.photo);
    format!("{term}; {part} (picture {photo}){years}{aside}.")
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

/// Whether the observation is a fault, and so has its pictures there.
fn is_fault(sources: &PageContext<'_>, evidence: &Evidence) -> bool {
    let at = MarkAt {
        photo: evidence.photo,
        mark: evidence.mark,
    };
    let mut looks = sources.findings().flat_map(|it| &it.history);
    looks.any(|it| it.marks.contains(&at))
}

/// Whether the observation points at something in its picture.
fn points(sources: &PageContext<'_>, evidence: &Evidence) -> bool {
    let at = MarkAt {
        photo: evidence.photo,
        mark: evidence.mark,
    };
    sources.mark(at).is_some_and(|it| it.region.is_some())
}
