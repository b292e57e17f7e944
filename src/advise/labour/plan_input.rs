//! What a plan is made from.

use crate::advise::labour::area::Surfaces;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::permit::Trust;
use crate::assess::assessment::Assessment;
use crate::model::settings::Settings;
use crate::trade::TradeBook;

/// All that a plan is made from.
#[derive(Clone, Copy, Debug)]
pub struct PlanInput<'a> {
    /// What the record means.
    pub it: &'a Assessment,
    /// The advice on every part that can be refinished.
    pub advice: &'a [PartAdvice],
    /// Their show surfaces.
    pub surfaces: &'a Surfaces,
    /// The user's settings.
    pub settings: &'a Settings,
    /// The trade book.
    pub book: &'a TradeBook,
    /// Which paths count as chosen.
    pub trust: Trust,
}

impl<'a> PlanInput<'a> {
    /// With the paths that can be taken.
    #[must_use]
    pub fn of(
        it: &'a Assessment,
        advice: &'a [PartAdvice],
        surfaces: &'a Surfaces,
        settings: &'a Settings,
        book: &'a TradeBook,
    ) -> Self {
        Self {
            it,
            advice,
            surfaces,
            settings,
            book,
            trust: Trust::Open,
        }
    }
}
