//! How much show surface a part has, from the size of the piece and the kind of part; else the form's, shared out.
//!
//! Shares and thicknesses are common practice, no source: good enough to multiply hours by, not to buy veneer by.

use std::collections::BTreeMap;

use crate::advise::labour::exact::Quantity;
use crate::advise::part::surface;
use crate::advise::part::surface::Kinds;
use crate::advise::refinish::advice::PartAdvice;
use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
use crate::model::piece::Size;
use crate::trade::TradeBook;
use crate::trade::entry::form::Figure;
use crate::trade::entry::form::Form;
use crate::trade::entry::kind::Shown;

/// Show surface of a form that the book does not name, m2.
const SOME_FORM: f64 = 2.6;

/// What of the front is drawers and doors.
const FRONT_OPENINGS: f64 = 0.7;

/// The show surface of every part that can be refinished.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surfaces {
    by_part: BTreeMap<PartId, Quantity>,
    /// What was assumed, in a sentence; `None` when the size is recorded.
    pub assumed: Option<String>,
}

impl Surfaces {
    /// Of the parts with advice; parts that are absent have none.
    #[must_use]
    pub fn of(it: &Assessment, advice: &[PartAdvice], book: &TradeBook) -> Self {
        let kinds = Kinds::of(it, book);
        // The whole form, whatever of it is missing or covered: no part grows because another one is not there.
        let all = it.parts.iter().map(|it| (&it.part, kinds.kind(&it.part)));
        let all: Vec<(&PartId, &str)> = all
            .filter(|it| surface::shown(it.1, book) != Shown::No)
            .collect();
        let form = book.form(&it.piece.form);
        let openings = all.iter().filter(|it| is_opening(it.1)).count().max(1);
        let area = |size: Size| -> Vec<f64> {
            let of = |it: &(&PartId, &str)| area_of(it.1, size, form, openings);
            all.iter().map(of).collect()
        };
        let (areas, assumed) = if let Some(size) = it.piece.size {
            (area(size), None)
        } else {
            let known = book.offer.surfaces.iter();
            let known = known.clone().find(|line| line.form == it.piece.form);
            let whole = known.map_or(SOME_FORM, |it| it.m2);
            let areas = area(usual_size(form));
            let scale = whole / areas.iter().sum::<f64>().max(0.001);
            let assumed = format!(
                "the size is not recorded: {whole} m2 of show surface, usual for the form, shared out over its parts"
            );
            (areas.iter().map(|it| it * scale).collect(), Some(assumed))
        };
        let is_there = |part: &PartId| {
            let mut advice = advice.iter();
            is_there(it, part) && advice.any(|it| it.part == *part)
        };
        let pairs = all.iter().zip(areas).filter(|it| is_there(it.0.0));
        Self {
            by_part: pairs
                .map(|(part, m2)| (part.0.clone(), Quantity::of(m2)))
                .collect(),
            assumed,
        }
    }

    /// The show surface of a part; for a part of a part that has none of its own, of the whole.
    #[must_use]
    pub fn get(&self, part: &PartId) -> Option<Quantity> {
        let own = self.by_part.get(part);
        own.or_else(|| self.by_part.get(&part.whole())).copied()
    }

    /// All of it.
    #[must_use]
    pub fn total(&self) -> Quantity {
        let all = self.by_part.values().copied();
        all.fold(Quantity::default(), std::ops::Add::add)
    }
}

/// Whether a part is there, as far as anybody said.
#[must_use]
pub fn is_there(it: &Assessment, part: &PartId) -> bool {
    !it.is_absent(part)
}

fn is_opening(kind: &str) -> bool {
    matches!(kind, "drawer" | "door" | "fall_or_roll")
}

/// Square metres of one part of a piece of this size.
fn area_of(kind: &str, size: Size, form: Option<&Form>, openings: usize) -> f64 {
    let [height, width, depth] =
        [size.height_mm, size.width_mm, size.depth_mm].map(|mm| mm / 1000.0);
    let front = height * width;
    let is_case = form.is_none_or(|it| matches!(it.figure, Figure::Case | Figure::Box));
    #[expect(clippy::cast_precision_loss, reason = "a handful of drawers and doors")]
    let openings = openings as f64;
    match kind {
        "top" | "lid" | "stone_top" | "shelf" | "slats" => width * depth,
        "writing_surface" => width * depth * 0.5,
        "table_leaf" => width * depth * 0.3,
        "case_side" => height * depth,
        "back_panel" | "headboard" | "footboard" => front,
        kind if is_opening(kind) => front * FRONT_OPENINGS / openings,
        "face_frame" => front * 0.15,
        "apron" if is_case => front * 0.08,
        // Four sides, 100 mm high.
        "apron" => 2.0 * (width + depth) * 0.1,
        "base_plinth" | "moulding" | "splashback" => width * 0.1,
        // A stump of 150 mm under a case; else a post of 40 mm, four sides.
        "leg" if is_case => 0.02,
        "leg" | "back_post" => height * 0.16,
        "foot" => 0.01,
        "pedestal" => height * 0.4,
        "bed_rail" => depth * 0.2,
        "stretcher" | "seat_rail" | "arm" => width * 0.1,
        "mirror_frame" => 0.15,
        // Anything small: a hand's breadth by two.
        _ => 0.02,
    }
}

/// Usual proportions of a form, to share out its usual surface; common practice, no source.
fn usual_size(form: Option<&Form>) -> Size {
    let (height_mm, width_mm, depth_mm) = match form.map(|it| it.figure) {
        Some(Figure::Table) => (750.0, 1400.0, 800.0),
        Some(Figure::Seat) => (900.0, 450.0, 450.0),
        Some(Figure::Bed) => (1000.0, 1000.0, 2000.0),
        Some(Figure::Box) => (500.0, 900.0, 450.0),
        Some(Figure::Case) | None => (900.0, 1000.0, 480.0),
    };
    Size {
        height_mm,
        width_mm,
        depth_mm,
    }
}
