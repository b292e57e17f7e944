//! What a marking page needs to come back as it was: a page left open in the browser then saves what it kept.

use std::path::Path;

use serde::Deserialize;
use serde::Serialize;

use crate::kit::clock::Moment;
use crate::kit::files::read_secret;
use crate::kit::files::write_secret;
use crate::kit::random;
use crate::kit::random::RandomError;
use crate::model::ids::StockNo;

/// In the book's folder; readable by its owner alone.
const FILE: &str = ".desk.session";

/// For so long after it was used a secret is used again, seconds.
const SECRET_FOR: i64 = 12 * 3600;

/// Pieces whose last port is remembered.
const MOST: usize = 20;

/// The last marking page of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(in crate::desk) struct Session {
    pub(in crate::desk) piece: StockNo,
    /// Its port: what a browser keeps for a page, it keeps by port.
    pub(in crate::desk) port: u16,
    /// The secret in the address, 64 hexadecimal digits.
    pub(in crate::desk) secret: String,
    /// The cookie that the secret is changed for, of the same kind.
    pub(in crate::desk) cookie: String,
    /// When it was last opened or closed.
    pub(in crate::desk) used: Moment,
}

impl Session {
    /// The address that lets a browser in.
    pub(in crate::desk) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/{}", self.port, self.secret)
    }

    /// Whether its secrets may be used again.
    pub(in crate::desk) fn is_fresh(&self, now: Moment) -> bool {
        let age = now.unix().saturating_sub(self.used.unix());
        (0..SECRET_FOR).contains(&age)
            && [&self.secret, &self.cookie]
                .iter()
                .all(|it| it.len() == 64 && it.bytes().all(|b| b.is_ascii_hexdigit()))
    }
}

/// The last sessions of a book, newest first; none where there is no file that we alone can read.
pub(in crate::desk) fn sessions(root: &Path) -> Vec<Session> {
    let bytes = read_secret(&root.join(FILE)).unwrap_or_default();
    serde_json::from_slice(&bytes).unwrap_or_default()
}

/// Puts a session first; gives whether it could be kept such that nobody else can read it.
pub(in crate::desk) fn keep(root: &Path, session: &Session) -> bool {
    let mut all = sessions(root);
    all.retain(|it| it.piece != session.piece && it.port != session.port);
    all.insert(0, session.clone());
    all.truncate(MOST);
    let path = root.join(FILE);
    let Ok(text) = serde_json::to_vec(&all) else {
        return false;
    };
    let kept = write_secret(&path, &text).is_ok() && read_secret(&path).is_ok();
    if !kept {
        // A medium that knows no rights would show the secret to everybody.
        let _ = std::fs::remove_file(&path);
    }
    kept
}

/// A fresh secret: 32 random bytes as hexadecimal digits.
pub(in crate::desk) fn secret() -> Result<String, RandomError> {
    let bytes: [u8; 32] = random::draw()?;
    Ok(bytes.iter().map(|it| format!("{it:02x}")).collect())
}

#[cfg(test)]
mod tests {
    use super::Session;
    use super::keep;
    use super::secret;
    use super::sessions;

    fn session(piece: &str, port: u16) -> Session {
        Session {
            piece: piece.parse().unwrap(),
            port,
            secret: secret().unwrap(),
            cookie: secret().unwrap(),
            used: "2026-05-26T09:00:00Z".parse().unwrap(),
        }
    }

    #[test]
    fn the_last_session_of_each_piece_is_kept_newest_first() {
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(sessions(dir.path()), []);
        let (a, b, c) = (
            session("26-001", 4001),
            session("26-002", 4002),
            session("26-001", 4003),
        );
        for it in [&a, &b, &c] {
            assert!(keep(dir.path(), it));
        }
        assert_eq!(sessions(dir.path()), [c.clone(), b]);
        // A port belongs to one piece: what a browser keeps for a port must never reach another piece.
        let d = session("26-003", 4002);
        assert!(keep(dir.path(), &d));
        assert_eq!(sessions(dir.path()), [d, c]);
    }

    #[test]
    fn secrets_are_used_again_for_twelve_hours() {
        let it = session("26-001", 4001);
        for (now, fresh) in [
            ("2026-05-26T09:00:00Z", true),
            ("2026-05-26T20:59:59Z", true),
            ("2026-05-26T21:00:00Z", false),
            ("2026-05-26T08:59:59Z", false),
        ] {
            assert_eq!(it.is_fresh(now.parse().unwrap()), fresh, "{now}");
        }
        let short = Session {
            secret: String::new(),
            ..it.clone()
        };
        assert!(!short.is_fresh(it.used));
    }

    #[cfg(unix)]
    #[test]
    fn a_file_that_others_can_read_is_not_used() {
        use std::os::unix::fs::PermissionsExt as _;
        let dir = tempfile::tempdir().unwrap();
        assert!(keep(dir.path(), &session("26-001", 4001)));
        let path = dir.path().join(super::FILE);
        let open = std::fs::Permissions::from_mode(0o644);
        std::fs::set_permissions(&path, open).unwrap();
        assert_eq!(sessions(dir.path()), []);
        std::fs::write(&path, "no JSON").unwrap();
        assert_eq!(sessions(dir.path()), []);
    }
}
