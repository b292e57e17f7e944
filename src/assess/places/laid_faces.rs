//! The faces that were laid in the photos of a piece, ready to carry marks onto them.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::piece_record::PieceRecord;
use crate::compare::picture::Picture;
use crate::compare::ruler::camera;
use crate::compare::ruler::camera::Camera;
use crate::compare::ruler::face_rect::FaceRect;
use crate::compare::ruler::lying::Lying;
use crate::model::face::How;
use crate::model::face::LaidFace;
use crate::model::ids::PartId;
use crate::model::photo::Photo;

/// A face as it lies in one photo.
#[derive(Clone, Debug)]
pub(crate) struct LaidView {
    /// The face.
    pub(crate) face: PartId,
    /// How it came about.
    pub(crate) how: How,
    /// How it lies.
    pub(crate) lying: Lying,
    /// The camera before it.
    pub(crate) camera: Camera,
}

/// A laid face that is not used, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unused {
    /// The photo.
    pub photo: u32,
    /// The face.
    pub face: PartId,
    /// Why, in words.
    pub why: String,
}

/// A laid face as scripts read it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LaidLine {
    /// The photo.
    pub photo: u32,
    /// The name of its file.
    pub name: String,
    /// The face.
    pub face: PartId,
    /// The rectangle on its side, mm.
    #[serde(flatten)]
    pub rect: FaceRect,
    /// Its corners in percent of the upright picture, top left first; `None` where one lies behind the camera.
    pub corners: Option<Vec<[f64; 2]>>,
    /// How it came about.
    pub how: How,
}

/// All laid faces of a piece.
#[derive(Clone, Debug, Default)]
pub(crate) struct LaidFaces {
    views: BTreeMap<u32, Vec<LaidView>>,
    /// Those that are not used.
    pub(crate) unused: Vec<Unused>,
}

impl LaidFaces {
    /// The laid faces of the photos of `case`. What was read when the piece had another size may not fit any more: it is told and
    /// not used.
    pub(crate) fn of(case: &PieceRecord, shape: &PieceShape) -> Self {
        let mut all = Self::default();
        for photo in &case.photos {
            for laid in &photo.sidecar.faces {
                match view(shape, photo, laid) {
                    Ok(view) => all.views.entry(photo.no).or_default().push(view),
                    Err(why) => all.unused.push(Unused {
                        photo: photo.no,
                        face: laid.face.clone(),
                        why,
                    }),
                }
            }
        }
        all.unused
            .sort_by(|a, b| (a.photo, &a.face).cmp(&(b.photo, &b.face)));
        all
    }

    /// A face in a photo.
    pub(crate) fn view(&self, photo: u32, face: &PartId) -> Option<&LaidView> {
        self.in_photo(photo).iter().find(|it| it.face == *face)
    }

    /// The faces in a photo.
    pub(crate) fn in_photo(&self, photo: u32) -> &[LaidView] {
        self.views.get(&photo).map_or(&[], Vec::as_slice)
    }

    /// The faces of these photos, as scripts read them.
    pub(crate) fn lines(&self, photos: &[&Photo]) -> Vec<LaidLine> {
        let lines = photos.iter().flat_map(|photo| {
            self.in_photo(photo.no).iter().map(|it| {
                let [w, h] = it.lying.px();
                let percent = |[x, y]: [f64; 2]| [x / w, y / h].map(|it| (it * 1e5).round() / 1e3);
                LaidLine {
                    photo: photo.no,
                    name: photo.name.clone(),
                    face: it.face.clone(),
                    rect: it.lying.rect(),
                    corners: it.lying.corners_px().map(|it| it.map(percent).to_vec()),
                    how: it.how,
                }
            })
        });
        lines.collect()
    }
}

/// A face as it is laid in a photo.
///
/// # Errors
/// In words, when it does not fit the piece, or no camera sees it so.
pub(in crate::assess) fn view(
    shape: &PieceShape,
    photo: &Photo,
    laid: &LaidFace,
) -> Result<LaidView, String> {
    let rect = flat_faces::rect(shape, laid).map_err(|it| it.to_string())?;
    let picture = Picture {
        width: photo.facts.width,
        height: photo.facts.height,
    };
    let no_camera = || "no camera sees a face of this size so".to_owned();
    let lying = Lying::of(&laid.lie, rect, picture).map_err(|_| no_camera())?;
    let camera = camera::checked(&lying, photo.facts.focal_35mm).map_err(|_| no_camera())?;
    Ok(LaidView {
        face: laid.face.clone(),
        how: laid.how,
        lying,
        camera,
    })
}
