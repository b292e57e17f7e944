//! What the user wrote into claims, each with the evidence that bears it.

pub(in crate::assess) mod check;
pub(in crate::assess) mod cited;
pub(in crate::assess) mod claim_context;
pub(in crate::assess) mod claim_opposite;
mod claim_parts;
pub(in crate::assess) mod claim_proofs;
pub(in crate::assess) mod claim_scope;
pub(in crate::assess) mod claim_texts;
pub(in crate::assess) mod claim_there;
mod claim_working;
pub mod claimed;
