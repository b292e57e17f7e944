//! What a buyer must hear before all else of the work: new material, what is hidden and not cured, and older mending.

use crate::kit::text::capital;
use crate::report::page::context::PageContext;
use crate::report::page::words;
use crate::trade;

/// In the trade book, the group of what was mended before.
const MENDED: &str = "repair";

/// A sentence for each kind, in the words that were told; empty where nothing of it is on record.
pub(in crate::report) fn lines(sources: &PageContext<'_>) -> Vec<String> {
    let repairs = &sources.assessment.repairs;
    let new = repairs.iter().filter(|it| it.new_material.is_some());
    let new: Vec<u32> = new.map(|it| it.no).collect();
    let mut lines = Vec::new();
    if !new.is_empty() {
        let word = if new.len() == 1 { "repair" } else { "repairs" };
        lines.push(format!("New material: {word} {}.", words::runs(&new)));
    }
    let hides = repairs
        .iter()
        .filter_map(|it| Some((it.no, it.hides.as_ref()?)));
    let hides = hides.map(|(no, text)| format!("repair {no}: {}", words::sentence(&capital(text))));
    let hides: Vec<String> = hides.collect();
    if !hides.is_empty() {
        lines.push(format!("Hidden, not cured: {}", hides.join(" ")));
    }
    let cue = |tag: &str| trade::book().cue(tag);
    let mended = { &sources.assessment.remarks }.iter().filter(|it| {
        it.unless_seen().is_empty() && cue(&it.tag).is_some_and(|it| it.group == MENDED)
    });
    lines.extend(mended.map(|it| {
        let words = it.words().join("; ");
        let colon = if words.is_empty() { "" } else { ": " };
        let place = &it.part_label;
        words::sentence(&format!("{}, {place}{colon}{words}", capital(&it.term)))
    }));
    lines
}
