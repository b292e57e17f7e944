//! Arguments -> exit code; the only room that prints.
//!
//! May not know: any room but work, model and kit.
