//! Sidecar text <-> marks, with located complaints; the user's settings likewise.
//!
//! In: text and the words that are allowed. Out: values, or complaints with line and column. May not know: SQL, pixels.
