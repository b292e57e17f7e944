//! What a piece of work did about a fault, as the two fit each other.

use serde::Serialize;

use crate::model::repair::Repair;
use crate::tongue::Arg;
use crate::tongue::Saying;
use crate::tongue::say;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::tag::Tag;

/// What a repair did about a fault for which it was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Did {
    /// It is expected to be repaired after it, or hidden where that harms nobody.
    Mends,
    /// A danger is dealt with; the thing itself may stay.
    Handles,
    /// A danger is fought; only looks since show whether that worked.
    Treats,
    /// A doubt is tested; a mark tells the result.
    Tests,
    /// It is kept apart and watched.
    Watches,
    /// What spreads, or gets into whoever is near, is there as before under it.
    Covers,
    /// It is there as before.
    Nothing,
}

impl Did {
    /// Of a repair for a fault of this tag. A method or a fault that the book does not know counts as one that is mended.
    pub(crate) fn of(repair: &Repair, tag: Option<&Tag>, book: &TradeBook) -> Self {
        let Some(method) = book.method(&repair.method) else {
            return Self::Mends;
        };
        let may_end = tag.is_none_or(|it| it.may_end_by(method));
        let hides = repair.hides.is_some() && tag.is_some_and(Tag::spreads);
        let own = tag.is_some_and(|it| it.fixes().any(|it| *it == method.id));
        match method.cures {
            Cures::Treats => Self::Treats,
            Cures::Tests => Self::Tests,
            Cures::Watches => Self::Watches,
            Cures::Hides if !may_end => Self::Covers,
            _ if hides && !own => Self::Covers,
            _ if !may_end => Self::Nothing,
            Cures::Handles => Self::Handles,
            Cures::Cures | Cures::Hides => Self::Mends,
        }
    }

    /// Whether it may be the end of the fault.
    pub(crate) fn ends(self) -> bool {
        matches!(self, Self::Mends | Self::Handles)
    }

    /// How it is told, with its day and the number of the repair.
    pub(crate) fn words(self, day: Arg, repair: u32) -> Saying {
        match self {
            Self::Tests => say::did_tested(day, repair),
            Self::Watches => say::did_watched(day, repair),
            Self::Covers => say::did_covered(day, repair),
            Self::Nothing => say::did_nothing(day, repair),
            Self::Mends | Self::Handles | Self::Treats => say::did_treated(day, repair),
        }
    }
}
