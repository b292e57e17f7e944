//! What nobody could look at yet: views that no picture shows, drawers that nobody opened.

use crate::advise::labour::area;
use crate::advise::labour::plan_input::PlanInput;
use crate::assess::part_report::PartReport;
use crate::assess::part_report::PartState;
use crate::model::ids::PartId;
use crate::model::photo::Stage;

/// Whether the usual record of the form has this view and no photo does; parts of the kinds that were looked at answer too.
pub(in crate::advise) fn view_missing(need: &PlanInput<'_>, view: &str, kinds: &[&str]) -> bool {
    let Some(form) = need.book.form(&need.it.piece.form) else {
        return false;
    };
    let choice = need.it.piece.choice();
    let usual = need.book.views_for_choice(form, &choice, Stage::Purchase);
    let asked = usual.iter().any(|it| it.id == view);
    let seen = need
        .it
        .photos
        .iter()
        .any(|it| it.sidecar.view.as_deref() == Some(view));
    let list = &need.it.kinds;
    let looked_at = |it: &PartReport| {
        let kind = list.get(&it.part).map_or("", String::as_str);
        kinds.contains(&kind) && is_said(it)
    };
    asked && !seen && !need.it.parts.iter().any(looked_at)
}

/// Whether somebody said something of a part that takes looking at it.
fn is_said(it: &PartReport) -> bool {
    !matches!(it.state, PartState::Silent | PartState::NotExamined { .. })
}

/// Drawers of which nothing inside was said, and that no picture of the drawers shows.
pub(in crate::advise) fn drawers_not_opened(need: &PlanInput<'_>) -> Option<Vec<String>> {
    let list = &need.it.kinds;
    let inside = |it: &PartReport| {
        let kind = list.get(&it.part).map_or("", String::as_str);
        !matches!(kind, "drawer_front" | "pull" | "escutcheon" | "lock")
    };
    let views = ["drawer_inside", "drawer_under", "runner_close"];
    let pictured = |drawer: &PartId| {
        need.it.photos.iter().any(|photo| {
            let of_drawers = photo
                .sidecar
                .view
                .as_deref()
                .is_some_and(|it| views.contains(&it));
            let parts = &photo.sidecar.parts;
            of_drawers && (parts.is_empty() || parts.iter().any(|it| it.whole() == *drawer))
        })
    };
    let shut = need.it.parts.iter().filter(|it| {
        let is_drawer = list.get(&it.part).is_some_and(|kind| kind == "drawer");
        let mut its = need.it.parts.iter().filter(|inner| {
            inner.part.is_inner() && inner.part.whole() == it.part && inside(inner)
        });
        is_drawer && area::is_there(need.it, &it.part) && !its.any(is_said) && !pictured(&it.part)
    });
    let labels: Vec<String> = shut.map(|it| it.label.clone()).collect();
    (!labels.is_empty()).then_some(labels)
}
