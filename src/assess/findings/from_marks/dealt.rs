//! What was done about a fault, and whether that ends it: only what mends a fault makes it repaired, and a living danger is gone when
//! enough looks found nothing.

use crate::assess::did::Did;
use crate::assess::findings::finding::CleanLooks;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::finding::Treated;
use crate::assess::findings::outcome::Tested;
use crate::assess::findings::sighting::Sighting;
use crate::model::mark::MarkState;
use crate::model::repair::Repair;
use crate::trade::TradeBook;
use crate::trade::entry::tag::Clear;
use crate::trade::entry::tag::Tag;

/// The repairs for a fault with what each does to it, and what shows that it is gone.
#[derive(Clone, Debug)]
pub(crate) struct Dealt<'a> {
    done: Vec<(&'a Repair, Did)>,
    clear: Option<&'a Clear>,
    tag: Option<&'a Tag>,
}

impl<'a> Dealt<'a> {
    /// Of these repairs for a fault of this tag. A method that the book does not know counts as one that mends.
    pub(crate) fn of(repairs: &[&'a Repair], tag: Option<&'a Tag>, book: &TradeBook) -> Self {
        let did = |it: &Repair| Did::of(it, tag, book);
        Self {
            done: repairs.iter().map(|it| (*it, did(it))).collect(),
            clear: tag.and_then(|it| it.clear.as_ref()),
            tag,
        }
    }

    /// Those after which the fault is expected to be repaired.
    pub(crate) fn mending(&self) -> Vec<&'a Repair> {
        self.where_it(|it| it == Did::Mends)
    }

    /// Those that leave the fault as it was.
    pub(crate) fn treated(&self) -> Vec<Treated> {
        let left = self.done.iter().filter(|it| it.1 != Did::Mends);
        let one = |(it, does): &(&Repair, Did)| Treated {
            repair: it.no,
            day: it.day,
            method: it.method.clone(),
            does: *does,
            untold: None,
        };
        left.map(one).collect()
    }

    /// The level of a look, where it tells how much is there: what a test found is no more and no less than before.
    pub(crate) fn extent(&self, look: &Sighting) -> Option<u8> {
        let tests = |level: &u8| self.tag.is_some_and(|it| it.is_test(Some(*level)));
        look.level.filter(|it| !tests(it))
    }

    /// What a test of the fault found, by this newest level; `None` while none is told. A clean test whose words or name tell of one
    /// coat says nothing of the others.
    pub(crate) fn tested(
        &self,
        history: &[Sighting],
        level: Option<u8>,
        which: &str,
    ) -> Option<Tested> {
        let tag = self.tag?;
        let found = tag.test_found(level)?;
        let look = history.iter().rev().find(|it| it.level == level)?;
        let tests = self.done.iter().filter(|it| it.1 == Did::Tests);
        let test = tests
            .filter(|it| it.0.day <= look.day)
            .max_by_key(|it| it.0.day);
        let mut said = look.words();
        said.extend(look.size.clone());
        said.push(which.to_owned());
        said.extend(test.and_then(|it| it.0.note.clone()));
        Some(match tag.tells_all_of_a_test(&said.join("; ")) {
            _ if found => Tested::Found,
            Some(false) => Tested::CleanInPart,
            Some(true) => Tested::CleanThrough,
            None => Tested::Clean,
        })
    }

    fn where_it(&self, does: impl Fn(Did) -> bool) -> Vec<&'a Repair> {
        let of = self.done.iter().filter(|it| does(it.1));
        of.map(|it| it.0).collect()
    }

    /// The state of a fault of which the newest of these looks says that it is repaired or gone; `None` where nothing on record
    /// bears that.
    pub(crate) fn ended(&self, telling: &[&Sighting]) -> Option<FindingState> {
        let last = telling.last()?;
        let there = telling.iter().rev().find(|it| it.state.is_there());
        let ending = self.where_it(Did::ends);
        let since = |it: &&Repair| there.is_none_or(|there| there.day <= it.day);
        let mended = ending.iter().any(since);
        // Nothing but the word of the mark: somebody may have mended it before it came. Of a living danger that is too little.
        let before = self.done.iter().any(|it| it.0.day <= last.day);
        let by_word = self.clear.is_none() && (!before || !ending.is_empty());
        match last.state {
            MarkState::Repaired | MarkState::Gone if mended => Some(FindingState::Repaired),
            MarkState::Repaired if by_word => Some(FindingState::Repaired),
            MarkState::Gone if !self.was_known(telling) => Some(FindingState::NotFound),
            // What a danger left behind does not go by itself: a watch told of it tells of the danger.
            MarkState::Gone if self.tag.is_some_and(|it| it.trace_of.is_some()) => None,
            MarkState::Gone if self.clear.is_none() => Some(FindingState::Gone),
            MarkState::Repaired | MarkState::Gone => {
                let looks = self.clean_looks(telling)?;
                looks.are_enough().then_some(FindingState::Gone)
            }
            _ => None,
        }
    }

    /// Whether anything says that the fault was there at some time: a look, or work that was done for it. A test or a watch only asks.
    fn was_known(&self, telling: &[&Sighting]) -> bool {
        let asks = |it: Did| matches!(it, Did::Tests | Did::Watches);
        telling.iter().any(|it| it.state != MarkState::Gone)
            || !self.where_it(|it| !asks(it)).is_empty()
    }

    /// The looks since a living danger was last there or treated of which a mark says that they found nothing; `None` of any other
    /// fault. That it was watched says nothing of what was seen.
    pub(crate) fn clean_looks(&self, telling: &[&Sighting]) -> Option<CleanLooks> {
        let clear = self.clear?;
        let at = telling.iter().rposition(|it| it.state.is_there());
        let there = at.map(|at| telling[at]);
        let seen = there.map(|it| it.day);
        let treated = self.where_it(|it| it == Did::Treats).into_iter();
        let treated = treated
            .map(|it| it.day)
            .filter(|it| Some(*it) >= seen)
            .max();
        let level = there.and_then(|it| it.level);
        let wants = level.is_none_or(|it| it >= clear.treated_from);
        let start = treated.or(seen)?;
        let gone = telling[at.map_or(0, |at| at + 1)..].iter();
        let gone = gone.filter(|it| it.state == MarkState::Gone);
        let days = i64::from(clear.days);
        let (mut told, mut from) = (0, start);
        for look in gone {
            if from.days_to(look.day) >= days {
                (told, from) = (told + 1, look.day);
            }
        }
        Some(CleanLooks {
            told,
            of: clear.looks,
            untreated: wants && treated.is_none(),
        })
    }
}
