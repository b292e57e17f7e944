//! Writes sidecars: a new one with hints, and one from the record.

use crate::kit::measure::LengthPair;
use crate::mark::Hints;
use crate::mark::keys;
use crate::mark::read::draw::plain;
use crate::mark::write::edits;
use crate::mark::write::quote;
use crate::model::face::LaidFace;
use crate::model::face::Lie;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Scale;
use crate::model::mark::Sidecar;
use crate::model::region::Region;

/// Tells editors where the words are: from a shoot's folder, two steps up.
const SCHEMA_LINE: &str = "#:schema ../../sidecar.schema.json\n";

/// The end of a new sidecar: what can be said, by example.
const EXAMPLES: &str = r#"
# To use a line below, take its # away and change the words. The lists come before the first [[mark]].

{lists}
# One fault or one observation. Where: box = [left, top, width, height] in percent of the upright picture
# (or line, outline, spot, or nothing for the whole photo). Level: 1 trace, 2 visible, 3 heavy, 4 failing.
# [[mark]]
# tag = "white_mark"
# part = "top"
# box = [62.0, 31.0, 11.0, 9.0]
# level = 2
# size = "70 mm"
# note = "three rings near the back edge"

# Where a flat face of the piece lies in the picture: its corners, top left first and round to the right, as one looks straight
# at it, in percent; they may lie outside the picture. Marks on it then have their place and size in mm. Before the marks.
# [[face]]
# face = "top"
# corners = [[12.1, 30.2], [88.0, 29.7], [97.5, 80.1], [3.2, 81.0]]

# The same fault again in a later shoot, by its number:
# [[mark]]
# finding = "F3"
# state = "repaired"
"#;

/// Above what another program wrote into the photo.
const WRITTEN: &str =
    "# Another program wrote into this photo; it counts only when you say it below:";

/// What the three lists say, beside them.
const LISTS: [(&str, &str); 3] = [
    ("sound", "looked for faults, found none"),
    ("absent", "the part is not there"),
    ("not_examined", "nobody looked"),
];

/// The three lists by example, each with another part of the piece where it has so many.
fn lists(parts: &[String]) -> String {
    let mut lines = String::new();
    let usual = ["back", "key", "underside"];
    for ((n, (tag, means)), usual) in LISTS.iter().enumerate().zip(usual) {
        // The mark below is on the top; a part, and what is inside it, stand in one list only.
        let whole = |it: &&String| *it != "top" && !it.contains('/');
        let part = parts.iter().filter(whole).nth(n);
        let part = part.map_or_else(|| usual.to_owned(), |it| plain(it));
        // Three blanks at least before what it means.
        let example = format!("# {tag} = [\"{part}\"]  ");
        lines.push_str(&format!("{example:<32} {means}\n"));
    }
    lines
}

/// Writes a new sidecar for a photo: nothing said yet, and how to say it.
#[must_use]
pub fn fresh(photo: &str, hints: &Hints) -> String {
    let mut text = format!("{SCHEMA_LINE}# {}\n\n", plain(photo));
    if !hints.written.is_empty() {
        text.push_str(&format!("{WRITTEN}\n"));
        for line in &hints.written {
            text.push_str(&format!("#   {}\n", plain(line)));
        }
        text.push('\n');
    }
    let views = hints.views.iter().take(6);
    let views: Vec<_> = views
        .map(|(id, label)| format!("{} ({})", plain(id), plain(label)))
        .collect();
    text.push_str("# Which view is it?");
    if !views.is_empty() {
        text.push_str(" Still to take: ");
        text.push_str(&views.join(", "));
    }
    text.push_str("\nview = \"\"\n\n# Which parts does it show?");
    let parts: Vec<_> = hints.parts.iter().take(12).map(|it| plain(it)).collect();
    if !parts.is_empty() {
        let more = if parts.len() < hints.parts.len() {
            " ..."
        } else {
            ""
        };
        text.push_str(&format!(" Such as {}{more}", parts.join(", ")));
    }
    text.push_str("\nparts = []\n");
    text.push_str(&EXAMPLES.replace("{lists}\n", &lists(&hints.parts)));
    text
}

/// The comments of a sidecar that no new one has: what somebody wrote there.
#[must_use]
pub fn own_comments(photo: &str, text: &str) -> Vec<String> {
    let new = fresh(photo, &Hints::default());
    let found = edits::comments(text).into_iter();
    let told = found.filter_map(|span| text.get(span)).filter(|it| {
        let asked = [
            "# Which view is it?",
            "# Which parts does it show?",
            WRITTEN,
        ];
        let listed = |(tag, means): &(&str, &str)| {
            it.starts_with(&format!("# {tag} = [")) && it.trim_end().ends_with(means)
        };
        !asked.iter().any(|question| it.starts_with(question))
            && !LISTS.iter().any(listed)
            && !new.lines().any(|line| line.trim_end() == it.trim_end())
            && !it.trim_matches(['#', ' ']).is_empty()
    });
    told.map(|it| it.trim_start_matches('#').trim().to_owned())
        .collect()
}

