//! The scale of a picture as something to measure with, and how far it can be trusted.
//!
//! What goes into the uncertainty:
//! - a click, on the thing or on the shape, is off by 1 px of a preview of 1600 px in x and in y: 0.0625 % of the longer edge
//!   (common practice, no source; see `CLICK`);
//! - a card is 85.60 x 53.98 mm within 0.07 mm (edges may lie between 85.47 and 85.72 mm and 53.92 and 54.03 mm; half-range over
//!   the root of 3); ISO/IEC 7810 ID-1, the limits from memory;
//! - paper is its size within 1.5 mm (edges up to 150 mm), 2 mm (up to 600 mm), 3 mm (above), anything between being as likely
//!   (ISO 216); so is every other thing with four corners, for want of better;
//! - a tape is within 0.5 mm (common practice, no source);
//! - the lens is not corrected and a card does not lie flush: 1.75 % of a length on the card, k = 1. Chessboards of known size
//!   photographed with a wide uncorrected lens (the samples of the OpenCV documentation) were measured up to 3.5 % wrong within
//!   their outermost corners. Outside the thing it grows by one and a half times that for each length of the thing's longer side
//!   that the shape reaches out, which is what the same boards show when only a few of their squares are the scale. Areas count
//!   twice.
//! - a thing seen so that either of its sides may be the longer (`laid`): the difference between the two ways is added whole.

pub mod along;
pub mod camera;
pub mod face_rect;
pub mod flat;
pub(crate) mod laid;
pub mod lying;

use crate::compare::budget;
use crate::compare::budget::CLICK;
use crate::compare::budget::Input;
use crate::compare::budget::Source;
use crate::compare::figures::Reading;
use crate::compare::measure_error::MeasureError;
use crate::compare::picture::Picture;
use crate::compare::ruler::along::Along;
use crate::compare::ruler::flat::Flat;
use crate::compare::ruler::laid::Sure;
use crate::compare::ruler::laid::laid;
use crate::compare::ruler::lying::Lying;
use crate::compare::shape::Figure;
use crate::compare::shape::Shape;
use crate::model::mark::Scale;
use crate::plane::Xy;
use crate::plane::distance;

/// Standard uncertainty of the edge of a card, mm.
const CARD: f64 = 0.07;

/// Standard uncertainty of a tape, mm.
const TAPE: f64 = 0.5;

/// Relative standard uncertainty of a length on the thing itself, for the lens and the lie of the thing.
const LENS: f64 = 0.0175;

/// How much that grows, as a multiple of itself, for each length of the thing outside it.
const OUTSIDE: f64 = 1.5;

/// What lies in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Thing {
    /// Four corners in px, with the sides in mm in the order of the edges.
    Flat([Xy; 4], [f64; 2], Sure),
    /// Two ends in px, and their distance in mm.
    Along([Xy; 2], f64),
}

/// A scale, ready to measure with.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ruler {
    thing: Thing,
    name: &'static str,
    long_edge: f64,
}

impl Ruler {
    /// The ruler that a scale makes in a picture.
    pub(crate) fn of(scale: &Scale, picture: Picture) -> Result<Self, MeasureError> {
        let [width, height] = picture.px();
        let long_edge = width.max(height);
        if width < 1.0 || height < 1.0 {
            return Err(MeasureError::NoShape);
        }
        let corners = scale.corners.iter();
        let px: Vec<Xy> = corners
            .map(|[x, y]| [x * width / 100.0, y * height / 100.0])
            .collect();
        let finite = px.iter().flatten().all(|it| it.is_finite());
        let real = |mm: f64| mm.is_finite() && mm > 0.0;
        if !finite || !real(scale.width_mm) || !scale.height_mm.is_none_or(real) {
            return Err(MeasureError::NoScale);
        }
        let (thing, name) = match (px.as_slice(), scale.height_mm) {
            (&[a, b, c, d], Some(height_mm)) => {
                let corners = [a, b, c, d];
                let sides = [scale.width_mm, height_mm];
                Flat::new(&corners, sides).map_err(|_| MeasureError::Corners)?;
                let middle = [width / 2.0, height / 2.0];
                let about = corners.map(|it| [it[0] - middle[0], it[1] - middle[1]]);
                let laid = laid(&about, sides, long_edge, CLICK * long_edge);
                let name = if is_card(sides) { "card" } else { "sheet" };
                (Thing::Flat(corners, laid.sides, laid.sure), name)
            }
            (&[a, b], None) => {
                Along::new([a, b], scale.width_mm).map_err(|_| MeasureError::Corners)?;
                (Thing::Along([a, b], scale.width_mm), "tape")
            }
            _ => return Err(MeasureError::NoScale),
        };
        Ok(Self {
            thing,
            name,
            long_edge,
        })
    }

