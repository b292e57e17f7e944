//! A statement into a time-stamp request, and a reply into the time that it shows (RFC 3161). In: DER. Out: a time, or why not.

pub(in crate::evidence) mod asn1;
pub(in crate::evidence) mod cert;
pub(in crate::evidence) mod chain;
pub mod fault;
pub mod reply;
pub(in crate::evidence) mod sign;
pub mod time;
pub(in crate::evidence) mod token;

pub use crate::evidence::stamp::token::REPLY_MAX;
