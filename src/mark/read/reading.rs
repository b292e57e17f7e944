//! A reading of a sidecar under way: the words that are allowed, and what was said so far.

use crate::kit::diagnostic::Span;
use crate::mark::Words;
use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;
use crate::mark::read::values::Text;
use crate::model::ids::PartId;

/// A reading under way.
pub(crate) struct Reader<'w, 't, 'a> {
    /// The words that are allowed.
    pub(crate) words: &'w Words,
    /// The text and what is wrong with it so far.
    pub(crate) talk: &'t mut Talk<'a>,
    /// Which of `sound`, `absent`, `not_examined` was said of which part so far.
    stated: Vec<(PartId, String)>,
}

impl<'w, 't, 'a> Reader<'w, 't, 'a> {
    /// Begins with nothing said.
    pub(crate) fn new(words: &'w Words, talk: &'t mut Talk<'a>) -> Self {
        Self {
            words,
            talk,
            stated: Vec::new(),
        }
    }

    /// A part of the piece.
    pub(crate) fn part(&mut self, text: &Text) -> Option<PartId> {
        let known = self.words.parts.contains(&text.text);
        if known && let Ok(part) = text.text.parse() {
            return Some(part);
        }
        let message = format!("{} is not a part of this piece", quoted(&text.text));
        self.talk.look_up(text.span.clone(), message, || {
            let known: Vec<_> = self.words.parts.iter().map(String::as_str).collect();
            suggest::help(&text.text, "parts", &known, &[])
        });
        None
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
}
