//! What is it now? Findings known before a shoot, of which that shoot says nothing yet.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::places::sight::Share;
use crate::assess::places::straight::Side;
use crate::model::ids::FindingNo;
use crate::model::ids::PartId;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;
use crate::model::region::Region;
use crate::trade::TradeBook;
use crate::work::sidecars::vocabulary;

/// A finding to be looked at again.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Again {
    pub shoot: u32,
    pub finding: FindingNo,
    /// Where it was seen last before.
    pub earlier: Option<MarkAt>,
    /// Photos of the shoot that show its place, or its part where that is all that is known; those that show most come first.
    pub candidates: Vec<u32>,
    /// The same rectangle round its place in those of these photos in which its face is laid.
    pub straight: Option<StraightAgain>,
}

/// One rectangle of a face in several photos, so that each can be set straight at one scale.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StraightAgain {
    /// Width and height, mm.
    pub size_mm: [f64; 2],
    pub sides: Vec<StraightIn>,
}

/// Where it lies in one photo.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StraightIn {
    pub photo: u32,
    /// Its corners, percent of the upright photo, top left first; they may lie outside it.
    pub corners: [[f64; 2]; 4],
    /// The place in percent of the rectangle.
    pub outline: Option<Region>,
}

/// For each shoot after the work: the findings it has not spoken of, by number.
pub(super) fn again(it: &Assessment, trade: &TradeBook) -> Vec<Again> {
    let mut all = Vec::new();
    for shoot in &it.shoots {
        let looks = !matches!(shoot.stage, Stage::Doorstep | Stage::Purchase | Stage::Work);
        let has_photos = it.photos.iter().any(|photo| photo.shoot == shoot.no);
        if !looks || !has_photos {
            continue;
        }
        for finding in &it.findings {
            all.extend(of_finding(it, trade, shoot, finding));
        }
    }
    all
}

fn of_finding(
    it: &Assessment,
    trade: &TradeBook,
    shoot: &Shoot,
    finding: &Finding,
) -> Option<Again> {
    let spoken = finding.history.iter().any(|seen| seen.shoot == shoot.no);
    if spoken || finding.state == FindingState::Withdrawn {
        return None;
    }
    let place = |no: u32| {
        it.shoots
            .iter()
            .find(|it| it.no == no)
            .map(|it| (it.day, it.no))
    };
    let before = |seen: &&Sighting| place(seen.shoot) < Some((shoot.day, shoot.no));
    let last = finding.history.iter().rfind(before)?;
    if matches!(last.state, MarkState::Repaired | MarkState::Gone) {
        return None;
    }
    let earlier = earlier(it, last);
    let candidates = candidates(it, trade, shoot, finding, earlier);
    Some(Again {
        shoot: shoot.no,
        finding: finding.no,
        earlier,
        straight: straight(it, finding, earlier, &candidates),
        candidates,
    })
}

/// The mark that shows it best: one with a place in its picture.
fn earlier(it: &Assessment, last: &Sighting) -> Option<MarkAt> {
    let placed = |at: &&MarkAt| {
        let photo = it.photos.iter().find(|photo| photo.no == at.photo);
        let mark = photo.and_then(|it| it.sidecar.marks.get(at.mark));
        mark.is_some_and(|it| it.region.is_some())
    };
    let found = last.marks.iter().find(placed);
    found.or_else(|| last.marks.first()).copied()
}

/// Photos of the shoot in which its place is known to lie, most pixels first; then those of its part in which its face is not laid. A
/// photo that is known not to have the place in it is never one of them.
fn candidates(
    it: &Assessment,
    trade: &TradeBook,
    shoot: &Shoot,
    finding: &Finding,
    earlier: Option<MarkAt>,
) -> Vec<u32> {
    let sights = finding.sights.iter().filter(|at| at.shoot == shoot.no);
    let mut placed: Vec<_> = sights.clone().filter(|at| at.seen != Share::None).collect();
    placed.sort_by(|a, b| {
        let whole = |at: &Share| *at == Share::All;
        let by_share = whole(&b.seen).cmp(&whole(&a.seen));
        by_share.then(b.px_per_mm.total_cmp(&a.px_per_mm))
    });
    let view = earlier.and_then(|at| photo(it, at.photo)?.sidecar.view.clone());
    let known = |no: u32| sights.clone().any(|at| at.photo == no);
    let own = it.photos.iter().filter(|photo| photo.shoot == shoot.no);
    let mut unplaced: Vec<&Photo> = own
        .filter(|photo| !known(photo.no) && shows(it, trade, photo, &finding.part))
        .collect();
    unplaced.sort_by_key(|photo| {
        let same_view = view.is_some() && photo.sidecar.view == view;
        let pixels = u64::from(photo.facts.width) * u64::from(photo.facts.height);
        let parts = photo.sidecar.parts.len().max(1) as u64;
        (!same_view, u64::MAX - pixels / parts)
    });
    let placed = placed.into_iter().map(|at| at.photo);
    placed.chain(unplaced.into_iter().map(|it| it.no)).collect()
}

fn photo(it: &Assessment, no: u32) -> Option<&Photo> {
    it.photos.iter().find(|photo| photo.no == no)
}

/// Whether a photo is said to show a part: by name, by a mark on it, or by a view that shows it whole.
fn shows(it: &Assessment, trade: &TradeBook, photo: &Photo, part: &PartId) -> bool {
    let is_part = |other: &PartId| other == part || *other == part.whole();
    let report = it.parts.iter().find(|it| is_part(&it.part));
    if report.is_some_and(|it| it.photos.contains(&photo.no)) {
        return true;
    }
    let view = photo.sidecar.view.as_deref().and_then(|it| trade.view(it));
    let parts = vocabulary::parts(trade, &it.piece);
    let mut listed = parts.iter().filter(|it| is_part(&it.id));
    view.is_some_and(|view| listed.any(|it| view.shows_whole(it)))
}

/// The rectangle round its place in the earlier photo and in the candidates; `None` unless the earlier one and another have it.
fn straight(
    it: &Assessment,
    finding: &Finding,
    earlier: Option<MarkAt>,
    candidates: &[u32],
) -> Option<StraightAgain> {
    let told = it.places.findings.get(&finding.no)?;
    let strip = told.strip.as_ref()?;
    let before = earlier?.photo;
    let wanted = |no: u32| no == before || candidates.contains(&no);
    let sides = strip.sides.iter().filter(|side| wanted(side.0));
    let sides: Vec<StraightIn> = sides.map(|(no, side)| straight_in(*no, side)).collect();
    let has = |no: u32| sides.iter().any(|it| it.photo == no);
    let [_, _, w, h] = strip.frame.rect_mm;
    (sides.len() > 1 && has(before)).then_some(StraightAgain {
        size_mm: [w, h],
        sides,
    })
}

fn straight_in(photo: u32, side: &Side) -> StraightIn {
    StraightIn {
        photo,
        corners: side.corners,
        outline: side.outline.clone(),
    }
}
