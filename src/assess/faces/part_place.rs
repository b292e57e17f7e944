//! Where on the drawing a part is.

use crate::assess::faces::frame::STRETCHER;
use crate::assess::faces::piece_shape::PartShape;
use crate::assess::faces::piece_shape::PieceShape;
use crate::assess::faces::sheet::Rect;
use crate::assess::faces::sheet::Sheet;
use crate::model::ids::PartId;
use crate::trade::entry::kind::Face;

/// Kinds of part that stand under a corner.
const STANDS: [&str; 4] = ["leg", "foot", "caster", "pedestal"];

/// The face and place of a part; `None` for what is inside and for what no face shows.
///
/// The place is the part itself where the drawing has it, else the body of the face that shows it.
pub(crate) fn of_part(scene: &PieceShape, sheets: &[Sheet], part: &PartId) -> Option<(Face, Rect)> {
    let find = |wanted: &PartId| scene.parts.iter().find(|it| it.part == *wanted);
    let whole = part.whole();
    let shape = find(part).or_else(|| find(&whole))?;
    let drawn = named(sheets, shape, &words_of(part, shape));
    if drawn.is_some() {
        return drawn;
    }
    let face = shape.face.drawn()?;
    Some((face, slot(sheets, Some(face), "body")?))
}

/// The side in whose plane a part lies; `None` for what is inside, and for what stands under a corner: a leg is round, or set back.
pub(crate) fn side_of(shape: &PieceShape, part: &PartId) -> Option<Face> {
    let find = |wanted: &PartId| shape.parts.iter().find(|it| it.part == *wanted);
    let found = find(part).or_else(|| find(&part.whole()))?;
    let words = words_of(part, found);
    let stands = |it: &&str| words.iter().any(|word| word == *it);
    if STANDS.iter().chain(["post"].iter()).any(stands) {
        return None;
    }
    found.face.drawn()
}

/// The words of a part's name and of its label, such as `leg front left`.
fn words_of(part: &PartId, shape: &PartShape) -> Vec<String> {
    let text = format!("{} {}", part.as_str(), shape.label).to_lowercase();
    let words = text.split(|it: char| !it.is_alphanumeric());
    words
        .filter(|it| !it.is_empty())
        .map(str::to_owned)
        .collect()
}

fn named(sheets: &[Sheet], shape: &PartShape, words: &[String]) -> Option<(Face, Rect)> {
    let has = |word: &str| words.iter().any(|it| it == word);
    if let Some(no) = after(words, "drawer") {
        return anywhere(sheets, &format!("drawer-{no}"));
    }
    let corner = || {
        let end = ["front", "back"].into_iter().find(|it| has(it))?;
        let side = ["left", "right"].into_iter().find(|it| has(it))?;
        Some(format!("{end}-{side}"))
    };
    if STANDS.iter().any(|it| has(it)) {
        return anywhere(sheets, &corner()?);
    }
    // The hinges of a lid are on its back edge; whatever else is part of it lies with it.
    if has("lid") && has("hinge") {
        return slot(sheets, Some(Face::Back), "body").map(|it| (Face::Back, it));
    }
    if has(STRETCHER) {
        return slot(sheets, shape.face.drawn(), STRETCHER)
            .map(|it| (shape.face.drawn().unwrap_or(Face::Front), it));
    }
    if has("post") {
        return anywhere(sheets, &format!("post-{}", corner()?));
    }
    if has("door") {
        let no = after(words, "door").unwrap_or_else(|| if has("right") { 2 } else { 1 });
        return anywhere(sheets, &format!("door-{no}"));
    }
    if let Some(no) = after(words, "shelf") {
        return anywhere(sheets, &format!("shelf-{no}"));
    }
    if has("base") || has("plinth") {
        return anywhere(sheets, "base");
    }
    if has("frame") && shape.face == Face::Front {
        return anywhere(sheets, "frame");
    }
    let face = shape.face.drawn();
    slot(sheets, face, shape.part.as_str()).map(|it| (face.unwrap_or(Face::Front), it))
}

/// The number that follows a word.
fn after(words: &[String], word: &str) -> Option<u32> {
    let at = words.iter().position(|it| it == word)?;
    words.get(at + 1)?.parse().ok()
}

fn anywhere(sheets: &[Sheet], name: &str) -> Option<(Face, Rect)> {
    sheets.iter().find_map(|sheet| {
        let rect = slot(std::slice::from_ref(sheet), None, name)?;
        Some((sheet.face, rect))
    })
}

fn slot(sheets: &[Sheet], face: Option<Face>, name: &str) -> Option<Rect> {
    let sheets = sheets
        .iter()
        .filter(|it| face.is_none_or(|face| it.face == face));
    let mut slots = sheets.flat_map(|it| &it.slots);
    slots.find(|it| it.0 == name).map(|it| it.1)
}
