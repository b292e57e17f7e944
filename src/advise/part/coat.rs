//! Which coat a part has now, and whether it is its first one.

use std::collections::BTreeSet;

use crate::advise::part::about::About;
use crate::advise::part::about::set;
use crate::assess::assessment::FindingState;
use crate::model::repair::Repair;

/// What is known of the coat.
pub(crate) struct Coat {
    /// Every coat it may have now.
    pub(crate) now: BTreeSet<String>,
    /// Whether it is the first one.
    pub(crate) first: BTreeSet<String>,
}

/// Every coat there is, and none.
const COATS: [&str; 6] = ["bare", "lacquer", "oilwax", "paint", "shellac", "varnish"];

/// What tests of the coat, or a look at it, say.
const TESTS: [(&str, &str); 6] = [
    ("fin_bare", "bare"),
    ("fin_paint", "paint"),
    ("fin_alcohol", "shellac"),
    ("fin_thinner", "lacquer"),
    ("fin_neither", "varnish"),
    ("fin_soaks", "oilwax"),
];

/// What the work leaves on a face.
const WORK: [(&str, &[&str]); 6] = [
    ("paint", &["paint"]),
    ("french_polish", &["shellac"]),
    ("oil_wax", &["oilwax"]),
    ("topcoat", &["lacquer", "shellac", "varnish"]),
    ("strip", &["bare"]),
    ("veneer_replace", &["bare"]),
];

/// Words in what the owner wrote of a clear coat, and the coat they mean.
const NAMED: [(&str, &str); 4] = [
    ("shellac", "shellac"),
    ("lacquer", "lacquer"),
    ("varnish", "varnish"),
    ("polyurethane", "varnish"),
];

/// Work after which a coat is no longer the first one.
const RECOATS: [&str; 10] = [
    "paint",
    "french_polish",
    "oil_wax",
    "topcoat",
    "strip",
    "veneer_replace",
    "pad_over",
    "reamalgamate",
    "sand",
    "stain",
];

/// Observations that show the figure or the pores of the wood: what lies over it is clear.
const WOOD_SEEN: [&str; 10] = [
    "end_grain_runs",
    "figure_both_sides",
    "book_match",
    "cross_grain_edge",
    "wide_single_board",
    "boards_glued",
    "marks_rotary",
    "refin_stain_pores",
    "patina_kept",
    "looks_like_wood",
];

/// The coat of a part that may be made of these materials.
pub(crate) fn coat(about: About<'_>, materials: &BTreeSet<String>, looked_at: bool) -> Coat {
    let overpainted = |it: &&_| about.is_on_face(it) && it.tag == "overpaint";
    let paint = about.it.findings.iter().filter(overpainted);
    let painted_now = paint.clone().any(|it| it.state.is_open());
    let painted_ever = paint
        .into_iter()
        .any(|it| it.state != FindingState::Withdrawn);
    let refinished = about.on_it().any(|it| is_refinishing(about, &it.cue));
    let recoated = about
        .repairs()
        .any(|it| RECOATS.contains(&it.method.as_str()));
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
    let all = set(&COATS);
    let known = now.iter().fold(all.clone(), |sum, it| &sum & it);
    // Words against one another tell nothing.
    let mut now = if known.is_empty() { all } else { known };
    if now.len() > 1 && looked_at && !painted_now && shows_wood(about, materials) {
        now.remove("paint");
    }
    Coat { now, first }
}

fn is_refinishing(about: About<'_>, cue: &str) -> bool {
    let cue = about.book.cue(cue);
    cue.is_some_and(|it| it.group == "refinishing" && it.id != "patina_kept")
}

/// What every test says that is later than the last work on the coat; what that work left, where there is none.
fn tested(about: About<'_>) -> Vec<BTreeSet<String>> {
    let coats = about.repairs().filter_map(|it| Some((it, left_by(it)?)));
    let last = coats.max_by_key(|(it, _)| (it.day, it.no));
    let since = last.as_ref().map(|(it, _)| it.day);
    let tests = about
        .on_face()
        .filter(|it| since.is_none_or(|day| it.day > day));
    let says = |cue: &str| TESTS.iter().find(|it| it.0 == cue);
    let tests: Vec<_> = tests
        .filter_map(|it| Some(set(&[says(&it.cue)?.1])))
        .collect();
    match tests.is_empty() {
        true => last.map(|it| it.1).into_iter().collect(),
        false => tests,
    }
}

fn left_by(repair: &Repair) -> Option<BTreeSet<String>> {
    let (_, coats) = WORK.iter().find(|it| it.0 == repair.method)?;
    let written = repair
        .new_material
        .clone()
        .unwrap_or_default()
        .to_lowercase();
    let named = NAMED.iter().find(|it| written.contains(it.0));
    let named = named.filter(|(_, coat)| coats.contains(coat));
    Some(named.map_or_else(|| set(coats), |(_, coat)| set(&[coat])))
}

/// Whether what was recorded shows that no paint lies over the wood. Veneer and pictures of wood are there to be seen: where
/// no later paint is recorded on them, there is none.
fn shows_wood(about: About<'_>, materials: &BTreeSet<String>) -> bool {
    let shown = ["laminate", "print", "veneer"];
    let to_be_seen = materials.iter().all(|it| shown.contains(&it.as_str()));
    let seen = about
        .on_face()
        .any(|it| WOOD_SEEN.contains(&it.cue.as_str()));
    to_be_seen || seen
}
