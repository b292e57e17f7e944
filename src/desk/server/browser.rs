//! Opening the browser.

use std::io;

/// Opens the browser of this machine at an address; it runs on by itself.
///
/// # Errors
/// When there is no browser, or it cannot be started.
pub fn show(address: &str) -> io::Result<()> {
    open::that_detached(address)
}
