//! What lines of the ledger tell, each with the line that tells it. In: what `work` read of them. Out: clauses of the first page.

pub(in crate::report) mod left;
pub(in crate::report) mod line_told;
