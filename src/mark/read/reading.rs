//! A reading of a sidecar under way: the words that are allowed, and what was said so far.

use crate::kit::diagnostic::Span;
use crate::mark::Words;
use crate::mark::read::draw::quoted;
use crate::mark::read::source::Talk;
use crate::mark::read::suggest;
use crate::mark::read::values::Text;
use crate::model::finding::FindingKey;
use crate::model::ids::PartId;
use crate::model::mark::Mark;

/// A fault that was marked.
struct Fault {
    key: FindingKey,
    /// Whether the mark names its finding, or says which one of its kind it is.
    named: bool,
    is_there: bool,
    span: Span,
}

/// A reading under way.
pub(crate) struct Reader<'w, 't, 'a> {
    /// The words that are allowed.
    pub(crate) words: &'w Words,
    /// The text and what is wrong with it so far.
    pub(crate) talk: &'t mut Talk<'a>,
    /// Which of `sound`, `absent`, `not_examined` was said of which part so far.
    stated: Vec<(PartId, String)>,
    /// The parts that the picture shows, as written.
    shown: Vec<PartId>,
    /// The faults that were marked so far.
    faults: Vec<Fault>,
}

impl<'w, 't, 'a> Reader<'w, 't, 'a> {
    /// Begins with nothing said.
    pub(crate) fn new(words: &'w Words, talk: &'t mut Talk<'a>) -> Self {
        Self {
            words,
            talk,
            stated: Vec::new(),
            shown: Vec::new(),
            faults: Vec::new(),
        }
    }

    /// The parts that the picture shows.
    pub(crate) fn shows(&mut self, parts: &[PartId]) {
        self.shown = parts.to_vec();
    }

    /// A part of the piece.
    pub(crate) fn part(&mut self, text: &Text) -> Option<PartId> {
        let known = self.words.parts.contains(&text.text);
        if known && let Ok(part) = text.text.parse() {
            return Some(part);
        }
        let message = format!("{} is not a part of this piece", quoted(&text.text));
        let mut optional = self.words.optional.iter();
        let optional = optional.find(|it| it.0 == text.text).map(|it| it.1.clone());
        self.talk.look_up(text.span.clone(), message, || {
            if let Some(kind) = optional {
                return Some(format!(
                    "if it has one, say so: `asfound amend ... --with {kind}`"
                ));
            }
            let known: Vec<_> = self.words.parts.iter().map(String::as_str).collect();
            suggest::help(&text.text, "parts", &known, &[])
        });
        None
    }

    /// A mark that was read; `span` is where it says what it marks.
    pub(crate) fn marked(&mut self, mark: &Mark, span: Span) {
        if let Some(key) = self.words.key_of(mark) {
            self.faults.push(Fault {
                key,
                named: mark.finding.is_some() || mark.which.is_some(),
                is_there: mark.state.is_there(),
                span,
            });
        }
    }

    /// What the faults that were marked say against the statements, and which of them nothing tells apart.
    pub(crate) fn check_faults(&mut self) {
        let faults = std::mem::take(&mut self.faults);
        for (n, fault) in faults.iter().enumerate() {
            self.against_statements(fault);
            let same = |it: &&Fault| it.key == fault.key && !(it.named && fault.named);
            if faults[..n].iter().any(|it| same(&it)) {
                self.alike(fault);
            }
        }
    }

    /// A part that is sound has no fault, and one that is absent none but that it is missing.
    fn against_statements(&mut self, fault: &Fault) {
        let FindingKey { part, tag, .. } = &fault.key;
        let missing = self.words.absences.contains(tag);
        let against = |said: &str| said == "sound" || (said == "absent" && !missing);
        let mut stated = self.stated.iter().filter(|_| fault.is_there);
        let found = stated.find(|(of, said)| {
            // What is not there takes its own parts with it.
            let whole = said == "absent" && *of == part.whole();
            (of == part || whole) && against(said)
        });
        let Some((of, said)) = found else {
            return;
        };
        let on = match of == part {
            true => "it".to_owned(),
            false => format!("`{part}`"),
        };
        let message = format!("`{of}` is said to be `{said}`, and `{tag}` is marked on {on}");
        let help =
            "take one of the two away; a fault that was looked for in vain has `state = \"gone\"`";
        self.talk.advise(fault.span.clone(), message, help);
    }

    /// Two faults never become one without a word.
    fn alike(&mut self, fault: &Fault) {
        let FindingKey { part, tag, which } = &fault.key;
        let which = match which.is_empty() {
            true => String::new(),
            false => format!(" ({which})"),
        };
        let message = format!(
            "`{tag}` on `{part}`{which} is marked a second time in this picture, and nothing tells the two apart"
        );
        let help = match self.words.number_of(&fault.key) {
            Some(no) => format!(
                "for another one, say which it is, such as `which = \"right\"`; if both are {no}, write `finding = \"{no}\"` in both"
            ),
            None => "for another one, say which it is, such as `which = \"right\"`; if both are one fault, write the same `which` in both".to_owned(),
        };
        self.talk.advise(fault.span.clone(), message, help);
    }

    /// Of one part, a photo can say only one of `sound`, `absent` and `not_examined`.
    pub(crate) fn state_once(&mut self, tag: &str, part: &PartId, span: Span) {
        let help = "take one of the two away";
        let within = |it: &&PartId| *it == part || it.whole() == *part;
        if let Some(shown) = self.shown.iter().find(within).filter(|_| tag == "absent") {
            let message = format!(
                "`{part}` is said to be `absent`, and `{shown}` stands in `parts`, which names what the picture shows"
            );
            self.talk.advise(span.clone(), message, help);
        }
        let before = self.stated.iter().find(|(it, _)| it == part);
        if let Some((_, other)) = before.filter(|it| it.1 != tag) {
            let message = format!("`{part}` is said to be both `{other}` and `{tag}`");
            self.talk.advise(span, message, help);
            return;
        }
        // What is not there has no part that was looked at, or not.
        let mut stated = self.stated.iter();
        let without_whole = stated.find(|(of, said)| {
            let (whole, inner) = match said == "absent" {
                true => (of, part),
                false => (part, of),
            };
            let absent = said == "absent" || tag == "absent";
            said != tag && absent && whole != inner && *whole == inner.whole()
        });
        if let Some((of, said)) = without_whole {
            let message =
                format!("`{of}` is said to be `{said}`, and `{part}` is said to be `{tag}`");
            self.talk.advise(span, message, help);
            return;
        }
        self.stated.push((part.clone(), tag.to_owned()));
    }
}
