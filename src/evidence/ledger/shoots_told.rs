//! Of which shoot each photo of a piece is, as its lines tell it one after the other.

use std::collections::BTreeMap;

use crate::evidence::ledger::entry::EntryKind;
use crate::model::photo::Stage;

/// A shoot's number, and its occasion as told so far; `None` where no line tells that.
pub type ShootTold = (u32, Option<Stage>);

/// What the lines that were read so far tell.
#[derive(Clone, Debug, Default)]
pub struct ShootsTold {
    stages: BTreeMap<u32, Stage>,
    of: BTreeMap<u32, u32>,
}

/// That a line tells of which shoot a photo is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PhotoPlaced {
    /// The photo's number.
    pub photo: u32,
    /// The shoot that it was of before, with its occasion as told now; `None` where no line before this tells it.
    pub was: Option<ShootTold>,
    /// The shoot that it is of from this line on.
    pub is: ShootTold,
}

impl ShootsTold {
    /// Reads the next line; gives what it tells of which shoot a photo is, if it does.
    pub fn read(&mut self, line: &EntryKind) -> Option<PhotoPlaced> {
        let (photo, shoot) = match line {
            EntryKind::Shoot(it) => {
                self.stages.insert(it.shoot, it.stage);
                return None;
            }
            EntryKind::Photo(it) => {
                self.stages.entry(it.shoot).or_insert(it.stage);
                (it.photo, it.shoot)
            }
            EntryKind::Moved(it) => (it.photo, it.shoot),
            _ => return None,
        };
        let was = self.of.insert(photo, shoot);
        let named = |no: u32| (no, self.stages.get(&no).copied());
        Some(PhotoPlaced {
            photo,
            was: was.map(named),
            is: named(shoot),
        })
    }

    /// The shoot that a photo is of by the lines so far; `None` where none tells it.
    #[must_use]
    pub fn of(&self, photo: u32) -> Option<ShootTold> {
        let no = *self.of.get(&photo)?;
        Some((no, self.stages.get(&no).copied()))
    }
}
