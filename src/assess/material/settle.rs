//! What a part is made of: settled by evidence on that part, or said to be not settled.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::claims::cited::cited;
use crate::assess::material::sign::STRONG;
use crate::assess::material::sign::Sign;
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
use crate::trade::entry::material::CORES;

/// A class is settled from this total weight on with a strong sign among them, and excluded by as much against it (common
/// practice, no source) ...
const ENOUGH: u32 = 4;
/// ... and this far ahead of the next class.
const AHEAD: u32 = 3;

/// What shows its own outer layer.
const PLYWOOD: &str = "plywood";

/// Kinds that may be moulded composition; others only where something speaks for it (common practice, no source).
const MOULDED: [&str; 3] = ["mirror_frame", "moulding", "ornament"];

/// The view in which an edge is seen.
const EDGE: &str = "edge_line";

/// What tells of the material of a part, and where it was seen.
struct Seen<'a> {
    sign: Sign<'a>,
    said: DatedMark<'a>,
}

/// The verdict on one part. Only what is seen on it counts: what its neighbours are made of is a hint where to look.
pub(crate) fn material<'a>(book: &'a TradeBook, time: &Timeline<'a>, part: &FormPart) -> Material {
    let seen = seen_on(book, time, &part.id);
    let evidence = seen.iter().map(Seen::evidence).collect();
    let face = settled(book, &seen);
    let core = core(&seen, face.as_deref());
    if let Some(class) = face {
        let for_it = |it: &&Seen<'_>| it.speaks_for(&class) || it.sign.core.is_some();
        let over = core.as_deref().filter(|it| *it != class);
        let over = over.map_or_else(String::new, |it| format!(", over {}", small(&words(it))));
        let text = format!(
            "{}{over}. Seen: {}.",
            words(&class),
            listed(seen.iter().filter(for_it))
        );
        return Material {
            settled: Some(class),
            core,
            ..Material::not_settled(text, evidence)
        };
    }
    let possible = possible(book, &seen, part, core.as_deref());
    let look = look(book, &seen, &possible, part);
    let hint = hint(book, time, part);
    let hint = format!("{}{hint}", leaning(&seen));
    let below = core.as_deref().map_or_else(String::new, |it| {
        format!(" Below the face lies {}.", small(&words(it)))
    });
    let text = match seen.is_empty() {
        true => {
            format!("Not settled: nothing is recorded that tells it.{hint} To settle it, {look}.")
        }
        false => format!(
            "Not settled. Seen: {}.{below}{hint} To settle it, {look}.",
            listed(&seen)
        ),
    };
    Material {
        core,
        possible,
        look: Some(format!("{}.", capital(&look))),
        ..Material::not_settled(text, evidence)
    }
}

/// What lies below the face; of what is the same throughout, that.
fn core(seen: &[Seen<'_>], face: Option<&str>) -> Option<String> {
    let same = face.filter(|it| CORES.contains(it));
    let strong = seen.iter().filter(|it| it.sign.weight >= STRONG);
    let told: BTreeSet<&str> = strong.filter_map(|it| it.sign.core).collect();
    let one = told.first().copied().filter(|_| told.len() == 1);
    same.or(one).map(str::to_owned)
}

/// What light signs lean to, where they lean to one thing.
fn leaning(seen: &[Seen<'_>]) -> String {
    let of_face = seen.iter().filter(|it| !it.sign.is_of_core());
    let told: BTreeSet<&str> = of_face.filter_map(|it| it.sign.supports).collect();
    match told.first() {
        Some(class) if told.len() == 1 => {
            format!(" That leans to {}, and only leans.", small(&words(class)))
        }
        _ => String::new(),
    }
}

/// Of a part that is not there nothing can be looked at.
pub(crate) fn of_absent() -> Material {
    Material::not_settled("The part is not there.".to_owned(), Vec::new())
}

impl Seen<'_> {
    fn speaks_for(&self, class: &str) -> bool {
        self.sign.supports == Some(class)
    }

    fn speaks_against(&self, class: &str) -> bool {
        self.sign.against == Some(class)
    }

    fn evidence(&self) -> Evidence {
        Evidence {
            photo: self.said.photo.no,
            mark: self.said.index,
            text: self.sign.term.to_owned(),
        }
    }
}

/// What was seen of the material of a part. A drawer is judged by its front, so each of the two counts for the other; what
/// weighs nothing counts for none.
fn seen_on<'a>(book: &'a TradeBook, time: &Timeline<'a>, part: &PartId) -> Vec<Seen<'a>> {
    let on_part = |said: DatedMark<'a>| {
        let word = said.mark.tag.as_deref()?;
        let by_cue = || Sign::of_cue(book.cue(word)?);
        let by_fault = || Sign::of_fault(book.tag(word)?);
        let sign = by_cue().or_else(by_fault)?;
        let about = said.mark.part.as_ref()?;
        let counts = about == part || is_front_of(about, part) || is_front_of(part, about);
        (counts && said.mark.state.is_there()).then_some(Seen { sign, said })
    };
    time.marks().filter_map(on_part).collect()
}