    /// The ruler that a laid face makes: by what its known points span, whose sides are known to be what they are.
    pub(crate) fn of_face(lying: &Lying) -> Self {
        let (span, corners) = lying.span_px();
        let [width, height] = lying.px();
        Self {
            thing: Thing::Flat(corners, span.size, Sure::Perspective),
            name: "laid face",
            long_edge: width.max(height),
        }
    }

    /// Whether it can tell a figure: two ends tell lengths, and nothing across a shape.
    pub(crate) fn tells(&self, figure: &Figure) -> bool {
        match self.thing {
            Thing::Flat(..) => true,
            Thing::Along(..) => !matches!(figure, Figure::Area | Figure::Across(..)),
        }
    }

    /// The values of all inputs: the thing's clicks and sizes, then the shape's.
    pub(crate) fn values(&self, shape: &Shape) -> Vec<f64> {
        self.inputs(shape).iter().map(|it| it.value).collect()
    }

    /// The shape's points for such values, mm; `None` past the horizon.
    pub(crate) fn points(&self, shape: &Shape, values: &[f64]) -> Option<Vec<Xy>> {
        let at = |n: usize| [values[2 * n], values[2 * n + 1]];
        match self.thing {
            Thing::Flat(..) => {
                let flat = Flat::new(&[at(0), at(1), at(2), at(3)], at(4)).ok()?;
                let points = shape.points(&values[10..]);
                points.into_iter().map(|it| flat.to_mm(it)).collect()
            }
            Thing::Along(..) => {
                let along = Along::new([at(0), at(1)], values[4]).ok()?;
                let points = shape.points(&values[5..]);
                Some(points.into_iter().map(|it| along.to_mm(it)).collect())
            }
        }
    }

    /// A figure of a shape with its expanded uncertainty.
    pub(crate) fn reading(&self, shape: &Shape, figure: &Figure) -> Result<Reading, MeasureError> {
        let (value, parts) = self.budget(shape, figure)?;
        let doubt = self.other_way(shape, figure, value);
        Ok(Reading {
            value,
            u: parts.expanded() + doubt,
        })
    }

    /// A figure of a shape and the parts of its standard uncertainty.
    pub(crate) fn budget(
        &self,
        shape: &Shape,
        figure: &Figure,
    ) -> Result<(f64, budget::Parts), MeasureError> {
        let inputs = self.inputs(shape);
        let of = |values: &[f64]| Some(figure.of(&self.points(shape, values)?));
        let values = self.values(shape);
        let points = self.points(shape, &values);
        let points = points.ok_or(MeasureError::PastHorizon)?;
        let value = figure.of(&points);
        let parts = budget::parts(&inputs, &of).ok_or(MeasureError::TooUnsure)?;
        let floor = value * self.floor(shape, figure, &points);
        Ok((value, budget::Parts { floor, ..parts }))
    }

