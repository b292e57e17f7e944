//! The piece unfolded as a map: every outer part with the place where it lies, for pages on which parts are chosen.

use serde::Serialize;

use crate::assess::faces::part_place;
use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::assess::faces::sheets::sheets;
use crate::model::ids::PartId;
use crate::report::drawing::fold::Layout;
use crate::report::drawing::scene::DrawingInput;
use crate::report::drawing::view::DotView;
use crate::report::drawing::view::PlanView;
use crate::report::drawing::view::ShapeView;
use crate::report::drawing::view::WordView;
use crate::report::images::tag::percent;
use crate::tongue::Tongue;
use crate::trade::entry::kind::Face;

/// The drawing with the places of the parts.
#[derive(Clone, Debug, Serialize)]
pub struct PieceMap {
    /// The arrangements, widest first.
    pub plans: Vec<MapPlan>,
    /// Outer parts that no face shows, or that lie where another part lies already.
    pub elsewhere: Vec<PartId>,
}

/// One arrangement; lengths in units of the drawing, about a CSS pixel each.
#[derive(Clone, Debug, Serialize)]
pub struct MapPlan {
    /// `wide` or `narrow`.
    pub name: &'static str,
    /// Width.
    pub w: String,
    /// Height.
    pub h: String,
    shapes: Vec<ShapeView>,
    dots: Vec<DotView>,
    words: Vec<WordView>,
    /// Where the parts lie; what lies on another comes after it.
    pub places: Vec<MapPlace>,
}

/// Where a part lies.
#[derive(Clone, Debug, Serialize)]
pub struct MapPlace {
    pub part: PartId,
    pub x: String,
    pub y: String,
    pub w: String,
    pub h: String,
}

/// Draws the map of a piece.
#[must_use]
pub fn piece_map(scene: &DrawingInput) -> PieceMap {
    let shape = &scene.shape;
    let sheets = sheets(shape);
    let mut placed: Vec<(PartId, Face, Rect)> = Vec::new();
    let mut elsewhere = Vec::new();
    for part in shape.parts.iter().filter(|it| !it.part.is_inner()) {
        let found = part_place::of_part(shape, &sheets, &part.part);
        let free = found.filter(|(face, rect)| {
            !placed
                .iter()
                .any(|(_, other, taken)| other == face && taken == rect)
        });
        match free {
            Some((face, rect)) => placed.push((part.part.clone(), face, rect)),
            None => elsewhere.push(part.part.clone()),
        }
    }
    placed.sort_by(|(_, _, a), (_, _, b)| (b.w * b.h).total_cmp(&(a.w * a.h)));
    let plans = [
        ("wide", Layout::wide(&sheets)),
        ("narrow", Layout::narrow(&sheets)),
    ];
    PieceMap {
        plans: plans
            .map(|(name, layout)| plan(name, &layout, &sheets, &placed))
            .into(),
        elsewhere,
    }
}

fn plan(
    name: &'static str,
    layout: &Layout,
    sheets: &[Sheet],
    placed: &[(PartId, Face, Rect)],
) -> MapPlan {
    let mut drawn = PlanView::blank(name, layout);
    for sheet in sheets {
        drawn.draw(layout, sheet, Tongue::ENGLISH);
    }
    let place = |(part, face, rect): &(PartId, Face, Rect)| {
        let Rect { x, y, w, h } = layout.place(*face, *rect);
        let [x, y, w, h] = [x, y, w, h].map(percent);
        let part = part.clone();
        MapPlace { part, x, y, w, h }
    };
    MapPlan {
        name,
        w: percent(layout.w),
        h: percent(layout.h),
        places: placed.iter().map(place).collect(),
        shapes: drawn.shapes,
        dots: drawn.dots,
        words: drawn.words,
    }
}
