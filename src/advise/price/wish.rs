//! What the user chose for the parts of a piece.

use crate::advise::labour::plan_input::PlanInput;
use crate::advise::labour::tasks::AsFound;
use crate::model::ids::PartId;

/// The way that does nothing but about a danger.
pub const LEAVE: &str = "leave";

/// The fate of a piece that is kept for its parts: nobody mends it.
pub const DONOR: &str = "donor";

/// The way that mends what is broken and does nothing to the surface. It may be chosen like a path.
pub const MEND: &str = "mend";

/// The path that the choice for a part takes on its face; to mend what is broken leaves the face as it is.
#[must_use]
pub fn path<'a>(need: &PlanInput<'a>, part: &PartId) -> Option<&'a str> {
    wish(need, part).map(of_face)
}

/// The path that a choice, or the word of a price, takes on a face.
#[must_use]
pub fn of_face(choice: &str) -> &str {
    if choice == MEND { LEAVE } else { choice }
}

/// Whether the choice is somewhere to mend what is broken, and nowhere to leave it as it is.
#[must_use]
pub fn mends(need: &PlanInput<'_>) -> bool {
    let mut lines = need.it.piece.market.chosen.iter().map(|it| &it.path);
    lines.clone().any(|it| it == MEND) && lines.all(|it| it != LEAVE)
}

/// What the user wants left as it was found.
#[must_use]
pub fn as_found(need: &PlanInput<'_>) -> AsFound {
    let parts = need.it.parts.iter().map(|it| &it.part);
    let found = need.it.findings.iter().map(|it| &it.part);
    let left = parts
        .chain(found)
        .filter(|it| wish(need, it).is_some_and(|it| [LEAVE, DONOR].contains(&it)));
    AsFound::Parts(left.cloned().collect())
}

/// What the user chose for a part: its own line, that of its whole, or the line for all.
fn wish<'a>(need: &PlanInput<'a>, part: &PartId) -> Option<&'a str> {
    let lines = &need.it.piece.market.chosen;
    let own = lines.iter().rfind(|it| it.part.as_ref() == Some(part));
    let whole = || {
        lines
            .iter()
            .rfind(|it| it.part.as_ref() == Some(&part.whole()))
    };
    let all = || lines.iter().rfind(|it| it.part.is_none());
    let line = own.or_else(whole).or_else(all);
    line.map(|it| it.path.as_str())
}
