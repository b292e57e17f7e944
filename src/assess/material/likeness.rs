//! What a part is likely made of, by what its likes are: an opinion that opens looks, and is marked as one.

use crate::assess::part_list::PartList;
use crate::assess::part_report::Likely;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::kit::text::joined;
use crate::kit::text::small;
use crate::trade::TradeBook;

/// Tells of every part that is not settled what is likely.
pub(crate) fn likely(parts: &mut [PartReport], list: &PartList, book: &TradeBook) {
    let found: Vec<Option<Likely>> = parts
        .iter()
        .map(|it| of_part(it, parts, list, book))
        .collect();
    for (part, likely) in parts.iter_mut().zip(found) {
        part.material.likely = likely;
    }
}

fn of_part(
    it: &PartReport,
    parts: &[PartReport],
    list: &PartList,
    book: &TradeBook,
) -> Option<Likely> {
    let open = it.material.settled.is_none() && !matches!(it.state, PartState::Absent(_));
    let kind = |part: &PartReport| list.get(&part.part).map(|it| it.kind.as_str());
    let own = kind(it).filter(|_| open)?;
    let may_be = |class: &str| it.material.possible.iter().any(|it| it == class);
    let likes = parts
        .iter()
        .filter(|other| kind(other) == Some(own) && other.part != it.part);
    let settled: Vec<(&PartReport, &str)> = likes
        .clone()
        .filter_map(|it| Some((it, it.material.settled.as_deref()?)))
        .collect();
    let alike = settled.first().map(|it| it.1);
    let alike = alike.filter(|class| settled.iter().all(|it| it.1 == *class));
    // Of a pair the other one is all there is; of more, two must agree.
    let enough = settled.len() >= ENOUGH.min(likes.count());
    // A sign of its own leads first: it is never talked over by its neighbours.
    let unmarked = it.material.evidence.is_empty();
    if let Some(class) = alike.filter(|it| enough && unmarked && may_be(it)) {
        let like = settled.iter().map(|it| it.0.part.clone()).collect();
        let labels: Vec<String> = settled.iter().map(|it| small(&it.0.label)).collect();
        let are = if labels.len() == 1 { "is" } else { "are" };
        return Some(Likely {
            class: class.to_owned(),
            like,
            text: format!(
                "{}: in our opinion likely {class}, as {} {are}.",
                it.label,
                joined(&labels)
            ),
        });
    }
    let solid = book.kind(own).is_some_and(|it| it.usually_solid) && !parts.iter().any(is_of_sheet);
    let unmarked = unmarked && settled.iter().all(|it| it.1 == "solid");
    (solid && unmarked && may_be("solid")).then(|| Likely {
        class: "solid".to_owned(),
        like: Vec::new(),
        text: format!(
            "{}: in our opinion likely solid wood, as such parts are; nothing speaks against it.",
            it.label
        ),
    })
}

/// Whether a part is foil, laminate or bare pressed board: then the legs of that piece are as often board with foil as solid wood
/// (common practice, no source). Veneer over board says nothing of the legs.
fn is_of_sheet(it: &PartReport) -> bool {
    let face = it.material.settled.as_deref();
    let core = it.material.core.as_deref();
    let board = ["particleboard", "mdf"];
    let bare = face.is_none() && core.is_some_and(|it| board.contains(&it));
    bare || face.is_some_and(|it| board.contains(&it) || ["laminate", "print"].contains(&it))
}

/// Parts of a kind that must be settled alike before the others are likely to be so.
const ENOUGH: usize = 2;
