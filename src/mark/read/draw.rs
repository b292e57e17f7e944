//! Complaints drawn for a terminal: the line, and a caret under the place.

use std::ops::Range;

use annotate_snippets::AnnotationKind;
use annotate_snippets::Element;
use annotate_snippets::Group;
use annotate_snippets::Level;
use annotate_snippets::Origin;
use annotate_snippets::Renderer;
use annotate_snippets::Snippet;

/// Longer lines are not drawn, only named; bytes.
const LONGEST_LINE: usize = 1000;

/// The place of a complaint.
pub(crate) struct Place<'a> {
    /// The file, as the user knows it.
    pub(crate) file: &'a str,
    /// Line, from 1.
    pub(crate) line: usize,
    /// Column in characters, from 1.
    pub(crate) column: usize,
    /// The line, without its end.
    pub(crate) text: &'a str,
    /// Where in the line, bytes.
    pub(crate) span: Range<usize>,
}

/// Draws a complaint, with terminal colours.
pub(crate) fn drawn(place: &Place<'_>, message: &str, help: Option<&str>) -> String {
    let file = plain(place.file);
    let at: Element<'_> = if place.text.len() > LONGEST_LINE {
        let origin = Origin::path(file).line(place.line);
        origin.char_column(place.column).into()
    } else {
        Snippet::source(place.text)
            .line_start(place.line)
            .path(file)
            .annotation(AnnotationKind::Primary.span(place.span.clone()))
            .into()
    };
    let mut groups = vec![Level::ERROR.primary_title(message).element(at)];
    if let Some(help) = help {
        groups.push(Group::with_title(Level::HELP.secondary_title(help)));
    }
    Renderer::styled().render(&groups)
}

/// Whether a character could steer a terminal, turn the line round, or hide.
pub(crate) fn steers(it: char) -> bool {
    let turns =
        matches!(it, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns || it.is_control() || it == '\u{feff}'
}

/// A text with a sign in the place of every character that steers.
pub(crate) fn plain(text: &str) -> String {
    let plain = text
        .chars()
        .map(|it| if steers(it) { '\u{fffd}' } else { it });
    plain.collect()
}

/// A text as it is quoted in a message: plain, and not too long.
pub(crate) fn quoted(text: &str) -> String {
    const MOST: usize = 60;
    let text = plain(text);
    if text.chars().count() <= MOST {
        return format!("`{text}`");
    }
    let start: String = text.chars().take(MOST).collect();
    format!("`{start}...`")
}
