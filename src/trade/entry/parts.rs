//! From a form and the owner's choice to the list of parts.

use std::collections::BTreeSet;

use crate::kit::text::capital;
use crate::model::ids::PartId;
use crate::model::piece::PartChoice;
use crate::trade::entry::form::Form;
use crate::trade::entry::form::FormItem;
use crate::trade::entry::form::FormPart;
use crate::trade::entry::kind::Face;
use crate::trade::entry::kind::PartKind;
use crate::trade::entry::kind::Spread;
use crate::trade::trade_book::TradeBook;

/// One instance before it has its inner parts.
struct Instance {
    id: String,
    label: String,
    place: String,
}

impl TradeBook {
    /// The parts of a piece of the form of this word; none for a form that the book does not know.
    #[must_use]
    pub fn parts_of(&self, form: &str, choice: &PartChoice) -> Vec<FormPart> {
        let form = self.form(form);
        form.map_or_else(Vec::new, |it| self.parts(it, choice))
    }

    /// The parts of a piece in walking order, each followed by its inner parts. Kinds in `with` that the form does not
    /// name come last; words that are no kind are left out.
    #[must_use]
    pub fn parts(&self, form: &Form, choice: &PartChoice) -> Vec<FormPart> {
        let rows = rows_of(form, choice);
        let mut list = Vec::new();
        let mut done = BTreeSet::new();
        for item in form.parts.iter().filter(|it| is_there(form, it, choice)) {
            done.insert(item.kind.as_str());
            self.add(&mut list, item, &rows);
        }
        for kind in &choice.with {
            if !form.parts.iter().any(|it| it.kind == *kind) && done.insert(kind) {
                self.add(&mut list, &FormItem::plain(kind), &rows);
            }
        }
        self.without(list, &choice.never_had)
    }

    /// Without what the piece never had; what is then the only one of its kind is called by that.
    fn without(&self, mut list: Vec<FormPart>, never_had: &[PartId]) -> Vec<FormPart> {
        let never = |it: &PartId| never_had.contains(it) || never_had.contains(&it.whole());
        let (out, kept): (Vec<_>, Vec<_>) = list.into_iter().partition(|it| never(&it.id));
        list = kept;
        for gone in out.iter().filter(|it| !it.inner) {
            let of_kind = |it: &&FormPart| !it.inner && it.kind == gone.kind;
            let mut left = list.iter().filter(of_kind);
            let (Some(only), None) = (left.next(), left.next()) else {
                continue;
            };
            let (id, was) = (only.id.clone(), only.label.clone());
            let Some(kind) = self.kind(&gone.kind) else {
                continue;
            };
            for it in list.iter_mut().filter(|it| it.id.whole() == id) {
                it.label = it.label.replacen(&was, &kind.label, 1);
            }
        }
        list
    }

    fn add(&self, list: &mut Vec<FormPart>, item: &FormItem, rows: &[u8]) {
        let Some(kind) = self.kind(&item.kind) else {
            return;
        };
        for one in instances(kind, item, rows) {
            let face = kind.face.unwrap_or_else(|| face_of(&one.place));
            push(list, &one.id, one.label.clone(), kind, face);
            for inner in &kind.inner {
                if let Some(its) = self.kind(&inner.kind) {
                    let id = format!("{}/{}", one.id, inner.name);
                    let label = format!("{}, {}", one.label, inner.label);
                    push(list, &id, label, its, its.face.unwrap_or(Face::Inside));
                }
            }
        }
    }
}

impl FormItem {
    /// A kind that is always there, in its usual number.
    fn plain(kind: &str) -> Self {
        Self {
            kind: kind.to_owned(),
            usual: false,
            optional: false,
            often_gilded: false,
            one_of: None,
            count: None,
            at: Vec::new(),
        }
    }
}

fn push(list: &mut Vec<FormPart>, id: &str, label: String, kind: &PartKind, face: Face) {
    let Ok(id) = id.parse::<PartId>() else {
        return;
    };
    let inner = id.is_inner();
    list.push(FormPart {
        id,
        label,
        kind: kind.id.clone(),
        required: !inner,
        inner,
        face,
        seen_with_whole: inner && kind.seen_with_whole,
    });
}

/// The owner's rows, else the form's, else one drawer when the owner says there are drawers.
fn rows_of(form: &Form, choice: &PartChoice) -> Vec<u8> {
    let given = |rows: &[u8]| rows.iter().any(|it| *it > 0);
    if given(&choice.drawer_rows) {
        return choice.drawer_rows.clone();
    }
    if given(&form.drawers) {
        return form.drawers.clone();
    }
    let item = form.parts.iter().find(|it| it.kind == "drawer");
    vec![item.and_then(|it| it.count).unwrap_or(1)]
}

