//! A passphrase under which something is kept from now on.

/// The fewest characters: what NIST SP 800-63B-4 (2025) wants of a password that nothing else stands beside (from memory).
const LEAST: usize = 15;

/// A passphrase that is long enough to keep something under.
#[derive(Clone, Copy)]
pub struct NewPassphrase<'a>(&'a str);

/// It is too short.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("a new passphrase needs at least {LEAST} characters; this one has {0}")]
pub struct TooShort(usize);

impl TooShort {
    /// What to do, in a sentence without a full stop.
    pub const HINT: &str = "take four words or more, and write them down where you keep your papers: nobody can get them back";
}

impl<'a> NewPassphrase<'a> {
    /// Of a text.
    ///
    /// # Errors
    /// When it is too short.
    pub fn new(text: &'a str) -> Result<Self, TooShort> {
        let count = text.trim().chars().count();
        match count < LEAST {
            true => Err(TooShort(count)),
            false => Ok(Self(text)),
        }
    }

    /// The text.
    #[must_use]
    pub fn text(self) -> &'a str {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::NewPassphrase;
    use super::TooShort;

    #[test]
    fn a_short_one_keeps_nothing() {
        for (text, count) in [
            ("", 0),
            ("shed", 4),
            ("                    ", 0),
            ("größe größe gr", 14),
        ] {
            assert_eq!(NewPassphrase::new(text).err(), Some(TooShort(count)));
        }
        assert_eq!(
            NewPassphrase::new("größe größe grö").map(NewPassphrase::text),
            Ok("größe größe grö")
        );
    }
}