/// Writes a sidecar from what the record holds, so that reading it gives the same again.
#[must_use]
pub fn written(photo: &str, sidecar: &Sidecar) -> String {
    let mut text = format!("{SCHEMA_LINE}# {}\n\n", plain(photo));
    let mut line = |key: &str, value: String| text.push_str(&format!("{key} = {value}\n"));
    line(
        "view",
        quote::text(sidecar.view.as_deref().unwrap_or_default()),
    );
    line("parts", quote::parts(&sidecar.parts));
    if let Some(note) = &sidecar.note {
        line("note", quote::text(note));
    }
    if let Some(note) = &sidecar.private_note {
        line("private_note", quote::text(note));
    }
    let short = short_marks(&sidecar.marks);
    for tag in keys::STATEMENTS {
        let parts = short.iter().filter(|it| it.tag.as_deref() == Some(tag));
        let mut parts = parts.filter_map(|it| it.part.as_ref()).peekable();
        if parts.peek().is_some() {
            line(tag, quote::parts(parts));
        }
    }
    if let Some(scale) = &sidecar.scale {
        text.push('\n');
        text.push_str(&scale_block(scale));
    }
    for face in &sidecar.faces {
        text.push('\n');
        text.push_str(&face_block(face));
    }
    for mark in &sidecar.marks[short.len()..] {
        text.push('\n');
        text.push_str(&block(mark));
    }
    text
}

/// One `[[mark]]` with its lines.
pub(crate) fn block(mark: &Mark) -> String {
    let lines = pairs(mark)
        .into_iter()
        .map(|(key, value)| format!("{key} = {value}\n"));
    format!("[[mark]]\n{}", lines.collect::<String>())
}

/// The keys of a mark with their values as written, in the order of `keys::MARK`.
pub(crate) fn pairs(mark: &Mark) -> Vec<(&'static str, String)> {
    let said = |text: &Option<String>| text.as_deref().map(quote::text);
    let named = mark.state != MarkState::Present;
    let region = mark.region.as_ref().map(|region| match region {
        Region::Box(it) => ("box", quote::numbers(it)),
        Region::Line(it) => ("line", quote::points(it)),
        Region::Outline(it) => ("outline", quote::points(it)),
        Region::Spot(it) => ("spot", quote::numbers(it)),
    });
    let pairs = [
        ("tag", said(&mark.tag)),
        (
            "part",
            mark.part.as_ref().map(|it| quote::text(it.as_str())),
        ),
        ("which", said(&mark.which)),
        (
            "finding",
            mark.finding.map(|it| quote::text(&it.to_string())),
        ),
        ("state", named.then(|| quote::text(mark.state.word()))),
        ("level", mark.level.map(|it| it.to_string())),
        ("size", said(&mark.size)),
        ("note", said(&mark.note)),
    ];
    let pairs = pairs
        .into_iter()
        .filter_map(|(key, value)| Some((key, value?)));
    pairs.chain(region).collect()
}

/// Which list at the top a mark could stand in: it says one word of a part and no more.
pub(crate) fn list_of(mark: &Mark) -> Option<&'static str> {
    let part = mark.part.clone()?;
    let lists = keys::STATEMENTS.into_iter();
    let mut lists = lists.filter(|tag| mark.tag.as_deref() == Some(tag));
    lists.find(|tag| *mark == Mark::plain(tag, part.clone()))
}

/// The first marks, as far as the lists at the top can say them in the same order.
pub(crate) fn short_marks(marks: &[Mark]) -> &[Mark] {
    let place = |tag| keys::STATEMENTS.iter().position(|it| *it == tag);
    let mut last = 0;
    let mut end = 0;
    for mark in marks {
        let Some(list) = list_of(mark).and_then(place) else {
            break;
        };
        if list < last || marks[..end].contains(mark) {
            break;
        }
        last = list;
        end += 1;
    }
    &marks[..end]
}

/// `[scale]` with its lines.
pub(crate) fn scale_block(scale: &Scale) -> String {
    let lines = scale_pairs(scale)
        .into_iter()
        .map(|(key, value)| format!("{key} = {value}\n"));
    format!("[scale]\n{}", lines.collect::<String>())
}

/// One `[[face]]` with its lines.
pub(crate) fn face_block(face: &LaidFace) -> String {
    let lines = face_pairs(face)
        .into_iter()
        .map(|(key, value)| format!("{key} = {value}\n"));
    format!("[[face]]\n{}", lines.collect::<String>())
}

