//! What a part is made of: settled by evidence on that part, or said to be not settled.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::claims::cited::cited;
use crate::assess::part_report::Evidence;
use crate::assess::part_report::Material;
use crate::assess::timeline::DatedMark;
use crate::assess::timeline::Timeline;
use crate::kit::text::capital;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::cue::Cue;
use crate::trade::entry::form::FormPart;

/// A class is settled from this total weight on, and excluded by as much against it (common practice, no source) ...
const ENOUGH: u32 = 4;
/// ... with at least one cue of this weight ...
const STRONG: u8 = 3;
/// ... and this far ahead of the next class.
const AHEAD: u32 = 3;

/// Kinds that may be moulded composition; others only where something speaks for it (common practice, no source).
const MOULDED: [&str; 3] = ["mirror_frame", "moulding", "ornament"];

/// The view in which an edge is seen.
const EDGE: &str = "edge_line";

/// A cue seen on a part.
struct Seen<'a> {
    cue: &'a Cue,
    said: DatedMark<'a>,
}

/// The verdict on one part. Only what is seen on it counts: what its neighbours are made of is a hint where to look.
pub(crate) fn material<'a>(book: &'a TradeBook, time: &Timeline<'a>, part: &FormPart) -> Material {
    let seen = seen_on(book, time, &part.id);
    let evidence = seen.iter().map(Seen::evidence).collect();
    if let Some(class) = settled(book, &seen) {
        let for_it = seen.iter().filter(|it| it.speaks_for(&class));
        let text = format!("{}. Seen: {}.", words(&class), listed(for_it));
        return Material {
            settled: Some(class),
            possible: Vec::new(),
            look: None,
            text,
            evidence,
        };
    }
    let possible = possible(book, &seen, part);
    let look = look(book, &seen, &possible, part);
    let hint = hint(book, time, part);
    let text = match seen.is_empty() {
        true => {
            format!("Not settled: nothing is recorded that tells it.{hint} To settle it, {look}.")
        }
        false => format!(
            "Not settled. Seen: {}.{hint} To settle it, {look}.",
            listed(&seen)
        ),
    };
    Material {
        settled: None,
        possible,
        look: Some(format!("{}.", capital(&look))),
        text,
        evidence,
    }
}

/// Of a part that is not there nothing can be looked at.
pub(crate) fn of_absent() -> Material {
    Material {
        settled: None,
        possible: Vec::new(),
        look: None,
        text: "The part is not there.".to_owned(),
        evidence: Vec::new(),
    }
}

impl Seen<'_> {
    fn speaks_for(&self, class: &str) -> bool {
        self.cue.supports.as_deref() == Some(class)
    }

    fn speaks_against(&self, class: &str) -> bool {
        self.cue.against.as_deref() == Some(class)
    }

    fn evidence(&self) -> Evidence {
        Evidence {
            photo: self.said.photo.no,
            mark: self.said.index,
            text: self.cue.term.clone(),
        }
    }
}

/// Material cues seen on a part. A drawer is judged by its front, so each of the two counts for the other; what weighs nothing
/// counts for none.
fn seen_on<'a>(book: &'a TradeBook, time: &Timeline<'a>, part: &PartId) -> Vec<Seen<'a>> {
    let on_part = |said: DatedMark<'a>| {
        let cue = book.cue(said.mark.tag.as_deref()?)?;
        let tells = cue.weight > 0 && (cue.supports.is_some() || cue.against.is_some());
        let about = said.mark.part.as_ref()?;
        let counts = about == part || is_front_of(about, part) || is_front_of(part, about);
        (tells && counts && said.mark.state.is_there()).then_some(Seen { cue, said })
    };
    time.marks().filter_map(on_part).collect()
}

fn is_front_of(part: &PartId, whole: &PartId) -> bool {
    part.as_str().strip_suffix("/front") == Some(whole.as_str())
}

fn listed<'a>(seen: impl IntoIterator<Item = &'a Seen<'a>>) -> String {
    let seen = seen.into_iter();
    cited(seen.map(|it| (it.cue.term.as_str(), it.said.photo.no)))
}

