//! Whether a laid face can be: held against the sizes of the piece and the camera of its picture.

use crate::assess::faces::flat_faces;
use crate::assess::faces::piece_shape::PieceShape;
use crate::compare::picture::Picture;
use crate::compare::ruler::camera;
use crate::compare::ruler::lying::Lying;
use crate::mark::FaceDoubt;
use crate::model::face::LaidFace;
use crate::model::facts::Facts;

/// Why a face cannot lie so in a picture of these facts; `None` when it can.
pub(in crate::work) fn doubt(
    shape: &PieceShape,
    facts: &Facts,
    laid: &LaidFace,
) -> Option<FaceDoubt> {
    let rect = match flat_faces::rect(shape, laid) {
        Ok(rect) => rect,
        Err(why) => {
            return Some(FaceDoubt {
                message: why.to_string(),
                help: why.help().to_owned(),
            });
        }
    };
    let picture = Picture {
        width: facts.width,
        height: facts.height,
    };
    let name = flat_faces::label(&laid.face);
    let [w, h] = rect.size.map(f64::round);
    let help = "set each corner anew; or the size is another one: that of the whole piece by `asfound amend NO --size HxWxD`, that of this side alone by `size` in its entry";
    let help = help.to_owned();
    let Ok(lying) = Lying::of(&laid.lie, rect, picture) else {
        let message = format!(
            "these corners cannot be this {name} ({w} x {h} mm): part of it would lie behind the camera"
        );
        return Some(FaceDoubt { message, help });
    };
    let off = camera::checked(&lying, facts.focal_35mm).err()?;
    let [width, height] = lying.px();
    let message = match off.is_finite() {
        true => format!(
            "these corners cannot be this {name} ({w} x {h} mm): no camera sees it so; together they are {off:.0} px off in this picture of {width:.0} x {height:.0} px"
        ),
        false => {
            format!("these corners cannot be this {name} ({w} x {h} mm): no camera sees it so")
        }
    };
    Some(FaceDoubt { message, help })
}
