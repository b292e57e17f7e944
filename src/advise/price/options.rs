//! Ways for the whole piece: a path on every part where it can be taken, the best gentle one elsewhere.

use serde::Serialize;

use crate::advise::labour::area;
use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::tasks::AsFound;
use crate::advise::labour::tasks::Choice;
use crate::advise::price::done::done_paths;
use crate::advise::price::path_label::label;
use crate::advise::price::refused::Refused;
use crate::advise::price::refused::faceless;
use crate::advise::price::refused::refuse;
use crate::advise::price::wish;
use crate::advise::price::wish::LEAVE;
use crate::advise::price::wish::MEND;
use crate::advise::price::wish::of_face;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::advice::PathAdvice;
use crate::advise::refinish::advice::Verdict;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::path::Path;

/// The path that gives the work to somebody else, whose bill no plan of ours knows.
pub const SPECIALIST: &str = "specialist";

/// The id of the way that the user put together.
pub const CHOSEN: &str = "chosen";

/// What a way that mends and lets the surface be is called.
pub(in crate::advise) const MENDED: &str = "Mend what is broken; nothing to the surface";

/// Most parts that are named one by one.
const MOST_NAMED: usize = 3;

/// A way for the whole piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Way {
    /// The path it is made for, `mend`, or `chosen`.
    pub id: String,
    /// Its name, such as `Strip, stain, new clear coat: top; clean and wax: the rest`.
    pub label: String,
    /// The path whose sold comparables count for it.
    #[serde(rename = "path")]
    pub main: String,
    /// The path of every part that is there, in the form's order.
    pub parts: Vec<WayPart>,
    /// How many parts have no path that can be taken, because nobody looked or something shuts them all; their surface
    /// is not in the plan.
    pub undecided: usize,
    /// What a buyer sees of it when old and new finish stand side by side.
    pub two_tone: Option<String>,
    /// Why the price of a piece wholly so finished does not hold for it.
    #[serde(skip)]
    pub partly: Option<String>,
    /// What is left as it was found.
    #[serde(skip)]
    pub as_found: AsFound,
    /// Paths through which the piece went already, where this way keeps what they left.
    #[serde(skip)]
    pub done: Vec<String>,
}

/// One part of a way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WayPart {
    /// The part.
    pub part: PartId,
    /// Its label.
    pub label: String,
    /// Its path; `None` where none can be taken yet.
    pub path: Option<String>,
}

/// All ways, and what of the user's choice was refused.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ways {
    /// The user's own first, then from the gentlest on; never empty.
    pub ways: Vec<Way>,
    /// By part.
    pub refused: Vec<Refused>,
}

impl Way {
    /// Whether a price that was told of a path is one of this way.
    #[must_use]
    pub fn is_priced_by(&self, path: &str) -> bool {
        self.main == path || self.done.iter().any(|it| it == path)
    }

    /// The path of each part that has one.
    #[must_use]
    pub fn choice(&self) -> Choice {
        let with = self.parts.iter();
        let paths = with.filter_map(|it| Some((it.part.clone(), it.path.clone()?)));
        Choice {
            paths: paths.collect(),
            as_found: self.as_found.clone(),
        }
    }

    /// The paths it takes, each once, with their parts.
    #[must_use]
    pub fn by_path(&self) -> Vec<(&str, Vec<&WayPart>)> {
        let mut found: Vec<(&str, Vec<&WayPart>)> = Vec::new();
        for part in &self.parts {
            let Some(path) = part.path.as_deref() else {
                continue;
            };
            match found.iter_mut().find(|it| it.0 == path) {
                Some(line) => line.1.push(part),
                None => found.push((path, vec![part])),
            }
        }
        found
    }
}

/// The ways for a piece.
///
/// A path is a way of its own when it can be taken on one part at least, or when it keeps the old coat, only waits for looks,
/// and its price was told: a dealer at the door reckons with it. Veneer repair has no steps of its own (its work
/// comes with the findings), a specialist's and a donor's fate are no work of ours: they make no way.
#[must_use]
pub fn ways(need: &PlanInput<'_>) -> Ways {
    let advice = there(need);
    let mut found = Ways::default();
    if !need.it.piece.market.chosen.is_empty() {
        let way = chosen(need, &advice, &mut found.refused);
        found.ways.extend(way);
    }
    for path in need.book.paths.iter().filter(|it| is_ours(it)) {
        let takes = |it: &&PartAdvice| open(it, &path.id).is_some();
        let hoped_for = is_hoped_for(need, &advice, path);
        if path.id != LEAVE && !advice.iter().any(takes) && !hoped_for {
            continue;
        }
        let way = way_of(need, &advice, path);
        let choice = way.choice();
        if hoped_for
            || !found
                .ways
                .iter()
                .any(|it| it.id != CHOSEN && it.choice() == choice)
        {
            found.ways.push(way);
        }
    }
    found.ways.extend(mend(need, &found.ways));
    let done = done_paths(need);
    let faults = need.it.findings.iter().any(|it| it.is_to_do());
    for way in &mut found.ways {
        let leaves = need.book.path(of_face(&way.main)).map(|it| it.leaves);
        let keeps = matches!(leaves, Some(Leaves::OldCoat | Leaves::OldCoatMended));
        // What is left with its faults brings less than one that was finished.
        if keeps && !(faults && way.main == LEAVE) {
            way.done.clone_from(&done);
        }
    }
    found
}

