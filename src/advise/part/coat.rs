//! Which coat a part has now, and whether it is its first one.

use std::collections::BTreeSet;

use crate::advise::part::context::PartContext;
use crate::advise::part::context::is_said_gone;
use crate::advise::part::context::set;
use crate::advise::part::face;
use crate::advise::part::surface;
use crate::advise::part::surface::Kinds;
use crate::assess::findings::finding::Finding;
use crate::kit::clock::Day;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::trade::entry::condition::Fact;
use crate::trade::entry::cue::Cue;
use crate::trade::entry::kind::Shown;

/// What is known of the coat.
pub(crate) struct Coat {
    /// Every coat it may have now.
    pub(crate) now: BTreeSet<String>,
    /// Whether it is the first one.
    pub(crate) first: BTreeSet<String>,
    /// Whether the work on record gave the face the coat it has.
    pub(crate) ours: BTreeSet<String>,
}

/// Words in what the owner wrote of a clear coat, and the coat they mean.
const NAMED: [(&str, &str); 4] = [
    ("shellac", "shellac"),
    ("lacquer", "lacquer"),
    ("varnish", "varnish"),
    ("polyurethane", "varnish"),
];

/// The coat of a part that may be made of these materials.
pub(crate) fn coat(
    about: PartContext<'_>,
    materials: &BTreeSet<String>,
    looked_at: bool,
    opinions: &mut Vec<String>,
) -> Coat {
    let overpainted = |it: &&_| about.is_on_face(it) && it.tag == "overpaint";
    let paint = about.it.findings.iter().filter(overpainted);
    let painted_now = paint.clone().any(|it| it.is_to_do());
    let painted_ever = paint.into_iter().any(Finding::was_there);
    let refinished = about.on_it().any(|it| is_refinishing(about, &it.cue));
    let recoated = about
        .repairs()
        .filter_map(|it| about.book.method(&it.method))
        .any(|it| it.recoats);
    let kept = about.on_face().any(|it| it.cue == "patina_kept");
    let sanded =
        |it: &Finding| it.tag == "veneer_sand_through" && it.was_there() && about.is_on_face(it);
    let sanded = about.it.findings.iter().any(sanded) || face::is_sanded_thin(about);
    let ours = match work(about) {
        Some((_, coats)) if !painted_now => !coats.contains("bare"),
        _ => false,
    };
    let mut now = tested(about);
    if painted_now {
        now.push(set(&["paint"]));
    }
    if let Some(text) = gilded_by_note(about).filter(|_| now.is_empty()) {
        opinions.push(text);
        now.push(set(&["gilding"]));
    }
    let mut all = set(Fact::Finish.values());
    all.remove("unknown");
    // Gilding is seen without a test: where nobody tells of it there is none, but on what is often gilded.
    let may_be = is_often_gilded(about) && now.is_empty() && !shows_wood(about, materials);
    for (seen, cue) in [("gilding", "fin_gilt"), ("bronze", "fin_bronze")] {
        let open = may_be && !is_said_gone(about.it, cue, about.part);
        if !(open || now.iter().any(|it| it.contains(seen))) {
            all.remove(seen);
        }
    }
    let known = now.iter().fold(all.clone(), |sum, it| &sum & it);
    // Words against one another tell nothing.
    let mut now = if known.is_empty() { all } else { known };
    let alike =
        is_wooden(about) && looked_at && !painted_ever && !refinished && now.contains("paint");
    if let Some((coat, text)) = elsewhere(about).filter(|_| alike && now.len() > 1) {
        opinions.push(text);
        now = coat;
    }
    let painted = elsewhere_painted(about).filter(|_| alike && now.len() > 1);
    if let Some(text) = painted.filter(|_| !shows_wood(about, materials)) {
        opinions.push(text);
        now = set(&["paint"]);
    }
    if now.len() > 1 && looked_at && !painted_now && shows_wood(about, materials) {
        now.remove("paint");
    }
    let ours = set(&[if ours { "yes" } else { "no" }]);
    let no_film = now.iter().all(|it| it == "bare" || it == "oilwax");
    let first = match painted_ever || refinished || recoated || sanded || no_film {
        true => set(&["no"]),
        false if kept => set(&["yes"]),
        false => set(&["no", "yes"]),
    };
    Coat { now, first, ours }
}

