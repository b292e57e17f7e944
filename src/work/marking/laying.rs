//! Laying a face by its corners: whether they can be, told while they are set.

use serde::Deserialize;
use serde::Serialize;

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::compare::picture::Picture;
use crate::compare::ruler::camera;
use crate::compare::ruler::lying::Lying;
use crate::kit::clock::Moment;
use crate::model::face::LaidFace;
use crate::model::ids::PartId;
use crate::trade::TradeBook;
use crate::trade::entry::kind::Face;
use crate::work::WorkError;
use crate::work::marking::At;
use crate::work::marking::MarkingSession;
use crate::work::sidecars::face_check;
use crate::work::sidecars::vocabulary;

/// A side of the piece that can be laid.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FaceOnWalk {
    /// The word that lays it, such as `front`.
    pub id: PartId,
    /// What it is called.
    pub label: String,
    /// Width and height, mm; `None` while the size of the piece is not told.
    pub size_mm: Option<[f64; 2]>,
}

/// A face as it would be laid in a photo; nothing is written.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LayQuestion {
    /// The photo.
    pub photo: u32,
    /// The face.
    pub laid: LaidFace,
}

/// Whether it can lie so.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LayAnswer {
    /// Whether a camera sees a rectangle of this size so.
    pub fits: bool,
    /// Why not; or by how much the corners are off together.
    pub text: String,
    /// What to do about it.
    pub help: Option<String>,
}

/// The sides of a piece.
pub(super) fn faces(shape: &PieceShape) -> Vec<FaceOnWalk> {
    let sides = [
        Face::Front,
        Face::Top,
        Face::Left,
        Face::Right,
        Face::Back,
        Face::Under,
    ];
    let one = |side: Face| {
        Some(FaceOnWalk {
            id: flat_faces::word(side)?,
            label: side.label().to_owned(),
            size_mm: flat_faces::whole_side(shape, side),
        })
    };
    sides.into_iter().filter_map(one).collect()
}

impl MarkingSession {
    /// Holds the corners of a face against the size of the piece and the focal length of the photo.
    ///
    /// # Errors
    /// When there is no such photo.
    pub fn ask_face(&self, now: Moment, asked: &LayQuestion) -> Result<LayAnswer, WorkError> {
        let at = self.at(now, asked.photo)?;
        let shape = shape_of(at.book.trade()?, &at);
        if let Some(doubt) = face_check::doubt(&shape, &at.photo.facts, &asked.laid) {
            return Ok(LayAnswer {
                fits: false,
                text: doubt.message,
                help: Some(doubt.help),
            });
        }
        Ok(LayAnswer {
            fits: true,
            text: off(&shape, &at, &asked.laid),
            help: None,
        })
    }
}

fn shape_of(trade: &TradeBook, at: &At) -> PieceShape {
    PieceShape::of(trade, &at.piece, &vocabulary::parts(trade, &at.piece))
}

/// By how much corners that fit are off together, as a share of the picture.
fn off(shape: &PieceShape, at: &At, laid: &LaidFace) -> String {
    let facts = &at.photo.facts;
    let picture = Picture {
        width: facts.width,
        height: facts.height,
    };
    let lying = flat_faces::rect(shape, laid).ok();
    let lying = lying.and_then(|rect| Lying::of(&laid.lie, rect, picture).ok());
    let camera = lying.and_then(|it| Some((camera::checked(&it, facts.focal_35mm).ok()?, it)));
    let Some((camera, lying)) = camera else {
        return String::new();
    };
    let [w, h] = lying.rect().size.map(f64::round);
    let per_1600 = camera.movement() / lying.px()[0].max(lying.px()[1]) * 1600.0;
    format!("Fits {w} x {h} mm: the corners are {per_1600:.1} px of 1600 off.")
}