/// The class that the evidence settles. The same cue in two photos counts once. Where the book knows less than enough for a
/// class, such as one strong sign alone, all of it is enough.
fn settled(book: &TradeBook, seen: &[Seen<'_>]) -> Option<String> {
    let cues: BTreeMap<&str, &Cue> = seen.iter().map(|it| (it.cue.id.as_str(), it.cue)).collect();
    let class = |cue: &Cue| cue.supports.clone();
    let deciding: BTreeSet<String> = cues
        .values()
        .filter(|it| it.decides)
        .filter_map(|it| class(it))
        .collect();
    let mut sums: BTreeMap<String, u32> = BTreeMap::new();
    for cue in cues.values() {
        if let Some(class) = class(cue) {
            *sums.entry(class).or_default() += u32::from(cue.weight);
        }
    }
    let strongly_against = |class: &str| {
        let mut cues = cues.values();
        cues.any(|it| it.against.as_deref() == Some(class) && it.weight >= STRONG)
    };
    // Strong words against one another settle nothing, however many there are.
    let rivals = |class: &str| {
        let mut strong = cues.values().filter(|it| it.weight >= STRONG);
        strong.any(|it| it.supports.as_deref().is_some_and(|it| it != class))
    };
    if let Some(only) = deciding.first() {
        let alone = !rivals(only) && !strongly_against(only);
        return alone.then(|| only.clone());
    }
    let (best, weight) = sums.iter().max_by_key(|it| it.1)?;
    let others = sums.iter().filter(|it| it.0 != best);
    let next = others.map(|it| *it.1).max().unwrap_or(0);
    let strong = cues
        .values()
        .any(|it| it.supports.as_ref() == Some(best) && it.weight >= STRONG);
    let known = book
        .cues
        .iter()
        .filter(|it| it.supports.as_ref() == Some(best));
    let all: u32 = known.map(|it| u32::from(it.weight)).sum();
    let clear = *weight >= ENOUGH.min(all) && strong && *weight >= next + AHEAD;
    (clear && !strongly_against(best) && !rivals(best)).then(|| best.clone())
}

/// Every class that the evidence does not exclude, sorted. A class is excluded by as much against it as would settle it, when
/// nothing speaks for it: one edge alone may mislead.
fn possible(book: &TradeBook, seen: &[Seen<'_>], part: &FormPart) -> Vec<String> {
    let cues: BTreeMap<&str, &Seen<'_>> = seen.iter().map(|it| (it.cue.id.as_str(), it)).collect();
    let classes: BTreeSet<&String> = book
        .cues
        .iter()
        .filter_map(|it| it.supports.as_ref())
        .collect();
    let may_be = |class: &&&String| {
        if cues.values().any(|it| it.speaks_for(class)) {
            return true;
        }
        let against = cues.values().filter(|it| it.speaks_against(class));
        let strong = against.clone().any(|it| it.cue.weight >= STRONG);
        let sum: u32 = against.map(|it| u32::from(it.cue.weight)).sum();
        let usual = class.as_str() != "composition" || MOULDED.contains(&part.kind.as_str());
        usual && !(strong && sum >= ENOUGH)
    };
    classes
        .iter()
        .filter(may_be)
        .map(|it| (*it).clone())
        .collect()
}

/// What to look at to settle it: the one or two views whose strong cues, of those not seen yet, tell most of the possible
/// classes apart.
fn look(book: &TradeBook, seen: &[Seen<'_>], possible: &[String], part: &FormPart) -> String {
    let known = |cue: &Cue| seen.iter().any(|it| it.cue.id == cue.id);
    let mut views: BTreeMap<&str, BTreeSet<&String>> = BTreeMap::new();
    for cue in book
        .cues
        .iter()
        .filter(|it| it.weight >= STRONG && !known(it))
    {
        let class = cue.supports.as_ref().filter(|it| possible.contains(it));
        if let Some((class, view)) = class.zip(cue.view.as_deref()) {
            views.entry(view).or_default().insert(class);
        }
    }
    let mut views: Vec<_> = views.into_iter().collect();
    views.sort_by_key(|(view, classes)| (std::cmp::Reverse(classes.len()), *view));
    let edge_seen = seen.iter().any(|it| it.cue.view.as_deref() == Some(EDGE));
    let place = |view: &str| match view {
        EDGE if edge_seen => "a second edge".to_owned(),
        EDGE => edge_of(&part.kind).to_owned(),
        "figure_both_faces" => "both faces of the same board".to_owned(),
        "part_close" => "the face through a loupe".to_owned(),
        "top_flat" => "the figure of the whole face".to_owned(),
        other => book
            .view(other)
            .map_or_else(String::new, |it| small(&it.label)),
    };
    let places: Vec<String> = views.iter().take(2).map(|it| place(it.0)).collect();
    match places.is_empty() {
        true => format!("look at {}", edge_of(&part.kind)),
        false => format!("look at {}", places.join(" and at ")),
    }
}

/// The edge at which a kind of part shows what it is made of (common practice, no source).
fn edge_of(kind: &str) -> &'static str {
    match kind {
        "top" => "the back edge of the top",
        "case_side" => "the back edge of the side",
        "drawer" | "drawer_front" => "the top edge of the drawer front",
        "door" => "the edges of the door",
        "lid" => "the edge of the lid",
        _ => "an edge",
    }
}

/// Veneered drawer fronts make a veneered top likely, never more than that.
fn hint(book: &TradeBook, time: &Timeline<'_>, part: &FormPart) -> String {
    if part.kind != "top" {
        return String::new();
    }
    let drawer = |id: &PartId| {
        let number: u32 = id.as_str().strip_prefix("drawer-")?.parse().ok()?;
        Some((number, id.clone()))
    };
    let marked = time
        .marks()
        .filter_map(|it| drawer(&it.mark.part.as_ref()?.whole()));
    let drawers: BTreeMap<u32, PartId> = marked.collect();
    let veneered =
        |id: &PartId| settled(book, &seen_on(book, time, id)).as_deref() == Some("veneer");
    let fronts = drawers.iter().filter(|it| veneered(it.1));
    let fronts: Vec<String> = fronts.map(|it| it.0.to_string()).collect();
    let (which, are) = match fronts.as_slice() {
        [] => return String::new(),
        [one] => (format!("front of drawer {one}"), "is"),
        many => (format!("fronts of drawers {}", joined(many)), "are"),
    };
    format!(
        " The {which} {are} veneered, so the top is likely to be veneered as well; only its own back edge settles that."
    )
}

/// A class as a buyer reads it.
pub(crate) fn words(class: &str) -> String {
    let known = match class {
        "solid" => "Solid wood",
        "veneer" => "Veneered",
        "plywood" => "Plywood",
        "particleboard" => "Particle board",
        "mdf" => "Fibre board (MDF)",
        "laminate" => "Plastic laminate or foil",
        "print" => "A printed or painted grain",
        "composition" => "A moulded composition",
        other => return other.to_owned(),
    };
    known.to_owned()
}
