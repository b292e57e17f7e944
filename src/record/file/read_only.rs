//! A database on a medium, or with rights, that lets nobody write.
//!
//! A database in WAL mode wants two files beside it even for reading (<https://sqlite.org/wal.html>, "Read-Only Databases"): where
//! they are there already it is read with them; where they cannot be made it is read as a file that does not change.

use std::fs::File;
use std::io::ErrorKind;
use std::path::Path;

use rusqlite::Connection;
use rusqlite::OpenFlags;

use crate::record::PATIENCE;
use crate::record::RecordError;

/// Whether the rights and the medium of the file allow writing.
pub(super) fn is_writable(path: &Path) -> bool {
    let opened = File::options().write(true).open(path);
    !opened.is_err_and(|it| {
        [ErrorKind::PermissionDenied, ErrorKind::ReadOnlyFilesystem].contains(&it.kind())
    })
}

/// Opens a database for reading alone.
///
/// # Errors
/// When it cannot be read, or changes lie beside it that cannot be read.
pub(super) fn connect(path: &Path) -> Result<Connection, RecordError> {
    let wrong = |source| RecordError::Database {
        path: path.to_owned(),
        source,
    };
    let beside = |end: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(end);
        std::fs::metadata(name).ok().map(|it| it.len())
    };
    let has_changes = beside("-wal").is_some_and(|it| it > 0);
    let has_index = beside("-shm").is_some();
    let how = match (has_changes, has_index) {
        (true, false) => return Err(RecordError::Unfinished(path.to_owned())),
        (true, true) => "mode=ro",
        (false, _) => "immutable=1",
    };
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let db = Connection::open_with_flags(format!("file:{}?{how}", escaped(path)), flags)
        .map_err(wrong)?;
    db.busy_timeout(PATIENCE).map_err(wrong)?;
    Ok(db)
}

/// A path as the address of a file: all but unreserved signs and `/` by their bytes (RFC 3986, 2.1).
fn escaped(path: &Path) -> String {
    let escape = |byte: &u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
            char::from(*byte).to_string()
        }
        byte => format!("%{byte:02X}"),
    };
    let bytes = path.as_os_str().as_encoded_bytes();
    bytes.iter().map(escape).collect()
}
