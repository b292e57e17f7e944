//! Which coat a part has now, and whether it is its first one.

use std::collections::BTreeSet;

use crate::advise::part::context::PartContext;
use crate::advise::part::context::set;
use crate::assess::assessment::FindingState;
use crate::model::repair::Repair;
use crate::trade::entry::condition::Fact;

/// What is known of the coat.
pub(crate) struct Coat {
    /// Every coat it may have now.
    pub(crate) now: BTreeSet<String>,
    /// Whether it is the first one.
    pub(crate) first: BTreeSet<String>,
}

/// Words in what the owner wrote of a clear coat, and the coat they mean.
const NAMED: [(&str, &str); 4] = [
    ("shellac", "shellac"),
    ("lacquer", "lacquer"),
    ("varnish", "varnish"),
    ("polyurethane", "varnish"),
];

/// The coat of a part that may be made of these materials.
pub(crate) fn coat(about: PartContext<'_>, materials: &BTreeSet<String>, looked_at: bool) -> Coat {
    let overpainted = |it: &&_| about.is_on_face(it) && it.tag == "overpaint";
    let paint = about.it.findings.iter().filter(overpainted);
    let painted_now = paint.clone().any(|it| it.state.is_open());
    let painted_ever = paint
        .into_iter()
        .any(|it| it.state != FindingState::Withdrawn);
    let refinished = about.on_it().any(|it| is_refinishing(about, &it.cue));
    let recoated = about
        .repairs()
        .filter_map(|it| about.book.method(&it.method))
        .any(|it| it.recoats);
    let kept = about.on_face().any(|it| it.cue == "patina_kept");
    let first = match painted_ever || refinished || recoated {
        true => set(&["no"]),
        false if kept => set(&["yes"]),
        false => set(&["no", "yes"]),
    };
    let mut now = tested(about);
    if painted_now {
        now.push(set(&["paint"]));
    }
    let mut all = set(Fact::Finish.values());
    all.remove("unknown");
    let known = now.iter().fold(all.clone(), |sum, it| &sum & it);
    // Words against one another tell nothing.
    let mut now = if known.is_empty() { all } else { known };
    if now.len() > 1 && looked_at && !painted_now && shows_wood(about, materials) {
        now.remove("paint");
    }
    Coat { now, first }
}

fn is_refinishing(about: PartContext<'_>, cue: &str) -> bool {
    let cue = about.book.cue(cue);
    cue.is_some_and(|it| it.group == "refinishing" && it.id != "patina_kept")
}

/// What every test says that is later than the last work on the coat; what that work left, where there is none.
fn tested(about: PartContext<'_>) -> Vec<BTreeSet<String>> {
    let coats = about
        .repairs()
        .filter_map(|it| Some((it, left_by(about, it)?)));
    let last = coats.max_by_key(|(it, _)| (it.day, it.no));
    let since = last.as_ref().map(|(it, _)| it.day);
    let tests = about
        .on_face()
        .filter(|it| since.is_none_or(|day| it.day > day));
    let says = |cue: &str| about.book.cue(cue)?.coat.as_deref();
    let tests: Vec<_> = tests
        .filter_map(|it| Some(set(&[says(&it.cue)?])))
        .collect();
    match tests.is_empty() {
        true => last.map(|it| it.1).into_iter().collect(),
        false => tests,
    }
}

/// Every coat that a repair may have left; `None` where the coat stayed what it was.
fn left_by(about: PartContext<'_>, repair: &Repair) -> Option<BTreeSet<String>> {
    let coats = &about.book.method(&repair.method)?.leaves;
    if coats.is_empty() {
        return None;
    }
    let written = repair
        .new_material
        .clone()
        .unwrap_or_default()
        .to_lowercase();
    let named = NAMED.iter().find(|it| written.contains(it.0));
    let named = named.filter(|(_, coat)| coats.iter().any(|it| it == coat));
    let all = || coats.iter().cloned().collect();
    Some(named.map_or_else(all, |(_, coat)| set(&[coat])))
}

/// Whether what was recorded shows that no paint lies over the wood. Veneer and pictures of wood are there to be seen: where
/// no later paint is recorded on them, there is none.
fn shows_wood(about: PartContext<'_>, materials: &BTreeSet<String>) -> bool {
    let shown = ["laminate", "print", "veneer"];
    let to_be_seen = materials.iter().all(|it| shown.contains(&it.as_str()));
    let seen = about
        .on_face()
        .filter_map(|it| about.book.cue(&it.cue))
        .any(|it| it.shows_wood);
    to_be_seen || seen
}
