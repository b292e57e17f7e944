//! One marking page a book.

use std::fs;
use std::path::Path;

use crate::desk::auth::session::sessions;
use crate::desk::fault::DeskError;
use crate::kit::files::At as _;

/// In the book's folder.
const FILE: &str = ".desk.lock";

/// Held while the page of a book is open.
#[derive(Debug)]
pub(in crate::desk) struct Lock(#[expect(dead_code, reason = "held, not read")] fs::File);

impl Lock {
    /// Takes the lock of the book in `root`.
    ///
    /// # Errors
    /// When the page is open already, or the folder cannot be written to.
    pub(in crate::desk) fn take(root: &Path) -> Result<Self, DeskError> {
        let path = root.join(FILE);
        let file = fs::File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&path)
            .at("open", &path)
            .map_err(DeskError::ReadOnly)?;
        match file.try_lock() {
            // Some shares know no locks; two pages then meet in the sidecars, where each change is found by its value.
            Ok(()) | Err(fs::TryLockError::Error(_)) => Ok(Self(file)),
            Err(fs::TryLockError::WouldBlock) => {
                let newest = sessions(root).into_iter().next();
                let open = newest.map(|it| (it.piece.clone(), it.address()));
                Err(DeskError::OpenAlready(open))
            }
        }
    }
}
