//! The variables of the environment that the program reads; an empty one counts as not set.

use std::ffi::OsString;
use std::path::Path;
use std::path::PathBuf;

use crate::kit::clock::Moment;
use crate::work::WorkError;
use crate::work::backup::place::Place;

/// The stock book's folder.
pub(super) const BOOK: &str = "ASFOUND_BOOK";

/// The moment that counts as now, so that tests can fix it.
const NOW: &str = "ASFOUND_NOW";

/// Where a passphrase may be given to scripts.
pub(super) const PASSPHRASE: &str = "ASFOUND_PASSPHRASE";

/// Where another passphrase may be given to scripts, to keep a key under from now on.
pub(super) const NEW_PASSPHRASE: &str = "ASFOUND_NEW_PASSPHRASE";

/// A variable; `None` where it is not set, or empty.
fn variable(name: &str) -> Option<OsString> {
    std::env::var_os(name).filter(|it| !it.is_empty())
}

/// A variable as text; `None` where it is not set, empty, or no UTF-8.
fn text(name: &str) -> Option<String> {
    variable(name)?.into_string().ok()
}

/// The folder of a user's own files of a kind, by the XDG base directory rules: the variable, else below the home.
pub(super) fn own_folder(name: &str, below_home: &str) -> Option<PathBuf> {
    let home = || Some(PathBuf::from(variable("HOME")?).join(below_home));
    let told = variable(name)
        .map(PathBuf::from)
        .filter(|it| it.is_absolute());
    told.or_else(home)
}

/// Whether a variable is set, but to nothing.
pub(super) fn is_empty(name: &str) -> bool {
    std::env::var_os(name).is_some_and(|it| it.is_empty())
}

/// The passphrase of the book's key.
pub(super) fn passphrase() -> Option<String> {
    text(PASSPHRASE)
}

/// Where a backup lies: a folder, or a bucket that the environment opens.
///
/// # Errors
/// When the address of the bucket is none, or the environment does not tell what opens it.
pub(super) fn place(path: &Path) -> Result<Place, WorkError> {
    Place::named(path, &text)
}

/// Another passphrase for the book's key.
pub(super) fn new_passphrase() -> Option<String> {
    text(NEW_PASSPHRASE)
}

/// The same, where there must be one.
///
/// # Errors
/// When there is none.
pub(super) fn wanted_new_passphrase() -> Result<String, WorkError> {
    new_passphrase().ok_or_else(|| WorkError::Asked {
        what: "there is no new passphrase".to_owned(),
        hint: Some(format!(
            "give it in the environment variable {NEW_PASSPHRASE}, for example: read -rs {NEW_PASSPHRASE} && export {NEW_PASSPHRASE}"
        )),
    })
}

/// Whether the moment that counts as now is fixed.
pub(super) fn is_now_fixed() -> bool {
    variable(NOW).is_some()
}

/// The moment that counts as now.
///
/// # Errors
/// When the one that is set is no moment.
pub(super) fn now() -> Result<Moment, WorkError> {
    match text(NOW) {
        Some(text) => Ok(text.parse()?),
        None => Ok(Moment::now()),
    }
}
