//! What is it now? Findings known before a shoot, of which that shoot says nothing yet.

use serde::Serialize;

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::finding::FindingState;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::model::ids::FindingNo;
use crate::model::mark::MarkState;
use crate::model::photo::Photo;
use crate::model::photo::Shoot;
use crate::model::photo::Stage;

/// A finding to be looked at again.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Again {
    pub shoot: u32,
    pub finding: FindingNo,
    /// Where it was seen last before.
    pub earlier: Option<MarkAt>,
    /// Photos of the shoot that may show it, best first.
    pub candidates: Vec<u32>,
}

/// For each shoot after the work: the findings it has not spoken of, by number.
pub(super) fn again(it: &Assessment) -> Vec<Again> {
    let mut all = Vec::new();
    for shoot in &it.shoots {
        let looks = !matches!(shoot.stage, Stage::Doorstep | Stage::Purchase | Stage::Work);
        let has_photos = it.photos.iter().any(|photo| photo.shoot == shoot.no);
        if !looks || !has_photos {
            continue;
        }
        for finding in &it.findings {
            all.extend(of_finding(it, shoot, finding));
        }
    }
    all
}

fn of_finding(it: &Assessment, shoot: &Shoot, finding: &Finding) -> Option<Again> {
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
    Some(Again {
        shoot: shoot.no,
        finding: finding.no,
        earlier,
        candidates: candidates(it, shoot, finding, earlier),
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

/// Photos of the shoot with the same view first, then those that show the part.
fn candidates(
    it: &Assessment,
    shoot: &Shoot,
    finding: &Finding,
    earlier: Option<MarkAt>,
) -> Vec<u32> {
    let view_of = |no: u32| {
        let photo = it.photos.iter().find(|photo| photo.no == no);
        photo.and_then(|it| it.sidecar.view.clone())
    };
    let view = earlier.and_then(|at| view_of(at.photo));
    let same_view = |photo: &&Photo| view.is_some() && photo.sidecar.view == view;
    let part = it
        .parts
        .iter()
        .find(|it| it.part == finding.part || it.part == finding.part.whole());
    let shows = |photo: &&Photo| part.is_some_and(|it| it.photos.contains(&photo.no));
    let own = || it.photos.iter().filter(|photo| photo.shoot == shoot.no);
    let mut found: Vec<u32> = own().filter(same_view).map(|it| it.no).collect();
    for photo in own().filter(shows) {
        if !found.contains(&photo.no) {
            found.push(photo.no);
        }
    }
    found
}
