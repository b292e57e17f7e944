//! The repairs that an exhibit names.

use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::Sighting;
use crate::assess::worked::Worked;
use crate::kit::clock::Day;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade;

/// The repairs for this fault, then the others on its part, those elsewhere on what the part belongs to, and those on the piece as a
/// whole; each with all that was told of it.
pub(in crate::report) fn repairs(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
    finding: &Finding,
) -> Vec<String> {
    let assessment = sources.assessment;
    let others = assessment.repairs.iter();
    let others = others.filter(|it| !finding.repairs.contains(&it.no));
    let on = |it: &&Repair| Worked::by(it, &assessment.findings);
    let (whole, rest): (Vec<&Repair>, Vec<&Repair>) = others.partition(|it| it.is_of_whole_piece());
    let (same, rest): (Vec<&Repair>, Vec<&Repair>) = rest
        .into_iter()
        .partition(|it| on(it).reaches(&finding.part));
    let whole_part = finding.part.whole();
    let beside = rest.into_iter();
    let beside = beside.filter(|it| on(it).parts().iter().any(|it| it.whole() == whole_part));
    let elsewhere = format!(
        "Not for this fault, elsewhere on the {}",
        small(&sources.part_label(&whole_part))
    );
    let numbers = |all: Vec<&Repair>| -> Vec<u32> { all.iter().map(|it| it.no).collect() };
    let lines = [
        ("For this fault", finding.repairs.clone()),
        ("Not for this fault, on the same part", numbers(same)),
        (elsewhere.as_str(), numbers(beside.collect())),
        ("On the piece as a whole", numbers(whole)),
    ];
    let told = lines.into_iter().filter(|it| !it.1.is_empty());
    let mut said = Vec::new();
    for (of, numbers) in told {
        said.push(format!("{of}: {}.", words::repairs(&numbers)));
        let of_these = assessment.repairs.iter();
        let of_these = of_these.filter(|it| numbers.contains(&it.no));
        said.extend(of_these.map(|it| format!("{}{}", in_full(sources, it), entered(cover, it))));
    }
    said
}

/// The repairs for a fault that are told as done since a look, before the piece left; with their lines.
pub(in crate::report) fn since(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
    finding: &Finding,
    look: &Sighting,
    left: Option<Day>,
) -> Vec<String> {
    let done = sources.assessment.repairs.iter();
    let done = done.filter(|it| finding.repairs.contains(&it.no));
    // Of work of the same day, that it came first is only known where the look shows it done.
    let is_since = |day: Day| day > look.day || (day == look.day && look.state.is_there());
    let done = done.filter(|it| is_since(it.day) && left.is_none_or(|left| it.day <= left));
    let line = |it: &Repair| {
        let entered = cover.repairs.get(&it.no);
        let line = entered.map_or_else(String::new, |it| format!(", line {}", it.line));
        format!(
            "repair {} of {} ({}{line})",
            it.no,
            it.day.spoken(),
            sources.method_name(&it.method)
        )
    };
    done.map(line).collect()
}

/// What repairs on a part hide and do not cure, a sentence each, in the owner's words.
pub(in crate::report) fn hidden_there(sources: &PageContext<'_>, part: &PartId) -> Vec<String> {
    let findings = &sources.assessment.findings;
    let here = sources.assessment.repairs.iter();
    let here = here.filter(|it| it.is_of_whole_piece() || Worked::by(it, findings).reaches(part));
    let line = |it: &Repair| {
        let hides = it.hides.as_deref()?;
        Some(format!(
            "{}, by repair {} of {}: {}",
            say::hides(),
            it.no,
            it.day.spoken(),
            words::sentence(hides)
        ))
    };
    here.filter_map(line).collect()
}

/// Every repair with all that was told of it, and on what.
pub(in crate::report) fn all_repairs(sources: &PageContext<'_>) -> Vec<String> {
    let repairs = sources.assessment.repairs.iter();
    let quoted = |it| told(sources, it, Saying::quoted);
    let told = |it| Saying::Beside(vec![quoted(it), on(sources, it)]);
    repairs.map(|it| sources.said(&told(it))).collect()
}

/// Every repair with all that was told of it and when it entered the book, after the parts that it was done on; in the order of the
/// parts, those on the piece as a whole last.
pub(in crate::report) fn by_part(sources: &PageContext<'_>, cover: &CoverRequest) -> Vec<String> {
    let it = sources.assessment;
    let place = |repair: &&Repair| {
        let on = Worked::by(repair, &it.findings);
        let listed = it.parts.iter();
        let first = { listed }.position(|part| on.parts().contains(&part.part));
        (
            repair.is_of_whole_piece(),
            first.unwrap_or(usize::MAX),
            repair.no,
        )
    };
    let mut repairs: Vec<&Repair> = it.repairs.iter().collect();
    repairs.sort_by_key(place);
    let line = |repair: &Repair| {
        let on = Worked::by(repair, &it.findings);
        let on = on.labels(|it| sources.part_label(it)).join("; ");
        format!(
            "{}: {}{}",
            capital(&on),
            in_full(sources, repair),
            entered(cover, repair)
        )
    };
    repairs.into_iter().map(line).collect()
}

/// `On: leg, front left; seat.`
fn on(sources: &PageContext<'_>, repair: &Repair) -> Saying {
    let on = Worked::by(repair, &sources.assessment.findings);
    let on = on.said(|it| sources.part_label(it)).into_iter();
    let on = on.map(say::within);
    say::repair_on(Saying::Parted(on.collect()))
}

/// The repairs of which new material was told, or which commonly add some; each with all that was told of it.
pub(in crate::report) fn new_material(
    sources: &PageContext<'_>,
    cover: &CoverRequest,
) -> Vec<String> {
    let adds = |it: &&Repair| {
        let method = trade::book().method(&it.method);
        it.new_material.is_some() || method.is_some_and(|it| it.adds.is_some())
    };
    let told = sources.assessment.repairs.iter().filter(adds);
    let line = |it: &Repair| {
        let none = match it.new_material {
            Some(_) => "",
            None => " New material: none was told, though work of this kind commonly adds some.",
        };
        let (told, entered) = (in_full(sources, it), entered(cover, it));
        format!("{told} {}{none}{entered}", on(sources, it))
    };
    told.map(line).collect()
}

/// When a repair entered the book: its day is the owner's word.
fn entered(cover: &CoverRequest, repair: &Repair) -> String {
    let it = cover.repairs.get(&repair.no);
    it.map_or_else(String::new, |it| format!(" Entered on {}.", it.words()))
}

/// `Repair 2, 21 March 2026: reglue a joint. New material: two dowels of beech. Hidden, or still visible: the old screw hole.`
fn in_full(sources: &PageContext<'_>, repair: &Repair) -> Saying {
    told(sources, repair, Saying::ended)
}

/// The same, with the owner's words as told.
fn told(sources: &PageContext<'_>, repair: &Repair, own: fn(&str) -> Saying) -> Saying {
    let method = Saying::method(&sources.method_name(&repair.method));
    let own = |text: &Option<String>| text.as_deref().map(own);
    let all = [
        Some(say::repair_told(repair.no, repair.day, method)),
        own(&repair.note).map(say::repair_note),
        own(&repair.new_material).map(say::repair_material),
        own(&repair.hides).map(|it| say::repair_hides(say::hides(), it)),
    ];
    let all = all.into_iter().flatten().map(Saying::sentence);
    Saying::Beside(all.collect())
}
