//! The faces that a person laid in the pictures of a piece.

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::compare::picture::Picture;
use crate::compare::ruler::face_rect::FaceRect;
use crate::compare::ruler::lying::Lying;
use crate::model::face::How;
use crate::model::face::LaidFace;
use crate::model::photo::Photo;
use crate::work::sidecars::face_check;

/// A rectangle of the piece, and where a person laid it.
pub(super) struct Known {
    pub(super) like: LaidFace,
    pub(super) rect: FaceRect,
    /// Which picture, by its place in the list, and its corners in shares of that picture.
    pub(super) places: Vec<(usize, [[f64; 2]; 4])>,
}

/// The rectangles that a person laid, each with all its places.
pub(super) fn known(photos: &[Photo], shape: &PieceShape) -> Vec<Known> {
    let mut all: Vec<Known> = Vec::new();
    for (n, photo) in photos.iter().enumerate() {
        let by_hand = photo
            .sidecar
            .faces
            .iter()
            .filter(|it| it.how == How::ByHand);
        for laid in by_hand {
            if face_check::doubt(shape, &photo.facts, laid).is_some() {
                continue;
            }
            let picture = Picture {
                width: photo.facts.width,
                height: photo.facts.height,
            };
            let Ok(rect) = flat_faces::rect(shape, laid) else {
                continue;
            };
            let lying = Lying::of(&laid.lie, rect, picture).ok();
            let Some((lying, corners)) = lying.and_then(|it| Some((it.px(), it.corners_px()?)))
            else {
                continue;
            };
            let place = (n, corners.map(|[x, y]| [x / lying[0], y / lying[1]]));
            let same = |it: &&mut Known| it.like.face == laid.face && it.rect == rect;
            match all.iter_mut().find(same) {
                Some(it) => it.places.push(place),
                None => all.push(Known {
                    like: laid.clone(),
                    rect,
                    places: vec![place],
                }),
            }
        }
    }
    all
}

/// Whether a person laid this face in a picture, whatever rectangle of it.
pub(super) fn by_hand(photo: &Photo, known: &Known) -> bool {
    let mut all = photo.sidecar.faces.iter();
    all.any(|it| it.face == known.like.face && it.how == How::ByHand)
}