/// Whether such a part of such a piece is often gilded.
fn is_often_gilded(about: PartContext<'_>) -> bool {
    let kinds = Kinds::of(about.it, about.book);
    let form = about.book.form(&about.it.piece.form);
    form.is_some_and(|it| it.is_often_gilded(kinds.kind(about.part)))
}

/// What is not of wood, such as a hinge, is not finished with the wood round it.
fn is_wooden(about: PartContext<'_>) -> bool {
    let kinds = Kinds::of(about.it, about.book);
    let kind = about.book.kind(kinds.kind(about.part));
    kind.is_none_or(|it| !it.not_wood)
}

/// The coat that every test on other parts of the piece found, as an opinion: one test speaks for what looks the same. Not where
/// work has changed a coat, nor where two tests differ.
fn elsewhere(about: PartContext<'_>) -> Option<(BTreeSet<String>, String)> {
    if is_recoated(about) {
        return None;
    }
    let tests = about.it.observations.iter().filter_map(|it| {
        let cue = about.book.cue(&it.cue).filter(|it| it.is_test)?;
        Some((it, cue.coat.as_deref()?))
    });
    let tests: Vec<_> = tests.collect();
    let (first, coat) = *tests.first()?;
    // A look that tells another coat elsewhere, such as paint, speaks against likeness as a second test does.
    let mut told = about
        .it
        .observations
        .iter()
        .filter_map(|it| about.book.cue(&it.cue));
    if told.any(|it| it.coat.as_deref().is_some_and(|it| it != coat)) {
        return None;
    }
    let text = format!(
        "{}: its coat is taken in our opinion to be that of {}, where it was tested; try a hidden spot before the work.",
        about.it.label(about.part),
        small(&about.it.label(&first.part))
    );
    Some((set(&[coat]), text))
}

/// Whether work on record changed a coat of the piece: then no part speaks for another.
fn is_recoated(about: PartContext<'_>) -> bool {
    let repairs = about.it.repairs.iter();
    let mut methods = repairs.filter_map(|it| about.book.method(&it.method));
    methods.any(|it| it.recoats || !it.leaves.is_empty())
}

/// That a part is taken to be painted, as an opinion: another part of its kind is, or most of the faces that were looked at are.
/// Not where another coat is told anywhere, nor where the paint is told to be new.
fn elsewhere_painted(about: PartContext<'_>) -> Option<String> {
    // What is covered has no coat to be like another.
    if is_recoated(about) || surface::is_covered(about.it, about.part, about.book) {
        return None;
    }
    let told = about.it.observations.iter().filter_map(|it| {
        let cue = about.book.cue(&it.cue)?;
        Some((it.part.whole(), cue.id.as_str(), cue.coat.as_deref()?))
    });
    let told: Vec<_> = told.collect();
    if told.iter().any(|it| it.1 != OLD_PAINT && it.2 != "unknown") {
        return None;
    }
    let is_painted = |part: &PartId| told.iter().any(|it| it.0 == *part && it.1 == OLD_PAINT);
    let kinds = Kinds::of(about.it, about.book);
    let faces = about.it.parts.iter().filter(|it| {
        let shown = surface::shown(kinds.kind(&it.part), about.book) != Shown::No;
        shown
            && !it.part.is_inner()
            && PartContext {
                part: &it.part,
                ..about
            }
            .looked_at()
    });
    let faces: Vec<&PartId> = faces.map(|it| &it.part).collect();
    let own = kinds.kind(about.part);
    let alike = faces
        .iter()
        .find(|it| kinds.kind(it) == own && is_painted(it));
    let most = || {
        let painted = faces.iter().filter(|it| is_painted(it));
        let first = painted.clone().next();
        first.filter(|_| painted.count() * 2 > faces.len())
    };
    let like = alike.or_else(most)?;
    Some(format!(
        "{}: taken in our opinion to be painted, as {} is; mark its coat if it is another.",
        about.it.label(about.part),
        small(&about.it.label(like))
    ))
}

