//! Reads where in the picture a mark lies, and the thing of known size.

use toml::de::DeTable;

use crate::kit::diagnostic::Span;
use crate::mark::keys;
use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;
use crate::mark::read::values;
use crate::mark::read::values::Value;
use crate::model::mark::Scale;
use crate::model::region::Point;
use crate::model::region::Region;
use crate::model::region::RegionError;

/// Reads `box`, `line`, `outline` or `spot`.
pub(crate) fn region(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    tag: Option<&str>,
) -> Option<Region> {
    let keyed = keys::REGION
        .iter()
        .filter_map(|key| table.get_key_value(*key));
    let mut keyed: Vec<_> = keyed.collect();
    keyed.sort_by_key(|(key, _)| key.span().start);
    if let [(first, _), (second, _), ..] = keyed.as_slice() {
        let (first, second_name) = (first.get_ref(), second.get_ref());
        let message = format!("a mark has one place, not both `{first}` and `{second_name}`");
        let help = "keep one of them, or make a second `[[mark]]`";
        talk.advise(second.span(), message, help);
    }
    let (key, value) = keyed.first()?;
    if tag == Some("absent") {
        let message = "what is absent has no place in the picture";
        talk.advise(
            key.span(),
            message,
            format!("leave `{}` out", key.get_ref()),
        );
    }
    let shape = key.get_ref().as_ref();
    let region = match shape {
        "box" => values::numbers(value).map(Region::Box),
        "line" => points(value).map(Region::Line),
        "outline" => points(value).map(Region::Outline),
        _ => values::numbers(value).map(Region::Spot),
    };
    let Some(region) = region else {
        let (message, help) = match shape {
            "box" => (
                "`box` takes four numbers: left, top, width and height, in percent of the picture",
                "write it like `box = [62.0, 31.0, 11.0, 9.0]`",
            ),
            "spot" => (
                "`spot` takes two numbers: from the left and from the top, in percent of the picture",
                "write it like `spot = [62.0, 31.0]`",
            ),
            "line" => (
                "`line` takes a list of points, each two numbers in percent of the picture",
                "write it like `line = [[62.0, 31.0], [70.5, 31.0]]`",
            ),
            _ => (
                "`outline` takes a list of points, each two numbers in percent of the picture",
                "write it like `outline = [[62.0, 31.0], [70.5, 31.0], [70.5, 40.0]]`",
            ),
        };
        talk.advise(value.span(), message, help);
        return None;
    };
    match region.checked() {
        Ok(region) => Some(region),
        Err(why) => {
            let outside = (why == RegionError::OutOfRange).then(|| outside(value));
            let span = outside.flatten().unwrap_or_else(|| value.span());
            talk.add(span, why.to_string(), pixels_help(value));
            None
        }
    }
}

/// Reads `[scale]`.
pub(crate) fn scale(talk: &mut Talk<'_>, value: &Value<'_>) -> Option<Scale> {
    let Some(table) = value.get_ref().as_table() else {
        let message = format!("`scale` must be a table, not {}", values::kind(value));
        let help = "write `[scale]` on a line of its own, and below it `object` and `corners`";
        talk.advise(value.span(), message, help);
        return None;
    };
    values::check_keys(talk, table, &keys::SCALE, |name| {
        let top = keys::TOP.contains(&name) && name != "scale" && name != "mark";
        top.then(|| format!("`{name}` belongs at the top of the file, above `[scale]`"))
    });
    let (width_mm, height_mm) = thing(talk, table, value.span())?;
    let wanted = if height_mm.is_some() { 4 } else { 2 };
    let Some(written) = table.get("corners") else {
        let message = format!("the scale has no `corners`: {wanted} points in percent");
        let help = "add `corners = [[12.1, 80.3], ...]`, measured in the upright picture";
        talk.advise(value.span(), message, help);
        return None;
    };
    let corners = points(written).unwrap_or_default();
    if corners.len() != wanted {
        let message = match wanted {
            4 => "an object has 4 corners, each two numbers in percent, in order round it",
            _ => "a length has 2 ends in `corners`, each two numbers in percent",
        };
        talk.say(written.span(), message);
        return None;
    }
    if let Some(span) = outside(written) {
        let message = "a corner is given in percent: each number must lie between 0 and 100";
        talk.add(span, message.to_owned(), pixels_help(written));
        return None;
    }
    if wanted == 2 && corners[0] == corners[1] {
        talk.say(
            written.span(),
            "the two ends of the length are the same point",
        );
        return None;
    }
    if wanted == 4 && !goes_round(&corners) {
        let message = "the four corners do not go round an object in order";
        talk.advise(
            written.span(),
            message,
            "name each corner once, the next one always a neighbour",
        );
        return None;
    }
    Some(Scale {
        width_mm,
        height_mm,
        corners,
    })
}

