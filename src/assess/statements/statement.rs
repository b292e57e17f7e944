//! What somebody said of a part, with where it is written; plain data that only the reading of the record makes.

use serde::Serialize;

use crate::assess::findings::sighting::MarkAt;
use crate::kit::clock::Day;
use crate::model::piece::ToldOn;

/// Somebody looked at a part for faults and found none. Nothing else lets the report say so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SoundSeen {
    /// Label of the wider part of which it was written; `None` when it was written of the part itself.
    pub(in crate::assess) wider: Option<String>,
    /// The mark that says it.
    pub(in crate::assess) at: MarkAt,
    /// The day of that photo's shoot.
    pub(in crate::assess) day: Day,
    /// Where its shoot stands in time.
    #[serde(skip)]
    pub(in crate::assess) rank: usize,
}

/// Nobody looked at a part, and somebody said so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotLooked {
    /// Label of the wider part of which it was written; `None` when it was written of the part itself.
    pub(in crate::assess) wider: Option<String>,
    /// The mark that says it.
    pub(in crate::assess) at: MarkAt,
    /// Why not, if said.
    pub(in crate::assess) why: Option<String>,
    /// Where its shoot stands in time.
    #[serde(skip)]
    pub(in crate::assess) rank: usize,
}

/// A part is not there, and somebody said so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Missed {
    /// Label of the wider part of which it was said; `None` when it was said of the part itself.
    pub(in crate::assess) wider: Option<String>,
    /// The mark that says it; `None` when it was told of the piece.
    pub(in crate::assess) at: Option<MarkAt>,
    /// The line by which it was told of the piece; `None` where a mark says it, or no line tells when that was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(in crate::assess) told: Option<ToldOn>,
    /// Of a part that was there before: when it was last found sound, and when it was first found absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(in crate::assess) lost: Option<Lost>,
    /// Where its shoot stands in time; `None`, before all, when it was told of the piece.
    #[serde(skip)]
    pub(in crate::assess) rank: Option<usize>,
}

/// A part was looked at and found sound, and later was not there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Lost {
    /// When it was last found sound.
    pub was: SoundSeen,
    /// The first photo since beside which it is written that it is not there.
    pub photo: u32,
    /// The day of that photo's shoot.
    pub day: Day,
    /// Whether that shoot is of after it had left.
    #[serde(skip)]
    pub since_left: bool,
}

/// What was said of a part, apart from its faults.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Statement {
    /// It is not there.
    Absent(Missed),
    /// Nobody looked.
    NotExamined(NotLooked),
    /// Looked for faults, found none.
    Sound(SoundSeen),
}

impl SoundSeen {
    /// Label of the wider part of which it was written; `None` when it was written of the part itself.
    #[must_use]
    pub fn wider(&self) -> Option<&str> {
        self.wider.as_deref()
    }

    /// The photo beside which it is written.
    #[must_use]
    pub fn photo(&self) -> u32 {
        self.at.photo
    }

    /// The day of that photo's shoot.
    #[must_use]
    pub fn day(&self) -> Day {
        self.day
    }
}

impl NotLooked {
    /// The photo beside which it is written.
    #[must_use]
    pub fn photo(&self) -> u32 {
        self.at.photo
    }

    /// Label of the wider part of which it was written; `None` when it was written of the part itself.
    #[must_use]
    pub fn wider(&self) -> Option<&str> {
        self.wider.as_deref()
    }

    /// Why not, if said.
    #[must_use]
    pub fn why(&self) -> Option<&str> {
        self.why.as_deref()
    }

    /// The reason, for what is done to the user's words in a draft.
    pub fn why_mut(&mut self) -> &mut Option<String> {
        &mut self.why
    }
}

impl Missed {
    /// Label of the wider part of which it was said; `None` when it was said of the part itself.
    #[must_use]
    pub fn wider(&self) -> Option<&str> {
        self.wider.as_deref()
    }

    /// The photo beside which it is written; `None` when it was told of the piece.
    #[must_use]
    pub fn photo(&self) -> Option<u32> {
        self.at.map(|it| it.photo)
    }

    /// The line by which it was told of the piece; `None` where a mark says it, or no line tells when that was.
    #[must_use]
    pub fn told(&self) -> Option<ToldOn> {
        self.told
    }

    /// When it was last found sound, and when it was first absent; `None` when nobody wrote that it was there.
    #[must_use]
    pub fn lost(&self) -> Option<&Lost> {
        self.lost.as_ref()
    }
}

impl Statement {
    /// Where its shoot stands in time; what was told of the piece, beside no picture, comes before all.
    pub(crate) fn rank(&self) -> Option<usize> {
        match self {
            Self::Absent(it) => it.rank,
            Self::NotExamined(it) => Some(it.rank),
            Self::Sound(it) => Some(it.rank),
        }
    }

    /// The same statement as one about an inner part of what this label names.
    pub(crate) fn of_inner(mut self, whole: &str) -> Self {
        let wider = match &mut self {
            Self::Absent(it) => &mut it.wider,
            Self::NotExamined(it) => &mut it.wider,
            Self::Sound(it) => &mut it.wider,
        };
        *wider = Some(whole.to_owned());
        self
    }
}

/// Statements for tests of other rooms, which have no record to read.
#[cfg(test)]
pub(crate) mod made {
    use crate::assess::findings::sighting::MarkAt;
    use crate::assess::statements::statement::Missed;
    use crate::assess::statements::statement::NotLooked;
    use crate::assess::statements::statement::SoundSeen;
    use crate::kit::clock::Day;

    pub(crate) fn sound(photo: u32, day: Day) -> SoundSeen {
        SoundSeen {
            wider: None,
            at: MarkAt { photo, mark: 0 },
            day,
            rank: 0,
        }
    }

    pub(crate) fn not_looked(photo: u32, why: Option<&str>) -> NotLooked {
        NotLooked {
            wider: None,
            at: MarkAt { photo, mark: 0 },
            why: why.map(str::to_owned),
            rank: 0,
        }
    }

    pub(crate) fn missed(photo: Option<u32>) -> Missed {
        Missed {
            wider: None,
            at: photo.map(|photo| MarkAt { photo, mark: 0 }),
            told: None,
            lost: None,
            rank: photo.map(|_| 0),
        }
    }
}
