//! What a buyer must hear before all else of the work: new material, what is hidden and not cured, and older mending.

use crate::assess::worked::Worked;
use crate::kit::text::capital;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::say;
use crate::trade;

/// So many letters are not cut.
const SHORT: usize = 60;

/// A sentence for each kind, in the words that were told; empty where nothing of it is on record.
pub(in crate::report) fn lines(sources: &PageContext<'_>) -> Vec<String> {
    let repairs = &sources.assessment.repairs;
    let mut lines: Vec<String> = new_material(sources).into_iter().collect();
    lines.extend(perhaps_new(sources));
    let hides = repairs.iter().filter_map(|it| {
        let (no, text) = (it.no, capital(it.hides.as_ref()?));
        Some(words::sentence(&format!(
            "{} (repair {no})",
            text.trim_end_matches('.')
        )))
    });
    let hides: Vec<String> = hides.collect();
    lines.extend((!hides.is_empty()).then(|| format!("{}: {}", say::hides(), hides.join(" "))));
    let cue = |tag: &str| trade::book().cue(tag);
    let mended = { &sources.assessment.remarks }
        .iter()
        .filter(|it| it.unless_seen().is_empty() && cue(&it.tag).is_some_and(|it| it.earlier_work));
    lines.extend(mended.map(|it| {
        let words = it.words().join("; ");
        let colon = if words.is_empty() { "" } else { ": " };
        let place = &it.part_label;
        words::sentence(&format!("{}, {place}{colon}{words}", capital(&it.term)))
    }));
    lines
}

/// Where something was replaced, with what; then what else is new. Section 4 has all of the words.
fn new_material(sources: &PageContext<'_>) -> Option<String> {
    let replaces = |it: &Repair| {
        let method = trade::book().method(&it.method);
        method.is_some_and(|it| it.replaces && it.adds.is_some() && !it.may_add)
    };
    let repairs = sources.assessment.repairs.iter();
    let new = repairs.filter(|it| it.new_material.is_some() || replaces(it));
    let (instead, besides): (Vec<&Repair>, Vec<&Repair>) = new.partition(|it| replaces(it));
    let mut told: Vec<String> = { instead.into_iter() }
        .map(|it| replaced(sources, it))
        .collect();
    let mut alike: Vec<(String, Vec<String>, Vec<u32>)> = Vec::new();
    for (it, text) in { besides.iter() }.filter_map(|it| Some((it, it.new_material.as_ref()?))) {
        let (what, on) = (thing(text), worked_on(sources, it));
        match alike.iter_mut().find(|it| it.0 == what) {
            Some((_, places, numbers)) => {
                let more = on.into_iter().filter(|it| !places.contains(it));
                let more: Vec<String> = more.collect();
                places.extend(more);
                numbers.push(it.no);
            }
            None => alike.push((what, on, vec![it.no])),
        }
    }
    told.extend(alike.iter().map(|(what, on, numbers)| {
        let repairs = words::repairs(numbers);
        format!("{}: {what} ({repairs})", joined(on))
    }));
    (!told.is_empty()).then(|| format!("New material: {}.", told.join("; ")))
}

/// Where something new may be, as such work at times asks for, and nobody told.
fn perhaps_new(sources: &PageContext<'_>) -> Option<String> {
    let may = |it: &&Repair| {
        let method = trade::book().method(&it.method);
        it.new_material.is_none() && method.is_some_and(|it| it.may_add)
    };
    let told = { sources.assessment.repairs.iter() }.filter(may).map(|it| {
        let (on, method) = (
            joined(&worked_on(sources, it)),
            sources.method_name(&it.method),
        );
        format!("{on}: {} (repair {})", small(&method), it.no)
    });
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| format!("Perhaps new material, not told: {}.", told.join("; ")))
}

/// `drawer 1, left pull: one brass pull (repair 3)`.
fn replaced(sources: &PageContext<'_>, repair: &Repair) -> String {
    let on = joined(&worked_on(sources, repair));
    let what = repair.new_material.as_deref().map(thing);
    let what = what.unwrap_or_else(|| {
        let method = sources.method_name(&repair.method);
        format!("{method}, the new material was not told")
    });
    format!("{on}: {what} (repair {})", repair.no)
}

/// What a repair put new material on, by labels in small letters.
fn worked_on(sources: &PageContext<'_>, repair: &Repair) -> Vec<String> {
    let label = |part: &PartId| small(&sources.part_label(part));
    Worked::new_material(repair, &sources.assessment.findings, trade::book()).labels(label)
}

/// What was told of new material up to where it went, which its part tells; of a long text the first clause, and that there is more.
fn thing(text: &str) -> String {
    let find = |ends: &[&str]| ends.iter().filter_map(|it| text.find(it)).min();
    let place = find(&[
        ", in the ",
        ", on the ",
        ", at the ",
        " in the ",
        " on the ",
        " at the ",
    ]);
    let what = &text[..place.unwrap_or(text.len())];
    match find(&[", ", "; ", ". "]).filter(|at| *at < what.len() && what.chars().count() > SHORT) {
        Some(end) => format!("{} and more", small(&text[..end])),
        None => small(what.trim_end_matches('.')),
    }
}
