//! Measuring what is drawn, while it is drawn.

use serde::Deserialize;
use serde::Serialize;

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::compare::figures::Reading;
use crate::compare::figures::Units;
use crate::compare::measure::measure;
use crate::compare::measure::measure_on;
use crate::compare::picture::Picture;
use crate::compare::ruler::lying::Lying;
use crate::kit::clock::Moment;
use crate::model::ids::PartId;
use crate::model::mark::Scale;
use crate::model::photo::Photo;
use crate::model::region::Region;
use crate::model::settings::Settings;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;
use crate::work::sidecars::vocabulary;

/// On a face a card is as large as it is, within so much of itself, only when it lies on that face.
const CARD_ALIKE: f64 = 0.08;

/// A shape in a photo, and the scale to measure it by; neither need be saved.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawn {
    /// The photo.
    pub photo: u32,
    /// The thing of known size; may be left out where the part's face is laid in the picture.
    #[serde(default)]
    pub scale: Option<Scale>,
    /// The part on which the shape lies: a face of it that is laid in the picture measures it.
    #[serde(default)]
    pub part: Option<PartId>,
    /// The shape.
    pub region: Region,
}

/// What it measures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// Of a line its length, of an outline its greatest extent, of a box its width; mm, k = 2.
    pub length_mm: Option<Reading>,
    /// Of an outline the extent at right angles to it, of a box its height; mm, k = 2.
    pub across_mm: Option<Reading>,
    /// The area; mm2, k = 2.
    pub area_mm2: Option<Reading>,
    /// All of it in words, in the units of the book, such as `70 ± 4 mm`.
    pub text: String,
    /// Fit for the size of a mark, such as `70 mm (± 3 mm)`.
    pub size: Option<String>,
    /// What a reader of the figures must know.
    pub notes: Vec<String>,
}

impl MarkingSession {
    /// Measures a shape by a scale.
    ///
    /// # Errors
    /// When there is no such photo, or the shape cannot be measured by that scale.
    pub fn measure(&self, now: Moment, drawn: &Drawn) -> Result<Measured, WorkError> {
        let mut at = self.at(now, drawn.photo)?;
        // A side that was laid a moment ago stands in the file; the record learns of it later.
        if let Some(said) = self.said_beside(&at)? {
            at.photo.sidecar = said;
        }
        let (settings, _) = at.book.settings_or_usual()?;
        let picture = Picture {
            width: at.photo.facts.width,
            height: at.photo.facts.height,
        };
        let wrong = |error: String| WorkError::asked(error);
        let region = drawn.region.clone().checked();
        let region = region.map_err(|it| wrong(it.to_string()))?;
        let shape = PieceShape::of(
            &at.book.trade,
            &at.piece,
            &vocabulary::parts(&at.book.trade, &at.piece),
        );
        let lying = by_face(&shape, &at.photo, drawn.part.as_ref());
        let other = match (&lying, &drawn.scale) {
            (Some(lying), Some(scale)) if disagrees(lying, scale) => {
                measure(scale, picture, &region).ok()
            }
            _ => None,
        };
        let told = match (lying, &drawn.scale) {
            (Some(lying), _) => measure_on(&lying, picture, &region),
            (None, Some(scale)) => {
                if let Some(face) = plane_of_card(&shape, &at.photo, drawn.part.as_ref(), scale) {
                    return Err(WorkError::asked_with(
                        format!(
                            "the card lies on the {face}, and this part does not: a card measures only what lies in its own plane"
                        ),
                        "lay a card on the part, or lay the part's own face in this picture",
                    ));
                }
                measure(scale, picture, &region)
            }
            (None, None) => {
                return Err(WorkError::asked_with(
                    "nothing of known size lies in this picture",
                    "mark a card, a sheet or a tape in it, or lay the face on which this lies",
                ));
            }
        };
        let mut told = told.map_err(|it| wrong(it.to_string()))?;
        let units = units(&settings);
        let size = told.size(units).filter(|_| other.is_none());
        told.notes
            .extend(other.map(|it| two_scales(&it.text(units))));
        Ok(Measured {
            text: told.text(units),
            size,
            length_mm: told.length_mm,
            across_mm: told.across_mm,
            area_mm2: told.area_mm2,
            notes: told.notes,
        })
    }
}

