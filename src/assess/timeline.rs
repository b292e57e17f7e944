//! The case in the order of time: which shoot came first, which photo, which mark.

use std::collections::BTreeMap;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::piece_record::PieceRecord;
use crate::kit::clock::Day;
use crate::model::mark::Mark;
use crate::model::photo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;

/// The shoots and photos of a case, sorted once: the shoots as [`photo::in_time`] says.
#[derive(Debug)]
pub(crate) struct Timeline<'a> {
    /// Shoots, earliest first.
    pub(crate) shoots: Vec<&'a Shoot>,
    /// Photos by shoot, then corrected camera time; those of an unknown shoot are left out.
    pub(crate) photos: Vec<&'a Photo>,
    /// Whether the days of the shoots contradict their stages.
    pub(crate) days_doubtful: bool,
    rank: BTreeMap<u32, usize>,
}

impl<'a> Timeline<'a> {
    /// Sorts the shoots and photos of `case`.
    pub(crate) fn of(case: &'a PieceRecord) -> Self {
        let (shoots, days_doubtful) = photo::in_time(&case.shoots);
        let rank: BTreeMap<u32, usize> = shoots
            .iter()
            .enumerate()
            .map(|(n, it)| (it.no, n))
            .collect();
        let mut photos: Vec<&Photo> = case.photos.iter().collect();
        photos.retain(|it| rank.contains_key(&it.shoot));
        photo::sort(&mut photos, |shoot| rank[&shoot]);
        Self {
            shoots,
            photos,
            days_doubtful,
            rank,
        }
    }

    /// Where a shoot stands in time, from 0.
    pub(crate) fn rank(&self, shoot: u32) -> usize {
        self.rank.get(&shoot).copied().unwrap_or(usize::MAX)
    }

    /// The shoot of a photo.
    pub(crate) fn shoot_of(&self, photo: &Photo) -> &'a Shoot {
        // Photos of an unknown shoot were left out when the timeline was made.
        self.shoots[self.rank(photo.shoot)]
    }

    /// The photo of a number.
    pub(crate) fn photo(&self, no: u32) -> Option<&'a Photo> {
        self.photos.iter().find(|it| it.no == no).copied()
    }

    /// The mark at this place.
    pub(crate) fn mark(&self, at: MarkAt) -> Option<&'a Mark> {
        self.photo(at.photo)?.sidecar.marks.get(at.mark)
    }

    /// The photos of one shoot, in order.
    pub(crate) fn photos_of(&self, shoot: u32) -> impl Iterator<Item = &'a Photo> {
        self.photos
            .iter()
            .copied()
            .filter(move |it| it.shoot == shoot)
    }

    /// Every mark of the case, in order.
    pub(crate) fn marks(&self) -> impl Iterator<Item = DatedMark<'a>> {
        self.photos.iter().flat_map(|photo| {
            let shoot = self.shoot_of(photo);
            let rank = self.rank(photo.shoot);
            let marks = photo.sidecar.marks.iter().enumerate();
            marks.map(move |(index, mark)| DatedMark {
                rank,
                shoot,
                photo,
                index,
                mark,
            })
        })
    }
}

/// A mark with its place in time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DatedMark<'a> {
    /// Where its shoot stands in time.
    pub(crate) rank: usize,
    /// Its shoot.
    pub(crate) shoot: &'a Shoot,
    /// Its photo.
    pub(crate) photo: &'a Photo,
    /// Its index in the photo's sidecar.
    pub(crate) index: usize,
    /// The mark.
    pub(crate) mark: &'a Mark,
}

impl DatedMark<'_> {
    /// Where it stands, for the assessment.
    pub(crate) fn at(&self) -> MarkAt {
        MarkAt {
            photo: self.photo.no,
            mark: self.index,
        }
    }

    /// The day of its shoot.
    pub(crate) fn day(&self) -> Day {
        self.shoot.day
    }
}