/// The advice on every part that is there.
pub(in crate::advise) fn there<'a>(need: &PlanInput<'a>) -> Vec<&'a PartAdvice> {
    let all = need.advice.iter();
    all.filter(|it| area::is_there(need.it, &it.part)).collect()
}

/// Whether a path is work of ours, so that it can make a way.
pub(in crate::advise) fn is_ours(path: &Path) -> bool {
    path.id == LEAVE || (!path.steps.is_empty() && path.leaves != Leaves::NotOurs)
}

/// The way of a path: the path where it can be taken, the best gentle one elsewhere.
pub(in crate::advise) fn way_of(need: &PlanInput<'_>, there: &[&PartAdvice], path: &Path) -> Way {
    let part = |it: &&PartAdvice| {
        let own = open(it, &path.id).or_else(|| gentle(it, need.book));
        way_part(it, own)
    };
    let parts = there.iter().map(part).collect();
    let mut way = way(need.book, &path.id, path.id.clone(), parts);
    if path.id == LEAVE {
        way.as_found = AsFound::All;
    }
    way
}

/// A piece that is left, but with what is broken mended.
pub(in crate::advise) fn mended(leave: &Way) -> Way {
    Way {
        id: MEND.to_owned(),
        label: MENDED.to_owned(),
        // What a piece brings that was left says nothing of one that was mended.
        main: MEND.to_owned(),
        as_found: AsFound::Nothing,
        ..leave.clone()
    }
}

/// What is broken mended and the surface let be, where a price of that was told, or where no way of refinishing can be taken yet that
/// would mend it on the way.
fn mend(need: &PlanInput<'_>, ways: &[Way]) -> Option<Way> {
    let other = ways.iter().any(|it| it.id != LEAVE && it.id != CHOSEN);
    let told = need.it.piece.market.sold.iter().any(|it| it.path == MEND);
    let mut found = need.it.findings.iter();
    if (other && !told) || !found.any(|it| it.is_to_do()) {
        return None;
    }
    let leave = ways.iter().find(|it| it.id == LEAVE)?;
    let way = mended(leave);
    let label = match other {
        true => way.label.clone(),
        false => format!("{} yet", way.label),
    };
    Some(Way { label, ..way })
}

/// Whether a path that keeps the old coat waits everywhere and is shut nowhere, and its price was told.
fn is_hoped_for(need: &PlanInput<'_>, advice: &[&PartAdvice], path: &Path) -> bool {
    let sold = &need.it.piece.market.sold;
    let told = sold.iter().any(|it| it.path == path.id);
    let waits = |it: &&PartAdvice| {
        let mut own = it.paths.iter();
        own.any(|it| it.path == path.id && it.verdict == Verdict::Waiting)
    };
    let keeps = matches!(path.leaves, Leaves::OldCoat | Leaves::OldCoatMended);
    told && keeps && path.id != LEAVE && !advice.is_empty() && advice.iter().all(waits)
}

/// The path of this id, if it can be taken.
pub(in crate::advise) fn open<'a>(it: &'a PartAdvice, path: &str) -> Option<&'a PathAdvice> {
    let found = it.paths.iter().find(|it| it.path == path);
    found.filter(|it| it.can_be_taken())
}

/// The first path of the advice that keeps the old coat; to leave it is the last resort.
fn gentle<'a>(it: &'a PartAdvice, book: &TradeBook) -> Option<&'a PathAdvice> {
    let keeps = |it: &&PathAdvice| {
        let leaves = book.path(&it.path).map(|it| it.leaves);
        let kept = matches!(leaves, Some(Leaves::OldCoat | Leaves::OldCoatMended));
        kept && it.can_be_taken()
    };
    let mut gentle = it.paths.iter().filter(keeps);
    let best = gentle.clone().find(|it| it.path != LEAVE);
    best.or_else(|| gentle.next())
}

fn way_part(it: &PartAdvice, path: Option<&PathAdvice>) -> WayPart {
    WayPart {
        part: it.part.clone(),
        label: it.label.clone(),
        path: path.map(|it| it.path.clone()),
    }
}