fn is_there(form: &Form, item: &FormItem, choice: &PartChoice) -> bool {
    let named = |kind: &str| choice.with.iter().any(|it| it == kind);
    let is_drawer = item.kind == "drawer";
    let drawers_given = is_drawer && choice.drawer_rows.iter().any(|it| *it > 0);
    if is_drawer && !choice.drawer_rows.is_empty() && !drawers_given {
        return false;
    }
    let Some(group) = &item.one_of else {
        return !item.optional || named(&item.kind) || drawers_given;
    };
    let mut others = form
        .parts
        .iter()
        .filter(|it| it.one_of.as_ref() == Some(group));
    let usual = others.clone().next();
    if others.any(|it| named(&it.kind)) {
        return named(&item.kind);
    }
    usual.is_some_and(|it| it.kind == item.kind)
}

fn instances(kind: &PartKind, item: &FormItem, rows: &[u8]) -> Vec<Instance> {
    let places: &[&str] = match kind.spread {
        Spread::One => &[""],
        Spread::Sides if item.count == Some(1) => &[""],
        Spread::Sides => &["left", "right"],
        Spread::Corners => &["front-left", "front-right", "back-left", "back-right"],
        Spread::Round => &["front", "back", "left", "right"],
        Spread::InnerOnly => &[],
        Spread::Numbered => return numbered(kind, item.count.unwrap_or(1).into()),
        Spread::Drawers => return numbered(kind, rows.iter().map(|it| u32::from(*it)).sum()),
        Spread::BetweenRows => {
            let filled = rows.iter().filter(|it| **it > 0).count();
            let between = u32::try_from(filled.saturating_sub(1)).unwrap_or(0);
            return numbered(kind, between.max(1));
        }
    };
    let chosen = |place: &&&str| item.at.is_empty() || item.at.iter().any(|it| it == **place);
    places
        .iter()
        .filter(chosen)
        .map(|it| placed(kind, it))
        .collect()
}

fn placed(kind: &PartKind, place: &str) -> Instance {
    let (id, label) = if place.is_empty() {
        (kind.name.clone(), kind.label.clone())
    } else {
        let id = format!("{}-{place}", kind.name);
        (id, label_of(kind, &place.replace('-', " ")))
    };
    Instance {
        id,
        label,
        place: place.to_owned(),
    }
}

fn numbered(kind: &PartKind, count: u32) -> Vec<Instance> {
    let one = |n: u32| Instance {
        id: format!("{}-{n}", kind.name),
        label: label_of(kind, &n.to_string()),
        place: String::new(),
    };
    (1..=count).map(one).collect()
}

fn label_of(kind: &PartKind, value: &str) -> String {
    let each = kind.each.as_deref().unwrap_or("{Where}");
    each.replace("{n}", value)
        .replace("{where}", value)
        .replace("{Where}", &capital(value))
}

