//! A text of the user that another room understands: its complaints are drawn here, like all others.

use std::ops::Range;

use crate::mark::read::source::Talk;
use crate::model::complaint::Complaint;

/// Something wrong at a place of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// Where, in bytes.
    pub span: Range<usize>,
    /// What is wrong, lower case, without a full stop.
    pub message: String,
    /// What to do about it, where that is known.
    pub help: Option<String>,
}

/// Has a TOML text read by `read`, which is not asked when the text is no TOML.
///
/// # Errors
/// With everything that is wrong, sorted by place.
pub fn checked<T>(
    file: &str,
    text: &str,
    read: impl FnOnce(&str) -> Result<T, Vec<Slip>>,
) -> Result<T, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    if talk.table().is_none() {
        return talk.end(None);
    }
    let value = match read(talk.text()) {
        Ok(value) => Some(value),
        Err(slips) => {
            for it in slips {
                talk.add(it.span, it.message, it.help);
            }
            None
        }
    };
    talk.end(value)
}
