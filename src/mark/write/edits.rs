//! Edits of a TOML text by place, in which no comment is lost.

use crate::kit::diagnostic::Span;

/// Edits that are gathered, then made at once.
pub(crate) struct Edits<'a> {
    /// The text as it was.
    pub(crate) text: &'a str,
    comments: Vec<Span>,
    list: Vec<(Span, String)>,
    appended: String,
}

impl<'a> Edits<'a> {
    /// Begins with a text that is valid TOML, and no edit.
    pub(crate) fn new(text: &'a str) -> Self {
        Self {
            text,
            comments: comments(text),
            list: Vec::new(),
            appended: String::new(),
        }
    }

    /// Writes something else in the place of a value.
    pub(crate) fn replace(&mut self, span: Span, written: &str) {
        self.rescue(&span, &[]);
        self.list.push((span, written.to_owned()));
    }

    /// Puts lines before a place where a line begins.
    pub(crate) fn insert(&mut self, at: usize, lines: &str) {
        let open = at == self.text.len() && !self.text.is_empty() && !self.text.ends_with('\n');
        let lines = format!("{}{lines}", if open { "\n" } else { "" });
        self.list.push((at..at, lines));
    }

    /// Puts a block at the end, after a blank line.
    pub(crate) fn append(&mut self, block: &str) {
        self.appended.push('\n');
        self.appended.push_str(block);
    }

    /// Takes away what stands on lines of its own; a comment behind it stays on its line.
    pub(crate) fn cut_line(&mut self, span: Span) {
        self.cut_line_but(span, &[]);
    }

    /// Takes the first line of a block away, and with it one blank line above.
    pub(crate) fn cut_block_line(&mut self, span: Span) {
        let end = self.line_end(span.end);
        let start = self.line_start(span.start);
        let above = self.line_start(start.saturating_sub(1));
        if self.text[span.end..end].trim().is_empty() && self.text[above..start].trim().is_empty() {
            self.list.push((above..start, String::new()));
        }
        self.cut_line(span);
    }

    /// Takes lines away; comments in `kept` are not rescued, as they go elsewhere.
    pub(crate) fn cut_line_but(&mut self, span: Span, kept: &[Span]) {
        self.rescue(&span, kept);
        let line_end = self.line_end(span.end);
        let rest = &self.text[span.end..line_end];
        let start = self.line_start(span.start);
        let indent = self.text[start..span.start].trim().is_empty();
        let whole = indent && rest.trim().is_empty();
        let blank = rest.len() - rest.trim_start_matches([' ', '\t']).len();
        let cut = if whole {
            start..line_end
        } else {
            span.start..span.end + blank
        };
        self.list.push((cut, String::new()));
    }

    /// Keeps the comments inside a place that goes, as lines above it.
    fn rescue(&mut self, span: &Span, kept: &[Span]) {
        let inside = |outer: &Span, it: &Span| outer.start <= it.start && it.end <= outer.end;
        let lost = self.comments.iter().filter(|it| inside(span, it));
        let lost = lost.filter(|it| !kept.iter().any(|kept| inside(kept, it)));
        let lines: String = lost
            .map(|it| format!("{}\n", &self.text[it.clone()]))
            .collect();
        if !lines.is_empty() {
            let at = self.line_start(span.start);
            self.list.push((at..at, lines));
        }
    }

    /// Whether what begins here is the name in a `[table]` or `[[list]]` line.
    pub(crate) fn is_header(&self, at: usize) -> bool {
        let before = &self.text[self.line_start(at)..at];
        before.trim_start().starts_with('[')
    }

    /// The place of a header without a comment behind it, from a place in its line.
    pub(crate) fn header(&self, at: usize) -> Span {
        self.header_to(at, "]]")
    }

    /// The same of a `[table]`.
    pub(crate) fn header_of_table(&self, at: usize) -> Span {
        self.header_to(at, "]")
    }

    fn header_to(&self, at: usize, close: &str) -> Span {
        let start = self.line_start(at);
        let end = self.text[start..]
            .find(close)
            .map_or(at, |it| start + it + close.len());
        let indent = self.text[start..end].len() - self.text[start..end].trim_start().len();
        start + indent..end
    }

    /// Where the next line begins.
    pub(crate) fn line_end(&self, at: usize) -> usize {
        let rest = self.text[at..].find('\n');
        rest.map_or(self.text.len(), |it| at + it + 1)
    }

    fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |it| it + 1)
    }

    /// Where the first line with a key may stand: below the lines for editors.
    pub(crate) fn above_first_line(&self) -> usize {
        let mut at = 0;
        while self.text[at..].starts_with("#:") {
            at = self.line_end(at);
        }
        at
    }

    /// Where the comments begin that stand right above a line.
    pub(crate) fn above_comments(&self, at: usize) -> usize {
        let mut start = self.line_start(at);
        while start > 0 {
            let above = self.line_start(start - 1);
            let comment = self.comments.iter().any(|it| {
                above <= it.start && it.end <= start && self.text[above..it.start].trim().is_empty()
            });
            if !comment {
                break;
            }
            start = above;
        }
        start
    }

    /// The text with all edits made, in its own kind of line ends.
    pub(crate) fn done(mut self) -> String {
        let crlf = self.text.contains("\r\n");
        let own = |it: &str| {
            let plain = it.replace("\r\n", "\n");
            if crlf {
                plain.replace('\n', "\r\n")
            } else {
                plain
            }
        };
        // Edits at one place stay in the order in which they were asked for; what is put before goes first.
        self.list.sort_by_key(|(span, _)| (span.start, span.end));
        let mut text = String::with_capacity(self.text.len() + self.appended.len());
        let mut at = 0;
        for (span, written) in &self.list {
            text.push_str(&self.text[at..span.start.max(at)]);
            text.push_str(&own(written));
            at = span.end.max(at);
        }
        text.push_str(&self.text[at..]);
        if !self.appended.is_empty() {
            if !text.is_empty() && !text.ends_with('\n') {
                text.push_str(&own("\n"));
            }
            text.push_str(&own(&self.appended));
        }
        text
    }
}

/// The comments of a valid TOML text, without their line ends.
pub(crate) fn comments(text: &str) -> Vec<Span> {
    let mut comments = Vec::new();
    let mut at = 0;
    while let Some(found) = text[at..].find(['#', '"', '\'']) {
        at += found;
        let rest = &text[at..];
        if rest.starts_with('#') {
            let end = rest.find(['\r', '\n']).unwrap_or(rest.len());
            comments.push(at..at + end);
            at += end;
            continue;
        }
        let mark = &rest[..1];
        let triple = mark.repeat(3);
        let long = rest.starts_with(&triple);
        let close = if long { triple.as_str() } else { mark };
        at += close.len();
        while !text[at..].starts_with(close) && at < text.len() {
            let escape = mark == "\"" && text[at..].starts_with('\\');
            let step = |at: usize| text[at..].chars().next().map_or(0, char::len_utf8);
            at += step(at);
            if escape {
                at += step(at);
            }
        }
        at = (at + close.len()).min(text.len());
        // Up to two more quotes may end a long text.
        while long && text[at..].starts_with(mark) {
            at += 1;
        }
    }
    comments
}
