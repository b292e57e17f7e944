//! A way of refinishing, worked out.

use serde::Serialize;
use serde::Serializer;

use crate::advise::labour::may_come::MayCome;
use crate::advise::labour::plan::Cost;
use crate::advise::labour::plan::Hours;
use crate::advise::labour::plan::Plan;
use crate::advise::labour::plan::Run;
use crate::advise::price::doubts::questions::Asked;
use crate::advise::price::doubts::questions::BadAnswer;
use crate::advise::price::doubts::stops::Stopped;
use crate::advise::price::offer::Offer;
use crate::advise::price::options::Way;

/// A way, worked out; as JSON in one line of a table, with only the names of its questions and of what stops it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PricedOption {
    /// The way.
    #[serde(flatten)]
    pub way: Way,
    /// Its plan.
    #[serde(flatten, serialize_with = "plan_as_json")]
    pub plan: Plan,
    /// What may come to it on parts where its main path waits for a look; the offer counts it.
    pub may_come: MayCome,
    /// Its open questions.
    #[serde(rename = "questions", serialize_with = "asked_as_json")]
    pub asked: Vec<Asked>,
    /// Questions that were answered badly.
    #[serde(skip)]
    pub bad_answers: Vec<BadAnswer>,
    /// Reasons to stop.
    #[serde(serialize_with = "stops_as_json")]
    pub stops: Vec<Stopped>,
    /// Its offer.
    #[serde(skip)]
    pub offer: Offer,
    /// A rule of thumb to hold against the offer.
    pub thumb: Option<String>,
}

/// What a plan takes and when it is done, without its tasks.
fn plan_as_json<S: Serializer>(plan: &Plan, to: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Names<'a> {
        hours: Hours,
        cost: &'a Cost,
        likely: Run,
        high: Run,
    }
    Names {
        hours: plan.hours,
        cost: &plan.cost,
        likely: plan.days.likely,
        high: plan.days.high,
    }
    .serialize(to)
}

fn asked_as_json<S: Serializer>(asked: &[Asked], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(asked.iter().map(|it| &it.id))
}

fn stops_as_json<S: Serializer>(stops: &[Stopped], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(stops.iter().map(|it| &it.id))
}