/// The keys of a laid face with their values as written, in the order of `keys::FACE`.
pub(crate) fn face_pairs(face: &LaidFace) -> Vec<(&'static str, String)> {
    let lie = match &face.lie {
        Lie::Corners(corners) => ("corners", quote::points(corners)),
        Lie::Points(points) => {
            let points = points.iter().map(|it| {
                let (mm, at) = (quote::numbers(&it.mm), quote::numbers(&it.at));
                format!("{{ mm = {mm}, at = {at} }}")
            });
            (
                "points",
                format!("[{}]", points.collect::<Vec<_>>().join(", ")),
            )
        }
    };
    let pair = |it: &Option<LengthPair>| it.as_ref().map(|it| quote::text(it.text()));
    let told = [("size", pair(&face.size)), ("at", pair(&face.at))];
    let told = told
        .into_iter()
        .filter_map(|(key, value)| Some((key, value?)));
    [
        ("face", quote::text(face.face.as_str())),
        lie,
        ("how", quote::text(&face.how.to_string())),
    ]
    .into_iter()
    .chain(told)
    .collect()
}

/// The keys of a scale with their values as written.
pub(crate) fn scale_pairs(scale: &Scale) -> [(&'static str, String); 2] {
    let size = [Some(scale.width_mm), scale.height_mm];
    let object = keys::OBJECTS
        .iter()
        .find(|(_, [width, height])| size == [Some(*width), Some(*height)]);
    let Some((name, _)) = object else {
        // The first two corners of a thing the format has no name for are the ends of its width.
        let ends = &scale.corners[..scale.corners.len().min(2)];
        return [
            ("length_mm", quote::number(scale.width_mm)),
            ("corners", quote::points(ends)),
        ];
    };
    [
        ("object", quote::text(name)),
        ("corners", quote::points(&scale.corners)),
    ]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::fresh;
    use super::written;
    use crate::mark::Hints;
    use crate::mark::read::reader::read;
    use crate::mark::samples;
    use crate::mark::samples::words;
    use crate::model::mark::Sidecar;

    fn hints() -> Hints {
        Hints {
            views: vec![("top_raking".to_owned(), "Top,\nraking light".to_owned())],
            parts: words().parts,
            written: Vec::new(),
        }
    }

    #[test]
    fn what_another_program_wrote_is_a_comment_and_steers_nothing() {
        let written = vec!["keywords: oak\nsound = [\"top\"]".to_owned()];
        let text = fresh("a.jpg", &Hints { written, ..hints() });
        let own = super::own_comments("a.jpg", &text);
        assert_eq!(own.len(), 1, "{own:?}");
        assert!(own[0].starts_with("keywords: oak"), "{own:?}");
        let said = read("a.jpg", &text, &words()).unwrap();
        assert_eq!(said, Sidecar::default());
    }

    #[test]
    fn only_comments_that_somebody_wrote_are_its_own() {
        let text = fresh("a.jpg", &hints());
        assert_eq!(super::own_comments("a.jpg", &text), Vec::<String>::new());
        let written = format!("{text}\n# ask Ann\nnote = \"no # comment\" # but this\n#\n");
        assert_eq!(
            super::own_comments("a.jpg", &written),
            ["ask Ann", "but this"]
        );
    }

    #[test]
    fn a_new_sidecar_says_nothing_yet() {
        let text = fresh("IMG\n1.jpg", &hints());
        assert!(
            text.starts_with("#:schema ../../sidecar.schema.json\n"),
            "{text}"
        );
        assert!(text.contains("top_raking"), "{text}");
        assert_eq!(read("", &text, &words()), Ok(Sidecar::default()));
        assert_eq!(
            read("", &fresh("a.jpg", &Hints::default()), &words()),
            Ok(Sidecar::default())
        );
    }

    #[test]
    fn the_examples_of_a_new_sidecar_are_right_once_their_sign_is_taken_away() {
        let text = fresh("a.jpg", &hints());
        let lines = text.lines().map(|line| {
            let bare = line.strip_prefix("# ").unwrap_or(line);
            let example = bare.starts_with("[[mark]]")
                || bare.starts_with("[[face]]")
                || bare
                    .split_once(" = ")
                    .is_some_and(|(key, _)| !key.contains(' '));
            if !example {
                return line.to_owned();
            }
            // What stands behind the lists explains them.
            let end = bare.find("]   ").map_or(bare.len(), |at| at + 1);
            bare[..end].to_owned() + "\n"
        });
        let text = lines.collect::<Vec<_>>().join("\n");
        let mut words = words();
        words.parts.extend(["key", "underside"].map(str::to_owned));
        let sidecar = read("", &text, &words).unwrap();
        assert_eq!(sidecar.marks.len(), 5, "{text}");
        let said = sidecar
            .marks
            .iter()
            .filter(|it| it.level == Some(2) || it.finding.is_some());
        assert_eq!(said.count(), 2);
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_as_the_same(sidecar in samples::sidecar(), photo in any::<String>()) {
            let text = written(&photo, &sidecar);
            let read = read("a.toml", &text, &words());
            prop_assert_eq!(read, Ok(sidecar), "{}", text);
        }

        #[test]
        fn line_ends_of_two_characters_and_a_byte_order_mark_change_nothing(sidecar in samples::sidecar()) {
            let text = format!("\u{feff}{}", written("a.jpg", &sidecar).replace('\n', "\r\n"));
            prop_assert_eq!(read("a.toml", &text, &words()), Ok(sidecar), "{}", text);
        }
    }
}
