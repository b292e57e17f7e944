//! What each part is made of, with the pictures that show it.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::Serialize;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::material::clue::Clue;
use crate::assess::material::settle::words;
use crate::assess::part_report::Evidence;
use crate::assess::part_report::Material;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::words::runs;
use crate::report::sections::figure::FigureView;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::tongue::stopped;

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
        let mut bare: Vec<(&Saying, Vec<&str>)> = Vec::new();
        for part in parts {
            if matches!(part.state, PartState::Absent(_)) {
                continue;
            }
            let (material, label) = (&part.material, part.label.as_str());
            if material.evidence.is_empty() {
                if part.part.is_inner() || fitting(part) {
                    continue;
                }
                let text = &material.verdict;
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
            parts: names::line(parts, &labels, sources.tongue()),
            text: stopped(&sources.said(text)),
        });
        Self {
            groups,
            bare: bare.collect(),
            woods: woods(sources),
            age: AgeView::new(sources, &mut shown),
        }
    }
}

impl GroupView {
    fn new(
        sources: &PageContext<'_>,
        material: &Material,
        labels: &[&str],
        shown: &mut BTreeSet<u32>,
    ) -> Self {
        let lower = material.verdict.english().to_lowercase();
        let told = |it: &&Evidence| lower.contains(&it.text.to_lowercase());
        let evidence = material.evidence.iter().filter(|it| !told(it));
        let figures = material.evidence.iter().filter(|it| points(sources, it));
        // A fault's picture stands with the fault.
        let figures = figures.filter(|it| !is_fault(sources, it));
        let seen = |it: &Evidence| sources.said(&Saying::cue(&it.text));
        let figures = figures
            .filter(|it| shown.insert(it.photo))
            .filter_map(|it| {
                let photo = sources.photo(it.photo)?;
                let mut figure = FigureView::of_mark(sources, photo, it.mark, "", &seen(it));
                figure.caption = sources.said(&say::picture(photo.no));
                // What was written with it stands under What else was seen.
                figure.notes = sources.weaknesses(photo.no);
                Some(figure)
            });
        Self {
            parts: names::line(&sources.assessment.parts, labels, sources.tongue()),
            text: stopped(&sources.said(&material.verdict)),
            evidence: evidence
                .map(|it| sources.said(&say::word_at(Saying::cue(&it.text), it.photo)))
                .collect(),
            possible: sources.said(&possible(material)),
            figures: figures.collect(),
        }
    }
}

/// Of the eight classes so many may be left for a list of them to say more than "not settled".
const FEW: usize = 4;

/// What a part may still be made of, in the trade book's words.
fn possible(material: &Material) -> Saying {
    let left = &material.possible;
    if left.is_empty() || left.len() > FEW {
        return Saying::nothing();
    }
    say::may_be(Saying::Parted(left.iter().map(|it| class(it)).collect()))
}

/// A class in the middle of a sentence.
fn class(class: &str) -> Saying {
    match class {
        "solid" => say::may_solid(),
        "mdf" => say::may_mdf(),
        other => say::within(words(other)),
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
        let parts = names::line(&sources.assessment.parts, &labels, sources.tongue());
        let pictures = match pictures.as_slice() {
            [one] => say::picture_small(*one),
            several => say::pictures_small(runs(several)),
        };
        let wood = Saying::Own(wood.to_owned());
        sources.said(&say::wood_by_eye(parts, wood, pictures))
    });
    lines.collect()
}

impl AgeView {
    /// `None` without a clue.
    fn new(sources: &PageContext<'_>, shown: &mut BTreeSet<u32>) -> Option<Self> {
        let made = &sources.assessment.made;
        if made.text.is_nothing() {
            return None;
        }
        let (aside, counts): (Vec<&Clue>, Vec<&Clue>) =
            made.clues.iter().partition(|it| it.aside.is_some());
        let told = |all: Vec<&Clue>| {
            let said = all.into_iter().map(|it| sources.said(&clue(it)));
            said.collect()
        };
        let figures = counts.iter().filter(|it| {
            let points = sources.mark(it.at).is_some_and(|it| it.region.is_some());
            points && shown.insert(it.at.photo)
        });
        let figures = figures.filter_map(|it| {
            let photo = sources.photo(it.at.photo)?;
            let term = sources.said(&Saying::cue(&it.term));
            Some(FigureView::of_mark(sources, photo, it.at.mark, "", &term))
        });
        Some(Self {
            text: stopped(&sources.said(&made.text)),
            figures: figures.collect(),
            clues: told(counts),
            aside: told(aside),
        })
    }
}

/// `Pointed screws; drawer 2 (picture 5): not before about 1850.`
fn clue(clue: &Clue) -> Saying {
    let part = Saying::part(&clue.part_label);
    let at = say::clue_at(Saying::cue(&clue.term), part, clue.at.photo);
    let year = |it: i16| it.to_string();
    let dated = match (clue.from, clue.to) {
        (Some(from), Some(to)) => say::clue_between(at, year(from), year(to)),
        (Some(from), None) => say::clue_after(at, year(from)),
        (None, Some(to)) => say::clue_before(at, year(to)),
        (None, None) => at,
    };
    let aside = clue.aside.iter().cloned();
    say::stated(Saying::Parted(
        std::iter::once(dated).chain(aside).collect(),
    ))
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
