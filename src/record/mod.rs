//! Values <-> rows of the stock book.
//!
//! In and out: values of the model. May not know: files beside its own database, rules.
