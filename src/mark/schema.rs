//! The JSON Schema of a sidecar, so that editors complete the words and underline the wrong ones.

use serde_json::Value;
use serde_json::json;

use crate::mark::Words;
use crate::mark::keys;
use crate::model::mark::MarkState;

/// The JSON Schema (draft 7, which editors know best) of a sidecar that may use these words.
///
/// Where a list of words is empty, every word is let pass. It knows less than the reader: not that a box reaches over the edge, say, nor that two lists contradict each other.
#[must_use]
pub fn schema(words: &Words) -> String {
    let parts = list("The parts the photo shows.", &words.parts);
    let mut views = vec![String::new()];
    views.extend(words.views.iter().cloned());
    let schema = json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "What is written beside a photo",
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "view": choice("Which view the photo is; empty while not yet said.", &views),
            "parts": parts,
            "note": line("A note for the report."),
            "private_note": line("A note for the owner alone; never in a buyer's report."),
            "sound": list("Parts looked at for faults, and none found.", &words.parts),
            "absent": list("Parts that are not there.", &words.parts),
            "not_examined": list("Parts nobody looked at.", &words.parts),
            "scale": scale(),
            "face": {
                "description": "A flat face of the piece, and where it lies in the picture.",
                "type": "array",
                "items": face(words),
            },
            "mark": {
                "description": "One thing said about one part.",
                "type": "array",
                "items": mark(words),
            },
        },
    });
    format!("{schema:#}\n")
}

fn scale() -> Value {
    let names = keys::OBJECTS.map(|(name, _)| name.to_owned());
    json!({
        "description": "A thing of known size lying in the plane of the fault.",
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "object": choice("A bank card (id-1, 85.60 x 53.98 mm) or a sheet of paper.", &names),
            "length_mm": {
                "description": "A plain length between two points, in millimetres.",
                "type": "number",
                "exclusiveMinimum": 0,
            },
            "corners": points("Its four corners in order round, or the two ends of the length.", 2),
        },
        "required": ["corners"],
        "oneOf": [{ "required": ["object"] }, { "required": ["length_mm"] }],
    })
}

fn face(words: &Words) -> Value {
    let pair = |about: &str| json!({ "description": about, "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 });
    json!({
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "face": choice("A side of the piece, or a part that is flat.", &words.faces),
            "corners": {
                "description": "Top left, top right, bottom right, bottom left as one looks straight at it; percent of the upright picture, outside it is allowed.",
                "type": "array",
                "items": pair("From the left and from the top; percent."),
                "minItems": 4,
                "maxItems": 4,
            },
            "points": {
                "description": "Instead of corners: four or more points that are known on the face and in the picture.",
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "properties": {
                        "mm": pair("From the top left corner of the face to the right and down, mm."),
                        "at": pair("From the left and from the top of the picture; percent."),
                    },
                    "required": ["mm", "at"],
                },
                "minItems": 4,
            },
            "how": line("`by hand`, or `from picture 5`."),
            "size": line("Width and height, such as `1124 x 148 mm`, when it is not the whole side."),
            "at": line("Where its top left corner lies on the side, such as `28 x 31 mm`."),
        },
        "required": ["face"],
        "oneOf": [{ "required": ["corners"] }, { "required": ["points"] }],
    })
}

fn mark(words: &Words) -> Value {
    let tags = words.faults.iter().chain(&words.observations).cloned();
    let tags: Vec<_> = tags.chain(keys::STATEMENTS.map(str::to_owned)).collect();
    let states = MarkState::ALL.map(|(_, word)| word.to_owned());
    let findings: Vec<_> = words.findings.iter().map(|it| it.no.to_string()).collect();
    // At most one of the four: no two of them together.
    let pairs = keys::REGION.iter().enumerate().flat_map(|(n, one)| {
        let others = keys::REGION[n + 1..].iter();
        others.map(move |other| json!({ "required": [one, other] }))
    });
    let mut mark = json!({
        "type": "object",
        "additionalProperties": false,
        "properties": {
            "tag": choice("What it is: a fault, an observation, or sound, absent, not_examined.", &tags),
            "part": choice("The part it is on; may be left out when the photo shows only one.", &words.parts),
            "which": line("Tells two of the same kind on one part apart, such as `left ring`."),
            "finding": choice("The number of a finding already known.", &findings),
            "state": choice("What became of it; present when left out.", &states),
            "level": {
                "description": "1 trace, 2 visible, 3 heavy, 4 failing.",
                "type": "integer",
                "minimum": 1,
                "maximum": 4,
            },
            "size": line("A measure with its unit, such as `70 mm`."),
            "note": line("A note for the report."),
            "box": numbers("Left, top, width, height; percent of the upright picture.", 4),
            "line": points("An open line of at least 2 points.", 2),
            "outline": points("A closed outline of at least 3 points.", 3),
            "spot": numbers("One point: from the left, from the top; percent.", 2),
        },
        "anyOf": [{ "required": ["tag"] }, { "required": ["finding"] }],
        "not": { "anyOf": pairs.collect::<Vec<_>>() },
    });
    let levels = words
        .few_levels
        .iter()
        .map(|(tag, levels)| few(tag, levels));
    let levels: Vec<Value> = levels.collect();
    if !levels.is_empty() {
        mark["allOf"] = json!(levels);
    }
    mark
}

