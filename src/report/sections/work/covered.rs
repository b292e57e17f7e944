//! What a buyer must hear before all else of the work: new material, what is hidden and not cured, and older mending.

use crate::assess::worked::Worked;
use crate::kit::text::capital;
use crate::kit::text::small;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade;

/// So many letters are not cut.
const SHORT: usize = 60;

/// A sentence for each kind, in the words that were told; empty where nothing of it is on record.
pub(in crate::report) fn lines(sources: &PageContext<'_>) -> Vec<Saying> {
    let repairs = &sources.assessment.repairs;
    let mut lines: Vec<Saying> = new_material(sources).into_iter().collect();
    lines.extend(perhaps_new(sources));
    let hides = repairs.iter().filter_map(|it| {
        let text = capital(it.hides.as_ref()?);
        let text = Saying::Own(text.trim_end_matches('.').to_owned());
        Some(say::hides_by(text, it.no).sentence())
    });
    let hides: Vec<Saying> = hides.collect();
    lines.extend(
        (!hides.is_empty()).then(|| say::repair_hides(say::hides(), Saying::Beside(hides))),
    );
    let cue = |tag: &str| trade::book().cue(tag);
    let mended = { &sources.assessment.remarks }
        .iter()
        .filter(|it| it.unless_seen().is_empty() && cue(&it.tag).is_some_and(|it| it.earlier_work));
    lines.extend(mended.map(|it| {
        let at = say::finding_at(
            Saying::cue(&capital(&it.term)),
            Saying::part(&it.part_label),
        );
        let own = |it: &Option<String>| it.as_deref().map(|it| Saying::Own(it.to_owned()));
        let level = it.level.map(say::level_no);
        let words = [own(&it.which), own(&it.size), level, own(&it.note)];
        let words: Vec<Saying> = words.into_iter().flatten().collect();
        match words.is_empty() {
            true => at.sentence(),
            false => say::part_inner(at, Saying::Parted(words)).sentence(),
        }
    }));
    lines
}

/// Where something was replaced, with what; then what else is new. Section 4 has all of the words.
fn new_material(sources: &PageContext<'_>) -> Option<Saying> {
    let replaces = |it: &Repair| {
        let method = trade::book().method(&it.method);
        method.is_some_and(|it| it.replaces && it.adds.is_some() && !it.may_add)
    };
    let repairs = sources.assessment.repairs.iter();
    let new = repairs.filter(|it| it.new_material.is_some() || replaces(it));
    let (instead, besides): (Vec<&Repair>, Vec<&Repair>) = new.partition(|it| replaces(it));
    let mut told: Vec<Saying> = { instead.into_iter() }
        .map(|it| replaced(sources, it))
        .collect();
    let mut alike: Vec<(String, Vec<Saying>, Vec<u32>)> = Vec::new();
    for (it, text) in { besides.iter() }.filter_map(|it| Some((it, it.new_material.as_ref()?))) {
        let (what, on) = (thing(text), worked_on(sources, it));
        match alike.iter_mut().find(|it| it.0 == what) {
            Some((_, places, numbers)) => {
                let more = on.into_iter().filter(|it| !places.contains(it));
                let more: Vec<Saying> = more.collect();
                places.extend(more);
                numbers.push(it.no);
            }
            None => alike.push((what, on, vec![it.no])),
        }
    }
    told.extend(alike.into_iter().map(|(what, on, numbers)| {
        say::new_material_on(on, Saying::Own(what), words::repairs(&numbers))
    }));
    (!told.is_empty()).then(|| say::new_material(Saying::Parted(told)))
}

/// Where something new may be, as such work at times asks for, and nobody told.
fn perhaps_new(sources: &PageContext<'_>) -> Option<Saying> {
    let may = |it: &&Repair| {
        let method = trade::book().method(&it.method);
        it.new_material.is_none() && method.is_some_and(|it| it.may_add)
    };
    let told = { sources.assessment.repairs.iter() }.filter(may).map(|it| {
        let (on, method) = (worked_on(sources, it), sources.method(&it.method));
        say::new_material_on(on, say::within(method), say::repair_no(it.no))
    });
    let told: Vec<Saying> = told.collect();
    (!told.is_empty()).then(|| say::new_material_perhaps(Saying::Parted(told)))
}

/// `drawer 1, left pull: one brass pull (repair 3)`.
fn replaced(sources: &PageContext<'_>, repair: &Repair) -> Saying {
    let on = worked_on(sources, repair);
    let what = repair.new_material.as_deref().map(thing);
    let what = match what {
        Some(it) => Saying::Own(it),
        None => say::new_material_untold(sources.method(&repair.method)),
    };
    say::new_material_on(on, what, say::repair_no(repair.no))
}

/// What a repair put new material on.
fn worked_on(sources: &PageContext<'_>, repair: &Repair) -> Vec<Saying> {
    let label = |part: &PartId| say::within(sources.part(part));
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
        None => {
            // Its measures stand with the work.
            let clauses = what.trim_end_matches('.').split(", ").enumerate();
            let told = |(no, it): &(usize, &str)| *no == 0 || !is_measure(it);
            let told: Vec<&str> = clauses.filter(told).map(|it| it.1).collect();
            small(&told.join(", "))
        }
    }
}

/// Whether a clause gives a measure: `38 mm x 6 mm`, `about 20 cm2`.
fn is_measure(clause: &str) -> bool {
    let words: Vec<&str> = clause.split_whitespace().collect();
    let of_size = |pair: &[&str]| {
        let number = pair[0].chars().all(|c| c.is_ascii_digit() || c == '.');
        number && UNITS.contains(&pair[1])
    };
    words.windows(2).any(of_size)
}

/// Units of length and area.
const UNITS: [&str; 8] = ["mm", "cm", "m", "mm2", "cm2", "m2", "in", "inches"];