fn is_front_of(part: &PartId, whole: &PartId) -> bool {
    part.as_str().strip_suffix("/front") == Some(whole.as_str())
}

fn listed<'a>(seen: impl IntoIterator<Item = &'a Seen<'a>>) -> String {
    let seen = seen.into_iter();
    cited(seen.map(|it| (it.sign.term, it.said.photo.no)))
}

/// The class of the face that the evidence settles. What lies below settles it only where nothing speaks for a face of its own:
/// plywood then shows its own outer layer; board of chips or fibres is covered by something that has still to be looked at.
fn settled(book: &TradeBook, seen: &[Seen<'_>]) -> Option<String> {
    let by_id: BTreeMap<&str, Sign<'_>> = seen.iter().map(|it| (it.sign.id, it.sign)).collect();
    let (of_core, of_face): (Vec<Sign<'_>>, Vec<Sign<'_>>) =
        by_id.values().copied().partition(Sign::is_of_core);
    if let Some(class) = face(book, &of_face, &of_core) {
        return Some(class);
    }
    let rival = of_face
        .iter()
        .any(|it| it.supports.is_some() && it.weight >= STRONG);
    let plywood = of_core.iter().all(|it| it.core == Some(PLYWOOD));
    (plywood && !of_core.is_empty() && !rival).then(|| PLYWOOD.to_owned())
}

/// By what speaks of the face. The same sign in two photos counts once. Where the book knows less than enough for a class, such
/// as one strong sign alone, all of it is enough.
fn face(book: &TradeBook, of_face: &[Sign<'_>], of_core: &[Sign<'_>]) -> Option<String> {
    let deciding: BTreeSet<&str> = of_face
        .iter()
        .filter(|it| it.decides)
        .filter_map(|it| it.supports)
        .collect();
    let mut sums: BTreeMap<&str, u32> = BTreeMap::new();
    for sign in of_face {
        if let Some(class) = sign.supports {
            *sums.entry(class).or_default() += u32::from(sign.weight);
        }
    }
    let strongly_against = |class: &str| {
        let mut all = of_face.iter().chain(of_core);
        all.any(|it| it.against == Some(class) && it.weight >= STRONG)
    };
    // Strong words against one another settle nothing, however many there are.
    let rivals = |class: &str| {
        let mut strong = of_face.iter().filter(|it| it.weight >= STRONG);
        strong.any(|it| it.supports.is_some_and(|it| it != class))
    };
    if let Some(only) = deciding.first() {
        let alone = !rivals(only) && !strongly_against(only);
        return alone.then(|| (*only).to_owned());
    }
    let (best, weight) = sums.iter().max_by_key(|it| it.1)?;
    let others = sums.iter().filter(|it| it.0 != best);
    let next = others.map(|it| *it.1).max().unwrap_or(0);
    let strong = of_face
        .iter()
        .any(|it| it.supports == Some(best) && it.weight >= STRONG);
    let known = book.cues.iter().filter_map(Sign::of_cue);
    let known = known.filter(|it| it.supports == Some(best));
    let all: u32 = known.map(|it| u32::from(it.weight)).sum();
    let clear = *weight >= ENOUGH.min(all) && strong && *weight >= next + AHEAD;
    (clear && !strongly_against(best) && !rivals(best)).then(|| (*best).to_owned())
}

/// Every class that the evidence does not exclude, sorted. A class is excluded by as much against it as would settle it, when
/// nothing speaks for it: one edge alone may mislead.
fn possible(
    book: &TradeBook,
    seen: &[Seen<'_>],
    part: &FormPart,
    core: Option<&str>,
) -> Vec<String> {
    let cues: BTreeMap<&str, &Seen<'_>> = seen.iter().map(|it| (it.sign.id, it)).collect();
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
        let strong = against.clone().any(|it| it.sign.weight >= STRONG);
        let sum: u32 = against.map(|it| u32::from(it.sign.weight)).sum();
        if core.is_some_and(|core| !may_lie_on(class, core)) {
            return false;
        }
        let usual = class.as_str() != "composition" || MOULDED.contains(&part.kind.as_str());
        usual && !(strong && sum >= ENOUGH)
    };
    classes
        .iter()
        .filter(may_be)
        .map(|it| (*it).clone())
        .collect()
}

/// Whether a face of this class may lie on such a core. On a core of wood anything may: it shows in a chip of paint as well.
fn may_lie_on(class: &str, core: &str) -> bool {
    let covers = ["laminate", "print", "veneer"].contains(&class);
    core == "solid" || covers || class == core
}

/// What to look at to settle it: the one or two views whose strong cues, of those not seen yet, tell most of the possible
/// classes apart.
fn look(book: &TradeBook, seen: &[Seen<'_>], possible: &[String], part: &FormPart) -> String {
    let known = |cue: &Cue| seen.iter().any(|it| it.sign.id == cue.id);
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
    let edge_seen = seen.iter().any(|it| it.sign.view == Some(EDGE));
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
