//! How much of a fault there was, and how much of it remains.

use serde::Serialize;

use crate::assess::findings::sighting::Sighting;
use crate::kit::clock::Day;
use crate::kit::measure::Length;
use crate::model::mark::MarkState;

/// How much of a fault there is, as somebody wrote it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Extent {
    /// 1 trace, 2 visible, 3 heavy, 4 failing; `None` when nobody gave one.
    pub level: Option<u8>,
    /// The fault's own criterion of that level; `None` where it has none.
    pub criterion: Option<String>,
    /// The measure as written.
    pub size: Option<String>,
    /// The day of the measure, where the level is of another day.
    pub size_of: Option<Day>,
}

impl Extent {
    /// What the fault was when it was last seen there; what the record gives at all where no shoot saw it there.
    pub(crate) fn before(history: &[Sighting], criterion: impl Fn(u8) -> Option<String>) -> Self {
        let there = history.iter().any(|it| it.state.is_there());
        let seen = |it: &&Sighting| match there {
            true => it.state.is_there(),
            false => it.state == MarkState::Repaired,
        };
        Self::newest(history.iter().rev().filter(seen), criterion)
    }

    /// What it is now, or was when it or what remains of it was last seen.
    pub(crate) fn now(history: &[Sighting], criterion: impl Fn(u8) -> Option<String>) -> Self {
        let seen = |it: &&Sighting| it.state.is_there() || it.state == MarkState::Repaired;
        Self::newest(history.iter().rev().filter(seen), criterion)
    }

    /// What can still be seen of a repaired fault; `None` when nobody gave a level or a measure of it.
    pub(crate) fn remains(
        history: &[Sighting],
        criterion: impl Fn(u8) -> Option<String>,
    ) -> Option<Self> {
        let since = history.iter().rev().take_while(|it| !it.state.is_there());
        let seen = since.filter(|it| it.state == MarkState::Repaired);
        let it = Self::newest(seen, criterion);
        (it.level.is_some() || it.size.is_some()).then_some(it)
    }

    /// Whether it was measured as nothing, and no level was given: a joint with `0 mm` of play.
    pub(crate) fn is_nothing(&self) -> bool {
        let size = self.size.as_ref().and_then(|it| it.parse::<Length>().ok());
        self.level.is_none() && size.is_some_and(|it| it.mm <= 0.0)
    }

    /// The newest level and the newest measure, of sightings with the newest first.
    fn newest<'a>(
        seen: impl Iterator<Item = &'a Sighting> + Clone,
        criterion: impl Fn(u8) -> Option<String>,
    ) -> Self {
        let mut seen = seen;
        let level = seen.clone().find_map(|it| Some((it.level?, it.day)));
        let size = seen.find_map(|it| Some((it.size.clone()?, it.day)));
        let other = level
            .zip(size.as_ref())
            .filter(|(level, size)| level.1 != size.1);
        Self {
            level: level.map(|it| it.0),
            criterion: level.and_then(|it| criterion(it.0)),
            size_of: other.map(|(_, size)| size.1),
            size: size.map(|it| it.0),
        }
    }
}
