//! The files of the embedded book.

/// Kinds of parts.
pub(in crate::trade) const PARTS: &str = include_str!("parts.toml");
/// Forms.
pub(in crate::trade) const FORMS: &str = include_str!("forms.toml");
/// Views and their sets.
pub(in crate::trade) const VIEWS: &str = include_str!("views.toml");
/// Faults.
pub(in crate::trade) const TAGS: &str = include_str!("tags.toml");
/// Observations.
pub(in crate::trade) const CUES: &str = include_str!("cues.toml");
/// Methods.
pub(in crate::trade) const METHODS: &str = include_str!("methods.toml");
/// Hazards.
pub(in crate::trade) const HAZARDS: &str = include_str!("hazards.toml");
/// Paths and their rules.
pub(in crate::trade) const PATHS: &str = include_str!("paths.toml");
/// Rules of order.
pub(in crate::trade) const ORDER: &str = include_str!("order.toml");
/// What an offer rests on.
pub(in crate::trade) const OFFER: &str = include_str!("offer.toml");
/// Woods.
pub(in crate::trade) const WOODS: &str = include_str!("woods.toml");
/// Words that claim something.
pub(in crate::trade) const CLAIMS: &str = include_str!("claims.toml");
