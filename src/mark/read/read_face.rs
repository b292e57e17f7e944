//! Reads `[[face]]`: where a flat face of the piece lies in the picture.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::kit::measure::LengthPair;
use crate::mark::keys;
use crate::mark::read::draw::quoted;
use crate::mark::read::reading::Reader;
use crate::mark::read::suggest;
use crate::mark::read::values;
use crate::mark::read::values::Text;
use crate::mark::read::values::Value;
use crate::model::face::How;
use crate::model::face::KnownPoint;
use crate::model::face::LaidFace;
use crate::model::face::Lie;
use crate::model::ids::PartId;
use crate::plane::Homography;
use crate::plane::turn;

/// So far outside the picture, in its widths, a corner can lie; farther out it is a slip, or pixels.
const FARTHEST: f64 = 400.0;

/// Why a laid face cannot be, found by what knows the piece and its picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FaceDoubt {
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

const CORNERS_HELP: &str = "top left, top right, bottom right, bottom left, as one looks straight at the face: `corners = [[12.1, 30.2], [88.0, 29.7], [97.5, 80.1], [3.2, 81.0]]`";

const POINTS_HELP: &str =
    "write it like `points = [{ mm = [0, 0], at = [12.1, 30.2] }, ...]`, with four or more of them";

/// Reads the list of laid faces; what is wrong is left out and told.
pub(crate) fn faces(
    reader: &mut Reader<'_, '_, '_>,
    written: &Value<'_>,
    check: &dyn Fn(&LaidFace) -> Option<FaceDoubt>,
) -> Vec<LaidFace> {
    let Some(list) = written.get_ref().as_array() else {
        let message = format!(
            "`face` must be a list of faces, not {}",
            values::kind(written)
        );
        let help = "write `[[face]]`, with two brackets on each side";
        reader.talk.advise(written.span(), message, help);
        return Vec::new();
    };
    let mut faces: Vec<LaidFace> = Vec::new();
    for item in list.iter() {
        let Some(table) = item.get_ref().as_table() else {
            let message = format!("a face is a table, not {}", values::kind(item));
            let help = "write each face below a `[[face]]` line of its own";
            reader.talk.advise(item.span(), message, help);
            continue;
        };
        let told = reader.talk.count();
        let Some(laid) = face(reader, table, item.span()) else {
            continue;
        };
        if faces.iter().any(|it| it.face == laid.face) {
            let message = format!("`{}` is laid twice in this picture", laid.face);
            reader
                .talk
                .advise(item.span(), message, "take one of the two away");
            continue;
        }
        if reader.talk.count() == told
            && let Some(doubt) = check(&laid)
        {
            let place = ["corners", "points"]
                .into_iter()
                .find_map(|it| table.get(it));
            let span = place.map_or(item.span(), |it| it.span());
            reader.talk.advise(span, doubt.message, doubt.help);
        }
        faces.push(laid);
    }
    faces
}

fn face(reader: &mut Reader<'_, '_, '_>, table: &DeTable<'_>, span: Span) -> Option<LaidFace> {
    values::check_keys(reader.talk, table, &keys::FACE, |name| {
        let top = keys::TOP.contains(&name) && name != "face";
        top.then(|| format!("`{name}` belongs at the top of the file, above the first `[[face]]`"))
    });
    let name = values::text(reader.talk, table, "face");
    if name.is_none() && !table.contains_key("face") {
        let help =
            "add `face = \"top\"`, or `front`, `left`, `right`, `back`, `under`, or a flat part";
        let message = "this does not say which face is laid";
        reader.talk.advise(span.clone(), message, help);
    }
    let name = name.and_then(|it| known_face(reader, &it));
    let size = sides(reader, table, "size");
    let at = sides(reader, table, "at");
    if let (Some(size), Some(value)) = (&size, table.get("size"))
        && size.mm().iter().any(|it| *it <= 0.0)
    {
        let message = "a face has a width and a height above 0";
        reader.talk.advise(
            value.span(),
            message,
            "write it like `size = \"1124 x 148 mm\"`",
        );
    }
    let how = values::text(reader.talk, table, "how");
    let how = how.map_or(Some(How::ByHand), |it| how_of(reader, &it));
    let lie = lie(reader, table, span);
    Some(LaidFace {
        face: name?,
        lie: lie?,
        how: how?,
        size,
        at,
    })
}

fn known_face(reader: &mut Reader<'_, '_, '_>, text: &Text) -> Option<PartId> {
    let known = &reader.words.faces;
    if known.contains(&text.text)
        && let Ok(face) = text.text.parse()
    {
        return Some(face);
    }
    let message = format!("{} is not a face of this piece", quoted(&text.text));
    reader.talk.look_up(text.span.clone(), message, || {
        let known: Vec<_> = known.iter().map(String::as_str).collect();
        suggest::help(&text.text, "faces", &known, &[])
    });
    None
}

fn how_of(reader: &mut Reader<'_, '_, '_>, text: &Text) -> Option<How> {
    let how = text.text.parse();
    if how.is_err() {
        let message = format!("{} does not say how the face was laid", quoted(&text.text));
        let help = "write `how = \"by hand\"`, or `how = \"from picture 5\"`";
        reader.talk.advise(text.span.clone(), message, help);
    }
    how.ok()
}

/// `size` or `at`.
fn sides(reader: &mut Reader<'_, '_, '_>, table: &DeTable<'_>, key: &str) -> Option<LengthPair> {
    let text = values::text(reader.talk, table, key)?;
    let sides = text.text.parse();
    if sides.is_err() {
        let example = if key == "at" {
            "28 x 31 mm"
        } else {
            "1124 x 148 mm"
        };
        let message = format!("`{key}` must be two lengths with their unit");
        let help = format!("write it like `{key} = \"{example}\"`");
        reader.talk.advise(text.span, message, help);
    }
    sides.ok()
}

