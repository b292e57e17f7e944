//! What the user wrote into claims, each with the evidence that bears it.

pub mod check;
pub(in crate::assess) mod cited;
pub(in crate::assess) mod claim_proofs;
pub(in crate::assess) mod claim_scope;
pub(in crate::assess) mod claim_texts;
