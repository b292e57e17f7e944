//! What a plan is made from.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::advise::labour::area::Surfaces;
use crate::advise::part::facts::Facts;
use crate::advise::part::gather;
use crate::advise::refinish::advice::PartAdvice;
use crate::advise::refinish::permit::Trust;
use crate::assess::assessment::Assessment;
use crate::model::ids::PartId;
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
    /// What is known of every part on the list.
    pub facts: &'a BTreeMap<PartId, Facts>,
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
        facts: &'a BTreeMap<PartId, Facts>,
    ) -> Self {
        Self {
            it,
            advice,
            surfaces,
            settings,
            book,
            facts,
            trust: Trust::Open,
        }
    }

    /// What is known of a part of this kind.
    #[must_use]
    pub fn facts_on(&self, part: &PartId, kind: &str) -> Cow<'a, Facts> {
        let known = self
            .facts
            .get(part)
            .filter(|_| self.it.kinds.contains_key(part));
        known.map_or_else(
            || Cow::Owned(gather::facts(self.it, part, kind, self.book)),
            Cow::Borrowed,
        )
    }
}
