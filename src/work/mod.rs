//! One function a job; the only room where the others meet.
//!
//! In: what the user asked. Out: what was done. May not know: printing, the command line.
