//! Which flat faces a piece has, how large each is, and on which of them a part lies.

use crate::assess::faces::part_place;
use crate::assess::faces::piece_shape::PieceShape;
use crate::compare::ruler::face_rect::FaceRect;
use crate::model::face::LaidFace;
use crate::model::ids::PartId;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::entry::kind::Face;

/// The sides of the drawing by the words that lay them.
const SIDES: [(&str, Face); 6] = [
    ("top", Face::Top),
    ("front", Face::Front),
    ("left", Face::Left),
    ("right", Face::Right),
    ("back", Face::Back),
    ("under", Face::Under),
];

/// A rectangle that leaves more than this share of a side's width or height says where on the side it lies.
const LEAVES: f64 = 0.02;

/// A laid face that no side of the piece is.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoRect {
    /// The size of the side is not known.
    #[error("the size of the piece is not told, so that this face has no size in mm")]
    NoPieceSize,
    /// The size of a part is known to nobody but its owner.
    #[error("the size of this part is not told")]
    NoPartSize,
    /// The rectangle is smaller than the side, and may lie anywhere on it.
    #[error("the rectangle is smaller than the side, and where on it it lies is not told")]
    NoPlace,
    /// The rectangle reaches over the edge of the side.
    #[error("the rectangle reaches over the edge of the side, which is {0} x {1} mm")]
    TooLarge(u32, u32),
}

impl NoRect {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::NoPieceSize => {
                "tell the size of the piece with `asfound amend`, or add `size = \"1124 x 148 mm\"` here"
            }
            Self::NoPartSize => "measure it and add `size = \"440 x 150 mm\"`",
            Self::NoPlace => {
                "add `at = \"28 x 31 mm\"`: how far from the left and from the top of the side its top left corner lies"
            }
            Self::TooLarge(..) => {
                "put `size` and `at` right, or the size of the piece with `asfound amend`"
            }
        }
    }
}

/// The side that a word names.
#[must_use]
pub fn side(face: &PartId) -> Option<Face> {
    let found = SIDES.iter().find(|it| it.0 == face.as_str());
    found.map(|it| it.1)
}

/// The word that names a side; the inside has none.
#[must_use]
pub fn word(face: Face) -> Option<PartId> {
    let found = SIDES.iter().find(|it| it.1 == face);
    found.and_then(|it| it.0.parse().ok())
}

/// What a face is called in a sentence: the side's name, else the part's.
#[must_use]
pub fn label(face: &PartId) -> String {
    match side(face) {
        Some(side) => side.label().to_lowercase(),
        None => face.to_string(),
    }
}

/// The same, before any language is chosen.
#[must_use]
pub fn said(face: &PartId) -> Saying {
    match side(face) {
        Some(side) => say::within(Saying::face(side.label())),
        None => Saying::Plain(face.to_string()),
    }
}

/// Every face of a piece that can be laid: its sides, then its parts.
#[must_use]
pub fn names(shape: &PieceShape) -> Vec<String> {
    let mut names: Vec<String> = SIDES.iter().map(|it| it.0.to_owned()).collect();
    for it in &shape.parts {
        if !names.iter().any(|known| known == it.part.as_str()) {
            names.push(it.part.to_string());
        }
    }
    names
}

/// Width and height of a whole side, mm, as they follow from the size told.
#[must_use]
pub fn whole_side(shape: &PieceShape, face: Face) -> Option<[f64; 2]> {
    let size = shape.drawable_size()?;
    let (w, d, h) = (size.width_mm, size.depth_mm, size.height_mm);
    match face {
        Face::Front | Face::Back => Some([w, h]),
        Face::Left | Face::Right => Some([d, h]),
        Face::Top | Face::Under => Some([w, d]),
        Face::Inside => None,
    }
}

/// The rectangle that was laid: on its side, or on the part itself.
///
/// # Errors
/// When its size or its place on the side is not known.
pub fn rect(shape: &PieceShape, laid: &LaidFace) -> Result<FaceRect, NoRect> {
    let told = laid.size.as_ref().map(|it| it.mm());
    let at = laid.at.as_ref().map(|it| it.mm());
    let Some(side) = side(&laid.face) else {
        let size = told.ok_or(NoRect::NoPartSize)?;
        let at = at.unwrap_or_default();
        return Ok(FaceRect { at, size });
    };
    let whole = whole_side(shape, side);
    let size = told.or(whole).ok_or(NoRect::NoPieceSize)?;
    let Some(whole) = whole else {
        let at = at.unwrap_or_default();
        return Ok(FaceRect { at, size });
    };
    let leaves = (0..2).any(|n| size[n] < whole[n] * (1.0 - LEAVES));
    let at = match at {
        None if leaves => return Err(NoRect::NoPlace),
        at => at.unwrap_or_default(),
    };
    // A side may be measured more exactly than the whole piece was told.
    if (0..2).any(|n| at[n] + size[n] > whole[n] * (1.0 + LEAVES)) {
        let [w, h] = whole.map(|it| it.round().max(0.0) as u32);
        return Err(NoRect::TooLarge(w, h));
    }
    Ok(FaceRect { at, size })
}

/// The faces on which a part may lie, the likeliest first: its own front, itself, what it is a part of, then its side. What stands
/// under a corner lies in the plane of no side.
#[must_use]
pub fn of_part(shape: &PieceShape, part: &PartId) -> Vec<PartId> {
    let mut faces = vec![part.clone()];
    let named = |name: String| name.parse::<PartId>().ok();
    let whole = part.whole();
    if part.is_inner() {
        faces.extend(named(format!("{whole}/front")));
        faces.push(whole);
    } else {
        faces.extend(named(format!("{part}/front")));
    }
    let found = part_place::side_of(shape, part).and_then(word);
    if let Some(side) = found
        && !faces.contains(&side)
    {
        faces.push(side);
    }
    faces
}
