//! The judge's own tools: time stamps by RFC 3161, checked against the roots that the judge was given.

use crate::evidence::check::Stamp;
use crate::evidence::check::Tools;
use crate::evidence::stamp;
use crate::evidence::stamp::Given;
use crate::kit::digest::Digest;

/// Roots that are trusted, and what else a judge brings.
#[derive(Clone, Copy, Debug)]
pub struct Roots<'a> {
    /// Certificates; with none, no stamp is trusted.
    pub given: Given<'a>,
    /// Digest of the checking page that the caller's program would enclose.
    pub page: Option<Digest>,
}

impl Tools for Roots<'_> {
    fn stamp(&self, statement: &[u8], query: Option<&[u8]>, reply: &[u8]) -> Stamp {
        match stamp::check_reply(statement, query, reply, &self.given) {
            Ok(it) => match it.time.at_latest(it.accuracy) {
                Some(at) => Stamp::At {
                    at,
                    by: it.authority,
                },
                None => Stamp::Wrong("its time lies beyond the calendar".to_owned()),
            },
            Err(why) if why.is_of_unknown_authority() => Stamp::Unknown(why.to_string()),
            Err(why) => Stamp::Wrong(why.to_string()),
        }
    }

    fn page(&self) -> Option<Digest> {
        self.page
    }
}