fn face_of(place: &str) -> Face {
    match place.split('-').next() {
        Some("left") => Face::Left,
        Some("right") => Face::Right,
        Some("back") => Face::Back,
        _ => Face::Front,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use crate::model::ids::PartId;
    use crate::model::piece::PartChoice;
    use crate::trade::book;
    use crate::trade::entry::form::FormPart;
    use crate::trade::entry::kind::Face;
    use crate::trade::entry::kind::Spread;
    use crate::trade::trade_book::TradeBook;

    fn parts(form: &str, rows: &[u8], with: &[&str]) -> Vec<FormPart> {
        let choice = PartChoice {
            drawer_rows: rows.to_vec(),
            with: with.iter().map(|it| (*it).to_owned()).collect(),
            never_had: Vec::new(),
        };
        book().parts(book().form(form).unwrap(), &choice)
    }

    fn outer_ids(parts: &[FormPart]) -> Vec<&str> {
        let outer = parts.iter().filter(|it| !it.inner);
        outer.map(|it| it.id.as_str()).collect()
    }

    #[test]
    fn every_kind_gives_names_that_are_part_names() {
        let book = TradeBook::parse().unwrap();
        for form in &book.forms {
            for rows in [vec![], vec![2, 1, 1, 1]] {
                let with = form.parts.iter().map(|it| it.kind.clone()).collect();
                let list = book.parts(
                    form,
                    &PartChoice {
                        drawer_rows: rows,
                        with,
                        ..PartChoice::default()
                    },
                );
                let ids: BTreeSet<_> = list.iter().map(|it| &it.id).collect();
                assert_eq!(ids.len(), list.len(), "{}", form.id);
                let labels: BTreeSet<_> = list.iter().map(|it| &it.label).collect();
                assert_eq!(labels.len(), list.len(), "{}", form.id);
            }
        }
        // A name that is no part name is left out of the list, so ask each of them here.
        for kind in &book.kinds {
            let stem: PartId = kind.name.parse().unwrap();
            assert!(!stem.is_inner(), "{stem}");
            for inner in &kind.inner {
                let id = format!("{}-1/{}", kind.name, inner.name);
                assert!(id.parse::<PartId>().is_ok(), "{id}");
            }
            let many = !matches!(kind.spread, Spread::One | Spread::InnerOnly);
            assert_eq!(many, kind.each.is_some(), "{}", kind.id);
        }
    }

    #[test]
    fn a_piece_that_is_said_to_have_no_drawer_has_none() {
        let has = |form: &str, rows: &[u8], with: &[&str]| {
            let list = parts(form, rows, with);
            list.iter().any(|it| it.kind == "drawer")
        };
        assert!(has("desk", &[], &[]) && !has("desk", &[0], &["fall_or_roll"]));
        assert!(!has("nightstand", &[0], &["door"]) && !has("side_table", &[0], &["drawer"]));
        let may = |form: &str| book().form(form).unwrap().may_lack_drawers();
        assert!(may("desk") && may("nightstand") && may("mirror"));
        assert!(!may("chest_of_drawers") && !may("dresser_mirror"));
    }

    #[test]
    fn a_chest_is_listed_in_walking_order() {
        let list = parts("chest_of_drawers", &[], &[]);
        let outer = outer_ids(&list);
        let expected = [
            "top",
            "side-left",
            "side-right",
            "back",
            "frame",
            "drawer-1",
            "drawer-2",
            "drawer-3",
            "drawer-4",
            "foot-front-left",
            "foot-front-right",
            "foot-back-left",
            "foot-back-right",
        ];
        assert_eq!(outer, expected);
        assert!(list.iter().all(|it| it.required != it.inner));
        let of_two = list
            .iter()
            .filter(|it| it.id.whole().as_str() == "drawer-2");
        let of_two: Vec<_> = of_two.map(|it| it.id.as_str()).collect();
        for inner in [
            "front",
            "side-left",
            "side-right",
            "back",
            "bottom",
            "edge-left",
            "edge-right",
            "runner-left",
            "runner-right",
            "stop",
            "pull-left",
            "pull-right",
            "pull",
            "lock",
            "keyhole",
        ] {
            let id = format!("drawer-2/{inner}");
            assert!(of_two.contains(&id.as_str()), "{id}");
        }
        let label = |id: &str| {
            let found = list.iter().find(|it| it.id.as_str() == id).unwrap();
            (found.label.clone(), found.face)
        };
        assert_eq!(label("side-left"), ("Left side".into(), Face::Left));
        assert_eq!(label("drawer-2"), ("Drawer 2".into(), Face::Front));
        assert_eq!(
            label("drawer-2/bottom"),
            ("Drawer 2, bottom".into(), Face::Inside)
        );
        assert_eq!(label("back").1, Face::Back);
        assert_eq!(label("top").1, Face::Top);
    }

    #[test]
    fn what_the_owner_names_changes_the_list() {
        let list = parts(
            "chest_of_drawers",
            &[2, 1, 1, 1],
            &["leg", "key", "dust_panel", "nonsense"],
        );
        let outer = outer_ids(&list);
        assert_eq!(
            outer.iter().filter(|it| it.starts_with("drawer-")).count(),
            5
        );
        assert_eq!(
            outer
                .iter()
                .filter(|it| it.starts_with("dust-panel-"))
                .count(),
            3
        );
        assert!(outer.contains(&"leg-front-left") && outer.contains(&"key"));
        assert!(!outer.iter().any(|it| it.starts_with("foot")));
        let leg = list
            .iter()
            .find(|it| it.id.as_str() == "leg-front-left")
            .unwrap();
        assert_eq!(leg.label, "Leg, front left");
        // Feet and a base both, when both are named; a kind that the form does not know comes last.
        let both = parts(
            "chest_of_drawers",
            &[1],
            &["foot", "base_plinth", "glass_pane"],
        );
        let both = outer_ids(&both);
        assert!(both.contains(&"foot-back-right") && both.contains(&"base"));
        assert_eq!(both.last(), Some(&"glass-1"));
        // A single door is just `door`; two are left and right.
        assert!(outer_ids(&parts("nightstand", &[], &["door"])).contains(&"door"));
        let cabinet = parts("cabinet_sideboard", &[3], &[]);
        let hinge = cabinet
            .iter()
            .find(|it| it.id.as_str() == "door-left/hinge-upper")
            .unwrap();
        assert_eq!(
            (hinge.label.as_str(), hinge.required),
            ("Left door, upper hinge", false)
        );
        assert!(outer_ids(&cabinet).contains(&"drawer-3"));
        assert!(outer_ids(&parts("side_table", &[], &["drawer"])).contains(&"drawer-1"));
    }
}
