//! What a part is made of: settled by evidence on that part, or said to be not settled.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use crate::assess::assessment::Evidence;
use crate::assess::assessment::Material;
use crate::assess::order::Said;
use crate::assess::order::Timeline;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::cue::Cue;
use crate::trade::form::FormPart;

/// A class is settled from this total weight on (common practice, no source) ...
const ENOUGH: u32 = 4;
/// ... with at least one cue of this weight ...
const STRONG: u8 = 3;
/// ... and this far ahead of the next class.
const AHEAD: u32 = 3;

/// What settles it (common practice, no source).
const LOOK: &str = "To settle it, look at the edge and at both faces of the same board.";

/// A cue seen on a part.
struct Seen<'a> {
    cue: &'a Cue,
    said: Said<'a>,
}

/// The verdict on one part.
pub(crate) fn material<'a>(book: &'a TradeBook, time: &Timeline<'a>, part: &FormPart) -> Material {
    let seen: Vec<Seen<'a>> = time
        .marks()
        .filter_map(|it| on_part(book, it, part))
        .collect();
    let evidence = seen.iter().map(Seen::evidence).collect();
    let settled = settled(&seen);
    let text = match (&settled, seen.is_empty()) {
        (Some(class), _) => {
            let seen: Vec<&Seen<'_>> = seen.iter().filter(|it| it.speaks_for(class)).collect();
            format!("{}. Seen: {}.", words(class), listed(&seen))
        }
        (None, true) => format!("Not settled: nothing is recorded that tells it. {LOOK}"),
        (None, false) => {
            let seen: Vec<&Seen<'_>> = seen.iter().collect();
            format!("Not settled. Seen: {}. {LOOK}", listed(&seen))
        }
    };
    Material {
        settled,
        possible: Vec::new(),
        look: None,
        text,
        evidence,
    }
}

impl Seen<'_> {
    fn speaks_for(&self, class: &str) -> bool {
        self.cue.supports.as_deref() == Some(class)
    }

    fn evidence(&self) -> Evidence {
        Evidence {
            photo: self.said.photo.no,
            mark: self.said.index,
            text: self.cue.term.clone(),
        }
    }
}

/// A mark as a material cue on this part; what is seen on a drawer's front counts for the drawer.
fn on_part<'a>(book: &'a TradeBook, said: Said<'a>, part: &FormPart) -> Option<Seen<'a>> {
    let cue = book.cue(said.mark.tag.as_deref()?)?;
    let tells = cue.supports.is_some() || cue.against.is_some();
    let about = said.mark.part.as_ref()?;
    let counts = *about == part.id || is_front_of(about, &part.id);
    (tells && counts && said.mark.state.is_there()).then_some(Seen { cue, said })
}

fn is_front_of(part: &PartId, whole: &PartId) -> bool {
    part.as_str().strip_suffix("/front") == Some(whole.as_str())
}

/// The class that the evidence settles. The same cue in two photos counts once.
fn settled(seen: &[Seen<'_>]) -> Option<String> {
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
    // What another strong cue says otherwise is not settled by one that decides.
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
    let clear = *weight >= ENOUGH && strong && *weight >= next + AHEAD;
    (clear && !strongly_against(best)).then(|| best.clone())
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

/// `a thin line of other wood along the edge (pictures 13 and 14); ...`, each cue once.
fn listed(seen: &[&Seen<'_>]) -> String {
    let mut photos: Vec<(&str, Vec<String>)> = Vec::new();
    for it in seen {
        let term = it.cue.term.as_str();
        let number = it.said.photo.no.to_string();
        match photos.iter_mut().find(|known| known.0 == term) {
            Some((_, numbers)) if numbers.contains(&number) => {}
            Some((_, numbers)) => numbers.push(number),
            None => photos.push((term, vec![number])),
        }
    }
    let one = |(term, numbers): &(&str, Vec<String>)| {
        let word = if numbers.len() == 1 {
            "picture"
        } else {
            "pictures"
        };
        let numbers = crate::assess::origin::joined(numbers);
        format!("{} ({word} {numbers})", small(term))
    };
    photos.iter().map(one).collect::<Vec<String>>().join("; ")
}

/// With a small first letter, unless the word is all capitals.
fn small(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let rest = letters.as_str();
    let shouted = rest.chars().next().is_some_and(char::is_uppercase);
    match shouted {
        true => text.to_owned(),
        false => first.to_lowercase().to_string() + rest,
    }
}
