//! A text of the user that another room understands: its complaints are drawn here, like all others.

use crate::kit::diagnostic::Diagnostic;
use crate::mark::read::source::Talk;
use crate::model::complaint::Complaint;

/// Has a TOML text read by `read`, which is not asked when the text is no TOML.
///
/// # Errors
/// With everything that is wrong, sorted by place.
pub fn checked<T>(
    file: &str,
    text: &str,
    read: impl FnOnce(&str) -> Result<T, Vec<Diagnostic>>,
) -> Result<T, Vec<Complaint>> {
    let mut talk = Talk::new(file, text);
    if talk.table().is_none() {
        return talk.end(None);
    }
    let value = match read(talk.text()) {
        Ok(value) => Some(value),
        Err(found) => {
            talk.extend(found);
            None
        }
    };
    talk.end(value)
}
