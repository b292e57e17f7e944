//! The text of a message, read once: `{name}`, `{name small}`, `{name capital}`, `{name the}`, and `{name ? one=is | other=are}`.

/// A piece of the text of a message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    /// Words.
    Text(String),
    /// An argument.
    Put(String, How),
    /// Words that depend on the number or gender of an argument.
    Choose(String, Vec<(String, Vec<Piece>)>),
}

/// How an argument is put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum How {
    /// As it is.
    Plain,
    /// With a capital first letter.
    Capital,
    /// As within a sentence: with a small first letter where the language has it.
    Small,
    /// As within a sentence, with its article.
    The,
}

/// Reads the text of a message.
///
/// # Errors
/// With what is wrong with it.
pub(super) fn read(text: &str) -> Result<Vec<Piece>, String> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        if !before.is_empty() {
            pieces.push(Piece::Text(before.to_owned()));
        }
        let end = closing(after).ok_or_else(|| format!("`{{` is not closed in `{text}`"))?;
        pieces.push(held(&after[..end])?);
        rest = &after[end + 1..];
    }
    if !rest.is_empty() {
        pieces.push(Piece::Text(rest.to_owned()));
    }
    Ok(pieces)
}

/// Where the brace closes that was open before this text.
fn closing(text: &str) -> Option<usize> {
    let mut open = 1_usize;
    for (at, letter) in text.char_indices() {
        match letter {
            '{' => open += 1,
            '}' => open -= 1,
            _ => {}
        }
        if open == 0 {
            return Some(at);
        }
    }
    None
}

/// What stands between braces.
fn held(text: &str) -> Result<Piece, String> {
    if let Some((name, arms)) = text.split_once('?') {
        let arms = arms_of(arms).into_iter().map(|arm| {
            let (of, words) = arm
                .split_once('=')
                .ok_or_else(|| format!("`{arm}` has no `=`"))?;
            Ok((of.trim().to_owned(), read(words.trim())?))
        });
        let arms: Result<Vec<_>, String> = arms.collect();
        return Ok(Piece::Choose(name.trim().to_owned(), arms?));
    }
    let mut words = text.split_whitespace();
    let name = words.next().unwrap_or_default().to_owned();
    let how = match words.next() {
        None => How::Plain,
        Some("capital") => How::Capital,
        Some("small") => How::Small,
        Some("the") => How::The,
        Some(other) => return Err(format!("`{other}` is no way to put an argument")),
    };
    Ok(Piece::Put(name, how))
}

/// The arms, parted at the bars that stand in no braces.
fn arms_of(text: &str) -> Vec<&str> {
    let (mut arms, mut from, mut open) = (Vec::new(), 0, 0_usize);
    for (at, letter) in text.char_indices() {
        match letter {
            '{' => open += 1,
            '}' => open = open.saturating_sub(1),
            '|' if open == 0 => {
                arms.push(&text[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    arms.push(&text[from..]);
    arms
}
