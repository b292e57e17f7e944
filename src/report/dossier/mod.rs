//! What a claim asks into the cover of a dossier.

pub(in crate::report) mod claim;
pub(in crate::report) mod concerned;
pub(in crate::report) mod cover;
pub(in crate::report) mod cover_order;
pub(in crate::report) mod dates;
mod exhibit_draft;
pub(in crate::report) mod exhibit_facts;
pub(in crate::report) mod exhibits;
pub(in crate::report) mod handover;
pub(in crate::report) mod in_book;
pub(in crate::report) mod lines;
pub(in crate::report) mod missing;
pub(in crate::report) mod place_page;
mod proof_view;
pub(in crate::report) mod repairs_told;
pub(in crate::report) mod strip;
