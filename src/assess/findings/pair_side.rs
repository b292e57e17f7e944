//! A photo as one side of a before/after pair.

use crate::assess::assessment::PairSide;
use crate::assess::places::sight::STEEPEST;
use crate::assess::places::sight::Share;
use crate::assess::places::sight::Sight;
use crate::assess::statements::looking::Shows;
use crate::model::mark::Mark;
use crate::model::photo::Photo;

/// One photo that may stand on one side.
#[derive(Clone, Copy)]
pub(in crate::assess::findings) struct Side<'a> {
    pub(in crate::assess::findings) photo: &'a Photo,
    pub(in crate::assess::findings) mark: Option<(usize, &'a Mark)>,
    /// Without a mark: how much of the finding's part it shows.
    pub(in crate::assess::findings) unmarked: Option<Shows>,
    /// Whether somebody wrote beside it that the finding's part was sound.
    pub(in crate::assess::findings) says_sound: bool,
    /// How it sees the finding's place, where its face is laid.
    pub(in crate::assess::findings) sight: Option<&'a Sight>,
    pub(in crate::assess::findings) rank: usize,
}

impl Side<'_> {
    pub(in crate::assess::findings) fn told(&self) -> PairSide {
        PairSide {
            photo: self.photo.no,
            mark: self.mark.map(|it| it.0),
            shown: self.sight.and_then(|it| it.whole().copied()),
            without: self.sight.and_then(|it| it.without().copied()),
        }
    }

    /// How much it says, without a mark, of the fault not being there: most where somebody wrote that the part was sound.
    pub(in crate::assess::findings) fn says(&self) -> u8 {
        match self.sight {
            _ if self.says_sound => 2,
            Some(sight) if sight.whole().is_some() => 1,
            _ => 0,
        }
    }

    /// Hundredths of a pixel per mm at the place, where all of it is in the frame and not seen too flat; 0 where that is not known.
    pub(in crate::assess::findings) fn pixels(&self) -> u64 {
        let seen = |it: &&Sight| it.seen == Share::All && it.angle_deg < STEEPEST;
        let whole = self.sight.filter(seen);
        whole.map_or(0, |it| (it.px_per_mm * 100.0).max(0.0) as u64)
    }

    /// Area of the mark in hundredths of a percent of the picture; 0 where it has none.
    pub(in crate::assess::findings) fn area(&self) -> u64 {
        let region = self.mark.and_then(|it| it.1.region.as_ref());
        let area = region.map_or(0.0, |it| {
            let [_, _, w, h] = it.bounds();
            // A line has no area, but the longer it is, the closer the picture.
            (w * h).max(w.max(h) * 0.1)
        });
        (area * 100.0).max(0.0) as u64
    }
}