fn lie(reader: &mut Reader<'_, '_, '_>, table: &DeTable<'_>, span: Span) -> Option<Lie> {
    match (table.get("corners"), table.get_key_value("points")) {
        (Some(_), Some((points, _))) => {
            let message = "a face is laid by its `corners` or by `points`, not by both";
            reader
                .talk
                .advise(points.span(), message, "keep one of the two");
            None
        }
        (Some(value), None) => corners(reader, value),
        (None, Some((_, value))) => points(reader, value),
        (None, None) => {
            let message = "this does not say where the face lies: it has no `corners`";
            reader.talk.advise(span, message, CORNERS_HELP);
            None
        }
    }
}

fn corners(reader: &mut Reader<'_, '_, '_>, value: &Value<'_>) -> Option<Lie> {
    let list = value.get_ref().as_array();
    let corners: Option<Vec<[f64; 2]>> =
        list.and_then(|list| list.iter().map(values::numbers).collect());
    let corners: Option<[[f64; 2]; 4]> = corners.and_then(|it| it.try_into().ok());
    let Some(corners) = corners else {
        let message = "a face has 4 corners, each two numbers in percent of the picture";
        reader.talk.advise(value.span(), message, CORNERS_HELP);
        return None;
    };
    if too_far(reader, value, &corners) {
        return None;
    }
    let (message, help) = match shape(&corners) {
        Shape::Face => return Some(Lie::Corners(corners)),
        Shape::Mirrored => (
            "the corners go round the face the wrong way, as if it were seen from inside the piece",
            CORNERS_HELP,
        ),
        Shape::Crossing => (
            "the edges between these corners cross each other",
            "name the corners in order round the face, the next one always a neighbour",
        ),
        Shape::Dented => (
            "these corners do not make a rectangle seen by a camera: one of them is dented in, or three lie on a line",
            CORNERS_HELP,
        ),
    };
    reader.talk.advise(value.span(), message, help);
    None
}

fn points(reader: &mut Reader<'_, '_, '_>, value: &Value<'_>) -> Option<Lie> {
    let list = value.get_ref().as_array().map(|list| list.iter());
    let known: Option<Vec<KnownPoint>> = list.and_then(|mut list| {
        list.try_fold(Vec::new(), |mut all, item| {
            all.push(point(reader, item)?);
            Some(all)
        })
    });
    let Some(known) = known.filter(|it| it.len() >= 4) else {
        let message = "a face is laid by four or more points, each known on the face (`mm`) and in the picture (`at`)";
        reader.talk.advise(value.span(), message, POINTS_HELP);
        return None;
    };
    let at: Vec<[f64; 2]> = known.iter().map(|it| it.at).collect();
    if too_far(reader, value, &at) {
        return None;
    }
    let from: Vec<[f64; 2]> = known.iter().map(|it| it.mm).collect();
    let map = Homography::fitted(&from, &at);
    let Ok(map) = map else {
        let message = "these points lie on a line, so that they do not tell where the face lies";
        reader.talk.advise(
            value.span(),
            message,
            "take points well apart on both sides",
        );
        return None;
    };
    // One side of the horizon, and not mirrored: what a camera before the face sees.
    let turned = |it: &[f64; 2]| {
        let [[a, b], [c, d]] = map.jacobian(*it)?;
        Some(a * d - b * c > 0.0)
    };
    let before = from
        .iter()
        .all(|it| map.weight(*it) * map.weight(from[0]) > 0.0);
    if !before || !from.iter().all(|it| turned(it) == Some(true)) {
        let message = "no camera before the face sees these points so";
        let help = "count `mm` from the top left corner of the face to the right and down, as one looks straight at it";
        reader.talk.advise(value.span(), message, help);
        return None;
    }
    Some(Lie::Points(known))
}

fn point(reader: &mut Reader<'_, '_, '_>, item: &Value<'_>) -> Option<KnownPoint> {
    let table = item.get_ref().as_table()?;
    values::check_keys(reader.talk, table, &keys::POINT, |_| None);
    Some(KnownPoint {
        mm: values::numbers(table.get("mm")?)?,
        at: values::numbers(table.get("at")?)?,
    })
}

/// Complains of numbers that are none, or too far outside the picture.
fn too_far(reader: &mut Reader<'_, '_, '_>, value: &Value<'_>, points: &[[f64; 2]]) -> bool {
    let near = |it: &f64| it.is_finite() && (-FARTHEST..=100.0 + FARTHEST).contains(it);
    let far = !points.iter().flatten().all(near);
    if far {
        let message = "this point lies far outside the picture: points are given in percent of it";
        let help = "if these are pixels: divide by the width or height of the picture and take it times 100; of a side that lies mostly outside the picture write `points` in place of `corners`";
        reader.talk.advise(value.span(), message, help);
    }
    far
}

/// What four points make, taken in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shape {
    /// A rectangle as a camera before it sees it.
    Face,
    /// The same, seen from behind.
    Mirrored,
    /// Two edges cross.
    Crossing,
    /// A corner turns the other way, or not at all.
    Dented,
}

fn shape(corners: &[[f64; 2]; 4]) -> Shape {
    let turns = [0, 1, 2, 3].map(|n| {
        let [a, b, c] = [n, n + 1, n + 2].map(|it| corners[it % 4]);
        turn(a, b, c)
    });
    let right = turns.iter().filter(|it| **it > 1e-9).count();
    let wrong = turns.iter().filter(|it| **it < -1e-9).count();
    match (right, wrong) {
        (4, 0) => Shape::Face,
        (0, 4) => Shape::Mirrored,
        (2, 2) => Shape::Crossing,
        _ => Shape::Dented,
    }
}
