//! Views: what a photo of the record shows, and how to take it.

use serde::Deserialize;
use serde::Serialize;

use crate::model::photo::Stage;
use crate::trade::entry::form::FormPart;

/// A view of a piece.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    /// Its id, such as `top_raking`.
    pub id: String,
    /// Its name, such as `Top, low side light`.
    pub label: String,
    /// How to take it.
    pub how: String,
    /// The light it wants.
    pub light: String,
    /// Where the scale card goes; `None` where none is wanted.
    pub card: Option<String>,
    /// The question it answers.
    pub why: String,
    /// Whether anybody would take it again from the same place, so that two of them may be called the same view.
    #[serde(default)]
    pub fixed: bool,
    /// Whether the piece is moved, opened or emptied for it.
    #[serde(default)]
    pub moves: bool,
    /// Whether it shows one place from near, so that it tells nothing of the rest of the part on which that place is.
    #[serde(default)]
    pub of_place: bool,
    /// Whether the piece is wrapped in it, so that no part is seen, whatever is named beside it.
    #[serde(default)]
    pub wrapped: bool,
    /// Kinds of parts it shows, or ids of parts where it shows one of several, such as `side-left`.
    #[serde(default)]
    pub shows: Vec<String>,
    /// It makes sense only for a piece with one of these kinds; empty means always.
    #[serde(default)]
    pub needs: Vec<String>,
}

impl View {
    /// Whether the view, taken as described, shows this part.
    #[must_use]
    pub fn shows_part(&self, part: &FormPart) -> bool {
        let mut shown = self.shows.iter();
        shown.any(|it| *it == part.kind || it == part.id.as_str())
    }

    /// Whether it makes sense for a piece of these parts.
    #[must_use]
    pub fn suits(&self, parts: &[FormPart]) -> bool {
        let has = |kind: &String| parts.iter().any(|it| it.kind == *kind);
        self.needs.is_empty() || self.needs.iter().any(has)
    }

    /// Whether the view, taken as described, shows all of this part's outside that faces it.
    #[must_use]
    pub fn shows_whole(&self, part: &FormPart) -> bool {
        self.fixed && self.shows_part(part)
    }
}

/// The views of a complete record at one stage.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ViewSet {
    /// The stage.
    pub stage: Stage,
    /// Whether the form's own further views belong to it.
    #[serde(default)]
    pub with_form_views: bool,
    /// Ids of views.
    pub views: Vec<String>,
    /// Those of them that are taken before the walk begins.
    #[serde(default)]
    pub first: Vec<String>,
    /// What else to take, in words.
    pub plus: String,
}

/// A place on the walk round a piece, and what is taken there.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// Where one stands, such as `At the back`.
    pub label: String,
    /// Ids of views, in the order in which they are taken.
    pub views: Vec<String>,
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use crate::model::photo::Stage;
    use crate::model::piece::PartChoice;
    use crate::trade::trade_book::TradeBook;

    #[test]
    fn views_name_parts_that_some_form_has() {
        let book = TradeBook::parse().unwrap();
        let mut known = BTreeSet::new();
        for form in &book.forms {
            let with = form.parts.iter().map(|it| it.kind.clone()).collect();
            let choice = PartChoice {
                drawer_rows: vec![2, 1],
                with,
                ..PartChoice::default()
            };
            for part in book.parts(form, &choice) {
                known.insert(part.kind);
                known.insert(part.id.as_str().to_owned());
            }
        }
        for view in &book.views {
            for shown in &view.shows {
                assert!(known.contains(shown), "{shown} in {}", view.id);
            }
        }
        for kind in &book.kinds {
            assert!(known.contains(&kind.id), "no form has a {}", kind.id);
        }
    }

    #[test]
    fn every_view_lies_at_one_stop_of_the_walk() {
        let book = TradeBook::parse().unwrap();
        let stops = book.stops.iter().flat_map(|it| &it.views);
        let walk: Vec<&str> = stops.map(String::as_str).collect();
        let views: Vec<&str> = book.views.iter().map(|it| it.id.as_str()).collect();
        assert_eq!(views, walk);
        // A set names views, and what it wants first is in it.
        for set in &book.sets {
            assert!(set.views.iter().all(|it| book.view(it).is_some()));
            assert!(set.first.iter().all(|it| set.views.contains(it)));
        }
        let at = |id: &str| walk.iter().position(|it| *it == id).unwrap();
        for pair in ["front_whole", "left_whole", "back_whole", "right_whole"].windows(2) {
            assert!(at(pair[0]) < at(pair[1]), "{pair:?}");
        }
        let cards = book.views.iter().filter(|it| it.card.is_some());
        let cards: Vec<&str> = cards.map(|it| it.id.as_str()).collect();
        for id in ["scale_ref", "edge_line", "defect_close", "defect_scale"] {
            assert!(cards.contains(&id), "{id}");
        }
    }

    #[test]
    fn every_required_part_is_shown_at_purchase() {
        let book = TradeBook::parse().unwrap();
        for form in &book.forms {
            let usual = PartChoice::default();
            let views = book.views_for(form, Stage::Purchase);
            for part in book.parts(form, &usual).iter().filter(|it| it.required) {
                let shown = views.iter().any(|it| it.shows_part(part));
                assert!(shown, "{} of {}", part.id, form.id);
            }
        }
    }

    #[test]
    fn views_fit_the_form_and_come_in_walking_order() {
        let book = TradeBook::parse().unwrap();
        let ids = |form: &str, stage| -> Vec<&str> {
            let views = book.views_for(book.form(form).unwrap(), stage);
            views.iter().map(|it| it.id.as_str()).collect()
        };
        for (stage, _) in Stage::ALL {
            for form in &book.forms {
                let list = ids(&form.id, stage);
                assert!(!list.is_empty(), "{} at {stage}", form.id);
                let order = |id: &str| book.views.iter().position(|it| it.id == id);
                assert!(list.is_sorted_by_key(|it| order(it)));
            }
        }
        let chair = ids("chair", Stage::Purchase);
        for without in [
            "edge_line",
            "top_flat",
            "drawer_inside",
            "hardware_front",
            "carcass_inside",
        ] {
            assert!(!chair.contains(&without), "{without}");
        }
        assert!(chair.contains(&"joint_close") && chair.contains(&"front_whole"));
        let chest = ids("chest_of_drawers", Stage::Purchase);
        assert_eq!(chest.len(), 20, "{chest:?}");
        assert!(!chest.contains(&"glass_mirror_front"));
        assert!(ids("dresser_mirror", Stage::Purchase).contains(&"glass_mirror_back"));
        let fixed: Vec<_> = book
            .views
            .iter()
            .filter(|it| it.fixed)
            .map(|it| it.id.as_str())
            .collect();
        assert_eq!(
            fixed,
            [
                "front_whole",
                "front_open",
                "three_quarter_left",
                "left_whole",
                "back_whole",
                "right_whole",
                "three_quarter_right",
                "top_flat",
                "top_raking",
                "underside_whole",
            ]
        );
    }
}
