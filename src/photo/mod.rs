//! Photo bytes -> facts and previews.
//!
//! In: the bytes of one photo. Out: its facts, small pictures, crops. May not know: paths, pieces.
