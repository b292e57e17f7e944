//! The words of a text, and which of them were copied from the piece.

use crate::trade::claims::talk::Talk;

/// A word of a text, in lower case, and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// The word.
    pub text: String,
    /// Where it begins, bytes.
    pub start: usize,
    /// Where it ends, bytes.
    pub end: usize,
    /// In which clause of the text it stands, from 0.
    pub clause: usize,
    /// In which sentence, or part of one that stands by itself, from 0: what is said in one says nothing of another.
    pub sentence: usize,
    /// Whether its clause ends with a question mark.
    pub doubted: bool,
}

/// Letters that are not seen, and so part no word.
fn unseen(letter: char) -> bool {
    matches!(
        letter,
        '\u{ad}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}'
    )
}

/// The words of a text; a dash parts words, and punctuation parts clauses, but for the full stop of an abbreviation in `short`.
/// `100%` is two words.
#[must_use]
pub fn words(text: &str, short: &[String]) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let (mut clause, mut sentence, mut open) = (0, 0, false);
    let mut letters = text.char_indices().peekable();
    let mut last = ' ';
    while let Some((at, letter)) = letters.next() {
        let end = at + letter.len_utf8();
        let next = letters.peek().map_or(' ', |it| it.1);
        let between = |it: fn(char) -> bool| it(last) && it(next);
        let inside = matches!(letter, '\'' | '\u{2019}') && between(char::is_alphanumeric);
        if letter.is_alphanumeric() || letter == '%' || inside {
            let fresh = !open || letter == '%';
            if fresh {
                words.push(Word {
                    text: String::new(),
                    start: at,
                    end,
                    clause,
                    sentence,
                    doubted: false,
                });
            }
            if let Some(word) = words.last_mut() {
                let plain = if inside { '\'' } else { letter };
                word.text.extend(plain.to_lowercase());
                word.end = end;
            }
            open = letter != '%';
        } else if !unseen(letter) {
            open = false;
            let number = matches!(letter, '.' | ',') && between(|it| it.is_ascii_digit());
            let parts = matches!(
                letter,
                '.' | ','
                    | ';'
                    | ':'
                    | '!'
                    | '?'
                    | '('
                    | ')'
                    | '\n'
                    | '\u{2013}'
                    | '\u{2014}'
                    | '/'
            );
            let last_word = words.last().filter(|it| it.end == at);
            let shortened = letter == '.' && last_word.is_some_and(|it| short.contains(&it.text));
            if letter == '?' {
                let here = words.iter_mut().filter(|it| it.clause == clause);
                here.for_each(|it| it.doubted = true);
            }
            let parts = parts && !number && !shortened;
            let ends = !matches!(letter, ',' | '(' | ')' | '/');
            clause += usize::from(parts);
            sentence += usize::from(parts && ends);
        }
        last = letter;
    }
    words
}

/// Stretches between quotation marks that the words in front of them say were copied from the piece.
pub(in crate::trade) fn copied(text: &str, talk: &Talk) -> Vec<std::ops::Range<usize>> {
    let mut stretches = Vec::new();
    let mut from = 0;
    while let Some((at, opening)) = text[from..]
        .char_indices()
        .map(|(n, it)| (n + from, it))
        .find(|(_, it)| closing(*it).is_some())
    {
        let inside = at + opening.len_utf8();
        let Some(shuts) = closing(opening) else { break };
        let Some(length) = text[inside..].find(shuts) else {
            break;
        };
        let sentence = text[from..at].rsplit(['.', '!', '?', '\n']).next();
        let said = words(sentence.unwrap_or(""), &talk.short);
        if said.iter().any(|it| talk.copied.contains(&it.text)) {
            stretches.push(inside..inside + length);
        }
        from = inside + length + shuts.len_utf8();
    }
    stretches
}

fn closing(opening: char) -> Option<char> {
    match opening {
        '"' => Some('"'),
        '\u{201c}' | '\u{201e}' => Some('\u{201d}'),
        '\u{ab}' => Some('\u{bb}'),
        _ => None,
    }
}
