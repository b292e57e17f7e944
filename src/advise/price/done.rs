//! The ways of refinishing that work on record went through: what a piece so finished brings is the price of this one.

use crate::advise::labour::area;
use crate::advise::labour::plan_input::PlanInput;
use crate::assess::worked::Worked;
use crate::model::ids::PartId;
use crate::model::repair::Repair;
use crate::trade::entry::path::Leaves;
use crate::trade::entry::path::Path;
use crate::trade::entry::repair::method::Method;
use crate::trade::entry::repair::method::Phase;

/// Paths that leave a new surface, of which all that makes it (bare wood, colour, coats) was done on every face that is there.
pub(in crate::advise) fn done_paths(need: &PlanInput<'_>) -> Vec<String> {
    let faces = need.advice.iter().map(|it| &it.part);
    let faces: Vec<&PartId> = faces.filter(|it| area::is_there(need.it, it)).collect();
    let done = need.book.paths.iter().filter(|path| {
        let mut makes = makes(path, need).peekable();
        makes.peek().is_some() && makes.all(|it| faces.iter().all(|face| is_done(it, face, need)))
    });
    // The one with most to do says best what was done: a piece that was stained as well is not one of its own colour.
    let most = done.max_by_key(|it| makes(it, need).count());
    most.map(|it| it.id.clone()).into_iter().collect()
}

/// The methods of a path that make its new surface; none of one that keeps the old.
fn makes<'a>(path: &'a Path, need: &'a PlanInput<'_>) -> impl Iterator<Item = &'a Method> {
    let new = matches!(path.leaves, Leaves::ClearCoat | Leaves::Paint);
    let steps = path.steps.iter().filter(move |_| new);
    let methods = steps.filter_map(|it| need.book.method(&it.method));
    methods.filter(|it| matches!(it.phase, Phase::Strip | Phase::Colour | Phase::Coat))
}

fn is_done(method: &Method, face: &PartId, need: &PlanInput<'_>) -> bool {
    let of_it = |it: &&Repair| it.method == method.id;
    let mut done = need.it.repairs.iter().filter(of_it);
    done.any(|it| Worked::by(it, &need.it.findings).reaches(face))
}
