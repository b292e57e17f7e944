//! One at a time, over programs and windows.

use std::fs;
use std::path::Path;

use crate::kit::files::At as _;
use crate::kit::files::FileError;

/// Held until it is dropped.
#[derive(Debug)]
pub struct Lock(Option<fs::File>);

impl Lock {
    /// Waits until nobody else holds the lock of this file, which is made when it is not there; `wait` is called before a wait.
    ///
    /// # Errors
    /// When the file cannot be opened.
    pub fn take(path: &Path, wait: impl FnOnce()) -> Result<Self, FileError> {
        let mut options = fs::File::options();
        options.create(true).truncate(false).write(true);
        let file = options.open(path).at("open", path)?;
        match file.try_lock() {
            Ok(()) => Ok(Self(Some(file))),
            Err(fs::TryLockError::WouldBlock) => {
                wait();
                file.lock().at("lock", path)?;
                Ok(Self(Some(file)))
            }
            Err(fs::TryLockError::Error(_)) => Ok(Self(None)),
        }
    }

    /// Whether it keeps others out: some shares know no locks.
    #[must_use]
    pub fn is_held(&self) -> bool {
        self.0.is_some()
    }
}
