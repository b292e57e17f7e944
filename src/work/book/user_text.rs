//! Texts that the user wrote, as bytes from a disk.

use std::path::Path;

use crate::kit::files::read;
use crate::model::complaint::Complaint;
use crate::work::WorkError;

/// The text of a file of the book; `None` where there is none, a complaint where it is no UTF-8.
///
/// # Errors
/// When the file cannot be read.
pub(in crate::work) fn read_user_text(
    root: &Path,
    name: &str,
) -> Result<Option<Result<String, Complaint>>, WorkError> {
    let path = root.join(name);
    if !path.exists() {
        return Ok(None);
    }
    let text = String::from_utf8(read(&path)?);
    Ok(Some(text.map_err(|error| {
        not_utf8(name, error.as_bytes(), error.utf8_error().valid_up_to())
    })))
}

/// The complaint about a text whose byte `at` is no UTF-8.
pub(in crate::work) fn not_utf8(shown: &str, raw: &[u8], at: usize) -> Complaint {
    let before = String::from_utf8_lossy(&raw[..at]);
    let line = 1 + before.matches('\n').count();
    let column = 1 + before.chars().rev().take_while(|it| *it != '\n').count();
    let message = "the text is not UTF-8 from here on".to_owned();
    Complaint {
        file: shown.to_owned(),
        line,
        column,
        drawn: format!("error: {message}\n --> {shown}:{line}:{column}"),
        message,
        help: Some("save the file as UTF-8".to_owned()),
    }
}
