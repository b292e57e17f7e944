//! The measure of a drawn shape, from a thing of known size in the same picture.

use serde::Serialize;

use crate::compare::figures::Reading;
use crate::compare::figures::Units;
use crate::compare::figures::Written;
use crate::compare::measure_error::MeasureError;
use crate::compare::picture::Picture;
use crate::compare::ruler::Ruler;
use crate::compare::ruler::lying::Lying;
use crate::compare::shape::Figure;
use crate::compare::shape::Kind;
use crate::compare::shape::Shape;
use crate::compare::shape::crosses_itself;
use crate::model::mark::Scale;
use crate::model::region::Region;
use crate::plane::Xy;

/// A figure whose expanded uncertainty is a larger part of it than this says nothing.
const WORTHLESS: f64 = 0.5;

/// What a shape measures. Nothing in it at all is a spot.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Measured {
    /// Of a line its length, of an outline its greatest extent, of a box its width; mm.
    pub length_mm: Option<Reading>,
    /// Of an outline the extent at right angles to its greatest, of a box its height; mm.
    pub across_mm: Option<Reading>,
    /// Of an outline the area, of a box the area of the whole box; mm2.
    pub area_mm2: Option<Reading>,
    /// What a reader of the figures must know, each a sentence without its stop.
    pub notes: Vec<String>,
}

/// Measures a region of a picture by the scale that lies in it. Each figure comes with its expanded uncertainty (k = 2, about
/// 95 %): clicks, the size of the thing itself, the lens and the lie of the thing (`ruler` says how much).
///
/// A figure that could be off by more than half is left out with a note, and is an error when no other is left.
///
/// # Errors
/// When the scale is none, or the shape lies where it tells nothing.
pub fn measure(scale: &Scale, picture: Picture, region: &Region) -> Result<Measured, MeasureError> {
    measure_by(&Ruler::of(scale, picture)?, picture, region)
}

/// The same by a laid face of known size, for what lies on that face.
///
/// # Errors
/// When the shape lies where it tells nothing.
pub fn measure_on(
    lying: &Lying,
    picture: Picture,
    region: &Region,
) -> Result<Measured, MeasureError> {
    measure_by(&Ruler::of_face(lying), picture, region)
}

fn measure_by(ruler: &Ruler, picture: Picture, region: &Region) -> Result<Measured, MeasureError> {
    let Some(shape) = Shape::of(region, picture.px()) else {
        return Ok(Measured {
            notes: vec!["a spot has no size; draw a line, an outline or a box".to_owned()],
            ..Measured::default()
        });
    };
    let points = points_mm(ruler, &shape)?;
    let mut measured = Measured {
        notes: ruler.notes(&points),
        ..Measured::default()
    };
    let [length, across, area] = figures(&shape, &points)?;
    let names = match shape.kind {
        Kind::Line | Kind::Outline => ["length", "extent across"],
        Kind::Box => ["width", "height"],
    };
    let mut unsure = Vec::new();
    for (figure, told, name) in [
        (length, &mut measured.length_mm, names[0]),
        (across, &mut measured.across_mm, names[1]),
        (area, &mut measured.area_mm2, "area"),
    ] {
        let Some(figure) = figure else { continue };
        if !ruler.tells(&figure) {
            continue;
        }
        let reading = ruler.reading(&shape, &figure)?;
        let sound = reading.u <= WORTHLESS * reading.value;
        *told = sound.then_some(reading);
        if !sound {
            unsure.push(name);
        }
    }
    if measured.length_mm.is_none() && measured.across_mm.is_none() && measured.area_mm2.is_none() {
        return Err(MeasureError::TooUnsure);
    }
    for name in unsure {
        let note = format!("the {name} is not told: it could be off by more than half");
        measured.notes.push(note);
    }
    let told = measured.area_mm2.is_some();
    match shape.kind {
        Kind::Box if told => measured
            .notes
            .push("the area is that of the whole box".to_owned()),
        Kind::Outline if crosses_itself(&points) => {
            let note = "the outline crosses itself: it has no one area";
            measured.notes.push(note.to_owned());
        }
        _ => {}
    }
    Ok(measured)
}

impl Measured {
    /// The figures with their uncertainties, such as `70 ± 4 mm`, `56 ± 3 mm x 43 ± 3 mm, 24.1 ± 1.7 cm2`; `no size` for a spot.
    #[must_use]
    pub fn text(&self, units: Units) -> String {
        let lengths = self.lengths(units);
        let lengths = lengths.iter().map(Written::whole).collect::<Vec<_>>();
        let area = self.area_mm2.map(|it| Written::area(it, units).whole());
        let lengths = Some(lengths.join(" x ")).filter(|it| !it.is_empty());
        let all: Vec<String> = lengths.into_iter().chain(area).collect();
        if all.is_empty() {
            "no size".to_owned()
        } else {
            all.join(", ")
        }
    }

    /// The figures and how sure they are, fit for the size of a mark: `70 mm (± 3 mm)`, `56 x 43 mm (± 3 x 3 mm)`; only an area
    /// where no length is told; `None` for a spot.
    #[must_use]
    pub fn size(&self, units: Units) -> Option<String> {
        let plain = |all: &[Written]| {
            let unit = all.first()?.unit;
            let joined = |of: fn(&Written) -> &str| {
                let all: Vec<&str> = all.iter().map(of).collect();
                all.join(" x ")
            };
            let (values, us) = (joined(|it| &it.value), joined(|it| &it.u));
            Some(format!("{values} {unit} (± {us} {unit})"))
        };
        let area = self.area_mm2.map(|it| Written::area(it, units));
        plain(&self.lengths(units)).or_else(|| plain(&[area?]))
    }

    fn lengths(&self, units: Units) -> Vec<Written> {
        let both = [self.length_mm, self.across_mm];
        let told = both.into_iter().flatten();
        told.map(|it| Written::length(it, units)).collect()
    }
}

/// The shape's points in the plane of the scale, mm.
fn points_mm(ruler: &Ruler, shape: &Shape) -> Result<Vec<Xy>, MeasureError> {
    let enough = match shape.kind {
        Kind::Line | Kind::Box => 4,
        Kind::Outline => 6,
    };
    let finite = shape.numbers.iter().all(|it| it.is_finite());
    if !finite || shape.numbers.len() < enough {
        return Err(MeasureError::NoShape);
    }
    ruler
        .points(shape, &ruler.values(shape))
        .ok_or(MeasureError::PastHorizon)
}

/// Length, across and area of a shape with these points (mm).
fn figures(shape: &Shape, points: &[Xy]) -> Result<[Option<Figure>; 3], MeasureError> {
    let all = match shape.kind {
        Kind::Line => [Some(Figure::Path), None, None],
        Kind::Box => [
            Some(Figure::Sides([[0, 1], [3, 2]])),
            Some(Figure::Sides([[1, 2], [0, 3]])),
            Some(Figure::Area),
        ],
        Kind::Outline => {
            let [extent, across] = Figure::extents(points).ok_or(MeasureError::NoShape)?;
            let area = (!crosses_itself(points)).then_some(Figure::Area);
            [Some(extent), Some(across), area]
        }
    };
    let length = all[0].as_ref().map_or(0.0, |it| it.of(points));
    if length > 0.0 {
        Ok(all)
    } else {
        Err(MeasureError::NoShape)
    }
}
