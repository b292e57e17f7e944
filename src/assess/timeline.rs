//! The case in the order of time: which shoot came first, which photo, which mark.

use std::collections::BTreeMap;

use crate::assess::findings::sighting::MarkAt;
use crate::assess::piece_record::PieceRecord;
use crate::kit::clock::Day;
use crate::model::mark::Mark;
use crate::model::photo;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;

/// The shoots and photos of a case, sorted once.
///
/// Shoots stand in the order of their days, so that photos imported late still take their place in time. Where the days
/// contradict the stages (a camera whose clock nobody corrected) and the order of import does not, that order is used.
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
        let mut by_number: Vec<&Shoot> = case.shoots.iter().collect();
        by_number.sort_by_key(|it| it.no);
        by_number.dedup_by_key(|it| it.no);
        let mut by_day = by_number.clone();
        by_day.sort_by_key(|it| (it.day, it.stage, it.no));
        let days_doubtful = contradictions(&by_day) > contradictions(&by_number);
        let shoots = if days_doubtful { by_number } else { by_day };
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

/// How often the order of the shoots cannot be: a look before the work right after work or sale, or a delivery at the very
/// beginning. (A piece that came back may be bought, repaired and sold again.)
fn contradictions(shoots: &[&Shoot]) -> usize {
    let at_sellers = |stage: Stage| !stage.before_work() && !stage.after_sale();
    let wrong = |pair: &&[&Shoot]| at_sellers(pair[0].stage) && pair[1].stage.before_work();
    let begins_after = shoots.first().is_some_and(|it| it.stage.after_sale());
    let begins_wrong = begins_after && shoots.iter().any(|it| !it.stage.after_sale());
    shoots.windows(2).filter(wrong).count() + usize::from(begins_wrong)
}
