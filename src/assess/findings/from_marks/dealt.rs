//! What was done about a fault, and whether that ends it: only what mends a fault makes it repaired, and a living danger is gone when
//! enough looks found nothing.

use crate::assess::findings::finding::CleanLooks;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Treated;
use crate::assess::findings::sighting::Sighting;
use crate::kit::clock::Day;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::repair::method::Cures;
use crate::trade::entry::tag::Clear;
use crate::trade::entry::tag::Tag;

/// The repairs for a fault with what each does to it, and what shows that it is gone.
#[derive(Clone, Debug)]
pub(crate) struct Dealt<'a> {
    done: Vec<(&'a Repair, Cures)>,
    clear: Option<&'a Clear>,
}

impl<'a> Dealt<'a> {
    /// Of these repairs for a fault of this tag. A method that the book does not know counts as one that mends.
    pub(crate) fn of(repairs: &[&'a Repair], tag: Option<&'a Tag>, book: &TradeBook) -> Self {
        let cures = |it: &Repair| book.method(&it.method).map_or(Cures::Cures, |it| it.cures);
        Self {
            done: repairs.iter().map(|it| (*it, cures(it))).collect(),
            clear: tag.and_then(|it| it.clear.as_ref()),
        }
    }

    /// Those after which the fault is expected to be repaired.
    pub(crate) fn mending(&self) -> Vec<&'a Repair> {
        self.where_it(Cures::mends)
    }

    /// Those that leave the fault as it was.
    pub(crate) fn treated(&self) -> Vec<Treated> {
        let left = self.done.iter().filter(|it| !it.1.mends());
        let one = |(it, does): &(&Repair, Cures)| Treated {
            repair: it.no,
            day: it.day,
            method: it.method.clone(),
            does: *does,
            untold: None,
        };
        left.map(one).collect()
    }

    fn where_it(&self, does: impl Fn(Cures) -> bool) -> Vec<&'a Repair> {
        let of = self.done.iter().filter(|it| does(it.1));
        of.map(|it| it.0).collect()
    }

    /// The state of a fault of which the newest of these looks says that it is repaired or gone; `None` where nothing on record
    /// bears that.
    pub(crate) fn ended(&self, telling: &[&Sighting]) -> Option<FindingState> {
        let last = telling.last()?;
        let there = telling.iter().rev().find(|it| it.state.is_there());
        let ending = self.where_it(Cures::ends);
        let since = |it: &&Repair| there.is_none_or(|there| there.day <= it.day);
        match last.state {
            MarkState::Repaired if !ending.is_empty() => Some(FindingState::Repaired),
            MarkState::Gone if ending.iter().any(since) => Some(FindingState::Repaired),
            // Nothing but the word of the mark: somebody may have mended it before it came.
            MarkState::Repaired if self.done.is_empty() && self.clear.is_none() => {
                Some(FindingState::Repaired)
            }
            MarkState::Gone if self.clear.is_none() || there.is_none() => Some(FindingState::Gone),
            MarkState::Repaired | MarkState::Gone => {
                let looks = self.clean_looks(telling)?;
                looks.are_enough().then_some(FindingState::Gone)
            }
            _ => None,
        }
    }

    /// The looks since a living danger was last there or treated that found nothing; `None` of any other fault.
    pub(crate) fn clean_looks(&self, telling: &[&Sighting]) -> Option<CleanLooks> {
        let clear = self.clear?;
        let at = telling.iter().rposition(|it| it.state.is_there())?;
        let there = telling[at];
        let newest = |does: Cures, from: Day| {
            let days = self.where_it(|it| it == does).into_iter();
            days.map(|it| it.day).filter(|it| *it >= from).max()
        };
        let treated = newest(Cures::Treats, there.day);
        let wants = there.level.is_none_or(|it| it >= clear.treated_from);
        let start = treated.unwrap_or(there.day);
        let gone = telling[at + 1..].iter();
        let gone = gone.filter(|it| it.state == MarkState::Gone);
        let days = i64::from(clear.days);
        let (mut told, mut from) = (0, start);
        for look in gone.clone() {
            if from.days_to(look.day) >= days {
                (told, from) = (told + 1, look.day);
            }
        }
        // A watch that is told stands for all its looks; a mark says what the last of them found.
        let watched = self.done.iter().filter(|it| {
            let of = clear.watch.as_ref() == Some(&it.0.method);
            of && it.0.day >= start
        });
        let whole = days * i64::from(clear.looks);
        let ends = |it: &Sighting, watch: Day| it.day >= watch && start.days_to(it.day) >= whole;
        for (watch, _) in watched {
            if gone.clone().any(|it| ends(it, watch.day)) {
                told = told.max(clear.looks);
            }
        }
        Some(CleanLooks {
            told,
            of: clear.looks,
            untreated: wants && treated.is_none(),
        })
    }
}