/// Width and height in mm of the thing that lies in the picture.
fn thing(talk: &mut Talk<'_>, table: &DeTable<'_>, span: Span) -> Option<(f64, Option<f64>)> {
    if let (Some(_), Some((length, _))) = (table.get("object"), table.get_key_value("length_mm")) {
        let message = "the scale is either an `object` or a `length_mm`, not both";
        talk.advise(length.span(), message, "keep one of the two");
        return None;
    }
    if let Some(length) = table.get("length_mm") {
        let mm = values::number(length).filter(|it| it.is_finite() && *it > 0.0);
        if mm.is_none() {
            let help = "write it in millimetres, like `length_mm = 100`";
            talk.advise(length.span(), "`length_mm` must be a number above 0", help);
        }
        return Some((mm?, None));
    }
    let names = keys::OBJECTS.map(|(name, _)| name);
    if !table.contains_key("object") {
        let message = "the scale does not say what lies in the picture";
        let help = format!(
            "add `object` ({}), or `length_mm = 100` for a plain length",
            suggest::listed(&names, "or")
        );
        talk.advise(span, message, help);
        return None;
    }
    let object = values::text(talk, table, "object");
    let Some(object) = object else {
        if let Some(value) = table.get("object").filter(|it| it.get_ref().is_str()) {
            talk.add(
                value.span(),
                "`object` is empty".to_owned(),
                suggest::help("", "objects", &names, &[]),
            );
        }
        return None;
    };
    let found = keys::OBJECTS.iter().find(|(name, _)| *name == object.text);
    let Some((_, [width, height])) = found else {
        let help = suggest::help(&object.text, "objects", &names, &[]);
        let message = format!("the size of {} is not known", quoted(&object.text));
        talk.add(object.span, message, help);
        return None;
    };
    Some((*width, Some(*height)))
}

/// For numbers that are far too large: they may be pixels.
fn pixels_help(value: &Value<'_>) -> Option<String> {
    let list = value.get_ref().as_array()?;
    let large = list.iter().any(|item| match values::number(item) {
        Some(number) => number.is_finite() && number > 200.0,
        None => pixels_help(item).is_some(),
    });
    let help =
        "if these are pixels: divide by the width or height of the picture and take it times 100";
    large.then(|| help.to_owned())
}

fn points(value: &Value<'_>) -> Option<Vec<Point>> {
    value
        .get_ref()
        .as_array()?
        .iter()
        .map(values::numbers)
        .collect()
}

/// The first number outside 0 to 100.
fn outside(value: &Value<'_>) -> Option<Span> {
    let list = value.get_ref().as_array()?;
    list.iter().find_map(|item| match values::number(item) {
        Some(number) => (!(0.0..=100.0).contains(&number)).then(|| item.span()),
        None => outside(item),
    })
}

/// Whether four points turn the same way at each corner, as every picture of a flat rectangle does.
fn goes_round(corners: &[Point]) -> bool {
    let turn = |n: usize| {
        let [a, b, c] = [0, 1, 2].map(|step| corners[(n + step) % 4]);
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    };
    let turns = [0, 1, 2, 3].map(turn);
    turns.iter().all(|it| *it > 0.0) || turns.iter().all(|it| *it < 0.0)
}
