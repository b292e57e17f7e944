//! The trade book: forms, parts, views, tags with their levels, observations, methods, cautions, as embedded data.
//!
//! In: nothing but its own files. Out: lookups. May not know: the user's pieces.