    /// What a reader must know of every figure of a shape with these points (mm).
    pub(crate) fn notes(&self, points: &[Xy]) -> Vec<String> {
        let name = self.name;
        let mut notes = Vec::new();
        match self.thing {
            Thing::Flat(_, _, sure) => {
                notes.push(format!("true only in the plane in which the {name} lies"));
                let out = self.outside(points);
                if out >= 0.05 {
                    notes.push(format!(
                        "reaches {out:.1} lengths of the {name} beyond it: the farther out, the less sure"
                    ));
                }
                if sure == Sure::Guessed {
                    notes.push(format!(
                        "the picture does not show which side of the {name} is the longer: both ways are allowed for"
                    ));
                }
            }
            Thing::Along(..) => notes.push(format!(
                "a {name} tells lengths only and knows no tilt: true along it and close to it, with the camera held square to the surface"
            )),
        }
        notes
    }

    fn inputs(&self, shape: &Shape) -> Vec<Input> {
        let click = CLICK * self.long_edge;
        let clicked = |value: &f64| Input {
            value: *value,
            u: click,
            source: Source::Click,
        };
        let sized = |value: f64, u: f64| Input {
            value,
            u,
            source: Source::Thing,
        };
        let mut inputs: Vec<Input> = Vec::new();
        match &self.thing {
            Thing::Flat(corners, sides, _) => {
                inputs.extend(corners.iter().flatten().map(clicked));
                let u = |mm: f64| if is_card(*sides) { CARD } else { paper(mm) };
                inputs.extend(sides.map(|it| sized(it, u(it))));
            }
            Thing::Along(ends, mm) => {
                inputs.extend(ends.iter().flatten().map(clicked));
                inputs.push(sized(*mm, TAPE));
            }
        }
        inputs.extend(shape.inputs(click));
        inputs
    }

    /// The relative standard uncertainty that no click shows.
    fn floor(&self, shape: &Shape, figure: &Figure, points: &[Xy]) -> f64 {
        match self.thing {
            Thing::Flat(..) => {
                let times = if *figure == Figure::Area { 2.0 } else { 1.0 };
                times * LENS * (1.0 + OUTSIDE * self.outside(points))
            }
            Thing::Along(ends, mm) => {
                let Ok(along) = Along::new(ends, mm) else {
                    return LENS;
                };
                let segments = figure.segments(&shape.points(&shape.numbers));
                let long: f64 = segments.iter().map(|it| distance(it[0], it[1])).sum();
                let tilt = segments.iter().map(|it| {
                    let part = distance(it[0], it[1]) / long;
                    part * along.for_want_of_tilt(*it, self.long_edge)
                });
                LENS.hypot(tilt.sum())
            }
        }
    }

    /// How far the farthest of these points (mm) lies outside the thing, in its lengths.
    fn outside(&self, points: &[Xy]) -> f64 {
        let Thing::Flat(corners, sides, _) = self.thing else {
            return 0.0;
        };
        let flat = Flat::new(&corners, sides);
        let out = points.iter().map(|it| flat.map_or(0.0, |f| f.outside(*it)));
        out.fold(0.0, f64::max)
    }

    /// How much the figure differs when the thing lies the other way, where that was guessed.
    fn other_way(&self, shape: &Shape, figure: &Figure, value: f64) -> f64 {
        let Thing::Flat(corners, [a, b], Sure::Guessed) = self.thing else {
            return 0.0;
        };
        let other = Self {
            thing: Thing::Flat(corners, [b, a], Sure::Guessed),
            ..self.clone()
        };
        let points = other.points(shape, &other.values(shape));
        points.map_or(f64::INFINITY, |it| (figure.of(&it) - value).abs())
    }
}

fn is_card(sides: [f64; 2]) -> bool {
    let like = |long: f64, short: f64| (long - 85.60).abs() < 0.01 && (short - 53.98).abs() < 0.01;
    like(sides[0], sides[1]) || like(sides[1], sides[0])
}

/// Standard uncertainty of an edge of a sheet, mm.
fn paper(mm: f64) -> f64 {
    let half_width = match mm {
        _ if mm <= 150.0 => 1.5,
        _ if mm <= 600.0 => 2.0,
        _ => 3.0,
    };
    half_width / 3.0_f64.sqrt()
}