/// The way that the user put together; what is shut is refused, and the gentlest taken in its place. `None` when nothing
/// of the choice is left.
fn chosen(need: &PlanInput<'_>, advice: &[&PartAdvice], refused: &mut Vec<Refused>) -> Option<Way> {
    refused.extend(faceless(need, advice));
    let mut parts = Vec::new();
    for it in advice {
        let wished = wish::path(need, &it.part);
        let taken = wished.and_then(|path| open(it, path));
        let part = way_part(it, taken.or_else(|| gentle(it, need.book)));
        // Doing nothing is refused nowhere, and what is planned all the same is not refused.
        let lacks = wished.filter(|it| *it != LEAVE && part.path.as_deref() != Some(*it));
        refused.extend(lacks.map(|path| refuse(it, path, need.book)));
        parts.push(part);
    }
    let taken: Vec<(&WayPart, &str)> = parts
        .iter()
        .filter_map(|it| Some((it, it.path.as_deref()?)))
        .collect();
    let is_wished = |it: &&(&WayPart, &str)| wish::path(need, &it.0.part) == Some(it.1);
    let first = taken.iter().find(is_wished)?;
    // What was said of all of it names the way; what was said of one part does not make its price that of the whole.
    let lines = &need.it.piece.market.chosen;
    let of_all = lines.iter().any(|it| it.part.is_none());
    let area = |path: &str| -> i64 {
        let on = taken.iter().filter(|it| it.1 == path);
        let on = on.filter(|it| !of_all || is_wished(it));
        let areas = on.filter_map(|it| need.surfaces.get(&it.0.part));
        areas.map(|it| it.milli).sum()
    };
    let place = |path: &str| need.book.paths.iter().position(|it| it.id == path);
    let main = taken.iter().map(|it| it.1);
    let main = main.max_by_key(|it| (area(it), place(it)));
    let main = main.unwrap_or(first.1).to_owned();
    let mut way = way(need.book, &main, CHOSEN.to_owned(), parts);
    way.as_found = wish::as_found(need);
    if wish::mends(need) {
        if way.main == LEAVE {
            way.main = MEND.to_owned();
        }
        way.label = way.label.replace(&label(need.book, LEAVE), MENDED);
    }
    Some(way)
}

fn way(book: &TradeBook, main: &str, id: String, parts: Vec<WayPart>) -> Way {
    let mut way = Way {
        id,
        label: label(book, main),
        main: main.to_owned(),
        undecided: parts.iter().filter(|it| it.path.is_none()).count(),
        parts,
        two_tone: None,
        partly: None,
        as_found: AsFound::Nothing,
        done: Vec::new(),
    };
    let mut lines: Vec<(String, String)> = Vec::new();
    for (path, parts) in way.by_path() {
        lines.push((label(book, path), named(&parts)));
    }
    lines.sort_by_key(|it| it.0 != label(book, main));
    if lines.len() > 1 {
        let said = lines.iter().map(|it| format!("{}: {}", it.0, it.1));
        way.label = said.collect::<Vec<_>>().join("; ");
    }
    if main != LEAVE
        && !way.parts.is_empty()
        && way.parts.iter().all(|it| it.path.as_deref() != Some(main))
    {
        way.label = format!("{}, once it was looked at", label(book, main));
    }
    way.two_tone = two_tone(&way, book);
    way.partly = partly(&way, book);
    way
}

/// Why the price of a piece wholly so finished does not hold: a new coat on a part of it only. Old finishes beside each
/// other look like one; a way that the user put together is priced as told.
fn partly(way: &Way, book: &TradeBook) -> Option<String> {
    let leaves = book.path(&way.main)?.leaves;
    let old = matches!(leaves, Leaves::OldCoat | Leaves::OldCoatMended);
    let whole = way.two_tone.is_none() && way.undecided == 0;
    if old || whole || way.id == CHOSEN {
        return None;
    }
    let by_path = way.by_path();
    let own = by_path.iter().find(|it| it.0 == way.main)?;
    Some(format!(
        "it reaches only {} of {} parts ({}); the price of a whole does not hold for that",
        own.1.len(),
        way.parts.len(),
        named(&own.1)
    ))
}

/// Parts by name, or how many.
fn named(parts: &[&WayPart]) -> String {
    if parts.len() > MOST_NAMED {
        return format!("{} parts", parts.len());
    }
    let labels = parts.iter().map(|it| it.label.to_lowercase());
    labels.collect::<Vec<_>>().join(", ")
}

fn two_tone(way: &Way, book: &TradeBook) -> Option<String> {
    let mut looks: Vec<(&str, Vec<&WayPart>)> = Vec::new();
    for (path, parts) in way.by_path() {
        let path = book.path(path)?;
        let look = path.seen_as();
        match looks.iter_mut().find(|it| it.0 == look) {
            Some(line) => line.1.extend(parts),
            None => looks.push((look, parts)),
        }
    }
    if looks.len() < 2 {
        return None;
    }
    let said = looks
        .iter()
        .map(|it| format!("{} on {}", it.0, named(&it.1)));
    let said = said.collect::<Vec<_>>().join(", ");
    Some(format!(
        "Two finishes side by side: {said}. The colours will differ."
    ))
}