/// What is said where the laid side and the thing of known size give two lengths.
fn two_scales(by_card: &str) -> String {
    format!(
        "two scales disagree here: this is by the laid side; by the thing of known size it is {by_card}. If that lies on this side, one of the two is laid wrong, or its size is"
    )
}

/// Whether a thing of known size lies on a laid face, by its shape, and is another size there than it has. A tape has no shape: it
/// is taken to lie there.
fn disagrees(lying: &Lying, scale: &Scale) -> bool {
    let Some(edges) = edges_on(lying, scale) else {
        return false;
    };
    let far = |ratio: f64| (ratio - 1.0).abs() >= CARD_ALIKE;
    let alike = |sides: [f64; 2]| {
        let ratios = edges.iter().zip(sides.iter().cycle());
        let ratios: Vec<f64> = ratios.map(|(edge, side)| edge / side).collect();
        let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
        ratios.iter().all(|it| !far(it / mean)) && far(mean)
    };
    match scale.height_mm {
        Some(height) => alike([scale.width_mm, height]) || alike([height, scale.width_mm]),
        None => alike([scale.width_mm; 2]),
    }
}

/// The edges of a card, or the length of a tape, on a laid face, mm.
fn edges_on(lying: &Lying, scale: &Scale) -> Option<Vec<f64>> {
    let [w, h] = lying.px();
    let mm = |[x, y]: &[f64; 2]| lying.to_mm([x * w / 100.0, y * h / 100.0]);
    let mm: Vec<[f64; 2]> = scale.corners.iter().map(mm).collect::<Option<_>>()?;
    let distance = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let edges = (0..mm.len()).map(|n| distance(mm[n], mm[(n + 1) % mm.len()]));
    Some(edges.collect())
}

/// The face of a part as it is laid in a photo.
fn by_face(shape: &PieceShape, photo: &Photo, part: Option<&PartId>) -> Option<Lying> {
    let faces = flat_faces::of_part(shape, part?);
    faces.iter().find_map(|face| laid(shape, photo, face))
}

/// The face on which a card lies, where that is none of the part's: the card has its own size only in the plane in which it lies.
fn plane_of_card(
    shape: &PieceShape,
    photo: &Photo,
    part: Option<&PartId>,
    scale: &Scale,
) -> Option<String> {
    let own = flat_faces::of_part(shape, part?);
    let sides = [scale.width_mm, scale.height_mm?];
    let others = photo
        .sidecar
        .faces
        .iter()
        .filter(|it| !own.contains(&it.face));
    let fits = |lying: &Lying| {
        let Some(edges) = edges_on(lying, scale).filter(|it| it.len() == 4) else {
            return false;
        };
        let alike = |order: [f64; 2]| {
            let near = |n: usize| (edges[n] / order[n % 2] - 1.0).abs() < CARD_ALIKE;
            (0..4).all(near)
        };
        alike(sides) || alike([sides[1], sides[0]])
    };
    let mut found = others.filter(|it| laid(shape, photo, &it.face).is_some_and(|it| fits(&it)));
    found.next().map(|it| flat_faces::label(&it.face))
}

fn laid(shape: &PieceShape, photo: &Photo, face: &PartId) -> Option<Lying> {
    let laid = photo.sidecar.faces.iter().find(|it| it.face == *face)?;
    let rect = flat_faces::rect(shape, laid).ok()?;
    let picture = Picture {
        width: photo.facts.width,
        height: photo.facts.height,
    };
    Lying::of(&laid.lie, rect, picture).ok()
}

/// The unit of a book. Common practice, no source: who sells in dollars measures in inches.
pub(in crate::work::marking) fn units(settings: &Settings) -> Units {
    match settings.currency.to_string().as_str() {
        "USD" => Units::Inches,
        _ => Units::Millimetres,
    }
}
