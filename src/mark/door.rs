//! The file that the page for the door makes: what was tapped and typed there, with located complaints.

use toml::de::DeTable;

use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;
use crate::mark::read::values;
use crate::mark::read::values::Text;
use crate::model::complaint::Complaint;

/// The version of the file that this program writes into its pages.
const VERSION: f64 = 1.0;

/// The keys of the file.
const KEYS: [&str; 12] = [
    "version",
    "form",
    "size",
    "drawers",
    "with",
    "worth",
    "meant_for",
    "title",
    "seller_asks",
    "note",
    "sold",
    "taps",
];

/// What was tapped and typed at the door; words as typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AtDoor {
    /// The form.
    pub form: String,
    /// Its size, such as `900x1050x480mm`.
    pub size: Option<String>,
    /// Drawers in each row.
    pub drawers: Vec<u8>,
    /// Optional parts.
    pub with: Vec<String>,
    /// What it is taken for.
    pub worth: Option<String>,
    /// For whom it is meant.
    pub meant_for: Option<String>,
    /// What it is called.
    pub title: Option<String>,
    /// What the seller asks.
    pub seller_asks: Option<String>,
    /// What the seller said.
    pub note: Option<String>,
    /// Paths, and what a piece so finished brings.
    pub sold: Vec<(String, String)>,
    /// Rows, and the place of the answer.
    pub taps: Vec<(String, usize)>,
}

/// What may be answered: a row with the ids of its answers.
type Row = (String, Vec<String>);

/// Reads the file; `rows` tells what may be tapped on a piece of a form with these drawers and optional parts, `None` where there is no such
/// form.
///
/// # Errors
/// With everything that is wrong, sorted by place.
pub fn at_door(
    file: &str,
    text: &str,
    rows: &dyn Fn(&AtDoor) -> Option<Vec<Row>>,
) -> Result<AtDoor, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    let table = talk.table();
    let read = table.and_then(|table| read(&mut talk, table.get_ref(), rows));
    talk.end(read)
}

fn read(
    talk: &mut Talk<'_>,
    table: &DeTable<'_>,
    rows: &dyn Fn(&AtDoor) -> Option<Vec<Row>>,
) -> Option<AtDoor> {
    values::check_keys(talk, table, &KEYS, |_| None);
    let version = table
        .get("version")
        .map(|it| (it.span(), values::number(it)));
    match version {
        Some((_, Some(VERSION))) => {}
        Some((span, _)) => talk.advise(
            span,
            "this version of the file is not known",
            "it must be 1; a newer program reads newer files",
        ),
        None => talk.advise(
            0..0,
            "`version` is missing",
            "take the file from the page again",
        ),
    }
    let Some(form) = values::text(talk, table, "form") else {
        talk.advise(
            0..0,
            "`form` is missing",
            "take the file from the page again",
        );
        return None;
    };
    let mut line = |key| values::text(talk, table, key).map(|it| it.text);
    let [size, worth, meant_for, title, seller_asks, note] =
        ["size", "worth", "meant_for", "title", "seller_asks", "note"].map(&mut line);
    let with = values::texts(talk, table, "with");
    let mut it = AtDoor {
        form: form.text.clone(),
        size,
        drawers: drawers(talk, table),
        with: with.into_iter().map(|it| it.text).collect(),
        worth,
        meant_for,
        title,
        seller_asks,
        note,
        sold: Vec::new(),
        taps: Vec::new(),
    };
    it.sold = lines(talk, table, "sold")
        .into_iter()
        .map(|(key, value)| (key.text, value.text))
        .collect();
    let Some(rows) = rows(&it) else {
        talk.say(
            form.span,
            format!("{} is not a form of the trade book", quoted(&it.form)),
        );
        return None;
    };
    for (row, answer) in lines(talk, table, "taps") {
        it.taps.extend(tap(talk, &row, &answer, &rows));
    }
    Some(it)
}

