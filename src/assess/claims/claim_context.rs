//! All that may bear a claim.

use crate::assess::findings::finding::Finding;
use crate::assess::material::clue::Made;
use crate::assess::material::clue::Observation;
use crate::assess::part_list::PartList;
use crate::assess::part_report::PartReport;
use crate::assess::piece_record::PieceRecord;
use crate::assess::statements::reading::Statements;
use crate::assess::timeline::Timeline;
use crate::trade::TradeBook;

/// All that may bear a claim.
pub(crate) struct ClaimContext<'a> {
    pub(crate) case: &'a PieceRecord,
    pub(crate) book: &'a TradeBook,
    pub(crate) time: &'a Timeline<'a>,
    pub(crate) list: &'a PartList,
    pub(crate) statements: &'a Statements<'a>,
    pub(crate) parts: &'a [PartReport],
    pub(crate) findings: &'a [Finding],
    pub(crate) observations: &'a [Observation],
    pub(crate) made: &'a Made,
}
