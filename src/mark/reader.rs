//! Reads a sidecar.

use toml::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use crate::mark::Words;
use crate::mark::draw::quoted;
use crate::mark::keys;
use crate::mark::near;
use crate::mark::read_mark;
use crate::mark::read_region;
use crate::mark::source::Span;
use crate::mark::source::Talk;
use crate::mark::values;
use crate::mark::values::Text;
use crate::model::complaint::Complaint;
use crate::model::ids::PartId;
use crate::model::mark::Mark;
use crate::model::mark::MarkState;
use crate::model::mark::Sidecar;

/// Reads a sidecar with the words its piece allows.
///
/// # Errors
/// With everything that is wrong, sorted by place; a text that is no TOML gives only the places where it is none.
pub fn read(file: &str, text: &str, words: &Words) -> Result<Sidecar, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    let table = talk.table();
    let sidecar = table.map(|table| {
        let mut reader = Reader {
            words,
            talk: &mut talk,
            stated: Vec::new(),
        };
        reader.sidecar(table.get_ref())
    });
    talk.end(sidecar)
}

/// A reading under way.
pub(crate) struct Reader<'w, 't, 'a> {
    /// The words that are allowed.
    pub(crate) words: &'w Words,
    /// The text and what is wrong with it so far.
    pub(crate) talk: &'t mut Talk<'a>,
    /// Which of `sound`, `absent`, `not_examined` was said of which part so far.
    stated: Vec<(PartId, String)>,
}

impl Reader<'_, '_, '_> {
    fn sidecar(&mut self, table: &DeTable<'_>) -> Sidecar {
        values::check_keys(self.talk, table, &keys::TOP, |name| {
            keys::MARK
                .contains(&name)
                .then(|| format!("`{name}` belongs below a `[[mark]]` line"))
        });
        let view = values::text(self.talk, table, "view");
        let view = view.and_then(|it| self.view(it));
        let parts = self.parts(table, "parts");
        let parts: Vec<_> = parts.into_iter().map(|(part, _)| part).collect();
        let note = values::text(self.talk, table, "note");
        let private_note = values::text(self.talk, table, "private_note");
        let scale = table.get("scale");
        let scale = scale.and_then(|it| read_region::scale(self.talk, it));
        let mut marks = self.short_marks(table);
        if let Some(written) = table.get("mark") {
            marks.extend(self.marks(written, &parts));
        }
        Sidecar {
            view,
            parts,
            note: note.map(|it| it.text),
            private_note: private_note.map(|it| it.text),
            scale,
            marks,
        }
    }

    fn view(&mut self, view: Text) -> Option<String> {
        if self.words.views.contains(&view.text) {
            return Some(view.text);
        }
        let known: Vec<_> = self.words.views.iter().map(String::as_str).collect();
        let help = near::help(&view.text, "views", &known, &[]);
        let message = format!("{} is not a view of this piece", quoted(&view.text));
        self.talk.add(view.span, message, help);
        None
    }

    /// A list of parts, each known and named once.
    fn parts(&mut self, table: &DeTable<'_>, key: &str) -> Vec<(PartId, Span)> {
        let mut parts: Vec<(PartId, Span)> = Vec::new();
        for text in values::texts(self.talk, table, key) {
            let span = text.span.clone();
            let Some(part) = self.part(&text) else {
                continue;
            };
            if parts.iter().any(|(it, _)| *it == part) {
                let message = format!("`{part}` stands twice in `{key}`");
                self.talk.advise(span, message, "take one of the two away");
                continue;
            }
            parts.push((part, span));
        }
        parts
    }

    /// A part of the piece.
    pub(crate) fn part(&mut self, text: &Text) -> Option<PartId> {
        let known = self.words.parts.contains(&text.text);
        if known && let Ok(part) = text.text.parse() {
            return Some(part);
        }
        let known: Vec<_> = self.words.parts.iter().map(String::as_str).collect();
        let help = near::help(&text.text, "parts", &known, &[]);
        let message = format!("{} is not a part of this piece", quoted(&text.text));
        self.talk.add(text.span.clone(), message, help);
        None
    }

    /// The marks of the lists `sound`, `absent` and `not_examined`.
    fn short_marks(&mut self, table: &DeTable<'_>) -> Vec<Mark> {
        let mut marks = Vec::new();
        for tag in keys::STATEMENTS {
            for (part, span) in self.parts(table, tag) {
                self.state_once(tag, &part, span);
                marks.push(plain_mark(tag, part));
            }
        }
        marks
    }

    /// Of one part, a photo can say only one of `sound`, `absent` and `not_examined`.
    pub(crate) fn state_once(&mut self, tag: &str, part: &PartId, span: Span) {
        let before = self.stated.iter().find(|(it, _)| it == part);
        match before {
            Some((_, other)) if other != tag => {
                let message = format!("`{part}` is said to be both `{other}` and `{tag}`");
                self.talk.advise(span, message, "take one of the two away");
            }
            _ => self.stated.push((part.clone(), tag.to_owned())),
        }
    }

    fn marks(&mut self, written: &Spanned<DeValue<'_>>, parts: &[PartId]) -> Vec<Mark> {
        let Some(list) = written.get_ref().as_array() else {
            let message = format!(
                "`mark` must be a list of marks, not {}",
                values::kind(written)
            );
            let help = "write `[[mark]]`, with two brackets on each side";
            self.talk.advise(written.span(), message, help);
            return Vec::new();
        };
        let mut marks = Vec::new();
        for item in list.iter() {
            match item.get_ref().as_table() {
                Some(table) => marks.push(read_mark::mark(self, table, item.span(), parts)),
                None => {
                    let message = format!("a mark is a table, not {}", values::kind(item));
                    let help = "write each mark below a `[[mark]]` line of its own";
                    self.talk.advise(item.span(), message, help);
                }
            }
        }
        marks
    }
}

/// A mark that says one word of a part, and no more.
pub(crate) fn plain_mark(tag: &str, part: PartId) -> Mark {
    Mark {
        tag: Some(tag.to_owned()),
        part: Some(part),
        which: None,
        finding: None,
        state: MarkState::Present,
        level: None,
        size: None,
        note: None,
        region: None,
    }
}
