//! A text that is being read, and the complaints about it so far.

use toml::Spanned;
use toml::de::DeTable;

use crate::kit::diagnostic::Diagnostic;
use crate::kit::diagnostic::Diagnostics;
use crate::kit::diagnostic::Span;
use crate::mark::keys::MOST_BYTES;
use crate::mark::read::draw;
use crate::mark::read::syntax;
use crate::model::complaint::Complaint;

/// More complaints than this help nobody.
const MOST: usize = 100;

/// A text without its byte order mark, with its name and its lines.
pub(crate) struct Source<'a> {
    /// The file, as the user knows it.
    pub(crate) file: &'a str,
    /// The text.
    pub(crate) text: &'a str,
    /// Where each line begins.
    starts: Vec<usize>,
}

/// A text and the complaints about it.
pub(crate) struct Talk<'a> {
    source: Source<'a>,
    found: Diagnostics,
}

impl<'a> Source<'a> {
    fn new(file: &'a str, text: &'a str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let ends = text.bytes().enumerate().filter(|(_, b)| *b == b'\n');
        let starts = std::iter::once(0).chain(ends.map(|(at, _)| at + 1));
        Self {
            file,
            text,
            starts: starts.collect(),
        }
    }

    /// The number of the line of a place, from 1, where it begins, and its text without its end.
    pub(crate) fn line(&self, at: usize) -> (usize, usize, &'a str) {
        let number = self.starts.partition_point(|start| *start <= at);
        let start = self.starts[number - 1];
        let end = self.starts.get(number).map_or(self.text.len(), |it| it - 1);
        let line = &self.text[start..end];
        (number, start, line.strip_suffix('\r').unwrap_or(line))
    }

    /// The nearest place that lies between two characters of the text, at or before the given one.
    fn floor(&self, at: usize) -> usize {
        self.text.floor_char_boundary(at)
    }
}

impl<'a> Talk<'a> {
    /// Begins with a text and no complaint.
    pub(crate) fn new(file: &'a str, text: &'a str) -> Self {
        Self {
            source: Source::new(file, text),
            found: Diagnostics::default(),
        }
    }

    /// The text, without its byte order mark.
    pub(crate) fn text(&self) -> &'a str {
        self.source.text
    }

    /// How many complaints there are so far.
    pub(crate) fn count(&self) -> usize {
        self.found.all().len()
    }

    /// Adds a complaint about a place.
    pub(crate) fn say(&mut self, span: Span, message: impl Into<String>) {
        self.add(span, message.into(), None);
    }

    /// Adds a complaint with what to do about it.
    pub(crate) fn advise(
        &mut self,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.add(span, message.into(), Some(help.into()));
    }

    /// Adds a complaint, with what to do about it where that is known.
    pub(crate) fn add(&mut self, span: Span, message: String, help: Option<String>) {
        self.found.add(span, message, help);
    }

    /// Adds what another room found.
    pub(crate) fn extend(&mut self, found: Vec<Diagnostic>) {
        self.found.extend(found);
    }

    /// Adds a complaint with a help that takes some looking for.
    pub(crate) fn look_up(
        &mut self,
        span: Span,
        message: String,
        help: impl FnOnce() -> Option<String>,
    ) {
        // Beyond the most that is told, nobody sees the help.
        let help = (self.count() <= MOST).then(help).flatten();
        self.add(span, message, help);
    }

    /// Reads the text as TOML; complains of what is no TOML.
    pub(crate) fn table(&mut self) -> Option<Spanned<DeTable<'a>>> {
        let text = self.source.text;
        if text.len() > MOST_BYTES {
            let help = "such a file holds a few lines; is this the right one?";
            self.advise(0..0, "the file is larger than 1 MB", help);
            return None;
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        let first = errors.first().and_then(|it| it.span());
        if let Some(open) = first.and_then(|it| syntax::unclosed(text, it.start)) {
            // All that the parser says after it comes of this one slip.
            let help = "write `]` at its end; what stands below is read then";
            self.advise(open..open + 1, "this list is opened and never closed", help);
            return None;
        }
        let mut last_line = 0;
        for error in &errors {
            let span = error.span().unwrap_or(0..0);
            let at = self.source.floor(span.start);
            let (line, start, line_text) = self.source.line(at);
            // One slip of the pen on a line makes the parser stumble several times.
            if line == last_line {
                continue;
            }
            last_line = line;
            let (before, rest) = line_text.split_at((at - start).min(line_text.len()));
            let (message, help) = syntax::plain(error.message(), before, rest);
            self.add(span, message, help);
        }
        errors.is_empty().then_some(table)
    }

    /// Ends the reading: the value, or everything that is wrong, sorted by place.
    pub(crate) fn end<T>(self, value: Option<T>) -> Result<T, Vec<Complaint>> {
        match value {
            Some(value) if self.count() == 0 => return Ok(value),
            _ => {}
        }
        let Self { source, found } = self;
        let found = found.by_place();
        let told = &found[..found.len().min(MOST)];
        let mut complaints: Vec<_> = told.iter().map(|it| source.complaint(it)).collect();
        if found.len() > MOST {
            complaints.push(source.complaint(&Diagnostic {
                place: found[MOST - 1].place.clone(),
                message: "there is more that is wrong after this place".to_owned(),
                help: Some("mend what is told above, then read it again".to_owned()),
            }));
        }
        Err(complaints)
    }
}

impl Source<'_> {
    /// What is wrong, with its line and column, and drawn.
    fn complaint(&self, said: &Diagnostic) -> Complaint {
        let source = self;
        let start = source.floor(said.place.start);
        let end = source.floor(said.place.end).max(start);
        let (line, line_start, line_text) = source.line(start);
        // A place in the line's end counts as just behind the line.
        let start = start.min(line_start + line_text.len());
        let end = end.clamp(start, line_start + line_text.len());
        let place = draw::Place {
            file: source.file,
            line,
            column: source.text[line_start..start].chars().count() + 1,
            text: line_text,
            span: start - line_start..end - line_start,
        };
        Complaint {
            file: source.file.to_owned(),
            line: place.line,
            column: place.column,
            drawn: draw::drawn(&place, &said.message, said.help.as_deref()),
            message: said.message.clone(),
            help: said.help.clone(),
        }
    }
}
