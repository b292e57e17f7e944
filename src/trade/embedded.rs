//! The files of the embedded book.

/// Kinds of parts.
pub(in crate::trade) const PARTS: &str = include_str!("data/parts.toml");
/// Forms.
pub(in crate::trade) const FORMS: &str = include_str!("data/forms.toml");
/// Views and their sets.
pub(in crate::trade) const VIEWS: &str = include_str!("data/views.toml");
/// Faults.
pub(in crate::trade) const TAGS: &str = include_str!("data/tags.toml");
/// Observations.
pub(in crate::trade) const CUES: &str = include_str!("data/cues.toml");
/// Methods.
pub(in crate::trade) const METHODS: &str = include_str!("data/methods.toml");
/// Hazards.
pub(in crate::trade) const HAZARDS: &str = include_str!("data/hazards.toml");
/// Paths and their rules.
pub(in crate::trade) const PATHS: &str = include_str!("data/paths.toml");
/// Rules of order.
pub(in crate::trade) const ORDER: &str = include_str!("data/order.toml");
/// What an offer rests on.
pub(in crate::trade) const OFFER: &str = include_str!("data/offer.toml");
/// Woods.
pub(in crate::trade) const WOODS: &str = include_str!("data/woods.toml");
/// Words that claim something.
pub(in crate::trade) const CLAIMS: &str = include_str!("data/claims.toml");
/// What is tried at the door.
pub(in crate::trade) const DOORSTEP: &str = include_str!("data/doorstep.toml");
