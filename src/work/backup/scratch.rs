//! A folder for what must not lie elsewhere, or lies there for a while.

use std::fs;
use std::path::PathBuf;

use crate::kit::files::At as _;
use crate::kit::files::UNFINISHED;
use crate::kit::random;
use crate::work::WorkError;

/// A folder for its owner alone that is gone when dropped.
pub(super) struct Scratch(pub(super) PathBuf);

impl Scratch {
    /// Makes one among the temporary files of this machine.
    ///
    /// # Errors
    /// When none can be made.
    pub(super) fn new() -> Result<Self, WorkError> {
        let chance = u64::from_le_bytes(random::draw()?);
        let path = std::env::temp_dir().join(format!("{UNFINISHED}{chance:016x}"));
        #[cfg_attr(not(unix), allow(unused_mut, reason = "it has rights on Unix alone"))]
        let mut builder = fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.create(&path).at("make the folder", &path)?;
        Ok(Self(path))
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // What cannot be removed lies among the temporary files of the machine, which it clears itself.
        let _ = fs::remove_dir_all(&self.0);
    }
}
