//! A way of refinishing, worked out.

use serde::Serialize;

use crate::advise::labour::plan::MayCome;
use crate::advise::labour::plan::Plan;
use crate::advise::price::offer::Offer;
use crate::advise::price::options::Way;
use crate::advise::price::questions::Asked;
use crate::advise::price::stops::Stopped;

/// A way, worked out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PricedOption {
    /// The way.
    pub way: Way,
    /// Its plan.
    pub plan: Plan,
    /// What may come to it on parts where its main path waits for a look; the offer counts it.
    pub may_come: MayCome,
    /// Its open questions.
    pub asked: Vec<Asked>,
    /// Reasons to stop.
    pub stops: Vec<Stopped>,
    /// Its offer.
    pub offer: Offer,
    /// A rule of thumb to hold against the offer.
    pub thumb: Option<String>,
}