/// That a fault has only some of the levels.
fn few(tag: &str, levels: &[(u8, String)]) -> Value {
    let has: Vec<u8> = levels.iter().map(|it| it.0).collect();
    json!({
        "if": { "required": ["tag"], "properties": { "tag": { "const": tag } } },
        "then": { "properties": { "level": { "enum": has } } },
    })
}

fn line(about: &str) -> Value {
    json!({ "description": about, "type": "string" })
}

fn choice(about: &str, words: &[String]) -> Value {
    let mut choice = line(about);
    if !words.is_empty() {
        choice["enum"] = json!(words);
    }
    choice
}

fn list(about: &str, words: &[String]) -> Value {
    let mut list = json!({ "description": about, "type": "array", "uniqueItems": true });
    list["items"] = choice("A part of the piece.", words);
    list
}

fn numbers(about: &str, count: usize) -> Value {
    let percent = json!({ "type": "number", "minimum": 0, "maximum": 100 });
    json!({ "description": about, "type": "array", "items": percent, "minItems": count, "maxItems": count })
}

fn points(about: &str, least: usize) -> Value {
    let mut list = numbers(about, 2);
    if let Some(point) = list.as_object_mut() {
        point.remove("description");
    }
    json!({ "description": about, "type": "array", "items": list, "minItems": least })
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::schema;
    use crate::mark::keys;
    use crate::mark::read::reader::read;
    use crate::mark::samples::words;

    fn parsed() -> Value {
        serde_json::from_str(&schema(&words())).unwrap()
    }

    fn names(schema: &Value) -> Vec<String> {
        assert_eq!(schema["additionalProperties"], false);
        let properties = schema["properties"].as_object().unwrap();
        properties.keys().cloned().collect()
    }

    fn sorted(keys: &[&str]) -> Vec<String> {
        let mut keys: Vec<_> = keys.iter().map(|it| (*it).to_owned()).collect();
        keys.sort();
        keys
    }

    #[test]
    fn its_names_are_those_the_reader_accepts() {
        let schema = parsed();
        let scale = &schema["properties"]["scale"];
        let mark = &schema["properties"]["mark"]["items"];
        let face = &schema["properties"]["face"]["items"];
        assert_eq!(names(&schema), sorted(&keys::TOP));
        assert_eq!(names(scale), sorted(&keys::SCALE));
        assert_eq!(names(mark), sorted(&keys::MARK));
        assert_eq!(names(face), sorted(&keys::FACE));
        // And the reader itself knows each of them where it stands, and no other.
        let known = |text: String| {
            let complaints = read("", &text, &words()).err().unwrap_or_default();
            !complaints
                .iter()
                .any(|it| it.message.ends_with("is not a key here"))
        };
        for (schema, header) in [
            (&schema, ""),
            (scale, "[scale]\n"),
            (face, "[[face]]\n"),
            (mark, "[[mark]]\n"),
        ] {
            for name in names(schema) {
                assert!(known(format!("{header}{name} = true")), "{header}{name}");
                assert!(
                    !known(format!("{header}{name}s_ = true")),
                    "{header}{name}s_"
                );
            }
        }
    }

    #[test]
    fn its_words_are_those_of_the_piece() {
        let schema = parsed();
        let list = |value: &Value| -> Vec<String> {
            serde_json::from_value(value["enum"].clone()).unwrap()
        };
        let mark = &schema["properties"]["mark"]["items"]["properties"];
        assert_eq!(
            list(&schema["properties"]["view"]),
            ["", "front", "top_raking"]
        );
        assert_eq!(list(&schema["properties"]["sound"]["items"]), words().parts);
        assert_eq!(list(&mark["part"]), words().parts);
        assert_eq!(list(&mark["finding"]), ["F1", "F3"]);
        let tags = [
            "white_mark",
            "scratch",
            "hand_cut_dovetails",
            "sound",
            "absent",
            "not_examined",
        ];
        assert_eq!(list(&mark["tag"]), tags);
        assert_eq!(super::schema(&words()), super::schema(&words()));
    }
}
