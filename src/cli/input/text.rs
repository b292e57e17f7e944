//! The text of a file, or what is piped in.

use std::io;
use std::io::Read as _;
use std::path::Path;

use crate::kit::files::At as _;
use crate::kit::files::read;
use crate::work::WorkError;

/// The text of a file; `-` is what is piped in. Letters that are no UTF-8 are passed over.
///
/// # Errors
/// When it cannot be read.
pub(in crate::cli) fn text_of(path: &Path) -> Result<String, WorkError> {
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        io::stdin().read_to_end(&mut bytes).at("read", path)?;
    } else {
        bytes = read(path)?;
    }
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
