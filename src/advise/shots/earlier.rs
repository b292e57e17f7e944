//! The picture after which a fault is photographed again.

use serde::Serialize;

use crate::kit::clock::Day;
use crate::model::photo::Stage;

/// An earlier picture of a fault.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Earlier {
    /// Its number.
    pub photo: u32,
    /// Name of its original.
    pub name: String,
    /// Its view, where one was said.
    pub view: Option<String>,
    /// The occasion.
    pub stage: Stage,
    /// The day of its shoot.
    pub day: Day,
}