/// A tap, where its row and its answer are known.
fn tap(talk: &mut Talk<'_>, row: &Text, answer: &Text, rows: &[Row]) -> Option<(String, usize)> {
    let Some((_, answers)) = rows.iter().find(|it| it.0 == row.text) else {
        let message = format!(
            "{} is nothing that is tried on such a piece",
            quoted(&row.text)
        );
        let known: Vec<&str> = rows.iter().map(|it| it.0.as_str()).collect();
        talk.look_up(row.span.clone(), message, || {
            suggest::help(&row.text, "rows", &known, &[])
        });
        return None;
    };
    let at = answers.iter().position(|it| *it == answer.text);
    if at.is_none() {
        let message = format!("{} is no answer of `{}`", quoted(&answer.text), row.text);
        let known: Vec<&str> = answers.iter().map(String::as_str).collect();
        talk.look_up(answer.span.clone(), message, || {
            suggest::help(&answer.text, "answers", &known, &[])
        });
    }
    Some((row.text.clone(), at?))
}

/// The lines of a table: keys with texts.
fn lines(talk: &mut Talk<'_>, table: &DeTable<'_>, key: &str) -> Vec<(Text, Text)> {
    let Some(inner) = values::table(talk, table, key) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    for name in inner.keys() {
        let text = name.get_ref().to_string();
        let value = values::text(talk, inner, &text);
        let span = name.span();
        lines.extend(value.map(|value| (Text { text, span }, value)));
    }
    lines
}

fn drawers(talk: &mut Talk<'_>, table: &DeTable<'_>) -> Vec<u8> {
    let Some(value) = table.get("drawers") else {
        return Vec::new();
    };
    let list = value.get_ref().as_array();
    let numbers = list.map(|it| it.iter().map(values::number).collect::<Option<Vec<f64>>>());
    let whole = |it: &f64| (0..=12_u8).find(|whole| (f64::from(*whole) - it).abs() < f64::EPSILON);
    let read = numbers
        .flatten()
        .and_then(|it| it.iter().map(whole).collect::<Option<Vec<u8>>>());
    if read.is_none() {
        talk.advise(
            value.span(),
            "`drawers` must be numbers from 0 to 12",
            "write it like `drawers = [2, 1, 1]`",
        );
    }
    read.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::AtDoor;
    use super::at_door;

    fn read(text: &str) -> Result<AtDoor, Vec<String>> {
        let rows = |it: &AtDoor| {
            let answers = ["firm", "loose"].map(str::to_owned).to_vec();
            (it.form == "stool").then(|| vec![("legs/leg-front-left".to_owned(), answers)])
        };
        let said = at_door("doorstep.toml", text, &rows);
        said.map_err(|all| {
            all.iter()
                .map(|it| format!("{}:{} {}", it.line, it.column, it.message))
                .collect()
        })
    }

    #[test]
    fn what_was_tapped_and_typed_is_read() {
        let text = "version = 1\nform = \"stool\"\nnote = \"my \\\"aunt's\\\" \\\\ \u{20ac}\\nhall\"\nseller_asks = \"60\"\n[sold]\nleave = \"140\"\n[taps]\n\"legs/leg-front-left\" = \"loose\"\n";
        let it = read(text).unwrap();
        assert_eq!(it.note.as_deref(), Some("my \"aunt's\" \\ \u{20ac}\nhall"));
        assert_eq!(it.taps, [("legs/leg-front-left".to_owned(), 1)]);
        assert_eq!(it.sold, [("leave".to_owned(), "140".to_owned())]);
    }

    #[test]
    fn what_is_damaged_is_refused_with_its_place() {
        for (text, said) in [
            (
                "version = 2\nform = \"stool\"\n",
                "1:11 this version of the file is not known",
            ),
            ("form = \"stool\"\n", "1:1 `version` is missing"),
            (
                "version = 1\nform = \"sledge\"\n",
                "2:8 `sledge` is not a form of the trade book",
            ),
            (
                "version = 1\nform = \"stool\"\n[taps]\n\"legs/leg-front-left\" = \"lose\"\n",
                "4:25 `lose` is no answer of `legs/leg-front-left`",
            ),
            (
                "version = 1\nform = \"stool\"\n[taps]\nback = \"whole\"\n",
                "4:1 `back` is nothing that is tried on such a piece",
            ),
            (
                "version = 1\nform = \"stool\"\ndrawers = [1.5]\n",
                "3:11 `drawers` must be numbers from 0 to 12",
            ),
        ] {
            assert_eq!(read(text).unwrap_err(), [said], "{text}");
        }
        assert!(read("version = 1\nform = \"sto").is_err());
    }
}
