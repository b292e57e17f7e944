//! What seals vouch for, and who else vouches. In: the lines that were read, and the seals, keys, stamps and letters of a source. Out: the
//! keys, seals and stamps that hold, and what the letters and the other side's confirmations come to.

pub(in crate::evidence::verify) mod countersigned;
pub(in crate::evidence::verify) mod keys;
pub mod letter;
pub(in crate::evidence::verify) mod seals;
pub mod stamps;