/// Paint of which nobody told that it is new.
const OLD_PAINT: &str = "fin_paint";

/// Words in a note of the owner that tell of gilding.
const GILT: [&str; 3] = ["gilded", "gilding", "gilt"];

/// What is taken from a note on the face that speaks of gilding, as an opinion: nobody wipes gold to find out.
fn gilded_by_note(about: PartContext<'_>) -> Option<String> {
    let seen = about.on_face().filter_map(|it| it.note.as_deref());
    let found = about.it.findings.iter().filter(|it| about.is_on_face(it));
    let found = found.flat_map(|it| {
        it.history
            .iter()
            .flat_map(|it| it.notes.iter().map(|it| it.text.as_str()))
    });
    let gilt = |it: &str| {
        let text = it.to_lowercase();
        let words: Vec<&str> = text.split(|c: char| !c.is_alphabetic()).collect();
        text.contains("gold leaf") || words.iter().any(|it| GILT.contains(it))
    };
    let note = seen.chain(found).find(|it| gilt(it))?;
    let label = about.report().map_or("", |it| it.label.as_str());
    Some(format!(
        "{label}: taken in our opinion to be gilded, as your note says `{note}`; mark it as `fin_gilt_water`, `fin_gilt_oil`, `fin_gilt` or `fin_bronze`."
    ))
}

fn is_refinishing(about: PartContext<'_>, cue: &str) -> bool {
    let cue = about.book.cue(cue);
    cue.is_some_and(|it| it.group == "refinishing" && it.id != "patina_kept")
}

/// What every test says that is later than the last work on the coat; what that work left, where there is none.
fn tested(about: PartContext<'_>) -> Vec<BTreeSet<String>> {
    let last = work(about);
    let since = last.as_ref().map(|it| it.0);
    let tests = about
        .on_face()
        .filter(|it| since.is_none_or(|day| it.day > day));
    let told = tests
        .filter_map(|it| about.book.cue(&it.cue))
        .collect::<Vec<_>>();
    // Paint has a binder that answers a solvent as a clear coat of it does: what hides the grain is paint, whatever a test of it says.
    let is_paint = |it: &&Cue| it.coat.as_deref() == Some("paint");
    let painted = told.iter().any(is_paint);
    let told = told.into_iter().filter(|it| !(painted && it.is_test));
    let tests: Vec<_> = told
        .filter_map(|it| it.coat.as_deref())
        .map(|it| set(&[it]))
        .collect();
    match tests.is_empty() {
        true => last.map(|it| it.1).into_iter().collect(),
        false => tests,
    }
}

/// The coats that the work on the face may have left, with the day of the last that changed it; `None` when none did.
fn work(about: PartContext<'_>) -> Option<(Day, BTreeSet<String>)> {
    let mut repairs: Vec<&Repair> = about.repairs().collect();
    repairs.sort_by_key(|it| (it.day, it.no));
    let mut last: Option<(Day, BTreeSet<String>)> = None;
    for repair in repairs {
        let Some(method) = about.book.method(&repair.method) else {
            continue;
        };
        let bare = last.as_ref().is_some_and(|it| it.1 == set(&["bare"]));
        let coats = match method.leaves.is_empty() && bare {
            true => &method.leaves_on_bare,
            false => &method.leaves,
        };
        if !coats.is_empty() {
            last = Some((repair.day, named_in(repair, coats)));
        }
    }
    last
}

/// Of these coats the one that the owner names as new material; all of them when none is named.
fn named_in(repair: &Repair, coats: &[String]) -> BTreeSet<String> {
    let written = [&repair.new_material, &repair.note];
    let written: Vec<String> = written.into_iter().flatten().cloned().collect();
    let written = written.join(" ").to_lowercase();
    let named = NAMED.iter().find(|it| written.contains(it.0));
    let named = named.filter(|(_, coat)| coats.iter().any(|it| it == coat));
    match named {
        Some((_, coat)) => set(&[coat]),
        None => coats.iter().cloned().collect(),
    }
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
